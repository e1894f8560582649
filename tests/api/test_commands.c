#include <check.h>
#include <stdio.h>
#include <stdlib.h>

#include "asked.h"

/* The command line. */

START_TEST(a_command_prints_the_bytes_of_its_route)
{
	static const char *const names[] = {"quote", "compare", "range", "water", "screen", "survey"};
	char file[4096], path[32], *output, *body = enquiry_of(fixtures[NEWT_FOUND]);
	size_t length;

	snprintf(file, sizeof file, "%s/%s/enquiry.json", environment("PONDWRIGHT_FIXTURES"), fixtures[NEWT_FOUND]);
	for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
		const char *arguments[] = {names[i], "--config", environment("PONDWRIGHT_CONFIG"), file, NULL};
		struct reply reply;

		snprintf(path, sizeof path, "/v1/%s", names[i]);
		ask(&served, NULL, path, body, NULL, &reply);
		ck_assert_int_eq(program_run(arguments, &output, &length), 0);
		ck_assert_uint_eq(length, reply.length);
		ck_assert_str_eq(output, reply.body);
		free(output);
		reply_free(&reply);
	}
	free(body);
}
END_TEST

static int status_of(const char *const *arguments)
{
	size_t length;
	char *output;
	int status = program_run(arguments, &output, &length);

	free(output);
	return status;
}

START_TEST(the_command_line_says_how_it_went)
{
	const char *config = environment("PONDWRIGHT_CONFIG");

	ck_assert_int_eq(status_of((const char *const[]){"--version", NULL}), 0);
	ck_assert_int_eq(status_of((const char *const[]){"--help", NULL}), 0);
	ck_assert_int_eq(status_of((const char *const[]){"check", "--config", config, NULL}), 0);
	ck_assert_int_eq(status_of((const char *const[]){"check", "--config", "/nonexistent", NULL}), 1);
	ck_assert_int_eq(status_of((const char *const[]){"quote", "--config", config, "/nonexistent", NULL}), 1);
	ck_assert_int_eq(status_of((const char *const[]){"serve", "--config", config, "--listen", "nowhere", NULL}), 1);
	ck_assert_int_eq(status_of((const char *const[]){NULL}), 2);
	ck_assert_int_eq(status_of((const char *const[]){"dance", NULL}), 2);
	ck_assert_int_eq(status_of((const char *const[]){"check", NULL}), 2);
	ck_assert_int_eq(status_of((const char *const[]){"check", "--config", NULL}), 2);
	ck_assert_int_eq(status_of((const char *const[]){"check", "--config", config, "more", NULL}), 2);
	ck_assert_int_eq(status_of((const char *const[]){"check", "--config", config, "--listen", ":0", NULL}), 2);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("commands");
	TCase *asking = tcase_create("asking");

	tcase_add_unchecked_fixture(asking, serve_once, stop_once);
	tcase_set_timeout(asking, 120);
	tcase_add_test(asking, a_command_prints_the_bytes_of_its_route);
	tcase_add_test(asking, the_command_line_says_how_it_went);
	suite_add_tcase(suite, asking);
	return suite_run(suite);
}
