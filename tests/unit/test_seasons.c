#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "calendar.h"
#include "priced.h"

/* What moves a start, what frost holds up, and the seasons of rules. */

#define BOX "'pond':{'outline':{'kind':'rectangle','length_m':4,'width_m':3},'depth_m':1,'profile':{'kind':'battered','side_slope':0.5}}"

static const struct catalogue *catalogue(void)
{
	return &shipped()->catalogue;
}

static const struct region *region_of(const struct quote *quote)
{
	return &catalogue()->regions[catalogue()->editions[(uint32_t)quote->resolved.v[F_edition].number].region];
}

/* 2026-12-25 is a Friday and Christmas Day, the Monday after it stands in for Boxing Day: the 29th is the first day. */
START_TEST(a_start_on_a_holiday_moves_to_the_next_working_day)
{
	const struct quote *quote = priced("{'region':'demo-north','issued_on':'2026-11-25','start_on':'2026-12-25','shell':'epdm-liner'," BOX "}");

	ck_assert_int_eq(quote->programme.earliest_day, 20812);
	ck_assert_int_eq(quote->programme.start_day, 20812 + 4);
}
END_TEST

/* A consent takes 60 days of 2026-11-25 on; one that takes half a day less is there no day sooner. */
START_TEST(a_wait_for_a_permission_is_waited_to_the_end)
{
	static const char json[] = "{'region':'demo-north','issued_on':'2026-11-25','start_on':'2026-11-25',"
				   "'shell':'epdm-liner'," BOX ",'facts':{'structure_in_watercourse':true,'watercourse_class':'ordinary'}}";
	static struct rule rules[RULES_MOST];
	struct catalogue changed = *catalogue();
	int32_t asked_day = priced(json)->programme.earliest_day - 60;

	ck_assert_double_eq(priced(json)->rules_wait_days, 60);
	memcpy(rules, catalogue()->rules, catalogue()->n_rules * sizeof rules[0]);
	changed.rules = rules;
	for (uint32_t i = 0; i < catalogue()->n_rules; i++)
		if (rules[i].wait_days == 60)
			rules[i].wait_days = 59.5;
	ck_assert_double_eq(priced_by(&changed, json)->rules_wait_days, 59.5);
	ck_assert_int_eq(priced_by(&changed, json)->programme.earliest_day, asked_day + 60);
	ck_assert_int_eq(asked_day, 20782);
}
END_TEST

/* Paint may not be laid from November to March: render that is ready in winter waits for the first of April. */
START_TEST(coats_that_winter_forbids_wait_for_spring)
{
	const struct quote *quote = priced("{'region':'demo-north','issued_on':'2026-08-03','start_on':'2026-09-21',"
					   "'shell':'rendered-concrete'," BOX "}");
	const struct task_result *paint = task_of(quote, "shell-paint"), *render = task_of(quote, "shell-render");

	ck_assert_uint_eq(region_of(quote)->frost[FROST_COATING], 1u << 11 | 1u << 12 | 1u << 1 | 1u << 2 | 1u << 3);
	ck_assert_uint_eq(day_month(render->to_day), 10);
	ck_assert_int_eq(paint->from_day, 20909); /* 2027-04-01, a Thursday */
	ck_assert_double_ge(paint->frost_days, 100);
	ck_assert_int_gt(quote->programme.water_in_day, paint->to_day);
	ck_assert_double_eq(render->frost_days, 0);
}
END_TEST

/* Render may not be begun in November in the highlands. Of any start in autumn no coat is begun in a month that forbids it,
 * be it only that a weekend lies between the day on which it is ready and the day on which it is begun. */
START_TEST(no_coat_is_begun_in_a_month_that_forbids_it)
{
	for (int day = 1; day <= 28; day++) {
		const struct quote *quote = priced_with("{'region':'demo-highland','issued_on':'2027-01-04','start_on':'2027-10-%02d',"
							"'shell':'rendered-concrete'," BOX "}", day);
		const struct region *region = region_of(quote);

		ck_assert(!(region->frost[FROST_RENDER] >> day_month(task_of(quote, "shell-render")->from_day) & 1));
		ck_assert(!(region->frost[FROST_RENDER] >> day_month(task_of(quote, "shell-bond")->from_day) & 1));
		ck_assert(!(region->frost[FROST_COATING] >> day_month(task_of(quote, "shell-paint")->from_day) & 1));
		ck_assert(!(region->frost[FROST_CONCRETE] >> day_month(task_of(quote, "shell-concrete")->from_day) & 1));
	}
}
END_TEST

/* Started on 15 October the first coat of render ends on Friday the 29th. The second is ready on Sunday the 31st and would be
 * begun on Monday, in November: it waits for Monday the third of April. */
START_TEST(a_weekend_does_not_carry_a_coat_into_frost)
{
	const struct quote *quote = priced("{'region':'demo-highland','issued_on':'2026-11-25','start_on':'2027-10-15','shell':"
					   "'rendered-concrete','pond':{'outline':{'kind':'circle','diameter_m':3.2},'depth_m':0.7,"
					   "'profile':{'kind':'dish'}}}");

	ck_assert_uint_eq(day_month(task_of(quote, "shell-render")->from_day), 10);
	ck_assert_uint_eq(day_month(task_of(quote, "shell-render")->to_day), 4);
}
END_TEST

START_TEST(without_frost_nothing_is_held)
{
	const struct quote *quote = priced("{'region':'demo-north','issued_on':'2027-03-01','start_on':'2027-05-10',"
					   "'shell':'rendered-concrete'," BOX "}");

	for (uint32_t task = 0; task < catalogue()->n_tasks; task++)
		ck_assert_double_eq(quote->programme.tasks[task].frost_days, 0);
}
END_TEST

/* The level is watched after filling, and nothing is handed over before. */
START_TEST(the_pond_is_tested_before_hand_over)
{
	const struct quote *quote = priced("{'region':'demo-north','issued_on':'2027-03-01','shell':'epdm-liner'," BOX "}");
	const struct task_result *test = task_of(quote, "test-water");

	ck_assert(test->active);
	ck_assert_double_eq(test->wait_days, 3);
	ck_assert_int_ge(test->from_day, task_of(quote, "fill")->to_day);
	ck_assert_int_ge(task_of(quote, "clear-away")->from_day, test->to_day + 3);
	ck_assert_int_ge(quote->programme.water_in_day, task_of(quote, "fill")->to_day);
	/* also where mortared stone keeps pump and pipe, and so the watching, back until spring */
	quote = priced("{'region':'demo-north','issued_on':'2026-11-25','start_on':'2026-12-01','shell':'epdm-liner','pond':{'outline':"
		       "{'kind':'rectangle','length_m':4,'width_m':3},'depth_m':0.8,'profile':{'kind':'battered','side_slope':1.2}},"
		       "'stream':{'length_m':5,'fall_m':1}}");
	ck_assert_int_ge(quote->programme.water_in_day, task_of(quote, "fill")->to_day);
	ck_assert_int_gt(task_of(quote, "test-water")->from_day, quote->programme.water_in_day + 30);
}
END_TEST

/* 600 m2 from a garden tap: 24 hours a day, 720 litres an hour. */
START_TEST(water_is_in_when_the_tap_has_run_long_enough)
{
	const struct quote *quote = priced("{'region':'demo-north','issued_on':'2027-03-01','shell':'epdm-liner','pond':{'outline':"
	                                   "{'kind':'rectangle','length_m':30,'width_m':20},'depth_m':1,'profile':{'kind':'vertical'}}}");
	const struct programme *programme = &quote->programme;
	double days = 600 / 0.72 / 24;

	ck_assert_double_eq_tol(task_of(quote, "fill")->wait_days, days, 1e-6);
	ck_assert_int_ge(programme->water_in_day, task_of(quote, "fill")->to_day + (int32_t)floor(days));
	ck_assert_int_le(programme->water_in_day, task_of(quote, "fill")->to_day + (int32_t)ceil(days));
	ck_assert_int_ge(task_of(quote, "test-water")->from_day, programme->water_in_day);
}
END_TEST

/* ---- seasons ---- */

static const struct season *season_of(const struct quote *quote, const char *rule)
{
	for (uint32_t i = 0; i < quote->programme.n_seasons; i++)
		if (strcmp(config_text(shipped(), catalogue()->rules[quote->programme.seasons[i].rule].text)->id, rule) == 0)
			return &quote->programme.seasons[i];
	return NULL;
}

#define HEDGE "{'region':'demo-north','issued_on':'2026-11-25','start_on':'%s','shell':'epdm-liner'," BOX \
	",'facts':{'vegetation_clearance':true}}"

/* Birds nest from March to August. Work that is asked for in April misses them when it begins in September, and the rule is
 * silent then; in every month before it is not. */
START_TEST(a_season_is_missed_from_the_day_that_is_told)
{
	static const char *const months[] = {"2027-05-03", "2027-06-01", "2027-07-01", "2027-08-02"};
	const struct quote *quote = priced_with(HEDGE, "2027-04-05");
	const struct season *season = season_of(quote, "bird-nesting-season");

	ck_assert_ptr_nonnull(season);
	ck_assert_int_eq(season->free_from_day, 21062); /* 2027-09-01, a Wednesday */
	ck_assert_int_eq(quote->programme.free_day, 21062);
	/* a rule only warns: the dates stay */
	ck_assert_int_eq(quote->programme.start_day, 20913);
	ck_assert_uint_eq(quote->resolved.v[F_fact_work_months].set >> 4 & 1, 1);
	for (int i = 0; i < 4; i++)
		ck_assert(flagged(priced_with(HEDGE, months[i]), "bird-nesting-season", LEVEL_CHECK, RAISED_BY_FACT));
	quote = priced_with(HEDGE, "2027-09-01");
	ck_assert(!flagged(quote, "bird-nesting-season", LEVEL_CHECK, RAISED_BY_FACT));
	ck_assert_uint_eq(quote->programme.n_seasons, 0);
	ck_assert_int_eq(quote->programme.free_day, quote->programme.start_day);
}
END_TEST

/* Concrete that can't be painted before April always reaches into the breeding season of an old pond's animals. */
START_TEST(a_season_that_cannot_be_missed_is_told_too)
{
	const struct quote *quote = priced("{'region':'demo-north','issued_on':'2026-11-25','start_on':'2026-12-07',"
					   "'shell':'rendered-concrete'," BOX ",'old_pond':{},'roots':{'extent':'throughout','plant':'common-reed'}}");

	ck_assert_ptr_nonnull(season_of(quote, "pond-breeding-season"));
	ck_assert_int_eq(season_of(quote, "pond-breeding-season")->free_from_day, DAY_NEVER);
	ck_assert_int_eq(quote->programme.free_day, DAY_NEVER);
	/* what is only noted of winter is no season to miss */
	ck_assert(flagged(quote, "pond-winter-care", LEVEL_NOTE, RAISED_BY_FACT));
	ck_assert_ptr_null(season_of(quote, "pond-winter-care"));
}
END_TEST

START_TEST(months_that_the_caller_names_are_his)
{
	const struct quote *quote = priced("{'region':'demo-north','issued_on':'2026-11-25','start_on':'2027-04-05',"
					   "'shell':'epdm-liner'," BOX ",'facts':{'vegetation_clearance':true,'work_months':[4,5]}}");

	ck_assert(flagged(quote, "bird-nesting-season", LEVEL_CHECK, RAISED_BY_FACT));
	ck_assert_uint_eq(quote->programme.n_seasons, 0);
	ck_assert_int_eq(quote->programme.free_day, quote->programme.start_day);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("seasons");
	TCase *cases = tcase_create("when");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_test(cases, a_start_on_a_holiday_moves_to_the_next_working_day);
	tcase_add_test(cases, a_wait_for_a_permission_is_waited_to_the_end);
	tcase_add_test(cases, coats_that_winter_forbids_wait_for_spring);
	tcase_add_test(cases, no_coat_is_begun_in_a_month_that_forbids_it);
	tcase_add_test(cases, a_weekend_does_not_carry_a_coat_into_frost);
	tcase_add_test(cases, without_frost_nothing_is_held);
	tcase_add_test(cases, the_pond_is_tested_before_hand_over);
	tcase_add_test(cases, water_is_in_when_the_tap_has_run_long_enough);
	tcase_add_test(cases, a_season_is_missed_from_the_day_that_is_told);
	tcase_add_test(cases, a_season_that_cannot_be_missed_is_told_too);
	tcase_add_test(cases, months_that_the_caller_names_are_his);
	suite_add_tcase(suite, cases);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
