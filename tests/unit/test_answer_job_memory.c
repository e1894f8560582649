#include <check.h>
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "answers.h"
#include "json_memory.h"
#include "priced.h"

/* As test_answer_memory, for the answers about a job: whatever allocation of the JSON reader fails, the answer is right,
 * byte for byte, or memory was short. */

#define ROUNDS_MOST 5000
#define DAY 20782 /* 2026-11-25 */

static long left; /* allocations until one fails; below 0: none */
static bool spared; /* the one that was to fail did not */

/* jansson 2.14 keeps a token in a buffer of 16 bytes that doubles. When it can't grow within a string, the string's end
 * is lost and jansson reads on beyond the buffer: a fault of its own, so here those few allocations always succeed. */
static bool grows_a_token(size_t size)
{
	return size == 32 || size == 64 || size == 128;
}

static void *get(size_t size)
{
	if (left-- == 0) {
		spared = grows_a_token(size);
		if (!spared) {
			json_memory_note();
			return NULL;
		}
	}
	return malloc(size);
}

static size_t add_fixture(const char *name, char *to, size_t size)
{
	char path[4096];
	size_t length;
	FILE *file;

	snprintf(path, sizeof path, "%s/%s/enquiry.json", getenv("PONDWRIGHT_FIXTURES"), name);
	file = fopen(path, "rb");
	ck_assert_ptr_nonnull(file);
	length = fread(to, 1, size - 1, file);
	to[length] = '\0';
	fclose(file);
	return length;
}

static struct answer answer(answer_function *function, struct room *room, const char *body, struct writer *out)
{
	writer_clear(out);
	return function(&(struct ask){.config = shipped(), .room = room, .body = body, .body_length = strlen(body),
		.today_day = DAY}, out);
}

static void never_wrong(answer_function *function, const char *body)
{
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
		spared = false;
		got = answer(function, room, body, &out);
		if (got.status == 200) {
			ck_assert_uint_eq(out.length, right.length);
			ck_assert_mem_eq(out.bytes, right.bytes, right.length);
			if (spared)
				continue;
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

START_TEST(a_variation_is_right_or_not_given)
{
	char body[32768] = "{\"agreed\":";
	size_t length = strlen(body);

	shipped();
	length += add_fixture("3a-rebuild-agreed", body + length, sizeof body - length);
	length += (size_t)snprintf(body + length, sizeof body - length, ",\"now\":");
	length += add_fixture("3b-rebuild-found", body + length, sizeof body - length);
	snprintf(body + length, sizeof body - length, ",\"stage\":\"strip-out\"}");
	json_set_alloc_funcs(get, free);
	never_wrong(answer_variation, body);
	json_set_alloc_funcs(malloc, free);
}
END_TEST

START_TEST(a_survey_is_right_or_not_given)
{
	static answer_function *const functions[] = {answer_survey, answer_survey_page};
	char body[32768];

	shipped();
	add_fixture("3a-rebuild-agreed", body, sizeof body);
	json_set_alloc_funcs(get, free);
	never_wrong(functions[_i], body);
	json_set_alloc_funcs(malloc, free);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("answer_job_memory");
	TCase *tcase = tcase_create("answers");
	SRunner *runner;
	int failed;

	tcase_set_timeout(tcase, 200);
	tcase_add_test(tcase, a_variation_is_right_or_not_given);
	tcase_add_loop_test(tcase, a_survey_is_right_or_not_given, 0, 2);
	suite_add_tcase(suite, tcase);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
