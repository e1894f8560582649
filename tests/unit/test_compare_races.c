#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "compared.h"

/* Which shell is the cheapest, what would turn that round, and where it changes with size and depth. */

/* ---- races ---- */

static uint16_t cheapest(uint32_t years)
{
	uint16_t best = NO_INDEX;
	int64_t best_minor = INT64_MAX;

	for (uint16_t i = 0; i < comparison.n_options; i++) {
		int64_t minor = years == 0 ? options[i].quote.gross_minor
					   : option_over_years_minor(catalogue(), edition(), &options[i], years);

		if (options[i].quote.n_cannots == 0 && options[i].quote.shell_suitable && minor < best_minor) {
			best = i;
			best_minor = minor;
		}
	}
	return best;
}

static void check_races(void)
{
	ck_assert_uint_eq(comparison.now.cheapest, cheapest(0));
	ck_assert_uint_eq(comparison.over_years.cheapest, cheapest(comparison.years));
	for (uint32_t i = 0; i < HORIZONS; i++)
		ck_assert_uint_eq(comparison.horizon_cheapest[i], cheapest(horizon_years[i]));
}

/* Cost when a year is over. */
static int64_t by_year(const struct option *option, uint32_t year)
{
	return option_over_years_minor(catalogue(), edition(), option, year < comparison.years ? year + 1 : year);
}

static void check_paid_back(void)
{
	const struct option *now = &options[comparison.now.cheapest], *later = &options[comparison.over_years.cheapest];
	uint32_t year = comparison.paid_back_after_years;

	if (now == later) {
		ck_assert_uint_eq(year, 0);
		return;
	}
	ck_assert_uint_ge(year, 1);
	for (uint32_t y = year; y <= comparison.years; y++)
		ck_assert_int_le(by_year(later, y), by_year(now, y));
	if (year > 1)
		ck_assert_int_gt(by_year(later, year - 1), by_year(now, year - 1));
}

START_TEST(the_cheapest_costs_least)
{
	static const char *const ponds[] = {
		"{" SPRING "," BOX "}", "{" SPRING "," BOX ",'service_years':60}", "{" SPRING "," BOX ",'service_years':1}",
		"{'region':'demo-isle','issued_on':'2026-11-25'," BOX ",'planting':{'style':'fish'},'service_years':33}",
		"{'region':'demo-coast','issued_on':'2026-11-25','pond':{'outline':{'kind':'circle','diameter_m':30},'depth_m':1}}",
	};

	for (size_t i = 0; i < sizeof ponds / sizeof ponds[0]; i++) {
		compared(ponds[i]);
		check_races();
		check_paid_back();
	}
}
END_TEST

/* PVC is the cheapest sheet, and its first renewal in year 12 costs more than its lead. */
START_TEST(the_dearer_sheet_pays_for_itself_when_the_cheaper_is_renewed)
{
	compared("{" SPRING "," BOX "}");
	ck_assert_uint_eq(comparison.now.cheapest, shipped_word(LIST_shells, "pvc-liner"));
	ck_assert_uint_ne(comparison.over_years.cheapest, comparison.now.cheapest);
	ck_assert_uint_eq(comparison.paid_back_after_years, 12);
}
END_TEST

START_TEST(a_shell_that_does_not_suit_never_wins)
{
	compared("{" SPRING "," BOX ",'old_pond':{},'roots':{'extent':'throughout','plant':'common-reed'}}");
	ck_assert(!option_of("pvc-liner")->quote.shell_suitable);
	ck_assert(!catalogue()->shells[comparison.now.cheapest].sheet);
	ck_assert(!catalogue()->shells[comparison.over_years.cheapest].sheet);
	check_races();
}
END_TEST

START_TEST(where_nothing_can_be_built_nothing_is_cheapest)
{
	compared("{" SPRING "," BOX ",'site':{'access_width_m':0.4}}");
	ck_assert(options[0].quote.n_cannots > 0);
	ck_assert(!options[0].years_known);
	ck_assert_uint_eq(comparison.now.cheapest, NO_INDEX);
	ck_assert_uint_eq(comparison.paid_back_after_years, 0);
}
END_TEST

/* A copy of the catalogue with the region's sheets so many times as dear. */
static struct edition dear_editions[16];
static int64_t dear_packs[PACKS_MOST];

static struct catalogue with_dear_sheets(double times)
{
	static const char *const sheets[] = {"epdm-sheet", "rpe-sheet", "pvc-sheet"};
	struct catalogue copy = *catalogue();
	uint32_t index = (uint32_t)(edition() - copy.editions);

	ck_assert_uint_le(copy.n_editions, 16);
	memcpy(dear_editions, copy.editions, copy.n_editions * sizeof *dear_editions);
	memcpy(dear_packs, edition()->pack_milliminor, copy.n_packs * sizeof *dear_packs);
	for (uint32_t i = 0; i < copy.n_items; i++)
		for (int s = 0; s < 3; s++)
			if (strcmp(config_text(shipped(), copy.items[i].text)->id, sheets[s]) == 0)
				for (uint32_t p = copy.items[i].packs.first; p < copy.items[i].packs.first + copy.items[i].packs.count; p++)
					dear_packs[p] = llround((double)dear_packs[p] * times);
	dear_editions[index].pack_milliminor = dear_packs;
	copy.editions = dear_editions;
	return copy;
}

static void compare_with(const struct catalogue *copy)
{
	ck_assert_int_eq(compare_shells(copy, &dear_editions[edition() - catalogue()->editions], &asked, compare_room, options,
		&comparison), ST_OK);
}

/* At the highest price at which a sheet is still the cheapest. */
static struct catalogue with_sheets_as_dear_as_can_be(void)
{
	double low = 1, high = 60;

	for (int i = 0; i < 24; i++) {
		double middle = (low + high) / 2;
		struct catalogue copy = with_dear_sheets(middle);

		compare_with(&copy);
		if (copy.shells[comparison.now.cheapest].sheet)
			low = middle;
		else
			high = middle;
	}
	return with_dear_sheets(low);
}

/* Where a shell's own price is out of reach it stands aside; where all are, that is the answer. */
START_TEST(a_shell_that_nobody_can_price_stands_aside)
{
	struct catalogue copy;
	uint16_t epdm, pvc;

	read_enquiry("{" SPRING "," BOX "}");
	epdm = (uint16_t)shipped_word(LIST_shells, "epdm-liner");
	pvc = (uint16_t)shipped_word(LIST_shells, "pvc-liner");
	copy = with_dear_sheets(1e11);
	compare_with(&copy);
	ck_assert_int_eq(options[epdm].status, ST_MONEY_RANGE);
	ck_assert_int_eq(options[pvc].status, ST_MONEY_RANGE);
	ck_assert(options[epdm].quote.n_cannots > 0 && !options[epdm].years_known);
	ck_assert(!copy.shells[comparison.now.cheapest].sheet);
	read_enquiry("{" SPRING ",'pond':{'outline':{'kind':'rectangle','length_m':220,'width_m':220},'depth_m':6},"
		     "'site':{'access_width_m':5}}");
	ck_assert_int_eq(compare_shells(catalogue(), edition(), &asked, compare_room, options, &comparison), ST_QUANTITY_RANGE);
}
END_TEST

/* ---- what is unknown ---- */

static const struct decider *decider_of(const struct race *race, enum field_id field)
{
	for (uint32_t i = 0; i < race->n_deciders; i++)
		if (catalogue()->unknowns[race->deciders[i].unknown].subject == field)
			return &race->deciders[i];
	return NULL;
}

START_TEST(roots_that_nobody_spoke_of_decide_on_a_sheet)
{
	const struct decider *decider;

	compared("{" SPRING "," BOX ",'old_pond':{'shell':'flexible-liner'}}");
	decider = decider_of(&comparison.now, F_roots_extent);
	ck_assert_ptr_nonnull(decider);
	ck_assert(decider->rules_out);
	ck_assert_double_eq(decider->number, ROOTS_THROUGHOUT);
	compared("{" SPRING "," BOX ",'old_pond':{'shell':'flexible-liner'},'roots':{'extent':'none'}}");
	ck_assert_ptr_null(decider_of(&comparison.now, F_roots_extent));
	ck_assert_uint_eq(comparison.over_years.n_deciders, 0);
}
END_TEST

/* At that value the rival is really the cheaper one. */
static void check_decider(const struct catalogue *copy, const struct race *race, const struct decider *decider)
{
	const struct unknown *unknown = &copy->unknowns[decider->unknown];
	struct comparing comparing = {copy, &dear_editions[edition() - catalogue()->editions], compare_room, 25, 1, 1};
	int64_t cost_minor[2];

	if (unknown->subject == FACTOR_LABOUR_OUTPUT)
		comparing.labour_scale = decider->number;
	else if (unknown->subject == FACTOR_PRICE_DRIFT)
		comparing.price_scale = decider->number;
	else
		asked.v[unknown->subject] = (struct value){.number = decider->number, .origin = GIVEN};
	for (int i = 0; i < 2; i++) {
		comparing.scratch->job.shapes_ready = false;
		ck_assert_int_eq(compare_price(&comparing, &asked, i ? race->rival : race->cheapest, &options[0]), ST_OK);
		ck_assert(options[0].quote.n_cannots == 0);
		cost_minor[i] = options[0].quote.gross_minor;
	}
	ck_assert_int_lt(cost_minor[1], cost_minor[0]);
}

/* With sheets so dear that a liner is barely the cheapest, the soil, the way in or our own output decides. */
START_TEST(a_near_race_names_what_decides_it)
{
	static const char pond[] = "{" SPRING "," BOX "}";
	struct catalogue copy;
	struct race race;

	read_enquiry(pond);
	copy = with_sheets_as_dear_as_can_be();
	compare_with(&copy);
	race = comparison.now;
	ck_assert(copy.shells[race.cheapest].sheet && !copy.shells[race.rival].sheet);
	ck_assert_uint_gt(race.n_deciders, 0);
	for (uint32_t i = 0; i < race.n_deciders; i++) {
		read_enquiry(pond);
		if (!race.deciders[i].rules_out)
			check_decider(&copy, &race, &race.deciders[i]);
	}
}
END_TEST

/* The catalogue with a row for our own output or prices whose likely value is also one of its ends. */
static struct unknown one_sided[512];

static void only_one_end(struct catalogue *copy, uint32_t subject, double low, double high)
{
	ck_assert_uint_le(copy->n_unknowns, 512);
	memcpy(one_sided, copy->unknowns, copy->n_unknowns * sizeof *one_sided);
	for (uint32_t i = 0; i < copy->n_unknowns; i++)
		if (one_sided[i].subject == subject) {
			one_sided[i].low = low;
			one_sided[i].high = high;
		}
	copy->unknowns = one_sided;
}

static const struct decider *own_decider(const struct catalogue *copy, const struct race *race, uint32_t subject)
{
	for (uint32_t i = 0; i < race->n_deciders; i++)
		if (copy->unknowns[race->deciders[i].unknown].subject == subject)
			return &race->deciders[i];
	return NULL;
}

/* Concrete takes more of our hours than a sheet: where sheets are so dear that concrete is nearly as cheap, quick work turns the
 * race and slow work does not. */
START_TEST(quick_work_alone_may_decide)
{
	const struct decider *decider;
	struct catalogue copy;

	read_enquiry("{" SPRING "," BOX "}");
	copy = with_sheets_as_dear_as_can_be();
	only_one_end(&copy, FACTOR_LABOUR_OUTPUT, 0.7, 1);
	compare_with(&copy);
	decider = own_decider(&copy, &comparison.now, FACTOR_LABOUR_OUTPUT);
	ck_assert_ptr_nonnull(decider);
	ck_assert_double_eq(decider->number, 0.7);
	only_one_end(&copy, FACTOR_LABOUR_OUTPUT, 1, 1.4);
	compare_with(&copy);
	ck_assert_ptr_null(own_decider(&copy, &comparison.now, FACTOR_LABOUR_OUTPUT));
}
END_TEST

/* ---- the grid ---- */

static struct grid grid;

static void gridded(const char *json)
{
	compared(json);
	compare_grid(catalogue(), edition(), &asked, compare_room, &grid);
}

/* 4 x 3 m is the grid's 12 m2, and 1.2 m is one of its depths. */
START_TEST(a_cell_is_the_comparison_of_its_pond)
{
	static const char pond[] = "{" SPRING "," BOX ",'edge':{'coping_m':3}}";

	gridded(pond);
	ck_assert_double_eq(grid_surface_m2[1], 12);
	ck_assert_double_eq(grid_depth_m[2], 1.2);
	for (uint32_t i = 0; i < comparison.n_options; i++) {
		ck_assert_int_eq(grid.cells[1][2].prices[i].now_minor, options[i].quote.gross_minor);
		ck_assert(grid.cells[1][2].prices[i].fits == options[i].quote.shell_suitable);
		if (grid.cells[1][2].prices[i].years_known)
			ck_assert_int_eq(grid.cells[1][2].prices[i].over_years_minor, options[i].over_years_minor);
		else
			ck_assert_int_eq(grid.cells[1][2].prices[i].over_years_minor, 0);
	}
	ck_assert_uint_eq(grid.cells[1][2].cheapest_now, comparison.now.cheapest);
	ck_assert_uint_eq(grid.cells[1][2].cheapest_over_years, comparison.over_years.cheapest);
}
END_TEST

/* A larger pond of the same depth costs more; the old pond and the stream are not in it. */
START_TEST(larger_cells_cost_more)
{
	gridded("{" SPRING ",'pond':{'outline':{'kind':'polygon','points_m':[[0,0],[5,0],[5,3],[2,2.5],[0,4]]},'depth_m':0.8},"
		"'old_pond':{},'stream':{'length_m':9,'fall_m':2}}");
	for (uint32_t shell = 0; shell < catalogue()->n_shells; shell++)
		for (uint32_t k = 0; k < GRID_DEPTHS; k++)
			for (uint32_t i = 1; i < GRID_SIZES; i++)
				ck_assert_int_ge(grid.cells[i][k].prices[shell].now_minor, grid.cells[i - 1][k].prices[shell].now_minor);
}
END_TEST

START_TEST(every_shape_of_bed_can_be_resized)
{
	static const char *const beds[] = {"'profile':{'kind':'vertical'}", "'profile':{'kind':'dish'}",
		"'profile':{'kind':'stepped','steps':[{'inset_m':0.3,'depth_m':0.3},{'inset_m':0.6,'depth_m':0.9}]}",
		"'profile':{'kind':'battered','side_slope':0.5,'shelf_width_m':0.4,'shelf_depth_m':0.75}",
		"'water_above_ground_m':0.7,'wall':'block','profile':{'kind':'vertical'}"};

	for (size_t i = 0; i < sizeof beds / sizeof beds[0]; i++) {
		char json[512];

		snprintf(json, sizeof json, "{" SPRING ",'pond':{'outline':{'kind':'stadium','length_m':5,'width_m':3},'depth_m':0.9,%s}}",
			beds[i]);
		gridded(json);
		for (uint32_t k = 0; k < GRID_DEPTHS; k++) {
			ck_assert_uint_ne(grid.cells[GRID_SIZES - 1][k].cheapest_now, NO_INDEX);
			ck_assert_double_eq_tol(grid.cells[GRID_SIZES - 1][k].depth_reached_m, grid_depth_m[k], 1e-6);
		}
	}
}
END_TEST

START_TEST(work_without_a_shell_has_no_grid)
{
	gridded("{" SPRING ",'work':'repair'," BOX ",'old_pond':{}}");
	ck_assert_uint_eq(grid.cells[0][0].cheapest_now, NO_INDEX);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("compare_races");
	TCase *cases = tcase_create("races");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_checked_fixture(cases, compare_begin, compare_end);
	tcase_set_timeout(cases, 120);
	tcase_add_test(cases, the_cheapest_costs_least);
	tcase_add_test(cases, the_dearer_sheet_pays_for_itself_when_the_cheaper_is_renewed);
	tcase_add_test(cases, a_shell_that_does_not_suit_never_wins);
	tcase_add_test(cases, where_nothing_can_be_built_nothing_is_cheapest);
	tcase_add_test(cases, a_shell_that_nobody_can_price_stands_aside);
	tcase_add_test(cases, roots_that_nobody_spoke_of_decide_on_a_sheet);
	tcase_add_test(cases, a_near_race_names_what_decides_it);
	tcase_add_test(cases, quick_work_alone_may_decide);
	tcase_add_test(cases, a_cell_is_the_comparison_of_its_pond);
	tcase_add_test(cases, larger_cells_cost_more);
	tcase_add_test(cases, every_shape_of_bed_can_be_resized);
	tcase_add_test(cases, work_without_a_shell_has_no_grid);
	suite_add_tcase(suite, cases);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
