#include <check.h>
#include <stdlib.h>
#include <string.h>

#include "dates.h"

static int32_t day_of(const char *text)
{
	int32_t day = -1;

	ck_assert_msg(date_read(text, strlen(text), &day), "%s is a day", text);
	return day;
}

static bool refused(const char *text)
{
	int32_t day = -7;
	bool read = date_read(text, strlen(text), &day);

	ck_assert_msg(read || day == -7, "%s left no trace", text);
	return !read;
}

/* Days and weekdays worked out with Python's datetime, another implementation. */
START_TEST(known_days)
{
	static const struct {
		const char *text;
		int32_t day;
		int weekday;
	} rows[] = {
		{"1970-01-01", 0, 3}, {"1972-02-29", 789, 1}, {"1999-12-31", 10956, 4}, {"2000-02-29", 11016, 1},
		{"2000-03-01", 11017, 2}, {"2026-11-25", 20782, 2}, {"2100-02-28", 47540, 6}, {"2100-03-01", 47541, 0},
		{"2200-12-31", 84370, 2},
	};

	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		ck_assert_int_eq(day_of(rows[i].text), rows[i].day);
		ck_assert_int_eq(date_weekday(rows[i].day), rows[i].weekday);
	}
}
END_TEST

START_TEST(every_day_is_written_and_read_back)
{
	char text[DATE_TEXT_SIZE], before[DATE_TEXT_SIZE] = "";

	for (int32_t day = DAY_FIRST; day <= DAY_LAST; day++) {
		date_text(day, text);
		ck_assert_int_eq(day_of(text), day);
		ck_assert_msg(strcmp(before, text) < 0, "%s comes after %s", text, before);
		memcpy(before, text, sizeof before);
	}
}
END_TEST

START_TEST(work_may_end_after_the_last_day_that_is_read)
{
	char text[DATE_TEXT_SIZE];

	date_text(DAY_LAST + 1, text);
	ck_assert_str_eq(text, "2201-01-01");
	ck_assert(refused(text));
	date_text(DAY_LAST_TEXT, text);
	ck_assert_str_eq(text, "9999-12-31");
}
END_TEST

START_TEST(anything_else_is_refused)
{
	static const char *const texts[] = {
		"", "2026", "2026-11", "2026-11-2", "2026-11-025", "26-11-25", "2026-1-05", "2026-13-01", "2026-00-10",
		"2026-04-31", "2026-02-29", "2100-02-29", "2026-01-00", "2026-01-32", "1969-12-31", "2201-01-01", "2026/11/25",
		"20261125", "2026-W48-3", "2026-329", "+026-11-25", " 026-11-25", "2026-11-2 ", "2026-11-25T", "2026-11-25Z",
		"2026-11-a5", "-026-11-25", "0000-00-00",
	};

	for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++)
		ck_assert_msg(refused(texts[i]), "%s is refused", texts[i]);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("dates");
	TCase *cases = tcase_create("dates");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_test(cases, known_days);
	tcase_add_test(cases, every_day_is_written_and_read_back);
	tcase_add_test(cases, work_may_end_after_the_last_day_that_is_read);
	tcase_add_test(cases, anything_else_is_refused);
	suite_add_tcase(suite, cases);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
