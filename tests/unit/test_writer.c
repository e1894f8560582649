#include <check.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "number.h"
#include "problem.h"
#include "writer.h"

#define SAMPLES 100000

/* The text so far, with a NUL behind it that does not count. */
static const char *text_of(struct writer *out)
{
	writer_text(out, "", 1);
	ck_assert(!out->out_of_memory);
	out->length--;
	return out->bytes;
}

static uint64_t next_random(uint64_t *state)
{
	uint64_t value = *state += 0x9e3779b97f4a7c15U;

	value = (value ^ (value >> 30)) * 0xbf58476d1ce4e5b9U;
	value = (value ^ (value >> 27)) * 0x94d049bb133111ebU;
	return value ^ (value >> 31);
}

static void assert_as_printf(double value)
{
	char ours[NUMBER_TEXT_SIZE];
	char printed[64];
	size_t length = number_text(value, ours);

	snprintf(printed, sizeof printed, "%.12g", value);
	ck_assert_str_eq(ours, value == 0.0 ? "0" : printed);
	ck_assert_uint_eq(length, strlen(ours));
}

START_TEST(numbers_of_every_magnitude_print_as_printf_does)
{
	uint64_t state = 1;

	for (int i = 0; i < SAMPLES; i++) {
		double mantissa = (double)(next_random(&state) >> 11) * 0x1p-53;
		double value = (mantissa * 2.0 - 1.0) * pow(10.0, (double)(next_random(&state) % 40) - 20.0);

		assert_as_printf(value);
	}
}
END_TEST

START_TEST(any_bit_pattern_that_is_finite_prints_as_printf_does)
{
	uint64_t state = 2;

	for (int i = 0; i < SAMPLES; i++) {
		uint64_t bits = next_random(&state);
		double value;

		memcpy(&value, &bits, sizeof value);
		if (isfinite(value))
			assert_as_printf(value);
	}
}
END_TEST

/* Halves in the thirteenth digit, with their neighbours: where a quick way goes wrong first. */
START_TEST(numbers_next_to_a_rounding_edge_print_as_printf_does)
{
	uint64_t state = 3;

	for (int i = 0; i < SAMPLES; i++) {
		double digits = (double)(next_random(&state) % 900000000000U + 100000000000U) + 0.5;
		double value = digits / pow(10.0, (double)(next_random(&state) % 16));

		assert_as_printf(value);
		assert_as_printf(nextafter(value, 0.0));
		assert_as_printf(nextafter(value, HUGE_VAL));
	}
}
END_TEST

START_TEST(powers_of_ten_and_their_neighbours_print_as_printf_does)
{
	for (int exponent = -30; exponent <= 30; exponent++) {
		double value = pow(10.0, exponent);
		double below = value;
		double above = value;

		for (int step = 0; step < 2000; step++) {
			assert_as_printf(below);
			assert_as_printf(-above);
			below = nextafter(below, 0.0);
			above = nextafter(above, HUGE_VAL);
		}
		assert_as_printf(value * (1.0 - 4e-13));
		assert_as_printf(value * (1.0 - 5e-13));
		assert_as_printf(value * (1.0 - 6e-13));
	}
}
END_TEST

START_TEST(decimals_as_people_write_them_come_back)
{
	for (int64_t thousandths = -200000; thousandths <= 200000; thousandths++) {
		char text[NUMBER_TEXT_SIZE];

		assert_as_printf((double)thousandths / 1000.0);
		number_text((double)thousandths / 1000.0, text);
		ck_assert_double_eq(strtod(text, NULL), (double)thousandths / 1000.0);
	}
}
END_TEST

START_TEST(minus_zero_is_zero_and_no_number_is_null)
{
	struct writer out;

	writer_init(&out);
	writer_array_open(&out);
	writer_number(&out, -0.0);
	writer_number(&out, (double)NAN);
	writer_number(&out, (double)INFINITY);
	writer_number(&out, -1e-300);
	writer_array_close(&out);
	ck_assert_str_eq(text_of(&out), "[0,null,null,-1e-300]");
	writer_free(&out);
}
END_TEST

START_TEST(integers_print_whole_at_both_ends)
{
	static const int64_t edges[] = {0, 1, -1, 9, 10, 99, 100, 12345, INT64_MAX, INT64_MIN, INT64_MIN + 1};

	for (size_t i = 0; i < sizeof edges / sizeof edges[0]; i++) {
		char ours[NUMBER_TEXT_SIZE];
		char printed[32];

		snprintf(printed, sizeof printed, "%" PRId64, edges[i]);
		ck_assert_uint_eq(integer_text(edges[i], ours), strlen(printed));
		ck_assert_str_eq(ours, printed);
	}
}
END_TEST

START_TEST(commas_come_where_they_belong)
{
	struct writer out;

	writer_init(&out);
	writer_object_open(&out);
	writer_member_string(&out, "a", "x");
	writer_key(&out, "b");
	writer_array_open(&out);
	writer_array_open(&out);
	writer_array_close(&out);
	writer_int(&out, 1);
	writer_object_open(&out);
	writer_object_close(&out);
	writer_bool(&out, true);
	writer_raw(&out, "{\"r\":[]}", 8);
	writer_array_close(&out);
	writer_member_null(&out, "c");
	writer_member_bool(&out, "d", false);
	writer_member_number(&out, "e", 0.1);
	writer_member_int(&out, "f", -7);
	writer_member_string(&out, "g", NULL);
	writer_object_close(&out);
	ck_assert_str_eq(text_of(&out),
		"{\"a\":\"x\",\"b\":[[],1,{},true,{\"r\":[]}],\"c\":null,\"d\":false,"
		"\"e\":0.1,\"f\":-7,\"g\":null}");
	writer_free(&out);
}
END_TEST

static void assert_escaped(const char *text, size_t length, const char *expected)
{
	struct writer out;

	writer_init(&out);
	writer_string_n(&out, text, length);
	ck_assert_str_eq(text_of(&out), expected);
	writer_free(&out);
}

START_TEST(strings_are_escaped_as_json_asks)
{
	assert_escaped("", 0, "\"\"");
	assert_escaped("a\"b\\c/", 6, "\"a\\\"b\\\\c/\"");
	assert_escaped("\b\f\n\r\t", 5, "\"\\b\\f\\n\\r\\t\"");
	assert_escaped("\0\x01\x0b\x1f\x7f", 5, "\"\\u0000\\u0001\\u000b\\u001f\\u007f\"");
	assert_escaped("m\xc2\xb2 \xe2\x82\xac \xf0\x9f\x8c\xb1", 12, "\"m\xc2\xb2 \xe2\x82\xac \xf0\x9f\x8c\xb1\"");
}
END_TEST

/* Each byte in each place of a text that is looked at eight bytes at a time. */
START_TEST(every_byte_is_escaped_wherever_it_stands)
{
	for (int byte = 0; byte < 0x80; byte++) {
		char escape[8] = {(char)byte};
		char expected[64];
		char text[21];

		if (byte == '"' || byte == '\\')
			snprintf(escape, sizeof escape, "\\%c", byte);
		else if (byte >= 8 && byte <= 13 && byte != 11)
			snprintf(escape, sizeof escape, "\\%c", "btn.fr"[byte - 8]);
		else if (byte < 0x20 || byte == 0x7f)
			snprintf(escape, sizeof escape, "\\u%04x", (unsigned)byte);
		for (size_t place = 0; place < sizeof text - 1; place++) {
			memset(text, 'a', sizeof text - 1);
			text[place] = (char)byte;
			snprintf(expected, sizeof expected, "\"%.*s%s%.*s\"", (int)place, "aaaaaaaaaaaaaaaaaaaa",
				escape, (int)(sizeof text - 2 - place), "aaaaaaaaaaaaaaaaaaaa");
			assert_escaped(text, sizeof text - 1, expected);
		}
	}
}
END_TEST

START_TEST(bytes_that_are_no_utf8_are_replaced)
{
	assert_escaped("a\x80z", 3, "\"a\xef\xbf\xbdz\"");
	assert_escaped("\xc0\xaf", 2, "\"\xef\xbf\xbd\xef\xbf\xbd\"");                 /* overlong */
	assert_escaped("\xed\xa0\x80", 3, "\"\xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd\""); /* a surrogate */
	assert_escaped("\xe2\x82", 2, "\"\xef\xbf\xbd\xef\xbf\xbd\"");                 /* cut off */
	assert_escaped("\xf4\x90\x80\x80", 4, "\"\xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd\"");
}
END_TEST

START_TEST(a_full_buffer_stays_failed_and_keeps_its_bounds)
{
	char storage[17];
	struct writer out;
	size_t length;

	memset(storage, '#', sizeof storage);
	writer_init_fixed(&out, storage, sizeof storage - 1);
	writer_array_open(&out);
	for (int i = 0; i < 1000; i++)
		writer_string(&out, "\n\n\n\xff");
	ck_assert(out.out_of_memory);
	writer_null(&out);
	writer_array_close(&out);
	writer_print(&out, "%d", 1);
	ck_assert(out.out_of_memory);
	ck_assert_uint_le(out.length, sizeof storage - 1);
	ck_assert_int_eq(storage[sizeof storage - 1], '#');
	ck_assert_ptr_null(writer_release(&out, &length));
}
END_TEST

START_TEST(a_long_text_grows_and_is_handed_on)
{
	struct writer out;
	size_t length;
	char *bytes;

	writer_init(&out);
	writer_array_open(&out);
	for (int i = 0; i < 100000; i++)
		writer_int(&out, i % 10);
	writer_array_close(&out);
	bytes = writer_release(&out, &length);
	ck_assert_ptr_nonnull(bytes);
	ck_assert_uint_eq(length, 200001);
	ck_assert_int_eq(bytes[length - 1], ']');
	ck_assert_ptr_null(out.bytes);
	free(bytes);
}
END_TEST

START_TEST(a_problem_lists_its_faults)
{
	struct writer out;

	writer_init(&out);
	problem_open(&out, 422, NULL, "Two members need attention.", "id-1");
	problem_fault(&out, "/pond/depth_m", "out-of-range", "4 m is outside 0.2 to 3 m");
	problem_fault(&out, "", "missing", "x");
	problem_close(&out);
	ck_assert_str_eq(text_of(&out),
		"{\"type\":\"about:blank\",\"title\":\"Unprocessable Content\",\"status\":422,"
		"\"detail\":\"Two members need attention.\",\"instance\":\"id-1\",\"errors\":["
		"{\"pointer\":\"/pond/depth_m\",\"code\":\"out-of-range\",\"detail\":\"4 m is outside 0.2 to 3 m\"},"
		"{\"pointer\":\"\",\"code\":\"missing\",\"detail\":\"x\"}]}");
	writer_free(&out);
}
END_TEST

START_TEST(a_pointer_escapes_its_members)
{
	struct writer pointer;

	writer_init(&pointer);
	pointer_add(&pointer, "pond", 4);
	pointer_add(&pointer, "a/b~c", 5);
	pointer_add(&pointer, "", 0);
	ck_assert_str_eq(text_of(&pointer), "/pond/a~1b~0c/");
	writer_free(&pointer);
}
END_TEST

START_TEST(every_refusal_has_a_status_a_title_and_a_code)
{
	for (int i = REFUSAL_NONE + 1; i < REFUSALS; i++) {
		const struct refusal_row *row = refusal_row((enum refusal)i);

		ck_assert_uint_ge(row->status, 400);
		ck_assert_str_ne(status_title(row->status), "Error");
		ck_assert_uint_eq(strspn(row->code, "abcdefghijklmnopqrstuvwxyz-"), strlen(row->code));
		ck_assert_uint_gt(strlen(row->detail), 0);
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("writer");
	TCase *cases = tcase_create("writer");
	SRunner *runner;
	int failed;

	tcase_set_timeout(cases, 120);
	tcase_add_test(cases, numbers_of_every_magnitude_print_as_printf_does);
	tcase_add_test(cases, any_bit_pattern_that_is_finite_prints_as_printf_does);
	tcase_add_test(cases, numbers_next_to_a_rounding_edge_print_as_printf_does);
	tcase_add_test(cases, powers_of_ten_and_their_neighbours_print_as_printf_does);
	tcase_add_test(cases, decimals_as_people_write_them_come_back);
	tcase_add_test(cases, minus_zero_is_zero_and_no_number_is_null);
	tcase_add_test(cases, integers_print_whole_at_both_ends);
	tcase_add_test(cases, commas_come_where_they_belong);
	tcase_add_test(cases, strings_are_escaped_as_json_asks);
	tcase_add_test(cases, every_byte_is_escaped_wherever_it_stands);
	tcase_add_test(cases, bytes_that_are_no_utf8_are_replaced);
	tcase_add_test(cases, a_full_buffer_stays_failed_and_keeps_its_bounds);
	tcase_add_test(cases, a_long_text_grows_and_is_handed_on);
	tcase_add_test(cases, a_problem_lists_its_faults);
	tcase_add_test(cases, a_pointer_escapes_its_members);
	tcase_add_test(cases, every_refusal_has_a_status_a_title_and_a_code);
	suite_add_tcase(suite, cases);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
