#include <check.h>
#include <stdlib.h>
#include <string.h>

#include "csv.h"
#include "money_text.h"

START_TEST(amounts_are_written_for_people_and_for_files)
{
	static const struct {
		int64_t minor;
		const char *symbol;
		uint8_t digits;
		const char *text, *plain;
	} rows[] = {
		{0, "£", 2, "£0.00", "0.00"}, {5, "£", 2, "£0.05", "0.05"}, {-123450, "£", 2, "-£1,234.50", "-1234.50"},
		{123456789, "€", 2, "€1,234,567.89", "1234567.89"}, {1234, NULL, 0, "1,234", "1234"}, {999, "$", 0, "$999", "999"},
		{1234567, "d", 3, "d1,234.567", "1234.567"}, {INT64_MIN, "", 2, "-92,233,720,368,547,758.08", "-92233720368547758.08"},
	};
	char text[MONEY_TEXT_SIZE];

	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		money_text(rows[i].minor, rows[i].symbol, rows[i].digits, text);
		ck_assert_str_eq(text, rows[i].text);
		money_plain_text(rows[i].minor, rows[i].digits, text);
		ck_assert_str_eq(text, rows[i].plain);
	}
}
END_TEST

START_TEST(records_come_back_as_they_were_written)
{
	static const char *const fields[] = {"plain", "", "a,b", "say \"no\"", "two\r\nlines", " blank ", "\xc3\xa9"};
	static struct csv_reader reader;
	struct writer out;

	writer_init(&out);
	for (int record = 0; record < 3; record++) {
		for (size_t i = 0; i < sizeof fields / sizeof fields[0]; i++)
			csv_field(&out, i == 0, fields[i]);
		csv_end(&out);
	}
	csv_open(&reader, out.bytes, out.length);
	for (uint32_t record = 0; record < 3; record++) {
		ck_assert(csv_next(&reader));
		ck_assert_uint_eq(reader.line, 1 + 2 * record);
		ck_assert_uint_eq(reader.n_fields, sizeof fields / sizeof fields[0]);
		for (size_t i = 0; i < reader.n_fields; i++)
			ck_assert_str_eq(reader.fields[i], fields[i]);
	}
	ck_assert(!csv_next(&reader));
	ck_assert_ptr_null(reader.fault);
	writer_free(&out);
}
END_TEST

static void refused(const char *text, const char *fault)
{
	static struct csv_reader reader;

	csv_open(&reader, text, strlen(text));
	while (csv_next(&reader))
		;
	ck_assert_ptr_nonnull(reader.fault);
	ck_assert_str_eq(reader.fault, fault);
}

START_TEST(what_is_no_record_is_refused)
{
	static struct csv_reader reader;

	refused("a,\"b", "a quote is opened and never closed");
	refused("a,b\"c", "a quote stands within a field");
	refused("a\n\"b\"c\"", "a quote stands within a field");
	csv_open(&reader, "a\0b", 3);
	ck_assert(!csv_next(&reader));
	ck_assert_str_eq(reader.fault, "there is a NUL character");
	csv_open(&reader, "\xef\xbb\xbf" "a,b\r\n\r\n\nc,\n", 14);
	ck_assert(csv_next(&reader));
	ck_assert_str_eq(reader.fields[0], "a");
	ck_assert(csv_next(&reader));
	ck_assert_uint_eq(reader.line, 4);
	ck_assert_uint_eq(reader.n_fields, 2);
	ck_assert(!csv_next(&reader));
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("money_text");
	TCase *tcase = tcase_create("all");
	SRunner *runner;
	int failed;

	tcase_add_test(tcase, amounts_are_written_for_people_and_for_files);
	tcase_add_test(tcase, records_come_back_as_they_were_written);
	tcase_add_test(tcase, what_is_no_record_is_refused);
	suite_add_tcase(suite, tcase);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
