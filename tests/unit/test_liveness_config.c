#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "assumption.h"
#include "conditions.h"
#include "made_enquiries.h"
#include "outcomes.h"
#include "random_enquiry.h"
#include "writer.h"

/* Nothing may stand in the configuration that nothing uses: a pool of fixtures, of enquiries drawn from the table and of
 * some made for the purpose is priced, and whatever a quote takes is marked. Run with an argument the program says who
 * was the first to use each entry. */

static bool prints;

enum { RANDOM = 80, NAME_SIZE = 40 };

/* The first enquiry that used each entry of a list. */
struct marks {
	const char *what;
	uint32_t count;
	char (*by)[NAME_SIZE];
};
static struct marks build_ups, groups, items, packs, sections, tasks, grades, shells, layers, reasons, pumps, bores, edges,
	root_plants, rules, sums, notes, factors, factor_cases, unknowns, soils;
static char asking[NAME_SIZE];

static struct marks marks_of(const char *what, uint32_t count)
{
	return (struct marks){what, count, calloc(count, NAME_SIZE)};
}

static void mark(struct marks *marks, uint32_t index)
{
	ck_assert_uint_lt(index, marks->count);
	if (marks->by[index][0] == '\0')
		strcpy(marks->by[index], asking);
}

/* ---- what one quote uses ---- */

static void use_factors(const struct quote *quote, struct span refs)
{
	const struct catalogue *catalogue = &shipped()->catalogue;

	for (uint32_t i = refs.first; i < refs.first + refs.count; i++) {
		const struct factor *factor = &catalogue->factors[catalogue->factor_refs[i]];

		mark(&factors, catalogue->factor_refs[i]);
		for (uint32_t at = factor->cases.first; at < factor->cases.first + factor->cases.count; at++)
			if (conditions_truth(catalogue, catalogue->factor_cases[at].when, quote->resolved.v, quote->q) == YES) {
				mark(&factor_cases, at);
				break;
			}
	}
}

static void use_build_up(const struct quote *quote, const struct line *line)
{
	const struct catalogue *catalogue = &shipped()->catalogue;
	const struct build_up *build_up = &catalogue->build_ups[line->build_up];

	mark(&build_ups, line->build_up);
	mark(&tasks, build_up->task);
	if (build_up->group != GROUP_NONE)
		mark(&groups, build_up->group);
	for (uint32_t i = 0; i < build_up->labour.count; i++)
		use_factors(quote, catalogue->labours[build_up->labour.first + i].factors);
	for (uint32_t i = 0; i < build_up->costs.count; i++)
		use_factors(quote, catalogue->costs[build_up->costs.first + i].factors);
	for (uint32_t i = 0; i < catalogue->n_grades; i++)
		if (line->hours[i] > 0)
			mark(&grades, i);
}

static void use_lines(const struct quote *quote)
{
	const struct catalogue *catalogue = &shipped()->catalogue;

	for (uint32_t i = 0; i < quote->n_lines; i++) {
		mark(&sections, quote->lines[i].section);
		if (quote->lines[i].special == LINE_BUILD_UP)
			use_build_up(quote, &quote->lines[i]);
	}
	for (uint32_t i = 0; i < catalogue->n_items; i++) {
		if (quote->item_total[i] <= 0)
			continue;
		mark(&items, i);
		for (uint32_t pack = 0; pack < catalogue->items[i].packs.count; pack++)
			if (quote->bought[catalogue->items[i].packs.first + pack] > 0)
				mark(&packs, catalogue->items[i].packs.first + pack);
	}
}

static bool holds(const struct quote *quote, struct span when)
{
	return conditions_truth(&shipped()->catalogue, when, quote->resolved.v, quote->q) == YES;
}

static void use_reasons(const struct quote *quote, struct span of)
{
	for (uint32_t i = of.first; i < of.first + of.count; i++)
		if (holds(quote, shipped()->catalogue.shell_reasons[i].when))
			mark(&reasons, i);
}

static void use_shell(const struct quote *quote)
{
	const struct shell *shell;

	if (quote->shell == NO_INDEX)
		return;
	shell = &shipped()->catalogue.shells[quote->shell];
	mark(&shells, quote->shell);
	for (uint32_t i = shell->layers.first; i < shell->layers.first + shell->layers.count; i++)
		if (holds(quote, shipped()->catalogue.layers[i].when))
			mark(&layers, i);
	use_reasons(quote, shell->unsuitable);
	use_reasons(quote, shell->cautions);
}

static void use_water(const struct quote *quote)
{
	if (quote->water.pump != NO_INDEX && quote->water.choice != PUMP_NOT_NEEDED)
		mark(&pumps, quote->water.pump);
	if (quote->water.bore != NO_INDEX && quote->water.choice != PUMP_NOT_NEEDED)
		mark(&bores, quote->water.bore);
}

static void use_words(const struct quote *quote)
{
	const struct value *v = quote->resolved.v;

	if (v[F_coping_m].number > 0)
		mark(&edges, (uint32_t)v[F_edge_material].number);
	if (quote->q[Q_roots_m2] > 0 && v[F_roots_plant].origin == GIVEN)
		mark(&root_plants, (uint32_t)v[F_roots_plant].number);
	if (quote->q[Q_dig_m3] > 0)
		mark(&soils, (uint32_t)v[F_soil].number);
	for (uint32_t id = 0; id < F_COUNT; id++)
		if (v[id].origin == BY_ASSUMPTION) {
			uint32_t region = (uint32_t)v[F_region].number;
			const struct unknown *row = assumption_of(&shipped()->catalogue, region, v, quote->q, id);

			if (row)
				mark(&unknowns, (uint32_t)(row - shipped()->catalogue.unknowns));
		}
}

static void use_sentences(const struct quote *quote)
{
	for (uint32_t i = 0; i < quote->n_flags; i++)
		if (quote->flags[i].raised_by == RAISED_BY_FACT)
			mark(&rules, quote->flags[i].rule);
	for (uint32_t i = 0; i < sums.count; i++)
		if (quote->sum_in_price[i])
			mark(&sums, i);
	for (uint32_t i = 0; i < notes.count; i++)
		if (quote->note_said[i])
			mark(&notes, i);
}

static bool ask(const char *name, json_t *enquiry, enum route_need need, uint16_t shell)
{
	static struct quote quote;

	snprintf(asking, sizeof asking, "%s", name);
	if (!outcome_of(enquiry, need, shell, &quote))
		return false;
	use_sentences(&quote);
	if (need == NEED_SCREEN)
		return true;
	use_lines(&quote);
	use_shell(&quote);
	use_water(&quote);
	use_words(&quote);
	return true;
}

/* ---- the pool ---- */

static void ask_with_each_shell(const char *name, json_t *enquiry)
{
	ck_assert_msg(ask(name, enquiry, NEED_QUOTE, NO_INDEX), "%s is refused", name);
	for (uint16_t shell = 0; shell < shipped()->catalogue.n_shells; shell++)
		ask(name, enquiry, NEED_QUOTE, shell);
}

static void ask_fixture(const char *name, json_t *enquiry, void *context)
{
	(void)context;
	ask_with_each_shell(name, enquiry);
}

static void ask_directed(void)
{
	for (uint32_t i = 0; i < n_directed_enquiries; i++) {
		json_t *enquiry = outcome_json(directed_enquiries[i]);
		char name[NAME_SIZE];

		snprintf(name, sizeof name, "directed %u", i + 1);
		ask_with_each_shell(name, enquiry);
		json_decref(enquiry);
	}
}

static void ask_made(const char *name, json_t *enquiry)
{
	ck_assert_msg(ask(name, enquiry, NEED_QUOTE, NO_INDEX), "%s is refused", name);
}

static void ask_random(void)
{
	struct writer text;

	writer_init(&text);
	for (uint32_t seed = 1; seed <= RANDOM; seed++) {
		char name[NAME_SIZE];
		json_t *enquiry;

		writer_clear(&text);
		random_enquiry_write(&text, shipped(), seed);
		enquiry = json_loadb(text.bytes, text.length, 0, NULL);
		ck_assert_ptr_nonnull(enquiry);
		snprintf(name, sizeof name, "random %u", seed);
		ask(name, enquiry, NEED_QUOTE, NO_INDEX);
		json_decref(enquiry);
	}
	writer_free(&text);
}

static void ask_cases(const char *file)
{
	char path[1024];
	json_t *root, *list, *a_case;
	size_t i;

	snprintf(path, sizeof path, "%s/rules/%s", getenv("PONDWRIGHT_FIXTURES"), file);
	root = json_load_file(path, 0, NULL);
	ck_assert_ptr_nonnull(root);
	list = json_is_array(root) ? root : json_object_get(root, "cases");
	json_array_foreach(list, i, a_case) {
		json_t *facts = json_deep_copy(json_object_get(a_case, "fires"));
		json_t *enquiry = json_pack("{s:s,s:o}", "region", "demo-north", "facts", facts);

		json_object_set(facts, "nation", json_object_get(a_case, "nation"));
		ck_assert(ask(json_string_value(json_object_get(a_case, "rule")), enquiry, NEED_SCREEN, NO_INDEX));
		json_decref(enquiry);
	}
	json_decref(root);
}

/* ---- what was left ---- */

typedef const char *naming(uint32_t index);

#define NAMED(function, array) \
	static const char *function(uint32_t index) { return config_text(shipped(), shipped()->catalogue.array[index].text)->id; }
NAMED(build_up_name, build_ups)
NAMED(group_name, groups)
NAMED(item_name, items)
NAMED(section_name, sections)
NAMED(task_name, tasks)
NAMED(grade_name, grades)
NAMED(shell_name, shells)
NAMED(reason_name, shell_reasons)
NAMED(pump_name, pumps)
NAMED(bore_name, bores)
NAMED(edge_name, edges)
NAMED(root_plant_name, root_plants)
NAMED(rule_name, rules)
NAMED(sum_name, sums)
NAMED(note_name, notes)
NAMED(factor_name, factors)

static const char *numbered(const char *word, const char *of, uint32_t number)
{
	static char text[120];

	snprintf(text, sizeof text, "%s, %s %u", word, of, number);
	return text;
}

static const char *pack_name(uint32_t index)
{
	const struct catalogue *catalogue = &shipped()->catalogue;

	for (uint32_t i = 0; i < catalogue->n_items; i++)
		if (index - catalogue->items[i].packs.first < catalogue->items[i].packs.count)
			return numbered(item_name(i), "pack", index - catalogue->items[i].packs.first);
	return "?";
}

static const char *layer_name(uint32_t index)
{
	const struct catalogue *catalogue = &shipped()->catalogue;

	for (uint32_t i = 0; i < catalogue->n_shells; i++)
		if (index - catalogue->shells[i].layers.first < catalogue->shells[i].layers.count)
			return numbered(shell_name(i), "layer", index - catalogue->shells[i].layers.first);
	return "?";
}

static const char *case_name(uint32_t index)
{
	const struct catalogue *catalogue = &shipped()->catalogue;

	for (uint32_t i = 0; i < catalogue->n_factors; i++)
		if (index - catalogue->factors[i].cases.first < catalogue->factors[i].cases.count)
			return numbered(factor_name(i), "case", index - catalogue->factors[i].cases.first);
	return "?";
}

static const char *unknown_name(uint32_t index)
{
	uint16_t subject = shipped()->catalogue.unknowns[index].subject;

	return subject < F_COUNT ? numbered(enquiry_fields[subject].pointer, "row", index) : "our own";
}

static const char *soil_name(uint32_t index)
{
	return config_word(shipped(), LIST_soil, index);
}

static uint32_t left_of(const struct marks *marks, naming *name)
{
	uint32_t left = 0;

	for (uint32_t i = 0; i < marks->count; i++) {
		bool used = marks->by[i][0] != '\0';

		left += !used;
		if (prints)
			printf("%-14s %-44s %s\n", marks->what, name(i), used ? marks->by[i] : "NOTHING USES IT");
		else if (!used)
			printf("nothing uses %s %s\n", marks->what, name(i));
	}
	fflush(stdout);
	return left;
}

static uint32_t of_cases(const struct catalogue *catalogue)
{
	uint32_t count = 0;

	for (uint32_t i = 0; i < catalogue->n_factors; i++)
		if (catalogue->factors[i].cases.first + catalogue->factors[i].cases.count > count)
			count = catalogue->factors[i].cases.first + catalogue->factors[i].cases.count;
	return count;
}

static uint32_t of_shells(const struct catalogue *catalogue, bool of_layers)
{
	uint32_t count = 0;

	for (uint32_t i = 0; i < catalogue->n_shells; i++) {
		const struct shell *shell = &catalogue->shells[i];

		count += of_layers ? shell->layers.count : shell->unsuitable.count + shell->cautions.count;
	}
	return count;
}

static void marks_begin(void)
{
	const struct catalogue *catalogue = &shipped()->catalogue;

	build_ups = marks_of("build-up", catalogue->n_build_ups);
	groups = marks_of("group", catalogue->n_groups);
	items = marks_of("item", catalogue->n_items);
	packs = marks_of("pack", catalogue->n_packs);
	sections = marks_of("section", catalogue->n_sections);
	tasks = marks_of("task", catalogue->n_tasks);
	grades = marks_of("grade", catalogue->n_grades);
	shells = marks_of("shell", catalogue->n_shells);
	layers = marks_of("layer", of_shells(catalogue, true));
	reasons = marks_of("reason", of_shells(catalogue, false));
	pumps = marks_of("pump", catalogue->n_pumps);
	bores = marks_of("bore", catalogue->n_bores);
	edges = marks_of("edge", catalogue->n_edges);
	root_plants = marks_of("root plant", catalogue->n_root_plants);
	rules = marks_of("rule", catalogue->n_rules);
	sums = marks_of("sum", catalogue->n_sums);
	notes = marks_of("sentence", catalogue->n_notes);
	factors = marks_of("factor", catalogue->n_factors);
	factor_cases = marks_of("factor case", of_cases(catalogue));
	unknowns = marks_of("assumption", catalogue->n_unknowns);
	soils = marks_of("soil", soil_COUNT);
}

static void marks_end(void)
{
	struct marks *all[] = {&build_ups, &groups, &items, &packs, &sections, &tasks, &grades, &shells, &layers, &reasons,
	                       &pumps, &bores, &edges, &root_plants, &rules, &sums, &notes, &factors, &factor_cases, &unknowns,
	                       &soils};

	for (size_t i = 0; i < sizeof all / sizeof all[0]; i++)
		free(all[i]->by);
}

/* Assumptions about our own output and prices are a range's; a quote takes their likely value, 1. */
static void mark_our_own(void)
{
	strcpy(asking, "ranges alone");
	for (uint32_t i = 0; i < unknowns.count; i++)
		if (shipped()->catalogue.unknowns[i].subject >= F_COUNT)
			mark(&unknowns, i);
}

START_TEST(every_entry_is_used)
{
	uint32_t left = 0;

	marks_begin();
	outcome_fixtures(ask_fixture, NULL);
	ask_directed();
	ask_cases("common-cases.json");
	ask_cases("nation-cases.json");
	ask_random();
	made_enquiries(ask_made);
	mark_our_own();
	left += left_of(&build_ups, build_up_name) + left_of(&groups, group_name);
	left += left_of(&items, item_name) + left_of(&packs, pack_name);
	left += left_of(&sections, section_name) + left_of(&tasks, task_name) + left_of(&grades, grade_name);
	left += left_of(&shells, shell_name) + left_of(&layers, layer_name) + left_of(&reasons, reason_name);
	left += left_of(&pumps, pump_name) + left_of(&bores, bore_name);
	left += left_of(&edges, edge_name) + left_of(&root_plants, root_plant_name) + left_of(&soils, soil_name);
	left += left_of(&rules, rule_name) + left_of(&sums, sum_name) + left_of(&notes, note_name);
	left += left_of(&factors, factor_name) + left_of(&factor_cases, case_name) + left_of(&unknowns, unknown_name);
	marks_end();
	ck_assert_msg(left == 0, "%u entries that nothing uses, listed above", left);
}
END_TEST

/* ---- trade constants: more or less of each changes some quote ---- */

static bool practice_counts(const char *text, enum practice_id id)
{
	static const double times[] = {1.2, 0.8, 0.5, 0.3, 3};
	static struct quote before, after;
	json_t *enquiry = outcome_json(text);
	const char *change = NULL;

	ck_assert(outcome_with_practice(enquiry, id, 1, &before));
	for (size_t i = 0; i < sizeof times / sizeof times[0] && change == NULL; i++) {
		double value = shipped()->catalogue.practice[id] * times[i];

		if (value < practice_table[id].lo || value > practice_table[id].hi)
			continue;
		ck_assert(outcome_with_practice(enquiry, id, times[i], &after));
		change = outcome_change(&before, &after);
	}
	if (change && prints)
		printf("%-14s %-44s %s\n", "practice", practice_table[id].name, change);
	json_decref(enquiry);
	return change != NULL;
}

START_TEST(every_trade_constant_moves_something)
{
	uint32_t left = 0;

	for (uint32_t id = 0; id < P_COUNT; id++) {
		bool counts = false;

		for (uint32_t i = 0; i < n_directed_enquiries && !counts; i++)
			counts = practice_counts(directed_enquiries[i], (enum practice_id)id);
		left += !counts;
		if (!counts)
			printf("nothing uses %s\n", practice_table[id].name);
	}
	fflush(stdout);
	ck_assert_msg(left == 0, "%u trade constants that nothing uses, listed above", left);
}
END_TEST

int main(int argc, char **argv)
{
	Suite *suite = suite_create("liveness_config");
	TCase *entries = tcase_create("entries");
	SRunner *runner;
	int failed;

	(void)argv;
	prints = argc > 1;
	tcase_set_timeout(entries, 120);
	tcase_add_test(entries, every_entry_is_used);
	tcase_add_test(entries, every_trade_constant_moves_something);
	suite_add_tcase(suite, entries);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
