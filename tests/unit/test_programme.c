#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "calendar.h"
#include "priced.h"

#define BOX "'pond':{'outline':{'kind':'rectangle','length_m':4,'width_m':3},'depth_m':1,'profile':{'kind':'battered','side_slope':0.5}}"

static const struct catalogue *catalogue(void)
{
	return &shipped()->catalogue;
}

/* Every task starts when all that it follows is done and has waited; nothing starts on a free day; two tasks never share
 * the crew beyond the day on which one ends and the next begins. */
static void check_order(const struct quote *quote)
{
	const struct region *region = &catalogue()->regions[catalogue()->editions[(uint32_t)quote->resolved.v[F_edition].number].region];

	for (uint32_t task = 0; task < catalogue()->n_tasks; task++) {
		const struct task_result *result = &quote->programme.tasks[task];
		struct span follows = catalogue()->tasks[task].follows;

		if (!result->active)
			continue;
		ck_assert_int_le(result->from_day, result->to_day);
		ck_assert_int_ge(result->from_day, quote->programme.start_day);
		ck_assert_int_le(result->to_day, quote->programme.finish_day);
		if (result->hours > 0)
			ck_assert(day_capacity(catalogue(), region, result->from_day) > 0);
		for (uint32_t i = follows.first; i < follows.first + follows.count; i++) {
			const struct task_result *earlier = &quote->programme.tasks[catalogue()->task_refs[i]];

			if (earlier->active)
				ck_assert_int_ge(result->from_day, earlier->to_day);
		}
	}
}

START_TEST(tasks_follow_one_another_on_working_days)
{
	static const char *const regions[] = {"demo-north", "demo-isle", "demo-highland", "demo-coast"};
	static const char *const months[] = {"2026-12-01", "2027-03-29", "2027-07-10"};

	for (uint32_t i = 0; i < 12; i++)
		check_order(priced_with("{'region':'%s','start_on':'%s','shell':'rendered-concrete'," BOX
		                        ",'old_pond':{},'roots':{'extent':'throughout'},'stream':{'length_m':5,'fall_m':1}}",
		                        regions[i % 4], months[i / 4]));
}
END_TEST

/* Two visits 28 days apart and 14 days before digging; 7 days of damp cure; 2 days between two coats of render and 28
 * before paint; 4 before filling; 3 days of watching: 28 + 14 + 7 + 2 + 28 + 4 + 3 = 86 days, 12 weeks and 2 days, beside the
 * hours that pump and tap run. */
START_TEST(waits_of_a_rebuild_in_concrete_add_up)
{
	const struct quote *quote = priced("{'region':'demo-north','start_on':'2027-03-01','shell':'rendered-concrete'," BOX
	                                   ",'old_pond':{},'roots':{'extent':'throughout','plant':'common-reed'}}");
	double waits = 0;

	for (uint32_t task = 0; task < catalogue()->n_tasks; task++)
		if (quote->programme.tasks[task].active)
			waits += quote->programme.tasks[task].wait_days;
	ck_assert_double_eq_tol(task_of(quote, "treat-roots")->wait_days, 28 + 14, 1e-9);
	ck_assert_double_eq_tol(task_of(quote, "treat-roots")->last_wait_days, 14, 1e-9);
	ck_assert_double_eq_tol(task_of(quote, "shell-concrete")->wait_days, 7, 1e-9);
	ck_assert_double_eq_tol(task_of(quote, "shell-render")->wait_days, 2 + 28, 1e-9);
	ck_assert_double_eq_tol(task_of(quote, "shell-paint")->wait_days, 4, 1e-9);
	ck_assert_double_eq_tol(waits, 86 + (quote->q[Q_drain_h] + quote->q[Q_fill_h]) / 24, 1e-9);
	/* all but the three days after filling lie between start and water */
	ck_assert(quote->programme.has_water_in);
	ck_assert_int_ge(quote->programme.water_in_day - quote->programme.start_day, 83);
	/* a rebuild like this can't be in water within two months */
	ck_assert_int_gt(quote->programme.water_in_day - quote->programme.start_day, 61);
}
END_TEST

START_TEST(a_wait_that_nothing_fills_makes_another_visit)
{
	double liner = priced("{'region':'demo-north','start_on':'2027-04-05','shell':'epdm-liner'," BOX "}")->q[Q_visits];
	const struct quote *quote = priced("{'region':'demo-north','start_on':'2027-04-05','shell':'rendered-concrete'," BOX "}");

	ck_assert(quote->q[Q_visits] > liner);
	ck_assert_uint_eq(quote->programme.visits, (uint32_t)quote->q[Q_visits]);
	ck_assert_double_eq_tol(quote->q[Q_crew_half_days], floor(quote->q[Q_crew_half_days]), 1e-12);
	ck_assert(quote->q[Q_crew_days] >= quote->q[Q_crew_half_days] / 2);
}
END_TEST

/* Concrete that is asked for in December waits for the first month in which the region's frost lets it be placed. */
START_TEST(frost_defers_wet_trades)
{
	const struct quote *quote = priced("{'region':'demo-north','start_on':'2026-12-01','shell':'rendered-concrete'," BOX "}");
	const struct region *region = &catalogue()->regions[shipped_word(LIST_regions, "demo-north")];

	ck_assert_uint_ne(region->frost[FROST_RENDER], 0);
	ck_assert(!(region->frost[FROST_CONCRETE] >> day_month(task_of(quote, "shell-concrete")->from_day) & 1));
	ck_assert(!(region->frost[FROST_RENDER] >> day_month(task_of(quote, "shell-render")->from_day) & 1));
	ck_assert(!(region->frost[FROST_COATING] >> day_month(task_of(quote, "shell-paint")->from_day) & 1));
	/* digging is not held up by it */
	ck_assert_int_le(task_of(quote, "dig")->from_day - quote->programme.start_day, 14);
}
END_TEST

START_TEST(work_months_are_those_between_first_and_last_day)
{
	const struct quote *quote = priced("{'region':'demo-north','start_on':'2027-05-24','shell':'epdm-liner'," BOX "}");
	uint32_t months = (uint32_t)quote->q[Q_work_months];

	ck_assert(months >> 5 & 1);
	ck_assert(months >> day_month(quote->programme.finish_day) & 1);
	ck_assert(!(months >> 1 & 1));
	ck_assert_uint_eq(quote->resolved.v[F_fact_work_months].set, months);
	quote = priced("{'region':'demo-north','start_on':'2027-05-24','shell':'epdm-liner'," BOX ",'facts':{'work_months':[9,10]}}");
	ck_assert_uint_eq(quote->resolved.v[F_fact_work_months].set, 1u << 9 | 1u << 10);
}
END_TEST

START_TEST(permissions_side_by_side_delay_the_start)
{
	static const char with[] = "{'region':'demo-north','start_on':'2027-05-24','shell':'epdm-liner'," BOX ",'facts':{%s}}";
	const struct quote *quote = priced_with(with, "'species_records':[]");
	int32_t asked = quote->programme.earliest_day;

	/* a conservation area asks six weeks' notice for the tree, the neighbour's wall one month: the longer one counts */
	quote = priced_with(with, "'tree_protection':['conservation-area'],'tree_work':true,'tree_stem_mm':200,"
	                          "'neighbour_structure_distance_m':2,'dig_below_neighbour_foundations':true");
	ck_assert_double_eq_tol(quote->rules_wait_days, 42, 1e-9);
	ck_assert_int_eq(quote->programme.earliest_day, asked + 42);
	ck_assert_int_ge(quote->programme.start_day, asked + 42);
}
END_TEST

START_TEST(later_visits_are_paid_but_not_waited_for)
{
	static const char with[] = "{'region':'demo-north','start_on':'2027-05-24','shell':'rendered-concrete'," BOX
			   ",'old_pond':{},'roots':{'extent':'throughout','plant':'%s'}}";
	const struct quote *quote = priced_with(with, "common-reed");

	ck_assert(quote->q[Q_reinspect_visits] > 0);
	ck_assert_ptr_nonnull(line_of(quote, "look-again"));
	ck_assert(!task_of(quote, "later-visits")->active);
	ck_assert_int_lt(quote->programme.finish_day, quote->programme.start_day + 200);
}
END_TEST

START_TEST(people_and_days_are_counted)
{
	const struct quote *quote = priced("{'region':'demo-north'," BOX "}");
	const struct edition *edition = &catalogue()->editions[(uint32_t)quote->resolved.v[F_edition].number];

	ck_assert_double_eq_tol(quote->q[Q_peak_workers], edition->crew_people, 1e-9);
	ck_assert_double_eq_tol(quote->q[Q_person_days], ceil(quote->q[Q_crew_half_days] / 2 * edition->crew_people), 1e-9);
	ck_assert(quote->q[Q_work_days] >= quote->q[Q_crew_days]);
	ck_assert_double_eq_tol(quote->resolved.v[F_fact_work_days].number, quote->q[Q_work_days], 1e-9);
}
END_TEST

/* Two treatments stand 28 days apart; one has nothing to wait for but its effect, 14 days. */
START_TEST(one_treatment_is_one_round)
{
	static const char json[] = "{'region':'demo-north','shell':'epdm-liner'," BOX ",'old_pond':{},"
				   "'roots':{'extent':'throughout'}}";
	struct catalogue changed = *catalogue();
	struct root_plant plant = changed.root_plants[0]; /* the usual one */
	struct programme one, two;

	changed.root_plants = &plant;
	plant.visits = 2;
	two = priced_by(&changed, json)->programme;
	plant.visits = 1;
	one = priced_by(&changed, json)->programme;
	ck_assert_double_eq(one.tasks[0].rounds, 1);
	ck_assert_double_eq(two.tasks[0].rounds, 2);
	ck_assert_int_ge(two.tasks[0].to_day - one.tasks[0].to_day, 28);
}
END_TEST

/* Where weather takes 95 of 100 days the crew is counted on site as if it took 90. */
START_TEST(weather_takes_nine_days_in_ten_at_most)
{
	static const char json[] = "{'region':'demo-north','shell':'epdm-liner'," BOX "}";
	static struct region regions[16];
	struct catalogue changed = *catalogue();
	uint32_t region = (uint32_t)priced(json)->resolved.v[F_region].number;
	double days[2];

	ck_assert_uint_le(changed.n_regions, 16);
	memcpy(regions, changed.regions, changed.n_regions * sizeof regions[0]);
	changed.regions = regions;
	for (int i = 0; i < 2; i++) {
		for (uint32_t month = 0; month < 12; month++)
			regions[region].weather_lost[month] = i == 0 ? 0.9 : 0.95;
		days[i] = priced_by(&changed, json)->q[Q_work_days];
	}
	ck_assert_double_gt(days[0], 10);
	ck_assert_double_eq(days[0], days[1]);
	for (uint32_t month = 0; month < 12; month++)
		regions[region].weather_lost[month] = 0.89;
	ck_assert_double_lt(priced_by(&changed, json)->q[Q_work_days], days[0]);
}
END_TEST

/* Work after hand-over is a visit of its own in each of its rounds, also where the table of tasks begins with it. */
START_TEST(each_round_after_hand_over_is_a_visit)
{
	static const char json[] = "{'region':'demo-north','shell':'epdm-liner','pond':{'outline':{'kind':'rectangle',"
				   "'length_m':4,'width_m':3},'depth_m':1},'old_pond':{},"
				   "'roots':{'extent':'throughout','plant':'common-reed'}}";
	static struct task tasks[TASKS_MOST];
	struct catalogue changed = *catalogue();
	struct programme before = priced(json)->programme, after;

	ck_assert_str_eq(config_text(shipped(), catalogue()->tasks[0].text)->id, "treat-roots");
	ck_assert_double_gt(before.tasks[0].hours, 0);
	memcpy(tasks, catalogue()->tasks, catalogue()->n_tasks * sizeof tasks[0]);
	tasks[0].after_handover = true;
	changed.tasks = tasks;
	after = priced_by(&changed, json)->programme;
	ck_assert_double_eq(before.tasks[0].rounds, 2);
	ck_assert_uint_eq(after.visits, before.visits); /* 14 days between the two: two visits wherever they lie */
	ck_assert_double_eq(after.crew_half_days, before.crew_half_days);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("programme");
	TCase *dates = tcase_create("dates");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_test(dates, tasks_follow_one_another_on_working_days);
	tcase_add_test(dates, waits_of_a_rebuild_in_concrete_add_up);
	tcase_add_test(dates, a_wait_that_nothing_fills_makes_another_visit);
	tcase_add_test(dates, frost_defers_wet_trades);
	tcase_add_test(dates, work_months_are_those_between_first_and_last_day);
	tcase_add_test(dates, permissions_side_by_side_delay_the_start);
	tcase_add_test(dates, later_visits_are_paid_but_not_waited_for);
	tcase_add_test(dates, people_and_days_are_counted);
	tcase_add_test(dates, each_round_after_hand_over_is_a_visit);
	tcase_add_test(dates, one_treatment_is_one_round);
	tcase_add_test(dates, weather_takes_nine_days_in_ten_at_most);
	suite_add_tcase(suite, dates);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
