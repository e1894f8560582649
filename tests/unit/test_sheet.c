#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "sheet.h"

static struct shore shore;

static void prepare(struct outline outline)
{
	struct outline_fault fault;

	ck_assert_int_eq(outline_check(&outline, &fault), ST_OK);
	ck_assert_int_eq(outline_prepare(&outline, &shore), ST_OK);
}

static double reached_m(const struct profile *profile)
{
	struct basin basin;

	basin_measure(&shore, profile, 1.0, &basin);
	return basin.depth_reached_m;
}

static const struct outline pond = {.kind = OUTLINE_RECTANGLE, .length_m = 20, .width_m = 6};

/* A section 6 m wide and 1 m deep: true girth, to the last digit printed. */
static const struct {
	struct profile profile;
	double girth_m;
} sections[] = {
	{{.kind = PROFILE_VERTICAL}, 8.000},
	{{.kind = PROFILE_STEPPED, .n_steps = 3, .steps = {{0, 0.4}, {0.5, 0.4}, {0.5, 1}}}, 8.000},
	{{.kind = PROFILE_STEPPED, .n_steps = 3, .steps = {{0.05, 0.25}, {0.35, 0.25}, {0.85, 1}}}, 7.213},
	{{.kind = PROFILE_BATTERED, .side_slope = 1}, 6.828},
	{{.kind = PROFILE_BATTERED, .side_slope = 2}, 6.472},
	{{.kind = PROFILE_BATTERED, .side_slope = 3}, 6.325},
	{{.kind = PROFILE_DISH}, 6.419},
};

START_TEST(sheets_follow_the_section)
{
	struct sheet sheet;

	prepare(pond);
	sheet_measure(&shore, &sections[_i].profile, 1.0, 1.0, 0.0, 0.0, &sheet);
	ck_assert_double_eq_tol(sheet.width_m, sections[_i].girth_m, 0.00051);
	ck_assert_double_eq_tol(sheet.length_m - sheet.width_m, 14.0, 1e-12);
	ck_assert_double_eq_tol(sheet.by_rule_width_m, 8.0, 1e-12);
	ck_assert_double_eq_tol(sheet.by_rule_length_m, 22.0, 1e-12);
	ck_assert_double_ge(sheet.by_rule_width_m, sheet.width_m - 1e-12);
}
END_TEST

/* 6 x 4 m, 45 degrees, 1 m deep, flaps of 0.3 m: 56.8 m2 by the rule, 40.3 by girth. */
START_TEST(flaps_and_freeboard_are_on_both_sides)
{
	static const struct profile battered = {.kind = PROFILE_BATTERED, .side_slope = 1};
	static const struct profile upright = {.kind = PROFILE_VERTICAL};
	struct outline outline = {.kind = OUTLINE_RECTANGLE, .length_m = 6, .width_m = 4};
	struct sheet sheet, dry;

	prepare(outline);
	sheet_measure(&shore, &battered, 1.0, 1.0, 0.0, 0.3, &sheet);
	ck_assert_double_eq_tol(sheet.by_rule_length_m * sheet.by_rule_width_m, 56.8, 0.051);
	ck_assert_double_eq_tol(sheet.length_m * sheet.width_m, 40.3, 0.051);
	sheet_measure(&shore, &battered, 1.0, 1.0, 0.1, 0.3, &dry); /* the rim slopes like the side */
	ck_assert_double_eq_tol(dry.length_m - sheet.length_m, 0.2 * sqrt(2.0), 1e-12);
	sheet_measure(&shore, &upright, 1.0, 1.0, 0.1, 0.3, &dry);
	ck_assert_double_eq_tol(dry.length_m, 6.0 + 2.0 * (1.0 + 0.1 + 0.3), 1e-12);
	ck_assert_double_eq_tol(dry.width_m, 4.0 + 2.0 * (1.0 + 0.1 + 0.3), 1e-12);
}
END_TEST

/* Turned by 30 degrees, the outline's own directions count, and only the depth that is reached. */
START_TEST(a_turned_pond_needs_the_same_sheet)
{
	static const struct profile flat = {.kind = PROFILE_BATTERED, .side_slope = 3};
	struct outline turned = {.kind = OUTLINE_POLYGON, .n_points = 4};
	struct outline straight = {.kind = OUTLINE_RECTANGLE, .length_m = 5, .width_m = 3};
	double c = cos(0.5235987755982988), s = 0.5;
	struct sheet one, two;

	turned.points[1] = (struct point){5 * c, 5 * s};
	turned.points[2] = (struct point){5 * c - 3 * s, 5 * s + 3 * c};
	turned.points[3] = (struct point){-3 * s, 3 * c};
	prepare(straight);
	sheet_measure(&shore, &flat, 1.0, reached_m(&flat), 0.1, 0.3, &one);
	ck_assert_double_eq_tol(one.by_rule_width_m, 3.0 + 2 * (0.5 + 0.3), 1e-12);
	prepare(turned);
	sheet_measure(&shore, &flat, 1.0, reached_m(&flat), 0.1, 0.3, &two);
	ck_assert_double_eq_tol(two.length_m, one.length_m, 1e-11);
	ck_assert_double_eq_tol(two.width_m, one.width_m, 1e-11);
	ck_assert_double_eq_tol(two.by_rule_length_m, one.by_rule_length_m, 1e-11);
	ck_assert_double_eq_tol(two.by_rule_width_m, one.by_rule_width_m, 1e-11);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("sheet");
	TCase *tests = tcase_create("sheet");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_loop_test(tests, sheets_follow_the_section, 0, sizeof sections / sizeof sections[0]);
	tcase_add_test(tests, flaps_and_freeboard_are_on_both_sides);
	tcase_add_test(tests, a_turned_pond_needs_the_same_sheet);
	suite_add_tcase(suite, tests);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
