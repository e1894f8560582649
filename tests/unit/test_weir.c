#include <check.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include "units.h"
#include "weir.h"

/* The list is worked out by hand from the two formulas of weir.h. L/min per metre to one decimal, L/h per cm whole,
 * depths in mm to one decimal; half of each last digit is allowed. Critical
 * depth is that of the flat lip, (2/3) 0.848^(2/3) = 0.59728 of the head; 0.715 of it at the brink is Rouse 1936, from
 * memory. */
static const struct {
	double head_mm, sharp_l_per_min, flat_l_per_min, sharp_l_per_h_cm, flat_l_per_h_cm, critical_mm, brink_mm;
} sheet[] = {
	{ 5.0, 39.0, 30.7, 23.0, 18.0, 3.0, 2.1 },
	{ 10.0, 110.4, 86.7, 66.0, 52.0, 6.0, 4.3 },
	{ 15.0, 202.8, 159.3, 122.0, 96.0, 9.0, 6.4 },
	{ 20.0, 312.3, 245.3, 187.0, 147.0, 11.9, 8.5 },
	{ 25.0, 436.4, 342.8, 262.0, 206.0, 14.9, 10.7 },
	{ 30.0, 573.7, 450.7, 344.0, 270.0, 17.9, 12.8 },
	{ 40.0, 883.2, 693.8, 530.0, 416.0, 23.9, 17.1 },
};
enum { SHEET_ROWS = sizeof sheet / sizeof sheet[0] };

START_TEST(flow_by_head)
{
	double head_m = mm_to_m(sheet[_i].head_mm);
	double sharp = lip_flow_l_per_h(CREST_SHARP, 1.0, head_m);
	double flat = lip_flow_l_per_h(CREST_FLAT, 1.0, head_m);
	double critical_mm = m_to_mm(critical_depth_m(1.0, flat));

	ck_assert_double_eq_tol(sharp / 60.0, sheet[_i].sharp_l_per_min, 0.051);
	ck_assert_double_eq_tol(flat / 60.0, sheet[_i].flat_l_per_min, 0.051);
	ck_assert_double_eq_tol(sharp / 100.0, sheet[_i].sharp_l_per_h_cm, 0.51);
	ck_assert_double_eq_tol(flat / 100.0, sheet[_i].flat_l_per_h_cm, 0.51);
	ck_assert_double_eq_tol(critical_mm, sheet[_i].critical_mm, 0.051);
	ck_assert_double_eq_tol(0.715 * critical_mm, sheet[_i].brink_mm, 0.051);
}
END_TEST

/* Francis without end contractions, whole L/h, by hand. */
static const struct { double width_m, flow_l_per_h[5]; } widths[] = {
	{ 0.3, { 703.0, 1987.0, 3651.0, 5621.0, 7855.0 } },
	{ 0.6, { 1405.0, 3974.0, 7301.0, 11241.0, 15710.0 } },
	{ 1.0, { 2342.0, 6624.0, 12169.0, 18736.0, 26184.0 } },
};
enum { WIDTH_ROWS = sizeof widths / sizeof widths[0] };

START_TEST(flow_by_width)
{
	for (int i = 0; i < 5; i++)
		ck_assert_double_eq_tol(lip_flow_l_per_h(CREST_SHARP, widths[_i].width_m, mm_to_m(5.0 + 5.0 * i)),
					widths[_i].flow_l_per_h[i], 0.51);
}
END_TEST

/* 0.6 m wide at 50 mm, eight decimals of m3/s, by hand: Francis 1.84, and ISO 3846's form with 0.848. */
START_TEST(flow_at_50_mm)
{
	ck_assert_double_eq_tol(l_per_h_to_m3_per_s(lip_flow_l_per_h(CREST_SHARP, 0.6, 0.05)), 0.01234310, 0.51e-8);
	ck_assert_double_eq_tol(l_per_h_to_m3_per_s(lip_flow_l_per_h(CREST_FLAT, 0.6, 0.05)), 0.00969674, 0.51e-8);
}
END_TEST

/* Rules of the trade read back as head: 1.5 L/min per cm, 100 and 200 US gal/h per inch. */
START_TEST(head_behind_rules_of_thumb)
{
	double us_gph_per_inch = L_PER_US_GAL / M_PER_IN;

	ck_assert_double_eq_tol(m_to_mm(lip_head_m(CREST_SHARP, 0.01, 90.0)), 12.3, 0.051);
	ck_assert_double_eq_tol(m_to_mm(lip_head_m(CREST_SHARP, 1.0, 100.0 * us_gph_per_inch)), 17.2, 0.051);
	ck_assert_double_eq_tol(m_to_mm(lip_head_m(CREST_SHARP, 1.0, 200.0 * us_gph_per_inch)), 27.3, 0.051);
}
END_TEST

/* A trade magazine's table gives 50 and 200 US gal/h per inch at 1/4 and 1 in, linear in depth. By Francis it is
 * about right at 1 in (180) and over twice too high at 1/4 in (22). */
START_TEST(flow_is_not_linear_in_head)
{
	double per_inch = M_PER_IN / L_PER_US_GAL;

	ck_assert_double_eq_tol(lip_flow_l_per_h(CREST_SHARP, 1.0, M_PER_IN) * per_inch, 180.0, 0.51);
	ck_assert_double_eq_tol(lip_flow_l_per_h(CREST_SHARP, 1.0, 0.25 * M_PER_IN) * per_inch, 22.0, 0.51);
}
END_TEST

START_TEST(head_undoes_flow)
{
	uint64_t seed = 11;

	for (int i = 0; i < 5000; i++) {
		double head_m, width_m;
		enum crest crest = i % 2 == 0 ? CREST_SHARP : CREST_FLAT;

		seed = seed * 6364136223846793005u + 1442695040888963407u; /* Knuth's MMIX generator */
		head_m = 0.001 + 0.2 * (double)(seed >> 32) / 4294967296.0;
		width_m = 0.05 + 5.0 * (double)(seed >> 11 & 0x1fffff) / 2097152.0;
		ck_assert_double_eq_tol(lip_head_m(crest, width_m, lip_flow_l_per_h(crest, width_m, head_m)), head_m,
					1e-14); /* a few roundings of a head below 0.2 m */
	}
}
END_TEST

START_TEST(dry_lip_carries_nothing)
{
	ck_assert_double_eq(lip_flow_l_per_h(CREST_FLAT, 0.4, 0.0), 0.0);
	ck_assert_double_eq(lip_flow_l_per_h(CREST_SHARP, 0.0, 0.02), 0.0);
	ck_assert_double_eq(lip_head_m(CREST_SHARP, 0.4, 0.0), 0.0);
	ck_assert_double_eq(critical_depth_m(0.4, 0.0), 0.0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("weir");
	TCase *tests = tcase_create("weir");
	SRunner *runner;
	int failed;

	tcase_add_loop_test(tests, flow_by_head, 0, SHEET_ROWS);
	tcase_add_loop_test(tests, flow_by_width, 0, WIDTH_ROWS);
	tcase_add_test(tests, flow_at_50_mm);
	tcase_add_test(tests, head_behind_rules_of_thumb);
	tcase_add_test(tests, flow_is_not_linear_in_head);
	tcase_add_test(tests, head_undoes_flow);
	tcase_add_test(tests, dry_lip_carries_nothing);
	suite_add_tcase(suite, tests);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
