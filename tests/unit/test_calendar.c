#include <check.h>
#include <stdlib.h>

#include "calendar.h"

/* Days since 1970-01-01 as GNU date prints them: date -u -d 2026-11-25 +%s divided by 86400. */
START_TEST(months_and_weekdays_of_known_days)
{
	ck_assert_uint_eq(day_month(0), 1);
	ck_assert_uint_eq(day_weekday(0), 3);      /* Thursday 1 January 1970 */
	ck_assert_uint_eq(day_month(20782), 11);
	ck_assert_uint_eq(day_weekday(20782), 2);  /* Wednesday 25 November 2026 */
	ck_assert_uint_eq(day_month(11016), 2);    /* 29 February 2000 */
	ck_assert_uint_eq(day_month(11017), 3);
	ck_assert_uint_eq(day_month(47540), 2);    /* 28 February 2100, which is no leap year */
	ck_assert_uint_eq(day_month(47541), 3);
	ck_assert_uint_eq(day_month(-1), 12);
	ck_assert_uint_eq(day_weekday(-1), 2);
}
END_TEST

START_TEST(every_month_has_its_length)
{
	static const int lengths[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
	int32_t day = 20454; /* 1 January 2026 */

	for (int month = 0; month < 12; month++) {
		for (int i = 0; i < lengths[month]; i++)
			ck_assert_uint_eq(day_month(day + i), (uint32_t)month + 1);
		ck_assert_int_eq(day_next_month(day), day + lengths[month]);
		ck_assert_int_eq(day_next_month(day + lengths[month] - 1), day + lengths[month]);
		day += lengths[month];
	}
}
END_TEST

START_TEST(free_days_have_no_capacity_and_weather_takes_its_share)
{
	static const int32_t holidays[] = {20812, 20813};
	struct catalogue catalogue = {.holidays = holidays};
	struct region region = {.holidays = {0, 2}, .works = {true, true, true, true, true, false, false}};

	region.weather_lost[11] = 0.2;
	ck_assert_double_eq_tol(day_capacity(&catalogue, &region, 20809), 0.8, 1e-12); /* Tuesday 22 December 2026 */
	ck_assert_double_eq_tol(day_capacity(&catalogue, &region, 20812), 0, 1e-12);   /* Friday, a holiday */
	ck_assert_double_eq_tol(day_capacity(&catalogue, &region, 20814), 0, 1e-12);   /* Sunday */
	ck_assert_int_eq(day_first_working(&catalogue, &region, 20812), 20815);        /* Monday 28 December */
	ck_assert_int_eq(day_first_working(&catalogue, &region, 20809), 20809);
	region = (struct region){.works = {false}};
	ck_assert_int_eq(day_first_working(&catalogue, &region, 20809), 20809); /* a region that never works */
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("calendar");
	TCase *days = tcase_create("days");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_test(days, months_and_weekdays_of_known_days);
	tcase_add_test(days, every_month_has_its_length);
	tcase_add_test(days, free_days_have_no_capacity_and_weather_takes_its_share);
	suite_add_tcase(suite, days);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
