#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "compared.h"

/* What shells cost now and over the years, their renewals and their carbon. */

static bool disturbs(const struct renewed *renewed, const char *build_up)
{
	return bit_of(renewed->disturbs, build_up_of(build_up));
}

/* ---- years ---- */

/* Discount factors at 3.5 % as handbooks print them, to four places: year 10, 20, 25, 30 (HM Treasury, The Green Book,
 * table of discount factors: from memory). */
START_TEST(discounting_is_that_of_the_handbook)
{
	struct edition plain = {.discount_rate = 0.035};
	struct edition grown = {.discount_rate = 0.035, .price_growth = 0.035};

	ck_assert_double_eq_tol(present_factor(&plain, 10), 0.7089, 0.00005);
	ck_assert_double_eq_tol(present_factor(&plain, 20), 0.5026, 0.00005);
	ck_assert_double_eq_tol(present_factor(&plain, 25), 0.4231, 0.00005);
	ck_assert_double_eq_tol(present_factor(&plain, 30), 0.3563, 0.00005);
	ck_assert_double_eq_tol(present_factor(&plain, 0), 1, 1e-15);
	ck_assert_double_eq_tol(present_factor(&grown, 17), 1, 1e-15);
}
END_TEST

/* ceil(H / L) - 1 times: what falls due with the end of the years is no longer counted. */
START_TEST(a_renewal_falls_due_before_the_end_of_the_years)
{
	static const struct { double every; uint32_t years, times, most; } cases[] = {
		{25, 25, 0, 0}, {25, 26, 1, 0}, {12, 24, 1, 0}, {12, 25, 2, 0}, {12, 12, 0, 0}, {12, 1, 0, 0}, {0.25, 1, 3, 0},
		{0.25, 60, 239, 0}, {20, 60, 2, 0}, {20, 60, 1, 1}, {7.5, 30, 3, 0}, {100, 60, 0, 0},
	};

	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
		ck_assert_uint_eq(renewal_times(&(struct renewal){.every_years = cases[i].every, .times_most = cases[i].most},
			cases[i].years), cases[i].times);
}
END_TEST

/* 1 000.00 every 12 years over 25 at 3.5 %, prices level: 1000 (1.035^-12 + 1.035^-24) = 661.78 + 437.96 = 1 099.74, on top
 * of 5 000.00; at 2 % growth 839.30 + 704.43. By hand. */
START_TEST(present_cost_by_hand)
{
	static struct option option;
	const struct renewal renewals[] = {{.every_years = 12, .share = 1}, {.every_years = 5, .share = 1}};
	struct catalogue small = {.renewals = renewals};
	struct edition level = {.discount_rate = 0.035}, rising = {.discount_rate = 0.035, .price_growth = 0.02};

	option.quote.gross_minor = 500000;
	option.n_renewals = 2;
	option.renewals[0] = (struct renewed){.renewal = 0, .needed = true, .possible = true, .each_minor = 100000};
	option.renewals[1] = (struct renewed){.renewal = 1, .needed = false, .each_minor = 77777};
	ck_assert_int_eq(option_over_years_minor(&small, &level, &option, 25), 500000 + 109974);
	ck_assert_int_eq(option_over_years_minor(&small, &level, &option, 12), 500000);
	ck_assert_int_eq(option_over_years_minor(&small, &level, &option, 24), 500000 + 66178);
	ck_assert_int_eq(option_over_years_minor(&small, &rising, &option, 25), 500000 + 154373);
}
END_TEST

START_TEST(years_of_an_option_are_its_renewals)
{
	compared("{" SPRING "," BOX ",'service_years':40,'edge':{'coping_m':6}}");
	for (uint32_t i = 0; i < comparison.n_options; i++) {
		double cost = (double)options[i].quote.gross_minor;

		ck_assert(options[i].years_known);
		for (uint32_t r = 0; r < options[i].n_renewals; r++) {
			const struct renewed *renewed = &options[i].renewals[r];
			const struct renewal *renewal = &catalogue()->renewals[renewed->renewal];

			for (uint32_t k = 1; renewed->needed && k * renewal->every_years < 40; k++)
				if (renewal->times_most == 0 || k <= renewal->times_most)
					cost += (double)renewed->each_minor * pow(1 + edition()->price_growth, k * renewal->every_years) /
						pow(1 + edition()->discount_rate, k * renewal->every_years);
		}
		ck_assert_double_eq_tol((double)options[i].over_years_minor, cost, 0.5001);
		ck_assert_double_eq_tol((double)options[i].per_year_minor, cost / 40, 0.52);
	}
}
END_TEST

/* ---- options ---- */

#define REBUILD "{" SPRING ",'shell':'%s'," BOX ",'old_pond':{'shell':'concrete','outline':{'kind':'circle','diameter_m':5}," \
	"'depth_m':0.8},'stream':{'length_m':4,'fall_m':1}}"

static void check_price(const char *shell)
{
	const struct quote *quote = priced_with(REBUILD, shell);
	const struct quote *option = &option_of(shell)->quote;

	ck_assert_int_eq(option->gross_minor, quote->gross_minor);
	ck_assert_int_eq(option->programme.water_in_day, quote->programme.water_in_day);
	ck_assert_uint_eq(option->n_flags, quote->n_flags);
	ck_assert(option->shell_suitable == quote->shell_suitable);
}

/* With the bed given nothing of the take-off hangs on the shell, so a quote of the shell alone is the same. */
START_TEST(an_option_is_the_quote_of_its_shell)
{
	static const char *const shells[] = {"epdm-liner", "plain-concrete", "puddled-clay", "pvc-liner", "reinforced-pe-liner",
		"rendered-concrete"};

	for (int i = 0; i < 6; i++) {
		char text[1024];

		snprintf(text, sizeof text, REBUILD, shells[(i + 2) % 6]); /* whichever it names */
		compared(text);
		ck_assert_uint_eq(comparison.n_options, 6);
		check_price(shells[i]);
	}
}
END_TEST

START_TEST(work_without_a_shell_has_no_options)
{
	compared("{" SPRING ",'work':'desilt'," BOX ",'old_pond':{}}");
	ck_assert_uint_eq(comparison.n_options, 0);
	ck_assert_uint_eq(comparison.now.cheapest, NO_INDEX);
	ck_assert_uint_eq(comparison.over_years.cheapest, NO_INDEX);
	ck_assert_uint_eq(comparison.horizon_cheapest[HORIZONS - 1], NO_INDEX);
	ck_assert_uint_eq(comparison.years, 25);
}
END_TEST

/* ---- renewals ---- */

static struct comparing with(uint32_t years)
{
	return (struct comparing){catalogue(), edition(), compare_room, years, 1, 1};
}

/* Prices one shell and its renewals; the scratch keeps the last renewal's bill. */
static const struct option *renewed(const char *json, const char *shell)
{
	struct comparing comparing;
	struct option *option = &options[0];

	read_enquiry(json);
	comparing = with(25);
	comparing.scratch->job.shapes_ready = false;
	ck_assert_int_eq(compare_price(&comparing, &asked, (uint16_t)shipped_word(LIST_shells, shell), option), ST_OK);
	compare_years(&comparing, &asked, option);
	return option;
}

static double kept_quantity(const char *build_up)
{
	const struct quote *quote = &compare_room->renewal;

	for (uint32_t i = 0; i < quote->n_lines; i++)
		if (quote->lines[i].special == LINE_BUILD_UP && quote->lines[i].build_up == build_up_of(build_up))
			return quote->lines[i].quantity;
	return (double)NAN;
}

/* The last renewal of rendered concrete mends cracks in a tenth of the shell; the whole pond is emptied, searched and
 * filled for it. A new pond has no old one, so nothing of this stands in its own bill. */
START_TEST(a_share_is_of_the_shell_and_emptying_is_whole)
{
	const struct option *option = renewed("{" SPRING "," BOX "}", "rendered-concrete");
	const double *q = option->quote.q;
	const double *later = compare_room->renewal.q;

	ck_assert(isnan(line_quantity(&option->quote, "drain-down")));
	ck_assert_double_eq_tol(kept_quantity("repair-concrete"), q[Q_wetted_area_m2] / 10, 2e-6);
	ck_assert_double_eq_tol(kept_quantity("drain-down"), 1, 1e-12);
	ck_assert_double_eq_tol(later[Q_drain_m3], q[Q_water_volume_m3], 1e-6);
	ck_assert_double_eq_tol(kept_quantity("rescue-animals"), q[Q_water_surface_m2], 1e-6);
	ck_assert_double_eq_tol(kept_quantity("fill"), q[Q_water_volume_m3], 1e-6);
	ck_assert_double_eq_tol(kept_quantity("set-up"), 1, 1e-12);
	ck_assert(isnan(kept_quantity("paint")));
	ck_assert(isnan(kept_quantity("edge-usual")));
}
END_TEST

/* What hangs on a quantity by way of a cost goes with the share too: cement of a render by its volume. */
START_TEST(a_share_takes_materials_with_it)
{
	static const char pond[] = "{" SPRING "," BOX "}";
	struct shell shells[SHELLS_MOST];
	struct renewal renewals[RENEWALS_MOST * SHELLS_MOST];
	struct catalogue copy = *catalogue();
	uint16_t shell = (uint16_t)shipped_word(LIST_shells, "plain-concrete");
	double kg[2];

	memcpy(shells, copy.shells, copy.n_shells * sizeof *shells);
	memcpy(renewals, copy.renewals, (shells[copy.n_shells - 1].renewals.first + shells[copy.n_shells - 1].renewals.count) *
		sizeof *renewals);
	copy.shells = shells;
	copy.renewals = renewals;
	shells[shell].renewals.count = 1; /* "render patched" */
	for (int i = 0; i < 2; i++) {
		struct comparing comparing;

		read_enquiry(pond);
		comparing = with(25);
		comparing.catalogue = &copy;
		comparing.scratch->job.shapes_ready = false;
		renewals[shells[shell].renewals.first].share = i == 0 ? 0.2 : 0.4;
		ck_assert_int_eq(compare_price(&comparing, &asked, shell, &options[0]), ST_OK);
		compare_years(&comparing, &asked, &options[0]);
		ck_assert_double_eq_tol(kept_quantity("render-waterproofed"),
			(i == 0 ? 0.2 : 0.4) * options[0].quote.q[Q_render_coat_m2], 2e-6);
		kg[i] = comparing.scratch->renewal.item_total[catalogue()->costs[catalogue()->build_ups[build_up_of(
			"render-waterproofed")].costs.first + 1].item]; /* sand: of the render alone */
	}
	ck_assert_double_eq_tol(kg[1], 2 * kg[0], 4e-3); /* volumes are kept to 1e-6 m3, and 1.8 t of sand goes into one */
	ck_assert(kg[0] > 0);
}
END_TEST

START_TEST(a_new_sheet_disturbs_what_stands_on_it)
{
	static const char *const all[] = {"drain-down", "rescue-animals", "hold-animals", "lift-plants", "pot-plants", "lift-stone",
		"strip-sheet", "underlay", "sheet-epdm", "coping", "edge-usual", "fill", "test-water", "plant-salvaged"};
	static const char *const none[] = {"dig-by-machine-1500", "dig-by-hand", "coping-sandstone", "bed-sand", "plant-margin", "seam"};
	const struct renewed *sheet;

	compared("{" SPRING "," BOX ",'edge':{'coping_m':5}}");
	sheet = &option_of("epdm-liner")->renewals[0];
	ck_assert(sheet->needed && sheet->possible);
	for (size_t i = 0; i < sizeof all / sizeof all[0]; i++)
		ck_assert_msg(disturbs(sheet, all[i]), "%s", all[i]);
	for (size_t i = 0; i < sizeof none / sizeof none[0]; i++)
		ck_assert_msg(!disturbs(sheet, none[i]), "%s", none[i]);
	/* and so it costs far more than the sheet, but less than the pond */
	ck_assert_int_gt(sheet->each_minor, 2 * line_of(&option_of("epdm-liner")->quote, "sheet-epdm")->amount_minor);
	ck_assert_int_lt(sheet->each_minor, option_of("epdm-liner")->quote.gross_minor);
}
END_TEST

START_TEST(of_methods_one_is_taken)
{
	const struct renewed *clay;

	compared("{" SPRING ",'pond':{'outline':{'kind':'circle','diameter_m':12},'depth_m':1,'profile':{'kind':'battered','side_slope':3}}}");
	clay = &option_of("puddled-clay")->renewals[0];
	ck_assert(clay->needed && clay->possible);
	ck_assert(disturbs(clay, "clay-by-machine") != disturbs(clay, "clay-by-hand"));
}
END_TEST

START_TEST(what_was_not_laid_needs_no_renewal)
{
	compared("{" SPRING "," BOX "}");
	ck_assert_uint_eq(option_of("epdm-liner")->n_renewals, 2);
	ck_assert(!option_of("epdm-liner")->renewals[1].needed); /* no coping was laid */
	compared("{" SPRING "," BOX ",'edge':{'coping_m':5}}");
	ck_assert(option_of("epdm-liner")->renewals[1].needed);
}
END_TEST

/* Coping and beach are lifted for a new sheet. */
START_TEST(stone_is_lifted_by_its_weight)
{
	const struct option *option = renewed("{" SPRING "," BOX ",'edge':{'coping_m':5,'beach_m':2}}", "epdm-liner");
	const double *q = option->quote.q;
	double lifted_t = compare_room->later.v[F_stone_kept_t].number;

	ck_assert(q[Q_coping_m2] > 0 && q[Q_beach_t] > 0);
	ck_assert_double_eq_tol(lifted_t, q[Q_coping_m2] * catalogue()->practice[P_coping_t_m2] + q[Q_beach_t], 1e-9);
}
END_TEST

/* Renewals are of the new pond in good weather: neither the old pond nor the month of the build is in them. */
START_TEST(renewals_know_nothing_of_the_old_pond_or_the_season)
{
	int64_t each_minor;

	compared("{" SPRING "," BOX "}");
	each_minor = option_of("rendered-concrete")->renewals[0].each_minor;
	compared("{'region':'demo-north','issued_on':'2026-11-25','start_on':'2026-12-07'," BOX ",'old_pond':{'shell':'concrete',"
		"'outline':{'kind':'circle','diameter_m':9},'depth_m':2,'silt_depth_m':0.4,'stone_kept_t':3}}");
	ck_assert_int_eq(option_of("rendered-concrete")->renewals[0].each_minor, each_minor);
}
END_TEST

START_TEST(a_renewal_is_a_job_of_its_own)
{
	compared("{" SPRING "," BOX "}");
	for (uint32_t i = 0; i < comparison.n_options; i++)
		for (uint32_t r = 0; r < options[i].n_renewals; r++)
			if (options[i].renewals[r].needed)
				ck_assert_int_ge(options[i].renewals[r].each_minor, edition()->minimum_charge_minor);
}
END_TEST

/* 3.2 ha: animals of the whole pond can't be held in tanks that anybody could count, so what a new sheet costs then is not
 * known; what the pond costs now is, and so is what puddled clay costs over the years. */
START_TEST(a_renewal_that_nobody_can_price_is_not_free)
{
	compared("{" SPRING ",'pond':{'outline':{'kind':'rectangle','length_m':180,'width_m':180},'depth_m':2,'profile':"
		 "{'kind':'battered','side_slope':3}},'site':{'access_width_m':5}}");
	ck_assert_int_eq(option_of("epdm-liner")->status, ST_OK);
	ck_assert(!option_of("epdm-liner")->renewals[0].possible);
	ck_assert(!option_of("epdm-liner")->years_known);
	ck_assert(option_of("puddled-clay")->years_known);
	ck_assert_uint_ne(comparison.now.cheapest, NO_INDEX);
	ck_assert_uint_eq(comparison.over_years.cheapest, shipped_word(LIST_shells, "puddled-clay"));
}
END_TEST

/* ---- carbon ---- */

static double carbon_by_hand(const struct quote *quote)
{
	double kg = 0;

	for (uint32_t i = 0; i < quote->n_needs; i++) {
		double factor = catalogue()->items[quote->needs[i].item].kgco2e;

		kg += isnan(factor) ? 0 : factor * (double)quote->needs[i].micro / 1e6;
	}
	return kg;
}

/* Over 60 years a sheet of 12 is laid four times more: each renewal counts as often as it falls due before the end. */
START_TEST(carbon_of_renewals_counts_each_time)
{
	enum { YEARS = 60 };
	double most_times = 0;

	compared("{" SPRING "," BOX ",'service_years':60}");
	for (uint32_t i = 0; i < comparison.n_options; i++) {
		double kg = 0;

		for (uint32_t k = 0; k < options[i].n_renewals; k++) {
			const struct renewed *renewed = &options[i].renewals[k];
			const struct renewal *renewal = &catalogue()->renewals[renewed->renewal];
			double times = 0;

			for (double year = renewal->every_years; renewed->needed && year < YEARS - 1e-6; year += renewal->every_years)
				times += renewal->times_most == 0 || times < renewal->times_most;
			kg += times * renewed->kgco2e;
			most_times = fmax(most_times, renewed->kgco2e > 0 ? times : 0);
		}
		ck_assert_double_eq_tol(options[i].renewals_kgco2e, kg, 1e-6);
	}
	ck_assert_double_ge(most_times, 2);
}
END_TEST

START_TEST(carbon_is_factors_times_needs_and_a_gap_is_told)
{
	uint16_t pump;

	compared("{" SPRING "," BOX "}");
	for (uint32_t i = 0; i < comparison.n_options; i++)
		ck_assert_double_eq_tol(options[i].kgco2e, carbon_by_hand(&options[i].quote), 1e-6);
	ck_assert(!option_of("pvc-liner")->lacks_factor || option_of("pvc-liner")->quote.water.pump != NO_INDEX ||
		option_of("pvc-liner")->renewals_kgco2e > 0);
	compared("{" SPRING "," BOX ",'stream':{'length_m':4,'fall_m':1}}");
	pump = option_of("pvc-liner")->quote.water.pump;
	ck_assert_uint_ne(pump, NO_INDEX);
	ck_assert(option_of("pvc-liner")->lacks_factor);
	ck_assert(bit_of(option_of("pvc-liner")->lacking, catalogue()->pumps[pump].item));
}
END_TEST

static double shell_kgco2e_m2(const struct quote *quote)
{
	double kg = 0;

	for (uint32_t i = 0; i < quote->n_needs; i++) {
		const struct need *need = &quote->needs[i];
		const struct section *section = &catalogue()->sections[quote->lines[need->line].section];

		if (strcmp(config_text(shipped(), section->text)->id, "shell") == 0)
			kg += catalogue()->items[need->item].kgco2e * (double)need->micro / 1e6;
	}
	return kg / quote->q[Q_shell_area_m2];
}

/* By hand from factors and masses, for a square metre of face without corners, flaps, laps or waste: 150 mm of concrete 48.8,
 * mesh A193 6.0, 18 mm of render 6.0, blinding of 50 mm lean mix 10, three coats of paint 0.8: 72; a sheet of EPDM 3.6 and
 * one underlay 1.0: 4.6, with its flaps on a small pond about twice that. Site mix has more cement than the ready mix that
 * 48.8 is of, corners and laps add, so both come out higher. */
START_TEST(concrete_brings_ten_times_the_carbon_of_a_sheet)
{
	double concrete, sheet;

	compared("{" SPRING "," BOX "}");
	concrete = shell_kgco2e_m2(&option_of("rendered-concrete")->quote);
	sheet = shell_kgco2e_m2(&option_of("epdm-liner")->quote);
	ck_assert_msg(concrete > 72 && concrete < 2 * 72, "%f", concrete);
	ck_assert_msg(sheet > 4.6 && sheet < 3 * 4.6, "%f", sheet);
	ck_assert_msg(concrete > 7 * sheet, "%f %f", concrete, sheet);
}
END_TEST

/* ---- kept from shell to shell ---- */

static void check_renewals(const struct option *is, const struct option *should)
{
	ck_assert_uint_eq(is->n_renewals, should->n_renewals);
	for (uint32_t i = 0; i < is->n_renewals; i++) {
		ck_assert_int_eq(is->renewals[i].each_minor, should->renewals[i].each_minor);
		ck_assert(is->renewals[i].needed == should->renewals[i].needed);
		ck_assert(is->renewals[i].kgco2e == should->renewals[i].kgco2e);
	}
}

/* Of an option and its renewals most is taken over from the last shell's; here each is worked out as if it were the first. */
START_TEST(options_that_share_are_those_made_from_nothing)
{
	static const char *const jobs[] = {
		"{" SPRING "," BOX ",'edge':{'coping_m':3,'beach_m':2},'planting':{'style':'wildlife'}}",
		"{" SPRING ",'pond':{'outline':{'kind':'ellipse','length_m':6,'width_m':4},'depth_m':1,'profile':{'kind':'dish'}},"
		"'old_pond':{'shell':'clay','depth_m':0.7},'planting':{'style':'ornamental'},'stream':{'length_m':4,'fall_m':1}}",
		"{" SPRING ",'pond':{'outline':{'kind':'polygon','points_m':[[0,0],[5,0],[5,3],[2,2.5],[0,4]]},'depth_m':0.8},"
		"'old_pond':{'shell':'concrete','outline':{'kind':'circle','diameter_m':5},'depth_m':0.8}}",
	};
	static struct option from_nothing;

	for (size_t i = 0; i < sizeof jobs / sizeof jobs[0]; i++) {
		struct comparing again;

		compared(jobs[i]);
		again = with(comparison.years);
		for (uint16_t shell = 0; shell < comparison.n_options; shell++) {
			compare_room->job.shapes_ready = false;
			ck_assert_int_eq(compare_price(&again, &asked, shell, &from_nothing), ST_OK);
			compare_years(&again, &asked, &from_nothing);
			ck_assert_int_eq(options[shell].quote.gross_minor, from_nothing.quote.gross_minor);
			ck_assert_int_eq(options[shell].over_years_minor, from_nothing.over_years_minor);
			ck_assert(options[shell].kgco2e == from_nothing.kgco2e);
			check_renewals(&options[shell], &from_nothing);
		}
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("compare");
	TCase *cases = tcase_create("shells");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_checked_fixture(cases, compare_begin, compare_end);
	tcase_set_timeout(cases, 120);
	tcase_add_test(cases, discounting_is_that_of_the_handbook);
	tcase_add_test(cases, a_renewal_falls_due_before_the_end_of_the_years);
	tcase_add_test(cases, present_cost_by_hand);
	tcase_add_test(cases, years_of_an_option_are_its_renewals);
	tcase_add_test(cases, an_option_is_the_quote_of_its_shell);
	tcase_add_test(cases, work_without_a_shell_has_no_options);
	tcase_add_test(cases, a_share_is_of_the_shell_and_emptying_is_whole);
	tcase_add_test(cases, a_share_takes_materials_with_it);
	tcase_add_test(cases, a_new_sheet_disturbs_what_stands_on_it);
	tcase_add_test(cases, of_methods_one_is_taken);
	tcase_add_test(cases, what_was_not_laid_needs_no_renewal);
	tcase_add_test(cases, stone_is_lifted_by_its_weight);
	tcase_add_test(cases, renewals_know_nothing_of_the_old_pond_or_the_season);
	tcase_add_test(cases, a_renewal_is_a_job_of_its_own);
	tcase_add_test(cases, a_renewal_that_nobody_can_price_is_not_free);
	tcase_add_test(cases, carbon_of_renewals_counts_each_time);
	tcase_add_test(cases, carbon_is_factors_times_needs_and_a_gap_is_told);
	tcase_add_test(cases, concrete_brings_ten_times_the_carbon_of_a_sheet);
	tcase_add_test(cases, options_that_share_are_those_made_from_nothing);
	suite_add_tcase(suite, cases);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
