#include <check.h>
#include <stdlib.h>

#include "drain.h"

/* An invented pump on 10 m of 32 mm, e 0.007 mm, K 4, water at 15 degrees (IAPWS), lifting 0.6 m while full. */
static struct pump_curve check_curve(void)
{
	static const double points[][2] = {
		{ 0.0, 3.5 }, { 1500.0, 3.2 }, { 3000.0, 2.6 }, { 4500.0, 1.6 }, { 6000.0, 0.0 },
	};
	struct pump_curve curve;

	ck_assert_int_eq(pump_curve_prepare(points, 5, &curve), ST_OK);
	return curve;
}

static const struct pipe_system full = { 0.6, 32.0, 0.007, 10.0, 4.0, 999.1026, 1.138589e-6 };

static double hours_of(const double *area_m2, size_t n_areas, double depth_m)
{
	struct pump_curve curve = check_curve();
	double hours = -1.0;

	ck_assert(drain_time_h(&curve, &full, area_m2, n_areas, depth_m, &hours));
	return hours;
}

/* Worked out by two independent routes: 6 m2 with vertical sides, 0.8 m deep: 4240 L/h full, 3572 L/h empty, 1.2288 h;
 * the starting flow alone would say 1.1321 h. Half of the last digit is allowed. */
START_TEST(check_basin)
{
	static const double area_m2[] = { 6.0, 6.0, 6.0 };
	struct pump_curve curve = check_curve();
	struct pipe_system empty = full;
	struct duty start, end;

	empty.static_m = 1.4;
	duty_point(&curve, &full, &start);
	duty_point(&curve, &empty, &end);
	ck_assert_double_eq_tol(start.flow_l_per_h, 4240.0, 0.51);
	ck_assert_double_eq_tol(end.flow_l_per_h, 3572.0, 0.51);
	ck_assert_double_eq_tol(6.0 * 0.8 * 1000.0 / start.flow_l_per_h, 1.1321, 0.51e-4);
	ck_assert_double_eq_tol(hours_of(area_m2, 3, 0.8), 1.2288, 0.51e-4);
}
END_TEST

/* Three nodes are within 0.01 % of 65 for a vertical wall: 1/Q is nearly a parabola over 0.8 m. */
START_TEST(three_nodes_are_enough_for_a_vertical_wall)
{
	double area_m2[65];

	for (size_t i = 0; i < 65; i++)
		area_m2[i] = 6.0;
	ck_assert_double_eq_tol(hours_of(area_m2, 3, 0.8) / hours_of(area_m2, 65, 0.8), 1.0, 1e-4);
}
END_TEST

/* A wedge, area falling from 6 m2 to nothing: half the water, most of it drawn early against the lower lift, so less
 * than half the time of the vertical basin and more than the starting flow would need. */
START_TEST(shallow_sides_drain_sooner)
{
	double wedge_m2[9], box_m2[9];
	double wedge_h;

	for (size_t i = 0; i < 9; i++) {
		box_m2[i] = 6.0;
		wedge_m2[i] = 6.0 * (1.0 - (double)i / 8.0);
	}
	wedge_h = hours_of(wedge_m2, 9, 0.8);
	ck_assert_double_lt(wedge_h, 0.5 * hours_of(box_m2, 9, 0.8));
	ck_assert_double_gt(wedge_h, 0.5 * 1.1321);
}
END_TEST

START_TEST(time_follows_area_and_depth)
{
	static const double area_m2[] = { 6.0, 5.0, 3.0 };
	static const double twice_m2[] = { 12.0, 10.0, 6.0 };

	ck_assert_double_eq_tol(hours_of(twice_m2, 3, 0.8), 2.0 * hours_of(area_m2, 3, 0.8), 1e-12);
	ck_assert_double_gt(hours_of(area_m2, 3, 0.9), hours_of(area_m2, 3, 0.8) * 0.9 / 0.8);
	ck_assert_double_eq(hours_of(area_m2, 3, 0.0), 0.0);
}
END_TEST

/* 0.6 m and 2.9 m of draw-down is the shut-off head of 3.5 m. */
START_TEST(pump_that_stalls_on_the_way_never_finishes)
{
	static const double area_m2[] = { 6.0, 6.0, 6.0 };
	struct pump_curve curve = check_curve();
	double hours = 7.5;

	ck_assert(!drain_time_h(&curve, &full, area_m2, 3, 3.0, &hours));
	ck_assert_double_eq(hours, 7.5);
	ck_assert(drain_time_h(&curve, &full, area_m2, 3, 2.8, &hours));
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("drain");
	TCase *tests = tcase_create("drain");
	SRunner *runner;
	int failed;

	tcase_add_test(tests, check_basin);
	tcase_add_test(tests, three_nodes_are_enough_for_a_vertical_wall);
	tcase_add_test(tests, shallow_sides_drain_sooner);
	tcase_add_test(tests, time_follows_area_and_depth);
	tcase_add_test(tests, pump_that_stalls_on_the_way_never_finishes);
	suite_add_tcase(suite, tests);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
