#include <check.h>
#include <jansson.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "enquiry_check.h"
#include "enquiry_read.h"
#include "priced.h"
#include "random_enquiry.h"
#include "variation.h"

enum { TODAY = 20782, PAIRS = 600, TRIES_MOST = 20000 };

static void *scratch;
static struct enquiry asked[2];
static struct quote quotes[2];
static struct variation variation;

static void begin(void)
{
	scratch = malloc(quote_scratch_size());
	ck_assert_ptr_nonnull(scratch);
}

static void end(void)
{
	free(scratch);
}

/* Reads an enquiry; false where it is refused. */
static bool take(const char *text, size_t length, struct enquiry *enquiry)
{
	struct enquiry_faults faults;
	json_t *object;
	bool good;

	enquiry_faults_init(&faults);
	ck_assert_int_eq(body_parse(text, length, &object, &faults), BODY_READ);
	enquiry_read(shipped(), NEED_QUOTE, object, "", enquiry, &faults);
	enquiry_check(shipped(), TODAY, "", enquiry, &faults);
	json_decref(object);
	good = faults.count == 0;
	enquiry_faults_free(&faults);
	return good;
}

static enum status price(const struct edition *edition, int at)
{
	return quote_price(&shipped()->catalogue, edition, &asked[at], NO_INDEX, scratch, &quotes[at]);
}

/* Both enquiries under the edition of the first. */
static void vary(const char *stage)
{
	const struct edition *edition = enquiry_edition(shipped(), &asked[0]);
	uint16_t task = STAGE_NOTHING;

	for (uint32_t i = 0; stage != NULL && i < shipped()->catalogue.n_tasks; i++)
		if (strcmp(config_text(shipped(), shipped()->catalogue.tasks[i].text)->id, stage) == 0)
			task = (uint16_t)i;
	ck_assert(stage == NULL || task != STAGE_NOTHING);
	ck_assert_int_eq(price(edition, 0), ST_OK);
	ck_assert_int_eq(price(edition, 1), ST_OK);
	ck_assert_int_eq(
		variation_work_out(&shipped()->catalogue, edition, &quotes[0], &quotes[1], task, &variation), ST_OK);
}

static void take_fixture(const char *name, int at)
{
	char path[4096], text[16384];
	size_t length;
	FILE *file;

	snprintf(path, sizeof path, "%s/%s/enquiry.json", getenv("PONDWRIGHT_FIXTURES"), name);
	file = fopen(path, "rb");
	ck_assert_ptr_nonnull(file);
	length = fread(text, 1, sizeof text, file);
	fclose(file);
	ck_assert(take(text, length, &asked[at]));
}

static void take_text(const char *json, int at)
{
	char text[4096];

	snprintf(text, sizeof text, "%s", json);
	for (char *mark = text; (mark = strchr(mark, '\'')) != NULL;)
		*mark = '"';
	ck_assert(take(text, strlen(text), &asked[at]));
}

/* The row of a build-up of the agreed quote. */
static const struct variation_line *row_of(const char *build_up)
{
	for (uint32_t i = 0; i < variation.n_lines; i++) {
		const struct line *line = variation.lines[i].agreed == NO_INDEX ? NULL : &quotes[0].lines[variation.lines[i].agreed];

		if (line != NULL && line->special == LINE_BUILD_UP &&
			strcmp(config_text(shipped(), shipped()->catalogue.build_ups[line->build_up].text)->id, build_up) == 0)
			return &variation.lines[i];
	}
	ck_abort_msg("the agreed quote has no %s", build_up);
	return NULL;
}

/* ---- what holds for every pair ---- */

static int64_t amount(const struct quote *quote, uint16_t line)
{
	return line == NO_INDEX ? 0 : quote->lines[line].amount_minor;
}

static void check_line(const struct variation_line *line)
{
	int64_t difference = amount(&quotes[1], line->now) - amount(&quotes[0], line->agreed);

	ck_assert_int_le(line->omission_minor, 0);
	ck_assert_int_ge(line->addition_minor, 0);
	ck_assert_int_ge(line->kept_minor, 0);
	ck_assert_int_ge(line->bought_minor, 0);
	ck_assert_int_eq(line->omission_minor + line->addition_minor - line->kept_minor, difference);
	ck_assert(!line->done || line->omission_minor == 0);
	ck_assert(line->done || line->kept_minor == 0);
	if (line->omission_minor < 0 && line->agreed != NO_INDEX)
		ck_assert_int_le(line->bought_minor, quotes[0].lines[line->agreed].price_minor[MATERIAL]);
	else
		ck_assert_int_eq(line->bought_minor, 0);
}

/* Every line of both quotes stands in exactly one row. */
static void check_all_matched(void)
{
	uint32_t agreed = 0, now = 0;

	for (uint32_t i = 0; i < variation.n_lines; i++) {
		agreed += variation.lines[i].agreed != NO_INDEX;
		now += variation.lines[i].now != NO_INDEX;
	}
	ck_assert_uint_eq(agreed, quotes[0].n_lines);
	ck_assert_uint_eq(now, quotes[1].n_lines);
}

static void check_sums(const struct edition *edition)
{
	int64_t omissions = 0, additions = 0, kept = 0, bought = 0, class_net = 0, class_tax = 0;

	for (uint32_t i = 0; i < variation.n_lines; i++) {
		check_line(&variation.lines[i]);
		omissions += variation.lines[i].omission_minor;
		additions += variation.lines[i].addition_minor;
		kept += variation.lines[i].kept_minor;
		bought += variation.lines[i].bought_minor;
	}
	ck_assert_int_eq(omissions, variation.omissions_minor);
	ck_assert_int_eq(quotes[0].net_minor + omissions + additions + bought, variation.final_minor);
	ck_assert_int_eq(quotes[1].net_minor + kept + bought, variation.final_minor);
	ck_assert_int_eq(variation.net_minor, omissions + additions + bought);
	for (uint32_t i = 0; i < edition->tax_classes.count; i++) {
		class_net += variation.classes[i].net_minor;
		class_tax += variation.classes[i].tax_minor;
	}
	ck_assert_int_eq(class_net, variation.final_minor);
	ck_assert_int_eq(class_tax, variation.final_tax_minor);
	ck_assert_int_eq(variation.tax_minor, class_tax - quotes[0].tax_minor);
	check_all_matched();
}

static bool draw(uint64_t *seed, int at)
{
	struct writer text;
	bool good;

	writer_init(&text);
	random_enquiry_write(&text, shipped(), ++*seed);
	ck_assert(!text.out_of_memory);
	good = take(text.bytes, text.length, &asked[at]);
	writer_free(&text);
	return good;
}

START_TEST(random_pairs_reconcile_to_the_penny_at_every_stage)
{
	uint32_t pairs = 0, abortive = 0, omitting = 0;
	uint64_t seed = 41;

	for (uint32_t i = 0; i < TRIES_MOST && pairs < PAIRS; i++) {
		const struct edition *edition;
		uint16_t stage = (uint16_t)(i % (shipped()->catalogue.n_tasks + 1));

		if (!draw(&seed, 0) || !draw(&seed, 1))
			continue;
		if (asked[0].v[F_region].number != asked[1].v[F_region].number)
			continue;
		edition = enquiry_edition(shipped(), &asked[0]);
		if (price(edition, 0) != ST_OK || price(edition, 1) != ST_OK)
			continue;
		stage = stage == shipped()->catalogue.n_tasks ? STAGE_NOTHING : stage;
		ck_assert_int_eq(
			variation_work_out(&shipped()->catalogue, edition, &quotes[0], &quotes[1], stage, &variation), ST_OK);
		check_sums(edition);
		pairs++;
		abortive += variation.kept_minor > 0 && variation.bought_minor > 0;
		omitting += variation.omissions_minor < 0;
	}
	ck_assert_uint_eq(pairs, PAIRS);
	ck_assert_uint_gt(abortive, PAIRS / 10); /* the pairs are not all of one kind */
	ck_assert_uint_gt(omitting, PAIRS / 4);
}
END_TEST

/* ---- claims ---- */

START_TEST(the_same_enquiry_varies_nothing)
{
	take_fixture("3a-rebuild-agreed", 0);
	take_fixture("3a-rebuild-agreed", 1);
	vary("strip-out");
	ck_assert_int_eq(variation.net_minor, 0);
	ck_assert_int_eq(variation.tax_minor, 0);
	ck_assert_int_eq(variation.omissions_minor, 0);
	ck_assert_int_eq(variation.additions_minor, 0);
	ck_assert_int_eq(variation.final_tax_minor, quotes[0].tax_minor);
}
END_TEST

START_TEST(before_work_begins_the_new_price_is_the_quote)
{
	take_fixture("3a-rebuild-agreed", 0);
	take_fixture("3b-rebuild-found", 1);
	vary(NULL);
	ck_assert_int_eq(variation.final_minor, quotes[1].net_minor);
	ck_assert_int_eq(variation.final_tax_minor, quotes[1].tax_minor);
	ck_assert_int_lt(variation.omissions_minor, 0);
	ck_assert_int_gt(variation.additions_minor, 0);
}
END_TEST

START_TEST(nothing_is_omitted_when_all_is_done)
{
	take_fixture("3a-rebuild-agreed", 0);
	take_fixture("3b-rebuild-found", 1);
	vary("clear-away");
	for (uint32_t i = 0; i < variation.n_lines; i++)
		ck_assert(variation.lines[i].omission_minor == 0 || variation.lines[i].agreed == NO_INDEX ||
			quotes[0].lines[variation.lines[i].agreed].special != LINE_BUILD_UP);
	ck_assert_int_eq(variation.bought_minor, 0);
	ck_assert_int_gt(variation.kept_minor, 0);
}
END_TEST

/* The old liner is up and the ground says concrete: the sheet that was cut to size is abortive, the pump in its box goes
 * back, and what the sheet's crew would have done is omitted. */
START_TEST(a_cut_sheet_is_abortive_and_a_boxed_pump_is_not)
{
	const struct variation_line *sheet, *pump;

	take_fixture("3a-rebuild-agreed", 0);
	take_fixture("3b-rebuild-found", 1);
	vary("strip-out");
	sheet = row_of("sheet-pvc");
	pump = row_of("fit-pump");
	ck_assert_int_eq(sheet->omission_minor, -amount(&quotes[0], sheet->agreed));
	ck_assert_int_gt(sheet->bought_minor, 0);
	ck_assert_int_lt(sheet->bought_minor, -sheet->omission_minor);
	ck_assert_int_lt(pump->omission_minor, 0);
	ck_assert_int_eq(pump->bought_minor, 0);
}
END_TEST

/* Sheet for the pond is cut and on its way when the pond becomes one of concrete, but the stream grows by 20 m and
 * takes a part of it: charged is what is left over, as a share of what the line's material was agreed at. The line's
 * other material goes nowhere else. */
#define STREAMED "{'region':'demo-north','shell':'%s','pond':{'outline':{'kind':'rectangle','length_m':8," \
	"'width_m':5},'depth_m':1},'stream':{'length_m':%d,'fall_m':0.5}}"

static int64_t need_micro(const struct quote *quote, uint16_t at, uint16_t item)
{
	int64_t micro = 0;

	for (uint32_t i = 0; i < quote->n_needs; i++)
		if (quote->needs[i].item == item && (at == NO_INDEX || quote->needs[i].line == at))
			micro += quote->needs[i].micro;
	return micro;
}

START_TEST(of_a_sheet_that_another_line_takes_up_only_the_rest_is_abortive)
{
	const struct variation_line *sheet;
	const struct line *agreed;
	char text[1024];
	double expected = 0, taken_up = 0;

	snprintf(text, sizeof text, STREAMED, "epdm-liner", 4);
	take_text(text, 0);
	snprintf(text, sizeof text, STREAMED, "rendered-concrete", 24);
	take_text(text, 1);
	vary("shell-base");
	sheet = row_of("sheet-epdm");
	agreed = &quotes[0].lines[sheet->agreed];
	ck_assert_int_lt(sheet->omission_minor, 0);
	for (uint32_t i = agreed->needs.first; i < agreed->needs.first + agreed->needs.count; i++) {
		const struct need *need = &quotes[0].needs[i];
		double held = (double)need_micro(&quotes[0], sheet->agreed, need->item);
		double spare = (double)(need_micro(&quotes[0], NO_INDEX, need->item) -
			need_micro(&quotes[1], NO_INDEX, need->item));

		if (shipped()->catalogue.items[need->item].component != MATERIAL)
			continue;
		ck_assert_double_gt(spare, 0);
		expected += (double)need->minor * spare / held;
		taken_up = fmax(taken_up, 1 - spare / held);
	}
	expected *= (double)agreed->price_minor[MATERIAL] / (double)agreed->cost_minor[MATERIAL];
	ck_assert_double_gt(taken_up, 0.2); /* the stream takes up enough to tell */
	ck_assert_double_lt(taken_up, 0.8);
	/* a share is kept to a millionth, each part rounded to a penny */
	ck_assert_double_eq_tol((double)sheet->bought_minor, expected, 2);
}
END_TEST

#define DUG "{'region':'demo-north','shell':'epdm-liner','pond':{'outline':{'kind':'rectangle','length_m':6,'width_m':4},'depth_m':%s}," \
	"'site':{'soil':'%s','access_width_m':%s}}"

static void take_dug(int at, const char *depth_m, const char *soil, const char *access_width_m)
{
	char text[1024];

	snprintf(text, sizeof text, DUG, depth_m, soil, access_width_m);
	take_text(text, at);
}

START_TEST(a_hole_that_is_dug_stays_to_be_paid)
{
	const struct variation_line *dig;

	take_dug(0, "1.4", "loam", "2");
	take_dug(1, "0.8", "loam", "2");
	vary("dig");
	dig = row_of("dig-by-machine-3t");
	ck_assert(dig->done);
	ck_assert_int_eq(dig->omission_minor, 0);
	ck_assert_int_gt(dig->kept_minor, 0);
	ck_assert_double_gt(variation.kept_crew_days, 0);
	vary(NULL);
	dig = row_of("dig-by-machine-3t");
	ck_assert_int_lt(dig->omission_minor, 0);
	ck_assert_int_eq(dig->kept_minor, 0);
}
END_TEST

/* What is charged is no more than what the line's material costs less now, be that a penny or nothing. */
START_TEST(abortive_material_is_bounded_by_what_is_saved)
{
	const struct edition *edition;
	const struct variation_line *sheet;
	int64_t whole_minor, agreed_minor;

	take_dug(0, "1.4", "loam", "2");
	take_dug(1, "0.8", "loam", "2");
	vary("shell-base");
	sheet = row_of("sheet-epdm");
	whole_minor = sheet->bought_minor;
	agreed_minor = quotes[0].lines[sheet->agreed].price_minor[MATERIAL];
	ck_assert_int_gt(whole_minor, 1000);
	edition = enquiry_edition(shipped(), &asked[0]);
	for (int64_t saved_minor = 0; saved_minor < 3; saved_minor++) {
		uint16_t task = shipped()->catalogue.build_ups[quotes[0].lines[sheet->agreed].build_up].task;

		quotes[1].lines[sheet->now].price_minor[MATERIAL] = agreed_minor - saved_minor;
		ck_assert_int_eq(variation_work_out(&shipped()->catalogue, edition, &quotes[0], &quotes[1],
					 (uint16_t)(task - 1), &variation), ST_OK);
		ck_assert_int_eq(row_of("sheet-epdm")->bought_minor, saved_minor);
	}
}
END_TEST

/* An edition of as many tax classes as it may have: sums in the first, labour in the next, all else in the last, at
 * 20 %. Before work begins the account is the new quote's. */
START_TEST(tax_goes_by_the_classes_of_the_new_quote)
{
	enum { LAST = CLASSES_MOST - 1 };
	static const struct tax_class classes[CLASSES_MOST] = {
		{.rate_ppm = 0}, {.rate_ppm = 100000}, [LAST] = {.rate_ppm = 200000}};
	struct catalogue changed = shipped()->catalogue;
	struct edition *editions = calloc(changed.n_editions, sizeof *editions), *edition;

	take_fixture("3a-rebuild-agreed", 0);
	take_fixture("3b-rebuild-found", 1);
	memcpy(editions, changed.editions, changed.n_editions * sizeof *editions);
	edition = &editions[enquiry_edition(shipped(), &asked[0]) - changed.editions];
	edition->registered = true;
	edition->share_rule_ppm = 0;
	edition->tax_classes = (struct span){0, CLASSES_MOST};
	edition->tax_of_sums = 0;
	for (uint32_t i = 0; i < COMPONENT_COUNT; i++)
		edition->tax_of[i] = i == LABOUR ? 1 : LAST;
	changed.editions = editions;
	changed.tax_classes = classes;
	for (int at = 0; at < 2; at++)
		ck_assert_int_eq(quote_price(&changed, edition, &asked[at], NO_INDEX, scratch, &quotes[at]), ST_OK);
	ck_assert_int_eq(variation_work_out(&changed, edition, &quotes[0], &quotes[1], STAGE_NOTHING, &variation), ST_OK);
	for (uint32_t i = 0; i < CLASSES_MOST; i++) {
		ck_assert_int_eq(variation.classes[i].net_minor, quotes[1].classes[i].net_minor);
		ck_assert_int_eq(variation.classes[i].tax_minor, quotes[1].classes[i].tax_minor);
		ck_assert(variation.classes[i].net_minor > 0 || (i > 1 && i < LAST));
	}
	ck_assert_int_eq(variation.classes[LAST].tax_minor, (variation.classes[LAST].net_minor * 2 + 5) / 10);
	ck_assert_int_eq(variation.final_tax_minor, quotes[1].tax_minor);
	free(editions);
}
END_TEST

START_TEST(another_method_for_the_same_work_is_one_row)
{
	take_dug(0, "1.2", "loam", "2");
	take_dug(1, "1.2", "loam", "0.7");
	vary("dig");
	ck_assert_uint_ne(row_of("dig-by-machine-3t")->now, NO_INDEX);
}
END_TEST

START_TEST(travel_goes_by_the_day_and_is_not_done_with_its_task)
{
	take_dug(0, "1.4", "loam", "2");
	take_dug(1, "0.8", "loam", "2");
	vary("dig");
	ck_assert(!row_of("travel-daily")->done);
	vary("later-visits");
	ck_assert(row_of("travel-daily")->done);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("variation");
	TCase *tcase = tcase_create("all");
	SRunner *runner;
	int failed;

	tcase_add_checked_fixture(tcase, begin, end);
	tcase_set_timeout(tcase, 200);
	tcase_add_test(tcase, random_pairs_reconcile_to_the_penny_at_every_stage);
	tcase_add_test(tcase, the_same_enquiry_varies_nothing);
	tcase_add_test(tcase, before_work_begins_the_new_price_is_the_quote);
	tcase_add_test(tcase, nothing_is_omitted_when_all_is_done);
	tcase_add_test(tcase, a_cut_sheet_is_abortive_and_a_boxed_pump_is_not);
	tcase_add_test(tcase, of_a_sheet_that_another_line_takes_up_only_the_rest_is_abortive);
	tcase_add_test(tcase, a_hole_that_is_dug_stays_to_be_paid);
	tcase_add_test(tcase, abortive_material_is_bounded_by_what_is_saved);
	tcase_add_test(tcase, tax_goes_by_the_classes_of_the_new_quote);
	tcase_add_test(tcase, another_method_for_the_same_work_is_one_row);
	tcase_add_test(tcase, travel_goes_by_the_day_and_is_not_done_with_its_task);
	suite_add_tcase(suite, tcase);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
