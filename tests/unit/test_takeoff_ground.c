#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "priced.h"

/* Where soil goes and what holds it. Figures are worked out in the comments; 1e-6 of their unit, the grain of quantities. */
#define NEAR(is, should) ck_assert_double_eq_tol(is, should, 2e-6)

#define BOX "'pond':{'outline':{'kind':'rectangle','length_m':4,'width_m':3},'depth_m':1"

/* The same hole elsewhere: nothing of it is of use, all of it is filled from what the new one yields. */
START_TEST(old_pond_elsewhere_is_filled_and_a_new_one_dug)
{
	const struct quote *quote =
		priced("{'region':'demo-north','shell':'epdm-liner'," BOX ",'profile':{'kind':'battered','side_slope':1}},"
		       "'old_pond':{'elsewhere':true,'collar':'keep'},'site':{'soil':'loam'}}");

	NEAR(quote->q[Q_dig_m3], quote->q[Q_dig_gross_m3]);
	NEAR(quote->q[Q_backfill_m3], quote->q[Q_old_void_m3]);
	NEAR(quote->q[Q_infill_import_m3], 0);
	NEAR(quote->q[Q_spoil_away_loose_m3], (quote->q[Q_dig_m3] - quote->q[Q_backfill_m3] / 0.9) * 1.25);
	NEAR(quote->q[Q_collar_reused_m], 0); /* its rim lies elsewhere as well */
}
END_TEST

/* Raised 0.4 m with a freeboard of 0.1 and no wall: a bank 0.5 m high around 14 m, crest 0.6, outer side 1.5 to 1:
 * (14 + pi x 0.6) x 0.5 x (0.6 + 1.5 x 0.25) m3, out of the hole's own soil. */
START_TEST(raised_water_without_a_wall_has_a_bank)
{
	static const char with[] = "{'region':'demo-north','work':'%s','shell':'epdm-liner'," BOX
			   ",'profile':{'kind':'battered','side_slope':1},'water_above_ground_m':0.4},'site':{'soil':'loam'}}";
	const struct quote *quote = priced_with(with, "new");
	double bank_m3 = (14 + 3.14159265358979 * 0.6) * 0.5 * (0.6 + 1.5 * 0.25);

	NEAR(quote->q[Q_bank_m3], bank_m3);
	NEAR(quote->q[Q_ground_raise_m], 0.5);
	NEAR(quote->q[Q_wall_m2], 0);
	NEAR(quote->q[Q_infill_import_m3] - quote->q[Q_spoil_away_loose_m3], (bank_m3 / 0.9 - quote->q[Q_dig_m3]) * 1.25);
	NEAR(priced_with(with, "reline")->q[Q_bank_m3], 0); /* it stands already */
}
END_TEST

/* 14 m of kept rim, 5 m of it under new slabs; and 0.1 m that measuring leaves over is no edge. */
START_TEST(kept_rim_finishes_the_edge)
{
	static const char with[] = "{'region':'demo-north','shell':'epdm-liner'," BOX ",'profile':{'kind':'battered','side_slope':1}},"
			   "'old_pond':{'collar':'%s'},'edge':{'coping_m':%s}}";
	const struct quote *quote = priced_with(with, "keep", "5");

	NEAR(quote->q[Q_collar_reused_m], 9);
	NEAR(quote->q[Q_usual_edge_m], 0);
	NEAR(priced_with(with, "none", "5")->q[Q_usual_edge_m], 9);
	NEAR(priced_with(with, "none", "13.9")->q[Q_usual_edge_m], 0);
}
END_TEST

/* A stream that falls 9 m over 5 m: no ramp is built higher than 2 m. Its water, 0.6 x 0.1 m
 * along the slope, over 12 m2, against a freeboard of 0.02 m. */
START_TEST(ramp_has_a_limit_and_transit_needs_freeboard)
{
	const struct quote *quote = priced("{'region':'demo-north'," BOX ",'freeboard_m':0.02},'stream':{'length_m':5,'fall_m':9,"
	                                   "'width_m':0.6,'depth_m':0.1},'site':{'ground_fall_m':0}}");
	double rise_m = 0.6 * 0.1 * hypot(5, 9) / 12;

	NEAR(quote->q[Q_feature_height_m], 2);
	NEAR(quote->q[Q_mound_m3], 5 * ((0.6 + 2 * 0.3) * 2 / 2 + 1.5 * 2 * 2 / 3));
	NEAR(quote->q[Q_transit_rise_m], rise_m);
	NEAR(quote->q[Q_freeboard_short_m], rise_m - 0.02);
}
END_TEST

/* Clay ground yields the clay of the shell and its cover; other ground only the cover. */
START_TEST(clay_comes_out_of_a_hole_in_clay)
{
	static const char with[] = "{'region':'demo-north','shell':'puddled-clay','pond':{'outline':{'kind':'circle','diameter_m':12},"
			   "'depth_m':1,'profile':{'kind':'battered','side_slope':3}},'site':{'soil':'%s'}}";
	const struct quote *quote = priced_with(with, "clay");
	double over_m3 = quote->q[Q_dig_m3] - (quote->q[Q_clay_m3] + quote->q[Q_cover_m3]) / 0.9;

	ck_assert(quote->q[Q_clay_m3] > 0);
	NEAR(quote->q[Q_clay_bought_m3], 0);
	ck_assert_double_eq_tol(quote->q[Q_spoil_away_loose_m3], over_m3 * 1.4, 1e-5);
	quote = priced_with(with, "loam");
	NEAR(quote->q[Q_clay_bought_m3], quote->q[Q_clay_m3]);
}
END_TEST

/* 1.4 m upright: deeper than 1.2 m and steeper than 45 degrees, so held up all round; at 1.1 m it is not. */
START_TEST(deep_standing_sides_are_held_up)
{
	static const char with[] = "{'region':'demo-north','shell':'epdm-liner','pond':{'outline':{'kind':'rectangle','length_m':4,"
			   "'width_m':3},'depth_m':%s,'profile':{'kind':'%s'%s}},'site':{'soil':'loam'}}";
	const struct quote *quote = priced_with(with, "1.4", "vertical", "");

	NEAR(quote->q[Q_side_over_safe_deg], 45);
	NEAR(quote->q[Q_support_m], 14);
	NEAR(quote->q[Q_excavation_support], SUPPORT_SUPPORTED);
	quote = priced_with(with, "1.1", "vertical", "");
	NEAR(quote->q[Q_support_m], 0);
	NEAR(quote->q[Q_excavation_support], SUPPORT_NONE);
	quote = priced_with(with, "1.4", "battered", ",'side_slope':1");
	NEAR(quote->q[Q_support_m], 0);
	NEAR(quote->q[Q_excavation_support], SUPPORT_BATTERED);
}
END_TEST

/* Nothing leaves where soil is kept; else what leaves is the soil alone, where there was no pond with silt in it. */
START_TEST(only_what_is_taken_away_leaves_the_site)
{
	static const char with[] = "{'region':'demo-north','shell':'epdm-liner'," BOX ",'profile':{'kind':'vertical'}},"
				   "'roots':{'extent':'none'},'site':{'soil':'loam','spoil':'%s'}}";
	const struct quote *quote = priced_with(with, "keep");

	ck_assert_double_gt(quote->q[Q_spoil_kept_m3], 12);
	NEAR(quote->q[Q_spoil_off_site_m3], 0);
	quote = priced_with(with, "take-away");
	ck_assert_double_gt(quote->q[Q_spoil_off_site_m3], 12);
	NEAR(quote->q[Q_spoil_off_site_m3], quote->q[Q_spoil_away_loose_m3]);
}
END_TEST

/* Silt is taken out from the bank: people are in an excavation only where ground is opened. */
START_TEST(nobody_is_in_a_pond_that_is_only_cleared_of_silt)
{
	static const char with[] = "{'region':'demo-north','work':'%s'," BOX ",'profile':{'kind':'vertical'}},"
				   "'old_pond':{'silt_depth_m':0.2}}";

	NEAR(priced_with(with, "reline")->q[Q_people_in_excavation], 1);
	NEAR(priced_with(with, "desilt")->q[Q_people_in_excavation], 0);
}
END_TEST

/* A shelf whose depth is only assumed gives way where the floor is no deeper than that; elsewhere it has its width. */
START_TEST(an_assumed_shelf_has_no_place_in_shallow_water)
{
	static const char with[] = "{'region':'demo-north','pond':{'outline':{'kind':'circle','diameter_m':5},'depth_m':%s,"
				   "'profile':{'kind':'battered','side_slope':1,'shelf_width_m':0.5}}}";
	const struct quote *quote = priced_with(with, "0.15");

	ck_assert_double_eq(quote->resolved.v[F_pond_shelf_width_m].number, 0);
	ck_assert_double_eq(quote->resolved.v[F_pond_shelf_depth_m].number, 0);
	ck_assert_double_eq(priced_with(with, "1")->resolved.v[F_pond_shelf_width_m].number, 0.5);
}
END_TEST

START_TEST(rocks_are_set_in_so_much_mortar_a_tonne)
{
	const struct quote *quote = priced("{'region':'demo-north','work':'stream','stream':{'length_m':5,'fall_m':1,'rockwork_t':3}}");

	ck_assert_double_lt(shipped()->catalogue.practice[P_rock_mortar_m3_t], 1);
	NEAR(quote->q[Q_rock_mortar_m3], 3 * shipped()->catalogue.practice[P_rock_mortar_m3_t]);
}
END_TEST

/* A plant that one visit of treatment is enough for has all its ground treated, as after two; without a visit none. */
START_TEST(one_visit_treats_all_the_roots)
{
	static const char json[] = "{'region':'demo-north','shell':'plain-concrete'," BOX ",'profile':{'kind':'vertical'}},"
				   "'roots':{'extent':'throughout'}}";
	struct catalogue changed = shipped()->catalogue;
	struct root_plant plant = changed.root_plants[0]; /* the usual one */

	changed.root_plants = &plant;
	for (uint32_t visits = 0; visits < 3; visits++) {
		plant.visits = visits;
		NEAR(priced_by(&changed, json)->q[Q_herbicide_m2], visits > 0 ? 12 : 0);
	}
}
END_TEST

/* An old pond that is pumped out, or ground water that comes in, is dewatering: either will do. */
START_TEST(pumping_out_and_ground_water_are_dewatering)
{
	static const char with[] = "{'region':'demo-north','shell':'epdm-liner'," BOX ",'profile':{'kind':'vertical'}},"
				   "'site':{'water_table_depth_m':%s}%s}";

	NEAR(priced_with(with, "9", "")->q[Q_dewatering], 0);
	NEAR(priced_with(with, "9", ",'old_pond':{}")->q[Q_dewatering], 1);
	NEAR(priced_with(with, "0.3", "")->q[Q_dewatering], 1);
	NEAR(priced_with(with, "0.3", "")->q[Q_drain_m3], 0);
}
END_TEST

/* Upright concrete has a form, however little of it there is. */
START_TEST(a_little_concrete_has_a_form_too)
{
	const struct quote *quote = priced("{'region':'demo-north','shell':'rendered-concrete','pond':{'outline':{'kind':"
					   "'rectangle','length_m':1.2,'width_m':0.8},'depth_m':0.5,'profile':{'kind':'vertical'}}}");

	ck_assert_double_gt(quote->q[Q_concrete_m3], 0);
	ck_assert_double_lt(quote->q[Q_concrete_m3], 1);
	ck_assert_double_gt(quote->q[Q_formwork_m2], 0);
}
END_TEST

/* Roots matter to a shell and to filling in; nobody is asked about them where silt alone is taken out. */
START_TEST(roots_are_not_asked_about_where_silt_alone_is_taken_out)
{
	static const char with[] = "{'region':'demo-north','work':'%s'," BOX ",'profile':{'kind':'vertical'}},'old_pond':{}}";

	ck_assert_int_eq(priced_with(with, "rebuild")->resolved.v[F_roots_extent].origin, BY_ASSUMPTION);
	ck_assert_int_eq(priced_with(with, "infill")->resolved.v[F_roots_extent].origin, BY_ASSUMPTION);
	ck_assert_int_ne(priced_with(with, "desilt")->resolved.v[F_roots_extent].origin, BY_ASSUMPTION);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("takeoff_ground");
	TCase *figures = tcase_create("figures");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_test(figures, old_pond_elsewhere_is_filled_and_a_new_one_dug);
	tcase_add_test(figures, raised_water_without_a_wall_has_a_bank);
	tcase_add_test(figures, kept_rim_finishes_the_edge);
	tcase_add_test(figures, ramp_has_a_limit_and_transit_needs_freeboard);
	tcase_add_test(figures, clay_comes_out_of_a_hole_in_clay);
	tcase_add_test(figures, deep_standing_sides_are_held_up);
	tcase_add_test(figures, only_what_is_taken_away_leaves_the_site);
	tcase_add_test(figures, nobody_is_in_a_pond_that_is_only_cleared_of_silt);
	tcase_add_test(figures, an_assumed_shelf_has_no_place_in_shallow_water);
	tcase_add_test(figures, rocks_are_set_in_so_much_mortar_a_tonne);
	tcase_add_test(figures, one_visit_treats_all_the_roots);
	tcase_add_test(figures, pumping_out_and_ground_water_are_dewatering);
	tcase_add_test(figures, a_little_concrete_has_a_form_too);
	tcase_add_test(figures, roots_are_not_asked_about_where_silt_alone_is_taken_out);
	suite_add_tcase(suite, figures);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
