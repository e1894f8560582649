#include <check.h>
#include <jansson.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "json_memory.h"

/* Reading any text takes no more of jansson than is reserved for it. */

#define TEXT_MOST 65536

static char text[TEXT_MOST + 64];

static void watch(void)
{
	json_memory_watch();
}

/* Reads the text and says how much of the reserve it took. */
static double share_taken(struct json_arena *arena, size_t length)
{
	json_t *document;
	double share;

	ck_assert(json_arena_open(arena, length));
	document = json_loadb(text, length, JSON_REJECT_DUPLICATES, NULL);
	json_arena_close();
	ck_assert_msg(!arena->was_small, "%.40s of %zu bytes", text, length);
	share = (double)arena->used / (double)json_arena_needs(length);
	json_decref(document);
	ck_assert_uint_eq(arena->live, 0);
	return share;
}

/* A piece again and again between an opening and a closing one, to at most so many bytes. */
static size_t fill(const char *open, const char *piece, const char *close, size_t most)
{
	size_t length = strlen(open);

	memcpy(text, open, length);
	while (length + strlen(piece) + strlen(close) <= most) {
		memcpy(text + length, piece, strlen(piece));
		length += strlen(piece);
	}
	if (length > 0 && text[length - 1] == ',')
		length--;
	memcpy(text + length, close, strlen(close));
	return length + strlen(close);
}

START_TEST(no_text_takes_more_than_is_reserved)
{
	static const char *const pieces[][3] = {
		{"[", "{},", "]"}, {"[", "[],", "]"}, {"[", "1,", "]"}, {"[", "1.5,", "]"}, {"[", "\"\",", "]"}, {"[", "\"abc\",", "]"},
		{"[", "[1],", "]"}, {"[", "[{}],", "]"}, {"[", "{\"\":{}},", "]"}, {"[", "{\"a\":1},", "]"}, {"[", "[[[[[[]]]]]],", "]"},
		{"[", "{\"a\":{\"b\":{\"c\":{}}}},", "]"}, {"", "[", ""}, {"", "{\"\":", ""}, {"", "[1,", ""}, {"", "[{},", ""},
		{"[", "\"\\u00e4\",", "]"}, {"[\"", "x", "\"]"}, {"[\"", "\\n", "\"]"}, {"[", "true,", "]"}, {"{\"", "k", "\":1}"},
		{"[", "1", "]"}, {"[0.", "1", "]"}, {"", " ", ""}, {"[", "{", ""},
	};
	static const size_t lengths[] = {2, 3, 7, 16, 64, 100, 151, 512, 2048, 2100, 5000, 9001, 30000, 65535, TEXT_MOST};
	struct json_arena arena = {0};

	for (size_t i = 0; i < sizeof pieces / sizeof pieces[0]; i++)
		for (size_t k = 0; k < sizeof lengths / sizeof lengths[0]; k++)
			share_taken(&arena, fill(pieces[i][0], pieces[i][1], pieces[i][2], lengths[k]));
	json_arena_free(&arena);
}
END_TEST

/* Tables double, so a list is dearest just after one did. */
START_TEST(no_number_of_members_takes_more_than_is_reserved)
{
	struct json_arena arena = {0};
	double most = 0, share;

	for (int members = 1; members < 2200; members++) {
		size_t length = 1;

		text[0] = '{';
		for (int i = 0; i < members; i++)
			length += (size_t)snprintf(text + length, 16, "\"%x\":{},", (unsigned)i);
		text[length - 1] = '}';
		share = share_taken(&arena, length);
		most = share > most ? share : most;
		share = share_taken(&arena, fill("[", "{},", "]", 2 + 3 * (size_t)members));
		most = share > most ? share : most;
	}
	ck_assert_double_gt(most, 0.4); /* what is reserved is not far beyond what can be needed */
	json_arena_free(&arena);
}
END_TEST

static uint32_t random_state = 7;

static uint32_t random_below(uint32_t n)
{
	random_state = random_state * 1664525u + 1013904223u;
	return (random_state >> 8) % n;
}

START_TEST(no_soup_of_tokens_takes_more_than_is_reserved)
{
	static const char *const tokens[] = {"[", "]", "{", "}", "{}", "[]", ",", ":", "\"\"", "\"a\"", "\"bcd\":", "1", "-0.5e3",
		"true", "null", "{\"", "\":", "[[", "{}," , "[],"};
	struct json_arena arena = {0};

	for (int round = 0; round < 20000; round++) {
		size_t most = 1 + random_below(400), length = 1;

		text[0] = '[';
		while (length < most) {
			const char *token = tokens[random_below(sizeof tokens / sizeof tokens[0])];

			memcpy(text + length, token, strlen(token));
			length += strlen(token);
		}
		share_taken(&arena, length);
	}
	json_arena_free(&arena);
}
END_TEST

START_TEST(a_second_document_beside_a_living_one_has_its_own_memory)
{
	struct json_arena arena = {0}, other = {0};
	json_t *first, *second, *third;

	ck_assert(json_arena_open(&arena, 100));
	first = json_loads("{\"a\": [1, \"text\"]}", 0, NULL);
	json_arena_close();
	ck_assert(json_arena_open(&arena, 100));
	second = json_loads("{\"b\": [2]}", 0, NULL);
	json_arena_close();
	ck_assert(json_arena_open(&other, 100));
	third = json_loads("{\"c\": [3]}", 0, NULL);
	json_arena_close();
	ck_assert_str_eq(json_string_value(json_array_get(json_object_get(first, "a"), 1)), "text");
	ck_assert_int_eq(json_integer_value(json_array_get(json_object_get(second, "b"), 0)), 2);
	ck_assert_int_eq(json_object_set_new(first, "late", json_string("grown by malloc")), 0);
	json_decref(second);
	json_decref(first);
	ck_assert_uint_eq(arena.live, 0);
	json_arena_free(&arena);
	ck_assert_int_eq(json_integer_value(json_array_get(json_object_get(third, "c"), 0)), 3);
	json_decref(third);
	ck_assert_uint_eq(other.live, 0);
	json_arena_free(&other);
}
END_TEST

START_TEST(what_a_hostile_text_took_is_given_back)
{
	struct json_arena arena = {0};

	share_taken(&arena, fill("[", "{},", "]", TEXT_MOST));
	ck_assert_uint_gt(arena.capacity, 1 << 20);
	share_taken(&arena, fill("[", "{},", "]", 150));
	ck_assert_uint_lt(arena.capacity, 1 << 17);
	json_arena_free(&arena);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("json_memory");
	TCase *tcase = tcase_create("arena");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_checked_fixture(tcase, watch, NULL);
	tcase_set_timeout(tcase, 120);
	tcase_add_test(tcase, no_text_takes_more_than_is_reserved);
	tcase_add_test(tcase, no_number_of_members_takes_more_than_is_reserved);
	tcase_add_test(tcase, no_soup_of_tokens_takes_more_than_is_reserved);
	tcase_add_test(tcase, a_second_document_beside_a_living_one_has_its_own_memory);
	tcase_add_test(tcase, what_a_hostile_text_took_is_given_back);
	suite_add_tcase(suite, tcase);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
