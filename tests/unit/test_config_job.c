#include <check.h>
#include <stdlib.h>
#include <string.h>

#include "config_edit.h"

/* Slips in what an owner says of terms, the survey, retention and sources of prices. */

static struct config_files files;
static struct faults faults;

static void begin(void)
{
	small_config(&files);
	faults_init(&faults);
}

static void end(void)
{
	faults_free(&faults);
	config_files_free(&files);
}

static struct config *compile(void)
{
	return config_compile(&files, &faults);
}

static void add(const char *path, const char *text)
{
	ck_assert(config_files_add(&files, path, text, strlen(text)));
}

static void refused(const char *file, const char *pointer, const char *words)
{
	struct config *config = compile();

	ck_assert_ptr_null(config);
	if (!has_fault(&faults, file, pointer, words))
		faults_print(&faults, stderr);
	ck_assert(has_fault(&faults, file, pointer, words));
}

#define EDITION "regions/small-a/2026-10.json"

START_TEST(terms_and_survey_may_be_left_out)
{
	struct config *config = compile();

	ck_assert_ptr_nonnull(config);
	ck_assert_uint_eq(config->n_clauses, 0);
	ck_assert_uint_eq(config->n_survey_stops, 0);
	config_release(config);
}
END_TEST

START_TEST(terms_and_survey_are_read)
{
	struct config *config;

	add("terms.json", "{\"terms\":[{\"id\":\"care-winter\",\"about\":\"care\",\"season\":\"winter\",\"when\":"
		"{\"quantity\":\"water_surface_m2\",\"more_than\":0},\"text\":\"Keep a hole in the ice.\"}]}");
	add("survey.json", "{\"stops\":[{\"id\":\"access\",\"title\":\"The way in\",\"do\":\"Measure.\",\"photograph\":\"gates\","
		"\"sketch\":true,\"pointers\":[\"/site/access_width_m\",\"/site/carry_m\"]}]}");
	config_edit(&files, EDITION, "/retention", "{\"title\":\"Kept back\",\"share\":0.05,\"days\":90,\"clients\":[\"business\",\"farm\"]}");
	config = compile();
	faults_print(&faults, stderr);
	ck_assert_ptr_nonnull(config);
	ck_assert_uint_eq(config->n_clauses, 1);
	ck_assert_int_eq(config->clauses[0].about, ABOUT_CARE);
	ck_assert_str_eq(config_text(config, config->clauses[0].text)->season, "winter");
	ck_assert_uint_eq(config->survey_stops[0].fields.count, 2);
	ck_assert_uint_eq(config->survey_fields[1], F_carry_m);
	ck_assert_str_eq(config_text(config, config->survey_stops[0].text)->photograph, "gates");
	ck_assert_int_eq(config->catalogue.editions[1].retention_ppm, 50000);
	ck_assert_uint_eq(config->catalogue.editions[1].retention_clients, 1u << CLIENT_BUSINESS | 1u << CLIENT_FARM);
	config_release(config);
}
END_TEST

START_TEST(a_slip_in_terms_is_said)
{
	add("terms.json", "{\"terms\":[{\"id\":\"a\",\"about\":\"caer\",\"text\":\"x\"},{\"id\":\"a\",\"about\":\"care\",\"text\":\"y\"},"
		"{\"id\":\"b\",\"about\":\"care\"}]}");
	refused("terms.json", "/terms/0/about", "care");
	ck_assert(has_fault(&faults, "terms.json", "/terms/1", "another term named a"));
	ck_assert(has_fault(&faults, "terms.json", "/terms/2/text", "missing"));
}
END_TEST

START_TEST(a_slip_in_the_survey_is_said)
{
	add("survey.json", "{\"stops\":[{\"id\":\"access\",\"title\":\"x\",\"pointers\":[\"/site/acces_width_m\",\"/site/carry_m\",\"/site/carry_m\"]}]}");
	refused("survey.json", "/stops/0/pointers/0", "/site/access_width_m");
	ck_assert(has_fault(&faults, "survey.json", "/stops/0/pointers/2", "earlier stop"));
}
END_TEST

START_TEST(a_slip_in_retention_or_sources_is_said)
{
	config_edit(&files, EDITION, "/retention", "{\"title\":\"x\",\"share\":0.5,\"days\":90,\"clients\":[\"bussiness\"]}");
	config_edit(&files, EDITION, "/sources", "{\"moon/each\":{\"as_of\":\"yesterday\"}}");
	refused(EDITION, "/retention/share", "");
	ck_assert(has_fault(&faults, EDITION, "/retention/clients/0", "business"));
	ck_assert(has_fault(&faults, EDITION, "/sources/moon~1each", "names no price"));
	ck_assert(has_fault(&faults, EDITION, "/sources/moon~1each/as_of", ""));
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("config_job");
	TCase *tcase = tcase_create("all");
	SRunner *runner;
	int failed;

	tcase_add_checked_fixture(tcase, begin, end);
	tcase_add_test(tcase, terms_and_survey_may_be_left_out);
	tcase_add_test(tcase, terms_and_survey_are_read);
	tcase_add_test(tcase, a_slip_in_terms_is_said);
	tcase_add_test(tcase, a_slip_in_the_survey_is_said);
	tcase_add_test(tcase, a_slip_in_retention_or_sources_is_said);
	suite_add_tcase(suite, tcase);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
