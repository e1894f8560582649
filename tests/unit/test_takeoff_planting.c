#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "priced.h"

/* Plants by depth of water, those of the old pond first. Figures are worked out in the comments. */
#define NEAR(is, should) ck_assert_double_eq_tol(is, should, 2e-6)

#define BOX "'pond':{'outline':{'kind':'rectangle','length_m':4,'width_m':3},'depth_m':1"

/* A shelf 0.4 m wide at 0.3 m around 4 x 3 with upright sides: 3.2 x 2.2 floor at 1 m; all of the shelf is emergent. */
START_TEST(planting_follows_the_depth_of_the_bed)
{
	static const char with[] = "{'region':'demo-north'," BOX ",'profile':{'kind':'battered','side_slope':0,'shelf_width_m':0.4,"
			   "'shelf_depth_m':0.3}},'planting':{'style':'%s','cover_share':1}%s}";
	const struct quote *quote = priced_with(with, "wildlife", "");
	const double *practice = shipped()->catalogue.practice;
	double shelf_m2 = 12 - 3.2 * 2.2;

	NEAR(quote->q[Q_zone_margin_m2], 0);
	NEAR(quote->q[Q_zone_emergent_m2], shelf_m2);
	NEAR(quote->q[Q_plants_emergent], ceil(shelf_m2 * practice[P_emergent_per_m2]));
	NEAR(quote->q[Q_substrate_m3], shelf_m2 * practice[P_substrate_m]);
	ck_assert(quote->q[Q_plants_submerged] > 0);
	quote = priced_with(with, "none", "");
	NEAR(quote->q[Q_plants_emergent], 0);
	/* half of 12 m2 kept: its plants go in first */
	quote = priced_with(with, "wildlife", ",'old_pond':{'plants_kept_share':0.5}");
	NEAR(quote->q[Q_plants_kept_m2], 6);
	NEAR(quote->q[Q_plants_salvaged], floor(6 * practice[P_plants_lifted_per_m2]));
	NEAR(quote->q[Q_plants_emergent], 0); /* 30 salvaged plants fill the 20 places of the shelf first */
	/* a relined pond gets back what was lifted and nothing new */
	quote = priced_with(with, "wildlife", ",'work':'reline','old_pond':{'plants_kept_share':0.5}");
	NEAR(quote->q[Q_plants_emergent], 0);
	NEAR(quote->q[Q_plants_salvaged], floor(6 * practice[P_plants_lifted_per_m2]));
}
END_TEST

/* From the margin inward: 12 m2 of an old pond that keep a tenth give 6 plants, at 5 to a m2. Sides at 45 degrees have a margin
 * to 0.15 m, of 12 - 3.7 x 2.7 = 2.01 m2. */
START_TEST(salvaged_plants_go_into_the_margin_first)
{
	static const char with[] = "{'region':'demo-north'," BOX ",'profile':{'kind':'battered','side_slope':1,'shelf_width_m':0,"
			   "'shelf_depth_m':0}},'planting':{'style':'wildlife','cover_share':1},'old_pond':{'plants_kept_share':%s}}";
	double margin = priced_with(with, "0")->q[Q_plants_margin], emergent = priced_with(with, "0")->q[Q_plants_emergent];
	const struct quote *quote = priced_with(with, "0.1");

	NEAR(shipped()->catalogue.practice[P_plants_lifted_per_m2], 5);
	NEAR(quote->q[Q_zone_margin_m2], 12 - 3.7 * 2.7);
	NEAR(quote->q[Q_zone_submerged_m2], 3.4 * 2.4); /* the plane at 0.3 m */
	ck_assert_double_gt(margin, 6);
	NEAR(quote->q[Q_plants_margin], margin - 6);
	NEAR(quote->q[Q_plants_emergent], emergent);
	NEAR(quote->q[Q_plants_salvaged], 6);
}
END_TEST

/* Submerged plants stand in more than 0.3 m. */
START_TEST(nothing_is_submerged_in_a_shallow_scrape)
{
	static const char with[] = "{'region':'demo-north','pond':{'outline':{'kind':'rectangle','length_m':4,'width_m':3},"
			   "'depth_m':%s,'profile':{'kind':'vertical'}},'planting':{'style':'wildlife'}}";

	NEAR(priced_with(with, "0.3")->q[Q_zone_submerged_m2], 0);
	NEAR(priced_with(with, "0.31")->q[Q_zone_submerged_m2], 12);
}
END_TEST

/* A pond that is planted for fish has some; another has none, nor has a stream without a pond. */
START_TEST(fish_are_where_a_pond_is_for_fish)
{
	static const char with[] = "{'region':'demo-north'," BOX "},'planting':{'style':'%s'}}";

	NEAR(priced_with(with, "fish")->q[Q_fish_pond], 1);
	NEAR(priced_with(with, "wildlife")->q[Q_fish_pond], 0);
	NEAR(priced("{'region':'demo-north','work':'stream','stream':{'length_m':4,'fall_m':0.5},"
		    "'planting':{'style':'fish'}}")->q[Q_fish_pond], 0);
}
END_TEST

/* Half a plant is a whole one. */
START_TEST(plants_are_whole)
{
	const struct quote *quote = priced("{'region':'demo-north','pond':{'outline':{'kind':'ellipse','length_m':4.3,'width_m':2.9},"
	                                   "'depth_m':0.9,'profile':{'kind':'dish'}},'planting':{'style':'wildlife','cover_share':1}}");
	const double *practice = shipped()->catalogue.practice;
	double floating = quote->q[Q_zone_floating_m2] / practice[P_floating_m2_each];
	double bog = quote->q[Q_zone_bog_m2] * practice[P_margin_per_m2];

	ck_assert_double_gt(fabs(floating - round(floating)), 1e-3);
	ck_assert_double_gt(fabs(bog - round(bog)), 1e-3);
	NEAR(quote->q[Q_plants_floating], ceil(floating));
	NEAR(quote->q[Q_plants_bog], ceil(bog));
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("planting");
	TCase *figures = tcase_create("figures");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_test(figures, planting_follows_the_depth_of_the_bed);
	tcase_add_test(figures, salvaged_plants_go_into_the_margin_first);
	tcase_add_test(figures, nothing_is_submerged_in_a_shallow_scrape);
	tcase_add_test(figures, fish_are_where_a_pond_is_for_fish);
	tcase_add_test(figures, plants_are_whole);
	suite_add_tcase(suite, figures);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
