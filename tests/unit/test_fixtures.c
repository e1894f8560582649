#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "outcomes.h"

/* The figures that tests/README.md works out by hand for each fixture, against the program's. Half of the last digit of the
 * hand's figure is allowed. */

struct figure {
	const char *fixture;
	enum quantity_id quantity;
	double by_hand, half_digit;
};
static const struct figure figures[] = {
	{"1-phone-call", Q_water_volume_m3, 6.72, 0.005},
	{"1-phone-call", Q_dig_m3, 7.665, 0.001},
	{"1-phone-call", Q_spoil_loose_m3, 9.58, 0.005},
	{"2-new-garden-pond", Q_water_surface_m2, 11.211, 0.0005},
	{"2-new-garden-pond", Q_water_volume_m3, 4.899, 0.0005},
	{"2-new-garden-pond", Q_spoil_loose_m3, 7.990, 0.0005},
	{"3a-rebuild-agreed", Q_dig_m3, 2.84, 0.005},
	{"3b-rebuild-found", Q_shell_thickness_m, 0.218, 1e-9},
	{"3b-rebuild-found", Q_render_m2, 59.075, 0.0005},
	{"3b-rebuild-found", Q_silt_m3, 11.254, 0.0005},
	{"3b-rebuild-found", Q_demand_l_per_h, 4500, 0.5},
	{"4-raised-fish-pool", Q_water_volume_m3, 14, 1e-6},
	{"4-raised-fish-pool", Q_dig_m3, 17.635, 0.0005},
	{"4-raised-fish-pool", Q_spoil_away_loose_m3, 20.753, 0.0005},
	{"4-raised-fish-pool", Q_wall_m2, 10.046, 0.0005},
	{"4-raised-fish-pool", Q_render_m2, 29.5, 1e-6},
	{"4-raised-fish-pool", Q_concrete_m3, 4.963, 0.0005},
	{"4-raised-fish-pool", Q_demand_l_per_h, 9333, 0.5},
	{"5-concave-outline", Q_water_surface_m2, 99.0, 0.05},
	{"5-concave-outline", Q_perimeter_m, 42.089, 0.0005},
	{"5-concave-outline", Q_water_volume_m3, 50.16, 0.005},
	{"5-concave-outline", Q_floor_area_m2, 16.97, 0.005},
	{"5-concave-outline", Q_beach_t, 2.304, 1e-6},
	{"6-near-a-watercourse", Q_water_surface_m2, 600.83, 0.005},
	{"6-near-a-watercourse", Q_water_volume_m3, 541.99, 0.005},
	{"6-near-a-watercourse", Q_groundwater_head_m, 1.05, 1e-6},
	{"6-near-a-watercourse", Q_dewater_m3_day, 6.31, 0.005},
	{"7-impossible", Q_mound_m3, 120, 1e-6},
	{"7-impossible", Q_static_m, 24, 1e-6},
	{"8-tiny-reline", Q_water_surface_m2, 3.016, 0.0005},
	{"8-tiny-reline", Q_water_volume_m3, 0.7466, 0.0005},
	{"8-tiny-reline", Q_silt_away_t, 0.0651, 0.00005},
	{"9-wet-winter-site", Q_water_volume_m3, 16.982, 0.0005},
	{"9-wet-winter-site", Q_dig_m3, 24.570, 0.0005},
	{"9-wet-winter-site", Q_uplift_kg_m2, 918, 1e-6},
	{"9-wet-winter-site", Q_shell_kg_m2, 396, 1e-6},
	{"9-wet-winter-site", Q_underdrain_m, 7.627, 0.0005},
	{"9-wet-winter-site", Q_demand_l_per_h, 5661, 0.5},
	{"10-stream-only", Q_stream_m, 8.016, 0.0005},
	{"10-stream-only", Q_stream_liner_m2, 14.748, 0.0005},
	{"10-stream-only", Q_mound_m3, 7.02, 1e-6},
	{"10-stream-only", Q_rockwork_t, 2.994, 0.0005},
	{"10-stream-only", Q_infill_import_m3, 7.761, 0.0005},
	{"10-stream-only", Q_demand_l_per_h, 4050, 0.5},
	{"11-old-hole-bigger", Q_old_void_m3, 59.3865, 1e-6},
	{"11-old-hole-bigger", Q_dig_gross_m3, 9.694, 0.0005},
	{"11-old-hole-bigger", Q_dig_m3, 0, 1e-9},
	{"11-old-hole-bigger", Q_backfill_m3, 49.693, 0.0005},
	{"11-old-hole-bigger", Q_infill_import_m3, 69.018, 0.0005},
	{"11-old-hole-bigger", Q_rubble_t, 30.448, 0.0005},
	{"12-desilt-only", Q_water_volume_m3, 92.518, 0.0005},
	{"12-desilt-only", Q_silt_m3, 45.239, 0.0005},
	{"12-desilt-only", Q_silt_kept_m3, 27.143, 0.0005},
	{"12-desilt-only", Q_holding_tanks, 8, 1e-9},
};
enum { FIGURES = sizeof figures / sizeof figures[0] };

static uint32_t looked_at;

static void compare(const char *name, json_t *enquiry, void *context)
{
	static struct quote quote;

	(void)context;
	ck_assert_msg(outcome_of(enquiry, NEED_QUOTE, NO_INDEX, &quote), "%s is refused", name);
	for (uint32_t i = 0; i < FIGURES; i++) {
		double is = quote.q[figures[i].quantity];

		if (strcmp(figures[i].fixture, name) != 0)
			continue;
		looked_at++;
		ck_assert_msg(is - figures[i].by_hand <= figures[i].half_digit && figures[i].by_hand - is <= figures[i].half_digit,
		              "%s, %s: by hand %g, program %.9g", name, quantity_table[figures[i].quantity].name, figures[i].by_hand, is);
	}
}

START_TEST(hand_and_program_agree)
{
	outcome_fixtures(compare, NULL);
	ck_assert_uint_eq(looked_at, FIGURES);
}
END_TEST

static json_t *fixture(const char *name)
{
	char path[1024];
	json_t *enquiry;

	snprintf(path, sizeof path, "%s/%s/enquiry.json", getenv("PONDWRIGHT_FIXTURES"), name);
	enquiry = json_load_file(path, 0, NULL);
	ck_assert_ptr_nonnull(enquiry);
	return enquiry;
}

static const struct quote *quoted(const char *name)
{
	static struct quote quote;
	json_t *enquiry = fixture(name);

	ck_assert(outcome_of(enquiry, NEED_QUOTE, NO_INDEX, &quote));
	json_decref(enquiry);
	return &quote;
}

static bool has_special(const struct quote *quote, enum special_line special)
{
	for (uint32_t i = 0; i < quote->n_lines; i++)
		if (quote->lines[i].special == special)
			return true;
	return false;
}

START_TEST(impossible_job_says_why)
{
	const struct quote *quote = quoted("7-impossible");
	bool water = false, dig = false;

	for (uint32_t i = 0; i < quote->n_cannots; i++) {
		const struct cannot *cannot = &quote->cannots[i];

		water |= cannot->kind == CANNOT_WATER;
		dig |= cannot->kind == CANNOT_GROUP &&
		       strcmp(config_text(shipped(), shipped()->catalogue.groups[cannot->group].text)->id, "dig") == 0;
	}
	ck_assert(water && dig);
	ck_assert_int_eq(quote->water.choice, PUMP_NONE_DELIVERS);
}
END_TEST

START_TEST(tiny_reline_is_made_up_to_the_minimum)
{
	const struct quote *quote = quoted("8-tiny-reline");
	const struct edition *edition = &shipped()->catalogue.editions[(uint32_t)quote->resolved.v[F_edition].number];

	ck_assert(has_special(quote, LINE_MINIMUM));
	ck_assert_int_eq(quote->net_minor, edition->minimum_charge_minor);
}
END_TEST

START_TEST(farm_pond_is_stopped_by_its_watercourse)
{
	const struct quote *quote = quoted("6-near-a-watercourse");

	ck_assert(flagged(quote, "ew-abstract", LEVEL_STOP, RAISED_BY_FACT));
	ck_assert(flagged(quote, "ew-watercourse-structure", LEVEL_STOP, RAISED_BY_FACT));
	ck_assert(flagged(quote, "en-outside-garden", LEVEL_CHECK, RAISED_BY_FACT));
	ck_assert_double_eq_tol(quote->q[Q_clay_bought_m3], 0, 1e-9); /* clay ground */
}
END_TEST

/* Every layer of cement waits for the end of its frost months. */
START_TEST(winter_holds_concrete_up)
{
	const struct quote *quote = quoted("9-wet-winter-site");

	ck_assert_int_ge(task_of(quote, "shell-base")->from_day, task_of(quote, "dig")->to_day + 30);
	ck_assert_double_gt(quote->q[Q_shell_floats], 0.5);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("fixtures");
	TCase *worked = tcase_create("worked");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_set_timeout(worked, 60);
	tcase_add_test(worked, hand_and_program_agree);
	tcase_add_test(worked, impossible_job_says_why);
	tcase_add_test(worked, tiny_reline_is_made_up_to_the_minimum);
	tcase_add_test(worked, farm_pond_is_stopped_by_its_watercourse);
	tcase_add_test(worked, winter_holds_concrete_up);
	suite_add_tcase(suite, worked);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
