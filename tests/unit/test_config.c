#define _GNU_SOURCE
#include <check.h>
#include <locale.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "config_edit.h"

static struct config *compile_good(void)
{
	struct config *config = config_compile(&small_files, &small_faults);

	if (config == NULL)
		faults_print(&small_faults, stderr);
	ck_assert_ptr_nonnull(config);
	ck_assert_uint_eq(small_faults.n_faults, 0);
	return config;
}

static uint32_t word(const struct config *config, enum word_list list, const char *text)
{
	uint32_t index;

	ck_assert_msg(config_word_index(config, list, text, &index), "no %s", text);
	ck_assert_str_eq(config_word(config, list, index), text);
	return index;
}

/* ---- what a good configuration becomes ---- */

START_TEST(good_configuration_loads_without_a_word)
{
	struct config *config = compile_good();

	ck_assert_uint_eq(small_faults.n_warnings, 0);
	ck_assert_uint_eq(config->n_files, small_files.count);
	ck_assert_uint_eq(strlen(config->digest), 64);
	config_release(config);
}
END_TEST

START_TEST(tasks_follow_earlier_ones_only)
{
	static const char *const order[] = {"dig", "pump", "lay-shell", "fill"};
	struct config *config = compile_good();
	const struct catalogue *c = &config->catalogue;

	ck_assert_uint_eq(c->n_tasks, 4);
	for (uint32_t i = 0; i < c->n_tasks; i++) {
		ck_assert_str_eq(config_text(config, c->tasks[i].text)->id, order[i]);
		for (uint32_t k = 0; k < c->tasks[i].follows.count; k++)
			ck_assert_uint_lt(c->task_refs[c->tasks[i].follows.first + k], i);
	}
	ck_assert_uint_eq(c->tasks[3].follows.count, 2);
	config_release(config);
}
END_TEST

START_TEST(bores_rise_however_they_are_written)
{
	struct config *config = compile_good();

	ck_assert_double_eq(config->catalogue.bores[0].bore_mm, 26);
	ck_assert_double_eq(config->catalogue.bores[1].bore_mm, 40);
	ck_assert_uint_eq(word(config, LIST_bores, "narrow"), 0);
	ck_assert_uint_eq(word(config, LIST_bores, "wide"), 1);
	config_release(config);
}
END_TEST

static uint32_t item_named(const struct config *config, const char *id)
{
	for (uint32_t i = 0; i < config->catalogue.n_items; i++)
		if (strcmp(config_text(config, config->catalogue.items[i].text)->id, id) == 0)
			return i;
	ck_abort_msg("no item %s", id);
	return 0;
}

/* 7.50 pounds are 750 pence and 750,000 thousandths of a penny; yen have no smaller coin. */
START_TEST(prices_are_thousandths_of_the_smallest_coin)
{
	struct config *config = compile_good();
	const struct catalogue *c = &config->catalogue;
	uint32_t edition, concrete = item_named(config, "concrete"), sheet = item_named(config, "sheet");
	const struct edition *e;

	ck_assert(config_edition_index(config, word(config, LIST_regions, "small-a"), "2026-10", &edition));
	e = &c->editions[edition];
	ck_assert_int_eq(e->pack_milliminor[c->items[sheet].packs.first + 1], 750000);
	ck_assert_int_eq(e->item_fixed_milliminor[concrete], 4500000);
	ck_assert_int_eq(e->item_short_milliminor[concrete], 1200000);
	ck_assert_int_eq(e->item_fixed_milliminor[sheet], 0);
	ck_assert_int_eq(e->energy_milliminor_kwh, 27351);
	ck_assert_int_eq(e->sum_minor[0], 65000);
	ck_assert_int_eq(e->overhead_ppm, 120000);
	ck_assert_int_eq(e->share_rule_ppm, 666700);
	ck_assert_int_eq(e->from_day, 20727); /* 2026-10-01 */
	ck_assert(config_edition_index(config, word(config, LIST_regions, "small-b"), "2026-10-15", &edition));
	ck_assert_int_eq(c->editions[edition].pack_milliminor[c->items[sheet].packs.first + 1], 1500000);
	ck_assert_int_eq(c->editions[edition].minimum_charge_minor, 90000);
	config_release(config);
}
END_TEST

START_TEST(editions_of_a_region_are_found_by_name_and_by_day)
{
	struct config *config = compile_good();
	uint32_t region = word(config, LIST_regions, "small-a"), april, october, found;

	ck_assert(config_edition_index(config, region, "2026-04", &april));
	ck_assert(config_edition_index(config, region, "2026-10", &october));
	ck_assert(!config_edition_index(config, region, "2026-10-15", &found));
	ck_assert_str_eq(config_word(config, LIST_editions, october), "2026-10");
	ck_assert(!config_word_index(config, LIST_editions, "2026-10", &found));
	ck_assert(config_edition_on(config, region, config->catalogue.editions[october].from_day, &found));
	ck_assert_uint_eq(found, october);
	ck_assert(config_edition_on(config, region, config->catalogue.editions[october].from_day - 1, &found));
	ck_assert_uint_eq(found, april);
	ck_assert(!config_edition_on(config, region, config->catalogue.editions[april].from_day - 1, &found));
	config_release(config);
}
END_TEST

START_TEST(words_of_fixed_lists_and_of_the_catalogue_are_found_alike)
{
	struct config *config = compile_good();
	uint32_t count, index;

	ck_assert_uint_eq(word(config, LIST_soil, "clay"), SOIL_CLAY);
	ck_assert_uint_eq(word(config, LIST_edges, "brick"), 1);
	ck_assert_uint_eq(word(config, LIST_shells, "cast"), 0);
	ck_assert(!config_word_index(config, LIST_soil, "cl", &index));
	ck_assert(!config_word_index(config, LIST_shells, "caste", &index));
	ck_assert_str_eq(config_word_nearest(config, LIST_shells, "caste").best, "cast");
	ck_assert_str_eq(config_word_nearest(config, LIST_soil, "caly").best, "clay");
	ck_assert_ptr_null(config_word_nearest(config, LIST_soil, "granite").best);
	ck_assert_ptr_null(config_word(config, LIST_shells, 2));
	ck_assert_str_eq(config_words(config, LIST_shells, &count)[1], "sheet");
	ck_assert_uint_eq(count, 2);
	config_release(config);
}
END_TEST

START_TEST(texts_are_kept_beside_the_catalogue)
{
	struct config *config = compile_good();
	const struct text *rule = config_text(config, config->catalogue.rules[0].text);
	uint32_t sheet = item_named(config, "sheet"), pipe = item_named(config, "pipe");

	ck_assert_str_eq(rule->id, "newt");
	ck_assert_str_eq(rule->act, "Ask.");
	ck_assert_str_eq(rule->ask, "Were newts seen?");
	ck_assert_ptr_null(rule->season);
	ck_assert_str_eq(config_text(config, config->catalogue.items[sheet].text)->unit, "m2");
	ck_assert_uint_eq(config->catalogue.items[sheet].supplier, config->catalogue.items[pipe].supplier);
	ck_assert_str_eq(config_text(config, config->catalogue.items[pipe].supplier)->title, "liner supplier");
	ck_assert_str_eq(config_text(config, 0)->id == NULL ? "none" : "some", "none");
	ck_assert_str_eq(config->service.firm, "demo-firm of the tests");
	ck_assert_ptr_null(config->service.owner_token_file);
	ck_assert_str_eq(config->strings[config->service.allowed_origins.first], "https://www.example.test");
	config_release(config);
}
END_TEST

START_TEST(rows_of_an_assumption_stand_together_in_their_order)
{
	struct config *config = compile_good();
	const struct catalogue *c = &config->catalogue;
	struct span soil = c->unknowns_of[F_soil];
	const struct unknown *rows = c->unknowns + soil.first;

	ck_assert_uint_eq(soil.count, 3);
	ck_assert_double_eq(rows[0].likely, SOIL_TOPSOIL);
	ck_assert_uint_gt(rows[0].when.count, 0);
	ck_assert_uint_eq(rows[1].region, word(config, LIST_regions, "small-b"));
	ck_assert_uint_eq(rows[2].spread, SPREAD_WORDS);
	ck_assert_uint_eq(rows[2].region, REGION_ANY);
	ck_assert_uint_eq(c->unknowns_of[FACTOR_LABOUR_OUTPUT].count, 1);
	for (uint32_t id = 0; id < F_COUNT; id++)
		ck_assert_int_eq(c->unknowns_of[id].count > 0, enquiry_fields[id].presence == ASSUMED);
	config_release(config);
}
END_TEST

START_TEST(rules_hold_in_their_nations)
{
	struct config *config = compile_good();
	const struct rule *rules = config->catalogue.rules;

	ck_assert_uint_eq(config->catalogue.n_rules, 3);
	ck_assert_uint_eq(rules[0].nations, 1u << NATION_ENGLAND | 1u << NATION_WALES);
	ck_assert_uint_eq(rules[1].nations, (1u << nation_COUNT) - 1);
	ck_assert_uint_eq(rules[2].nations, 1u << NATION_WALES);
	ck_assert_uint_eq(rules[0].unknown, LEVEL_ASK);
	ck_assert_uint_eq(rules[1].unknown, LEVEL_NONE);
	ck_assert_uint_eq(rules[0].sum, 0);
	ck_assert_uint_eq(rules[2].sum, SUM_NONE);
	config_release(config);
}
END_TEST

START_TEST(layers_mark_their_build_ups)
{
	struct config *config = compile_good();
	const struct catalogue *c = &config->catalogue;

	for (uint32_t i = 0; i < c->n_build_ups; i++) {
		const char *id = config_text(config, c->build_ups[i].text)->id;

		ck_assert_int_eq(c->build_ups[i].layer, strcmp(id, "lay-sheet") == 0 || strcmp(id, "place-concrete") == 0);
	}
	ck_assert_double_eq(c->layers[c->shells[0].layers.first].thickness_m, 0.15);
	ck_assert_double_lt(c->layers[c->shells[0].layers.first].wait_days, 0);
	ck_assert(c->shells[1].sheet && !c->shells[0].sheet);
	config_release(config);
}
END_TEST

START_TEST(region_has_its_months_days_and_presets)
{
	struct config *config = compile_good();
	const struct region *region = &config->catalogue.regions[word(config, LIST_regions, "small-a")];
	const struct preset *presets = config->catalogue.presets + region->presets.first;

	ck_assert_uint_eq(region->frost[FROST_CONCRETE], 1u << 1 | 1u << 2);
	ck_assert_uint_eq(region->frost[FROST_RENDER], 1u << 12 | 1u << 1 | 1u << 2);
	ck_assert_uint_eq(region->holidays.count, 2);
	ck_assert_int_eq(config->catalogue.holidays[region->holidays.first], 20812); /* 2026-12-25 */
	ck_assert_uint_eq(region->presets.count, 3);
	ck_assert_uint_eq(presets[0].field, F_freeboard_m);
	ck_assert_double_eq(presets[0].number, 0.15);
	ck_assert_double_eq(presets[1].number, 1); /* brick */
	ck_assert_double_eq(presets[2].number, 1);
	config_release(config);
}
END_TEST

START_TEST(chosen_pump_and_pipe_may_be_bought_unseen)
{
	struct config *config = compile_good();
	unsigned pumps = 0, pipes = 0;

	for (uint32_t i = 0; i < config->catalogue.n_build_ups; i++)
		for (uint32_t k = 0; k < config->catalogue.build_ups[i].costs.count; k++) {
			const struct cost *cost = &config->catalogue.costs[config->catalogue.build_ups[i].costs.first + k];

			pumps += cost->item == ITEM_CHOSEN_PUMP;
			pipes += cost->item == ITEM_CHOSEN_PIPE && cost->times == Q_pipe_m && cost->times_quantity;
		}
	ck_assert_uint_eq(pumps, 1);
	ck_assert_uint_eq(pipes, 1);
	config_release(config);
}
END_TEST

START_TEST(digest_is_of_names_and_bytes)
{
	struct config *first = compile_good(), *again, *other;

	again = compile_good();
	ck_assert_str_eq(first->digest, again->digest);
	config_edit(&small_files, "sums.json", "/sums/0/title", "\"Another\"");
	other = compile_good();
	ck_assert_str_ne(first->digest, other->digest);
	config_release(first);
	config_release(again);
	config_release(other);
}
END_TEST

START_TEST(last_reference_frees)
{
	struct config *config = compile_good();

	ck_assert_ptr_eq(config_acquire(config), config);
	config_release(config);
	ck_assert_uint_eq(config->catalogue.n_regions, 2);
	config_release(config);
	config_release(NULL);
	ck_assert_ptr_null(config_acquire(NULL));
}
END_TEST

/* ---- what is refused as a whole ---- */

#define ITEMS "items/materials.json"
#define OCTOBER "regions/small-a/2026-10.json"
#define REGION "regions/small-a/region.json"

static void put(const char *path, const char *text)
{
	ck_assert(config_files_add(&small_files, path, text, strlen(text)));
}

static void refuse(void)
{
	ck_assert_ptr_null(config_compile(&small_files, &small_faults));
	ck_assert_uint_gt(small_faults.n_faults, 0);
}

START_TEST(every_missing_price_is_listed)
{
	config_edit(&small_files, OCTOBER, "/prices/digger", NULL);
	config_edit(&small_files, OCTOBER, "/prices/concrete/short", NULL);
	config_edit(&small_files, OCTOBER, "/prices/pump", NULL);
	refuse();
	ck_assert_uint_eq(small_faults.n_faults, 6);
	ck_assert(has_fault(&small_faults, OCTOBER, "/prices/digger/half-day", "is missing"));
	ck_assert(has_fault(&small_faults, OCTOBER, "/prices/digger/day", "is missing"));
	ck_assert(has_fault(&small_faults, OCTOBER, "/prices/digger/week", "is missing"));
	ck_assert(has_fault(&small_faults, OCTOBER, "/prices/digger/delivery", "is missing"));
	ck_assert(has_fault(&small_faults, OCTOBER, "/prices/concrete/short", "is missing"));
	ck_assert(has_fault(&small_faults, OCTOBER, "/prices/pump/one", "is missing"));
}
END_TEST

/* A week that costs more than five days is never hired; that may be meant, so it is said and loads. */
START_TEST(pack_that_is_never_bought_is_a_warning)
{
	struct config *config;

	config_edit(&small_files, OCTOBER, "/prices/digger/week", "600");
	config = compile_good();
	ck_assert_uint_eq(small_faults.n_warnings, 1);
	ck_assert(has_fault(&small_faults, OCTOBER, "/prices/digger", "week costs more than as much in day"));
	config_release(config);
}
END_TEST

START_TEST(half_a_yen_is_a_price_but_no_amount)
{
	config_edit(&small_files, "regions/small-b/2026-10-15.json", "/prices/sheet/cut", "1500.5");
	config_release(compile_good());
	config_edit(&small_files, "regions/small-b/2026-10-15.json", "/minimum_charge", "1500.5");
	refuse();
	ck_assert(has_fault(&small_faults, "regions/small-b/2026-10-15.json", "/minimum_charge", "more than 0 decimals"));
}
END_TEST

START_TEST(editions_need_different_days)
{
	const struct config_file *april = config_files_find(&small_files, "regions/small-a/2026-04.json");

	ck_assert(config_files_add(&small_files, "regions/small-a/2026-04-01.json", april->bytes, april->size));
	refuse();
	ck_assert(has_fault(&small_faults, "regions/small-a/2026-04-01.json", "", "is not newer"));
}
END_TEST

START_TEST(two_faults_are_both_said)
{
	config_edit(&small_files, ITEMS, "/items/0/title", NULL);
	config_edit(&small_files, OCTOBER, "/lead_days", "-3");
	refuse();
	ck_assert_uint_eq(small_faults.n_faults, 2);
}
END_TEST

START_TEST(file_of_a_wrong_name_is_no_file)
{
	put("pomps.json", "{}");
	put("rules/walls.json", "{\"rules\": []}");
	put("shells/Bad_Name.json", "{}");
	refuse();
	ck_assert(has_fault(&small_faults, "pomps.json", "", "nothing reads; did you mean pumps.json"));
	ck_assert(has_fault(&small_faults, "rules/walls.json", "", "did you mean wales"));
	ck_assert(has_fault(&small_faults, "shells/Bad_Name.json", "", "must be lower-case"));
}
END_TEST

START_TEST(region_without_edition_or_head_is_refused)
{
	const struct config_file *region = config_files_find(&small_files, REGION);

	ck_assert(config_files_add(&small_files, "regions/small-c/region.json", region->bytes, region->size));
	put("regions/small-d/2026-10.json", "{}");
	refuse();
	ck_assert(has_fault(&small_faults, "regions/small-c/", "", "has no edition"));
	ck_assert(has_fault(&small_faults, "regions/small-d/region.json", "", "is missing"));
}
END_TEST

START_TEST(broken_json_says_where_and_brings_no_second_fault)
{
	static const struct {
		const char *text, *reason;
	} broken[] = {
		{"{\"plants\": [}", "line 1, column 13"}, {"", "line 1"}, {"[]", "must be an object"}, {"{} x", "end of file"},
		{"{\"plants\": [], \"plants\": []}", "duplicate"}, {"{\"plants\": \"\\u0000\"}", "\\u0000"},
		{"\xef\xbb\xbf{}", "line 1"}, {"{\"plants\": \"\xff\"}", "unable to decode byte"},
	};

	for (size_t i = 0; i < sizeof broken / sizeof broken[0]; i++) {
		faults_free(&small_faults);
		put("roots.json", broken[i].text);
		refuse();
		ck_assert_msg(has_fault(&small_faults, "roots.json", "", broken[i].reason), "%s", broken[i].text);
		ck_assert_uint_eq(small_faults.n_faults, 1);
	}
}
END_TEST

START_TEST(brackets_are_nested_64_deep_at_most)
{
	char text[300];

	memset(text, '[', 299);
	text[299] = '\0';
	put("roots.json", text);
	refuse();
	ck_assert(has_fault(&small_faults, "roots.json", "", "nested more than 64 deep"));
}
END_TEST

START_TEST(more_than_a_quote_holds_is_refused)
{
	for (int i = 0; i < SECTIONS_MOST; i++) {
		char section[80];

		snprintf(section, sizeof section, "{\"id\": \"more-%d\", \"title\": \"More\"}", i);
		config_edit(&small_files, "sections.json", "/sections/-", section);
	}
	refuse();
	ck_assert(has_fault(&small_faults, "sections.json", "/sections", "it may hold 1 to 24"));
}
END_TEST

/* The directory on disk: what is passed over, and what can't be read. */
START_TEST(directory_is_read_strictly)
{
	char directory[] = "/tmp/pondwright-config-XXXXXX", path[100];
	struct config_files read;
	FILE *file;

	ck_assert_ptr_nonnull(mkdtemp(directory));
	ck_assert_int_eq(chdir(directory), 0);
	ck_assert_int_eq(mkfifo("pipe.json", 0600), 0);
	ck_assert_int_eq(mkdir("regions", 0700), 0);
	ck_assert_int_eq(symlink("nowhere", "regions/lost.json"), 0);
	file = fopen(".hidden.json", "w");
	fclose(file);
	file = fopen("README.md", "w");
	fclose(file);
	file = fopen("regions/a.json", "w");
	fputs("{}", file);
	fclose(file);
	file = fopen("big.json", "w");
	ck_assert_int_eq(ftruncate(fileno(file), CONFIG_FILE_BYTES_MOST + 1), 0);
	fclose(file);

	config_files_init(&read);
	config_files_read(&read, directory, &small_faults);
	ck_assert_uint_eq(read.count, 1);
	ck_assert_uint_eq(config_files_find(&read, "regions/a.json")->size, 2);
	ck_assert_uint_eq(small_faults.n_faults, 3);
	ck_assert(has_fault(&small_faults, "pipe.json", "", "no plain file"));
	ck_assert(has_fault(&small_faults, "regions/lost.json", "", "No such file"));
	ck_assert(has_fault(&small_faults, "big.json", "", "bigger than 1 MiB"));
	config_files_free(&read);

	faults_free(&small_faults);
	snprintf(path, sizeof path, "%s/absent", directory);
	ck_assert_ptr_null(config_load(path, &small_faults));
	ck_assert(has_fault(&small_faults, path, "", "can't read the directory"));
	unlink("pipe.json");
	unlink("regions/lost.json");
	unlink(".hidden.json");
	unlink("README.md");
	unlink("regions/a.json");
	unlink("big.json");
	rmdir("regions");
	ck_assert_int_eq(rmdir(directory), 0);
}
END_TEST

/* A comma for a decimal point in the process's locale changes nothing. */
START_TEST(locale_does_not_matter)
{
	struct config *config = compile_good(), *again;

	if (setlocale(LC_ALL, "de_DE.UTF-8") == NULL)
		setlocale(LC_ALL, "C.UTF-8");
	again = compile_good();
	ck_assert_mem_eq(config->catalogue.practice, again->catalogue.practice, sizeof config->catalogue.practice);
	ck_assert_mem_eq(config->catalogue.soils, again->catalogue.soils, sizeof config->catalogue.soils);
	config_release(config);
	config_release(again);
}
END_TEST

static uint64_t next_random(uint64_t *state)
{
	*state = *state * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
	return *state >> 33;
}

/* Bytes changed at random never do harm: either the whole loads, or there is a fault. */
START_TEST(any_bytes_are_loaded_or_refused)
{
	uint64_t state = (uint64_t)_i;
	struct config_file *file = &small_files.list[next_random(&state) % small_files.count];
	struct config *config;

	for (uint64_t changes = 1 + next_random(&state) % 4; changes > 0; changes--)
		file->bytes[next_random(&state) % file->size] = "\"{}[]:,-0e9.tn\\ \xff"[next_random(&state) % 18];
	config = config_compile(&small_files, &small_faults);
	ck_assert_int_eq(config == NULL, small_faults.n_faults > 0);
	config_release(config);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("config");
	TCase *good = tcase_create("good"), *bad = tcase_create("bad");
	SRunner *runner;
	int failed;

	tcase_add_checked_fixture(good, open_small, close_small);
	tcase_add_test(good, good_configuration_loads_without_a_word);
	tcase_add_test(good, tasks_follow_earlier_ones_only);
	tcase_add_test(good, bores_rise_however_they_are_written);
	tcase_add_test(good, prices_are_thousandths_of_the_smallest_coin);
	tcase_add_test(good, editions_of_a_region_are_found_by_name_and_by_day);
	tcase_add_test(good, words_of_fixed_lists_and_of_the_catalogue_are_found_alike);
	tcase_add_test(good, texts_are_kept_beside_the_catalogue);
	tcase_add_test(good, rows_of_an_assumption_stand_together_in_their_order);
	tcase_add_test(good, rules_hold_in_their_nations);
	tcase_add_test(good, layers_mark_their_build_ups);
	tcase_add_test(good, region_has_its_months_days_and_presets);
	tcase_add_test(good, chosen_pump_and_pipe_may_be_bought_unseen);
	tcase_add_test(good, digest_is_of_names_and_bytes);
	tcase_add_test(good, last_reference_frees);
	tcase_add_test(good, pack_that_is_never_bought_is_a_warning);
	tcase_add_test(good, locale_does_not_matter);
	suite_add_tcase(suite, good);

	tcase_add_checked_fixture(bad, open_small, close_small);
	tcase_add_test(bad, every_missing_price_is_listed);
	tcase_add_test(bad, half_a_yen_is_a_price_but_no_amount);
	tcase_add_test(bad, editions_need_different_days);
	tcase_add_test(bad, two_faults_are_both_said);
	tcase_add_test(bad, file_of_a_wrong_name_is_no_file);
	tcase_add_test(bad, region_without_edition_or_head_is_refused);
	tcase_add_test(bad, broken_json_says_where_and_brings_no_second_fault);
	tcase_add_test(bad, brackets_are_nested_64_deep_at_most);
	tcase_add_test(bad, more_than_a_quote_holds_is_refused);
	tcase_add_test(bad, directory_is_read_strictly);
	tcase_add_loop_test(bad, any_bytes_are_loaded_or_refused, 0, 100);
	suite_add_tcase(suite, bad);

	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
