#include <check.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/eventfd.h>
#include <sys/socket.h>
#include <unistd.h>

#include "log.h"

/* Lines into each kind of descriptor that standard error may be. */

#define LINES 2000 /* more than any pipe or socket buffers */

/* Reads what is there, as a text. */
static size_t text_read(int descriptor, char *text, size_t size)
{
	size_t length = 0;
	ssize_t part;

	while (length < size - 1 && (part = read(descriptor, text + length, size - 1 - length)) > 0)
		length += (size_t)part;
	text[length] = '\0';
	return length;
}

static void assert_whole_lines(char *text)
{
	for (char *line = strtok(text, "\n"); line != NULL; line = strtok(NULL, "\n")) {
		ck_assert_int_eq(strncmp(line, "{\"ts\":\"", 7), 0);
		ck_assert_int_eq(line[strlen(line) - 1], '}');
	}
}

/* Writes far more than fits, reads it, and finds whole lines and then the count of the lost ones. */
static void assert_never_waits(int reader, int writer)
{
	static char text[4 * 1024 * 1024];
	uint64_t before = log_dropped();

	fcntl(reader, F_SETFL, O_NONBLOCK);
	log_open(writer);
	for (int i = 0; i < LINES; i++)
		log_event(
			LEVEL_WARN, "test", "line %d of a long run, with enough text to fill any buffer: %0200d", i, i);
	ck_assert_uint_gt(log_dropped(), before);
	text_read(reader, text, sizeof text);
	ck_assert_ptr_nonnull(strstr(text, "\"level\":\"warn\",\"event\":\"test\",\"msg\":\"line 0 of"));
	assert_whole_lines(text);
	log_event(LEVEL_ERROR, "test", "after");
	text_read(reader, text, sizeof text);
	ck_assert_ptr_nonnull(strstr(text, "\"msg\":\"after\",\"dropped_before\":"));
	log_event(LEVEL_INFO, "test", "later");
	text_read(reader, text, sizeof text);
	ck_assert_ptr_null(strstr(text, "dropped_before"));
}

START_TEST(a_full_pipe_drops_lines_and_says_so)
{
	int ends[2];

	ck_assert_int_eq(pipe(ends), 0);
	assert_never_waits(ends[0], ends[1]);
	ck_assert_int_eq(fcntl(ends[1], F_GETFL) & O_NONBLOCK, 0); /* others may share it */
}
END_TEST

START_TEST(a_full_socket_drops_lines_and_says_so)
{
	int ends[2];

	ck_assert_int_eq(socketpair(AF_UNIX, SOCK_STREAM, 0, ends), 0);
	assert_never_waits(ends[0], ends[1]);
}
END_TEST

START_TEST(a_file_takes_every_line)
{
	FILE *file = tmpfile();
	char text[4096];

	log_open(fileno(file));
	log_event(LEVEL_INFO, "test", "one \"%s\"\n", "\x1b[31m");
	lseek(fileno(file), 0, SEEK_SET);
	text_read(fileno(file), text, sizeof text);
	ck_assert_ptr_nonnull(strstr(text, "\"msg\":\"one \\\"\\u001b[31m\\\"\\n\"}\n"));
	fclose(file);
}
END_TEST

START_TEST(a_long_message_is_cut_and_still_a_line)
{
	FILE *file = tmpfile();
	char message[8192];
	char text[16384];
	uint64_t before = log_dropped();

	memset(message, 1, sizeof message);
	message[sizeof message - 1] = '\0';
	log_open(fileno(file));
	log_event(LEVEL_INFO, "test", "%s", message);
	ck_assert_uint_eq(log_dropped(), before);
	lseek(fileno(file), 0, SEEK_SET);
	ck_assert_uint_le(text_read(fileno(file), text, sizeof text), LOG_LINE_SIZE);
	assert_whole_lines(text);
	fclose(file);
}
END_TEST

/* An event counter cannot be opened again, and takes eight bytes of a line: what is left of it is not a line. */
START_TEST(a_line_that_is_torn_counts_as_dropped)
{
	int counter = eventfd(0, EFD_NONBLOCK);
	uint64_t before = log_dropped();

	log_open(counter);
	log_event(LEVEL_INFO, "test", "torn");
	ck_assert_uint_eq(log_dropped(), before + 1);
	log_event(LEVEL_INFO, "test", "not begun, for the line break does not fit");
	ck_assert_uint_eq(log_dropped(), before + 2);
	close(counter);
}
END_TEST

static void library_says(const char *format, ...) __attribute__((format(printf, 1, 2)));

static void library_says(const char *format, ...)
{
	va_list arguments;

	va_start(arguments, format);
	log_library(NULL, format, arguments);
	va_end(arguments);
}

START_TEST(the_library_is_kept_from_flooding_the_log)
{
	static char text[1024 * 1024];
	FILE *file = tmpfile();
	int lines = 0;

	log_open(fileno(file));
	for (int i = 0; i < 1000; i++)
		library_says("trouble %d\n", i);
	lseek(fileno(file), 0, SEEK_SET);
	text_read(fileno(file), text, sizeof text);
	ck_assert_ptr_nonnull(strstr(text, "\"event\":\"library\",\"msg\":\"trouble 0\"}"));
	for (const char *at = text; (at = strchr(at, '\n')) != NULL; at++)
		lines++;
	ck_assert_int_ge(lines, 10);
	ck_assert_int_lt(lines, 1000);
	fclose(file);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("log");
	TCase *cases = tcase_create("log");
	SRunner *runner;
	int failed;

	tcase_set_timeout(cases, 60);
	tcase_add_test(cases, a_full_pipe_drops_lines_and_says_so);
	tcase_add_test(cases, a_full_socket_drops_lines_and_says_so);
	tcase_add_test(cases, a_file_takes_every_line);
	tcase_add_test(cases, a_long_message_is_cut_and_still_a_line);
	tcase_add_test(cases, a_line_that_is_torn_counts_as_dropped);
	tcase_add_test(cases, the_library_is_kept_from_flooding_the_log);
	suite_add_tcase(suite, cases);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
