#define _GNU_SOURCE
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "conditions.h"
#include "config_edit.h"

/* Conditions are written as an owner writes them, compiled by the loader as the `when` of an exclusion, which may read
 * everything, and worked out by the core. */
static struct config *config;
static struct value v[F_COUNT];
static double q[Q_COUNT];

static void open_with_values(void)
{
	open_small();
	memset(v, 0, sizeof v);
	memset(q, 0, sizeof q);
	for (uint32_t id = 0; id < F_COUNT; id++)
		v[id].origin = LEFT_OUT;
}

static void close_with_config(void)
{
	config_release(config);
	config = NULL;
	close_small();
}

static void compile(const char *condition)
{
	config_release(config);
	config_edit(&small_files, "notes.json", "/excluded/0/when", condition);
	config = config_compile(&small_files, &small_faults);
	if (config == NULL)
		faults_print(&small_faults, stderr);
	ck_assert_msg(config != NULL, "%s", condition);
}

static enum truth truth(void)
{
	return conditions_truth(&config->catalogue, config->catalogue.notes[1].when, v, q);
}

static enum truth truth_of(const char *condition)
{
	compile(condition);
	return truth();
}

static void give(enum field_id id, double number)
{
	v[id] = (struct value){.number = number, .origin = GIVEN};
}

static void give_set(enum field_id id, uint32_t set, bool unsure)
{
	v[id] = (struct value){.set = set, .origin = GIVEN, .unsure = unsure};
}

static void refused(const char *condition, const char *pointer, const char *words)
{
	char place[200];

	faults_free(&small_faults);
	snprintf(place, sizeof place, "/excluded/0/when%s", pointer);
	config_edit(&small_files, "notes.json", "/excluded/0/when", condition);
	ck_assert_ptr_null(config_compile(&small_files, &small_faults));
	if (!has_fault(&small_faults, "notes.json", place, words))
		faults_print(&small_faults, stderr);
	ck_assert_msg(has_fault(&small_faults, "notes.json", place, words), "%s", condition);
}

START_TEST(empty_condition_holds)
{
	config = config_compile(&small_files, &small_faults);
	ck_assert_ptr_nonnull(config);
	ck_assert_uint_eq(config->catalogue.notes[1].when.count, 0);
	ck_assert_int_eq(truth(), YES);
	ck_assert_int_eq(truth_of("{\"all\": []}"), YES);
}
END_TEST

/* Soil is the first operand, the kind of wall the second: clay and block are yes, what is left out is unsure. */
START_TEST(junctions_follow_kleene)
{
	static const enum truth all[3][3] = {[NO] = {NO, NO, NO}, [YES] = {NO, YES, UNSURE}, [UNSURE] = {NO, UNSURE, UNSURE}};
	static const enum truth any[3][3] = {[NO] = {NO, YES, UNSURE}, [YES] = {YES, YES, YES}, [UNSURE] = {UNSURE, YES, UNSURE}};
	static const enum truth not[3] = {[NO] = YES, [YES] = NO, [UNSURE] = UNSURE};

	for (int junction = 0; junction < 3; junction++) {
		compile(junction == 0 ? "{\"all\": [{\"fact\": \"/site/soil\", \"is\": \"clay\"}, {\"fact\": \"/pond/wall\", \"is\": \"block\"}]}"
			: junction == 1 ? "{\"any\": [{\"fact\": \"/site/soil\", \"is\": \"clay\"}, {\"fact\": \"/pond/wall\", \"is\": \"block\"}]}"
			: "{\"not\": {\"fact\": \"/site/soil\", \"is\": \"clay\"}}");
		for (int a = NO; a <= UNSURE; a++)
			for (int b = NO; b <= UNSURE; b++) {
				v[F_soil] = (struct value){.number = a == YES ? SOIL_CLAY : SOIL_SAND, .origin = a == UNSURE ? LEFT_OUT : GIVEN};
				v[F_wall] = (struct value){.number = b == YES ? WALL_BLOCK : WALL_NONE, .origin = b == UNSURE ? NOT_KNOWN : GIVEN};
				ck_assert_int_eq(truth(), junction == 0 ? all[a][b] : junction == 1 ? any[a][b] : not[a]);
			}
	}
}
END_TEST

START_TEST(numbers_compare)
{
	static const struct {
		const char *operator;
		enum truth below, equal, above;
	} operators[] = {{"is", NO, YES, NO}, {"at_least", NO, YES, YES}, {"at_most", YES, YES, NO}, {"more_than", NO, NO, YES},
		{"less_than", YES, NO, NO}};

	for (size_t i = 0; i < sizeof operators / sizeof operators[0]; i++) {
		char text[100];

		snprintf(text, sizeof text, "{\"fact\": \"/pond/depth_m\", \"%s\": 1.5}", operators[i].operator);
		compile(text);
		give(F_depth_m, nextafter(1.5, 0));
		ck_assert_int_eq(truth(), operators[i].below);
		give(F_depth_m, 1.5);
		ck_assert_int_eq(truth(), operators[i].equal);
		give(F_depth_m, nextafter(1.5, 2));
		ck_assert_int_eq(truth(), operators[i].above);
		v[F_depth_m].origin = LEFT_OUT;
		ck_assert_int_eq(truth(), UNSURE);
	}
}
END_TEST

START_TEST(quantities_are_known_unless_they_are_none)
{
	compile("{\"quantity\": \"dig_m3\", \"more_than\": 40}");
	q[Q_dig_m3] = 40;
	ck_assert_int_eq(truth(), NO);
	q[Q_dig_m3] = 40.000001;
	ck_assert_int_eq(truth(), YES);
	q[Q_dig_m3] = (double)NAN;
	ck_assert_int_eq(truth(), UNSURE);
	ck_assert_int_eq(truth_of("{\"quantity\": \"dig_m3\", \"known\": false}"), YES);
}
END_TEST

START_TEST(words_of_quantities_are_those_of_their_facts)
{
	compile("{\"quantity\": \"nation\", \"in\": [\"wales\", \"ireland\"]}");
	q[Q_nation] = NATION_WALES;
	ck_assert_int_eq(truth(), YES);
	q[Q_nation] = NATION_SCOTLAND;
	ck_assert_int_eq(truth(), NO);
	compile("{\"quantity\": \"work_kinds\", \"has\": \"desilt\"}");
	q[Q_work_kinds] = 1u << WORK_KIND_DESILT | 1u << WORK_KIND_REBUILD;
	ck_assert_int_eq(truth(), YES);
	q[Q_work_kinds] = 1u << WORK_KIND_REBUILD;
	ck_assert_int_eq(truth(), NO);
}
END_TEST

START_TEST(words_are_in_lists_of_the_catalogue)
{
	compile("{\"fact\": \"/edge/material\", \"in\": [\"brick\"]}");
	give(F_edge_material, 1);
	ck_assert_int_eq(truth(), YES);
	give(F_edge_material, 0);
	ck_assert_int_eq(truth(), NO);
	compile("{\"fact\": \"/region\", \"is\": \"small-b\"}");
	give(F_region, 1);
	ck_assert_int_eq(truth(), YES);
}
END_TEST

/* A place beyond the 64 bits of a mask, as a long list of regions has. */
START_TEST(words_beyond_a_mask_are_compared_one_by_one)
{
	const struct config_file *region = config_files_find(&small_files, "regions/small-a/region.json");
	const struct config_file *edition = config_files_find(&small_files, "regions/small-a/2026-10.json");
	size_t region_size = region->size, edition_size = edition->size;
	char *region_text = malloc(region_size), *edition_text = malloc(edition_size);
	char path[60], condition[] = "{\"fact\": \"/region\", \"in\": [\"copy-03\", \"copy-67\", \"copy-69\"]}";

	ck_assert(region_text != NULL && edition_text != NULL);
	memcpy(region_text, region->bytes, region_size); /* adding files moves the list */
	memcpy(edition_text, edition->bytes, edition_size);
	for (int i = 0; i < 70; i++) {
		snprintf(path, sizeof path, "regions/copy-%02d/region.json", i);
		ck_assert(config_files_add(&small_files, path, region_text, region_size));
		snprintf(path, sizeof path, "regions/copy-%02d/2026-10.json", i);
		ck_assert(config_files_add(&small_files, path, edition_text, edition_size));
	}
	compile(condition);
	for (int i = 0; i < 72; i++) {
		give(F_region, i);
		ck_assert_int_eq(truth(), i == 3 || i == 67 || i == 69 ? YES : NO);
	}
	free(region_text);
	free(edition_text);
}
END_TEST

START_TEST(sets_hold_their_members)
{
	const uint32_t newt = 1u << SPECIES_GREAT_CRESTED_NEWT, frog = 1u << SPECIES_COMMON_FROG;

	compile("{\"fact\": \"/facts/species_found\", \"has\": \"great-crested-newt\"}");
	give_set(F_fact_species_found, newt | frog, false);
	ck_assert_int_eq(truth(), YES);
	give_set(F_fact_species_found, frog, false);
	ck_assert_int_eq(truth(), NO);
	give_set(F_fact_species_found, 0, false);
	ck_assert_int_eq(truth(), NO);
	give_set(F_fact_species_found, frog, true); /* given with "unknown" in it */
	ck_assert_int_eq(truth(), UNSURE);
	give_set(F_fact_species_found, newt, true);
	ck_assert_int_eq(truth(), YES);
	v[F_fact_species_found].origin = NOT_KNOWN;
	ck_assert_int_eq(truth(), UNSURE);
	compile("{\"fact\": \"/facts/species_found\", \"has_any\": [\"great-crested-newt\", \"adder\"]}");
	give_set(F_fact_species_found, 1u << SPECIES_ADDER, false);
	ck_assert_int_eq(truth(), YES);
	give_set(F_fact_species_found, frog, false);
	ck_assert_int_eq(truth(), NO);
}
END_TEST

/* Every range of months against every single month. */
START_TEST(months_wrap)
{
	for (int first = 1; first <= 12; first++)
		for (int last = 1; last <= 12; last++) {
			char text[100];

			if ((first * 7 + last) % 4 != 0) /* a quarter of the ranges, every first and every last among them */
				continue;
			snprintf(text, sizeof text, "{\"fact\": \"/facts/work_months\", \"overlaps\": [%d, %d]}", first, last);
			compile(text);
			for (int month = 1; month <= 12; month++) {
				bool inside = first <= last ? month >= first && month <= last : month >= first || month <= last;

				give_set(F_fact_work_months, 1u << month, false);
				ck_assert_int_eq(truth(), inside ? YES : NO);
			}
		}
	v[F_fact_work_months].origin = NOT_KNOWN;
	ck_assert_int_eq(truth(), UNSURE);
}
END_TEST

START_TEST(known_is_never_unsure)
{
	compile("{\"fact\": \"/facts/species_found\", \"known\": true}");
	ck_assert_int_eq(truth(), NO);
	give_set(F_fact_species_found, 0, false);
	ck_assert_int_eq(truth(), YES);
	give_set(F_fact_species_found, 1, true);
	ck_assert_int_eq(truth(), NO);
	compile("{\"fact\": \"/site/soil\", \"known\": false}");
	v[F_soil].origin = NOT_KNOWN;
	ck_assert_int_eq(truth(), YES);
	v[F_soil].origin = BY_ASSUMPTION;
	ck_assert_int_eq(truth(), NO);
}
END_TEST

/* What does not apply is known: it is 0, and holds nothing, whatever stands in it. */
START_TEST(what_does_not_apply_reads_as_nothing)
{
	v[F_stream_fall_m] = (struct value){.number = 3, .origin = NOT_APPLICABLE};
	v[F_stream] = (struct value){.number = 1, .origin = NOT_APPLICABLE};
	v[F_fact_species_found] = (struct value){.set = ~0u, .unsure = true, .origin = NOT_APPLICABLE};
	ck_assert_int_eq(truth_of("{\"fact\": \"/stream/fall_m\", \"more_than\": 1}"), NO);
	ck_assert_int_eq(truth_of("{\"fact\": \"/stream/fall_m\", \"known\": true}"), YES);
	ck_assert_int_eq(truth_of("{\"fact\": \"/stream\", \"is\": true}"), NO);
	ck_assert_int_eq(truth_of("{\"fact\": \"/facts/species_found\", \"has\": \"adder\"}"), NO);
}
END_TEST

START_TEST(true_of_a_count_is_one_or_more)
{
	compile("{\"fact\": \"/equipment/lights\", \"is\": true}");
	for (int lights = 0; lights < 4; lights++) {
		give(F_lights, lights);
		ck_assert_int_eq(truth(), lights > 0 ? YES : NO);
	}
	give(F_lights, 0);
	ck_assert_int_eq(truth_of("{\"fact\": \"/equipment/lights\", \"is\": false}"), YES);
	give(F_lights, 3);
	ck_assert_int_eq(truth_of("{\"fact\": \"/equipment/lights\", \"is\": 3}"), YES);
	q[Q_shell_floats] = 1;
	ck_assert_int_eq(truth_of("{\"quantity\": \"shell_floats\", \"at_least\": 1}"), YES);
}
END_TEST

START_TEST(deep_conditions_are_worked_out_inside_out)
{
	compile("{\"any\": [{\"all\": [{\"fact\": \"/site/soil\", \"is\": \"clay\"}, {\"not\": {\"any\": ["
		"{\"fact\": \"/pond/depth_m\", \"more_than\": 1}, {\"fact\": \"/site/steps\", \"at_least\": 3}]}}]}, "
		"{\"fact\": \"/pond/wall\", \"is\": \"concrete\"}]}");
	give(F_soil, SOIL_CLAY);
	give(F_depth_m, 0.8);
	give(F_steps, 2);
	give(F_wall, WALL_NONE);
	ck_assert_int_eq(truth(), YES);
	give(F_steps, 3);
	ck_assert_int_eq(truth(), NO);
	v[F_steps].origin = LEFT_OUT;
	ck_assert_int_eq(truth(), UNSURE);
	give(F_wall, WALL_CONCRETE);
	ck_assert_int_eq(truth(), YES);
}
END_TEST

START_TEST(what_can_t_be_meant_is_refused)
{
	refused("{\"fact\": \"/site/soyl\", \"is\": \"clay\"}", "/fact", "did you mean /site/soil");
	refused("{\"fact\": \"/site/soil\", \"is\": \"caly\"}", "/is", "did you mean clay");
	refused("{\"fact\": \"/site/soil\", \"in\": [\"loam\", \"caly\"]}", "/in/1", "did you mean clay");
	refused("{\"fact\": \"/site/soil\", \"at_least\": 3}", "/at_least", "is one word, which \"at_least\" does not fit");
	refused("{\"fact\": \"/pond/depth_m\", \"is\": \"deep\"}", "/is", "must be a number");
	refused("{\"fact\": \"/pond/depth_m\", \"at_least\": 60}", "/at_least", "60 is outside 0.1 to 6");
	refused("{\"fact\": \"/facts/species_found\", \"is\": \"adder\"}", "/is", "is a set of words");
	refused("{\"fact\": \"/facts/tree_work\", \"is\": \"yes\"}", "/is", "must be true or false");
	refused("{\"fact\": \"/facts/work_months\", \"overlaps\": [0, 3]}", "/overlaps", "0 is outside 1 to 12");
	refused("{\"fact\": \"/start_on\", \"known\": true}", "/fact", "can't be read here");
	refused("{\"fact\": \"/edition\", \"is\": \"2026-10\"}", "/fact", "can't be read here");
	refused("{\"fact\": \"/site\", \"is\": true}", "/fact", "can't be read here");
	refused("{\"fact\": \"/stream/cascades\", \"known\": true}", "/fact", "can't be read here");
	refused("{\"quantity\": \"dig_m2\", \"more_than\": 1}", "/quantity", "did you mean dig_m3");
	refused("{\"quantity\": \"nation\", \"is\": \"walse\"}", "/is", "did you mean wales");
	refused("{\"fact\": \"/site/soil\"}", "", "compares with nothing");
	refused("{\"fact\": \"/pond/depth_m\", \"at_least\": 1, \"at_most\": 2}", "", "more than one way");
	refused("{\"fact\": \"/site/soil\", \"quantity\": \"dig_m3\", \"is\": 1}", "", "one fact or one quantity");
	refused("{\"is\": 1}", "", "one fact or one quantity");
	refused("{\"fact\": \"/site/soil\", \"iz\": \"clay\"}", "/iz", "did you mean is");
	refused("{\"any\": []}", "/any", "a list of 1 to 32");
	refused("{\"all\": {}}", "/all", "a list of 1 to 32");
	refused("{\"all\": [], \"is\": 1}", "", "stands alone");
	refused("[]", "", "must be an object");
}
END_TEST

/* Junctions inside junctions, each with all its room: more truths stand open than the core keeps. */
START_TEST(what_the_core_can_t_hold_is_refused)
{
	char text[4000] = "{\"all\": [", inner[2000] = "{\"fact\": \"/stream\", \"is\": true}";

	for (int i = 0; i < 20; i++)
		strcat(text, "{\"fact\": \"/stream\", \"is\": true}, ");
	strcat(text, "{\"any\": [");
	for (int i = 0; i < 20; i++)
		strcat(text, i == 0 ? "{\"fact\": \"/stream\", \"is\": true}" : ", {\"fact\": \"/stream\", \"is\": true}");
	strcat(text, "]}]}");
	refused(text, "", "joins more than 32 conditions at once");
	for (int i = 0; i < 14; i++) {
		snprintf(text, sizeof text, "{\"not\": %s}", inner);
		strcpy(inner, text);
	}
	refused(text, "/not/not/not/not/not/not/not/not/not/not/not/not/not", "nested more than 12 deep");
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("conditions");
	TCase *tests = tcase_create("conditions");
	SRunner *runner;
	int failed;

	tcase_add_checked_fixture(tests, open_with_values, close_with_config);
	tcase_add_test(tests, empty_condition_holds);
	tcase_add_test(tests, junctions_follow_kleene);
	tcase_add_test(tests, numbers_compare);
	tcase_add_test(tests, quantities_are_known_unless_they_are_none);
	tcase_add_test(tests, words_of_quantities_are_those_of_their_facts);
	tcase_add_test(tests, words_are_in_lists_of_the_catalogue);
	tcase_add_test(tests, words_beyond_a_mask_are_compared_one_by_one);
	tcase_add_test(tests, sets_hold_their_members);
	tcase_add_test(tests, months_wrap);
	tcase_add_test(tests, known_is_never_unsure);
	tcase_add_test(tests, what_does_not_apply_reads_as_nothing);
	tcase_add_test(tests, true_of_a_count_is_one_or_more);
	tcase_add_test(tests, deep_conditions_are_worked_out_inside_out);
	tcase_add_test(tests, what_can_t_be_meant_is_refused);
	tcase_add_test(tests, what_the_core_can_t_hold_is_refused);
	suite_add_tcase(suite, tests);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
