#include <check.h>
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "answers.h"
#include "json_memory.h"

/* The first allocation of the JSON reader fails, then the second, until the answer succeeds: every answer is either
 * the right one, byte for byte, or that memory was short. */

#define ROUNDS_MOST 5000
#define DAY 20782 /* 2026-11-25 */

static struct config *config;
static long left; /* allocations until one fails; below 0: none */

static void *get(size_t size)
{
	if (left-- == 0) {
		json_memory_note();
		return NULL;
	}
	return malloc(size);
}

static const char *environment(const char *name)
{
	const char *value = getenv(name);

	ck_assert_msg(value != NULL, "%s is not set: run this by ctest", name);
	return value;
}

static void load(void)
{
	struct faults faults;

	faults_init(&faults);
	config = config_load(environment("PONDWRIGHT_CONFIG"), &faults);
	faults_print(&faults, stderr);
	faults_free(&faults);
	ck_assert_ptr_nonnull(config);
}

static void unload(void)
{
	config_release(config);
}

static char *body_of(const char *fixture)
{
	static char bytes[65536];
	char path[4096];
	FILE *file;

	snprintf(path, sizeof path, "%s/%s/enquiry.json", environment("PONDWRIGHT_FIXTURES"), fixture);
	file = fopen(path, "rb");
	ck_assert_ptr_nonnull(file);
	bytes[fread(bytes, 1, sizeof bytes - 1, file)] = '\0';
	fclose(file);
	return bytes;
}

static struct answer answer(answer_function *function, struct room *room, const char *body, struct writer *out)
{
	writer_clear(out);
	return function(&(struct ask){.config = config, .room = room, .body = body, .body_length = strlen(body),
		.today_day = DAY}, out);
}

static void never_wrong(answer_function *function)
{
	const char *body = body_of("3b-rebuild-found");
	struct room *room = room_new();
	struct writer right, out;
	int short_of_memory = 0;

	ck_assert_ptr_nonnull(room);
	writer_init(&right);
	writer_init(&out);
	left = -1;
	ck_assert_uint_eq(answer(function, room, body, &right).status, 200);
	for (long fails = 0; fails < ROUNDS_MOST; fails++) {
		struct answer got;

		left = fails;
		got = answer(function, room, body, &out);
		if (got.status == 200) {
			ck_assert_uint_eq(out.length, right.length);
			ck_assert_mem_eq(out.bytes, right.bytes, right.length);
			break;
		}
		ck_assert_uint_eq(got.status, 503);
		short_of_memory++;
	}
	ck_assert_int_gt(short_of_memory, 50);
	ck_assert_int_lt(short_of_memory, ROUNDS_MOST);
	writer_free(&right);
	writer_free(&out);
	room_free(room);
}

START_TEST(an_answer_is_right_or_not_given)
{
	static answer_function *const functions[] = {answer_quote, answer_water, answer_screen};

	json_set_alloc_funcs(get, free);
	never_wrong(functions[_i]);
	json_set_alloc_funcs(malloc, free);
}
END_TEST

START_TEST(a_failure_is_remembered_until_the_next_document)
{
	json_t *document;

	json_memory_watch();
	json_memory_begin();
	document = json_loads("{\"a\": [1, 2.5, \"b\"]}", 0, NULL);
	ck_assert_ptr_nonnull(document);
	ck_assert(!json_memory_was_short());
	json_memory_note();
	ck_assert(json_memory_was_short());
	json_memory_begin();
	ck_assert(!json_memory_was_short());
	json_decref(document);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("answer_memory");
	TCase *tcase = tcase_create("answers");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_unchecked_fixture(tcase, load, unload);
	tcase_set_timeout(tcase, 120);
	tcase_add_loop_test(tcase, an_answer_is_right_or_not_given, 0, 3);
	tcase_add_test(tcase, a_failure_is_remembered_until_the_next_document);
	suite_add_tcase(suite, tcase);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
