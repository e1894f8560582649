#define _GNU_SOURCE 1
#include <check.h>
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "program.h"

/* Comparing shells, and a quote as a calendar and as a sheet, asked of the program that runs. */

#define POND "\"region\":\"demo-north\",\"issued_on\":\"2026-11-25\",\"start_on\":\"2027-04-05\",\"pond\":{\"outline\":" \
	"{\"kind\":\"rectangle\",\"length_m\":4,\"width_m\":3},\"depth_m\":1,\"profile\":{\"kind\":\"battered\",\"side_slope\":0.5}}"
/* a protected animal was found, so nothing starts until a licence is there */
#define STOPPED POND ",\"old_pond\":{},\"facts\":{\"species_found\":[\"great-crested-newt\"]}"

static const char token[] = "correct-horse-battery-staple";
static struct program served;
static char config[4096], logs[4096];

static void set_token(void)
{
	char path[4200];
	json_t *service;

	snprintf(path, sizeof path, "%s/owner-token", config);
	file_write(path, token);
	snprintf(path, sizeof path, "%s/service.json", config);
	service = json_load_file(path, 0, NULL);
	ck_assert_ptr_nonnull(service);
	json_object_set_new(service, "owner_token_file", json_string("owner-token"));
	ck_assert_int_eq(json_dump_file(service, path, 0), 0);
	json_decref(service);
}

static void serve_once(void)
{
	temporary_make(config);
	temporary_make(logs);
	tree_copy(environment("PONDWRIGHT_CONFIG"), config);
	set_token();
	program_serve(&served, config, logs);
}

static void stop_once(void)
{
	ck_assert_int_eq(program_stop(&served), 0);
	temporary_remove(config);
	temporary_remove(logs);
}

static void quoted_as(const char *body, const char *type, bool owner, struct reply *reply)
{
	const char *headers[3] = {NULL};
	char accept[100], authorization[100];
	int n = 0;

	snprintf(accept, sizeof accept, "Accept: %s", type);
	snprintf(authorization, sizeof authorization, "Authorization: Bearer %s", token);
	headers[n++] = accept;
	if (owner)
		headers[n++] = authorization;
	ask(&served, NULL, "/v1/quote", body, headers, reply);
}

static json_t *compared(const char *body)
{
	struct reply reply;
	json_t *document;

	ask(&served, NULL, "/v1/compare", body, NULL, &reply);
	ck_assert_msg(reply.status == 200, "%ld %s", reply.status, reply.body);
	document = json_of(&reply);
	reply_free(&reply);
	return document;
}

static uint32_t occurrences(const char *text, const char *part)
{
	uint32_t count = 0;

	for (text = strstr(text, part); text != NULL; text = strstr(text + 1, part))
		count++;
	return count;
}

/* ---- compare ---- */

START_TEST(a_comparison_holds_what_its_contract_says)
{
	static const char *const members[] = {"shell", "price", "sections", "on_site_days", "water_in_on", "finish_on",
		"service_life_years", "renewals", "cost_over_years_minor", "cost_per_year_minor", "kgco2e", "kgco2e_missing", "cautions",
		"unsuitable", "cannot", "sentence"};
	static const char *const all[] = {"options", "cheapest_now", "cheapest_over_years", "paid_back_after_years", "differences",
		"horizons", "undecided", "discount_rate", "price_growth", "enquiry"};
	json_t *answer = compared("{" POND "}"), *options = json_object_get(answer, "options"), *option;
	size_t i;

	ck_assert_uint_eq(json_array_size(options), 6);
	json_array_foreach (options, i, option)
		for (size_t m = 0; m < sizeof members / sizeof members[0]; m++)
			ck_assert_msg(json_object_get(option, members[m]) != NULL, "%s", members[m]);
	for (i = 0; i < sizeof all / sizeof all[0]; i++)
		ck_assert_msg(json_object_get(answer, all[i]) != NULL, "%s", all[i]);
	ck_assert(json_object_get(answer, "grid") == NULL);
	ck_assert_uint_eq(json_array_size(json_object_get(answer, "horizons")), 4);
	json_decref(answer);
}
END_TEST

START_TEST(sections_that_differ_are_those_whose_money_does)
{
	json_t *answer = compared("{" POND "}"), *difference, *entry;
	size_t i, k;

	ck_assert_uint_gt(json_array_size(json_object_get(answer, "differences")), 0);
	json_array_foreach (json_object_get(answer, "differences"), i, difference) {
		json_t *amounts = json_object_get(difference, "amounts");
		json_int_t first = json_integer_value(json_object_get(json_array_get(amounts, 0), "amount_minor"));
		bool differs = false;

		json_array_foreach (amounts, k, entry)
			differs = differs || json_integer_value(json_object_get(entry, "amount_minor")) != first;
		ck_assert(differs);
		ck_assert_str_ne(json_string_value(json_object_get(difference, "section")), "planting");
	}
	json_decref(answer);
}
END_TEST

START_TEST(a_grid_is_given_where_it_is_asked_for)
{
	json_t *answer = compared("{\"grid\":true," POND "}"), *plain = compared("{\"grid\":false," POND "}");
	json_t *grid = json_object_get(answer, "grid");

	ck_assert_uint_eq(json_array_size(json_object_get(grid, "cells")),
		json_array_size(json_object_get(grid, "water_surface_m2")) * json_array_size(json_object_get(grid, "depth_m")));
	ck_assert(json_object_get(plain, "grid") == NULL);
	/* the enquiry is the same, so it can be sent on to /v1/quote */
	ck_assert(json_equal(json_object_get(answer, "enquiry"), json_object_get(plain, "enquiry")));
	ck_assert(json_object_get(json_object_get(answer, "enquiry"), "grid") == NULL);
	json_decref(answer);
	json_decref(plain);
}
END_TEST

START_TEST(faults_of_the_enquiry_and_of_the_grid_come_together)
{
	struct reply reply;
	json_t *problem;

	ask(&served, NULL, "/v1/compare", "{\"grid\":7,\"region\":\"nowhere\"}", NULL, &reply);
	ck_assert_int_eq(reply.status, 422);
	problem = json_of(&reply);
	ck_assert_uint_ge(json_array_size(json_object_get(problem, "errors")), 3);
	ck_assert_ptr_nonnull(strstr(reply.body, "\"/grid\""));
	ck_assert_ptr_nonnull(strstr(reply.body, "\"/region\""));
	ck_assert_ptr_nonnull(strstr(reply.body, "\"/pond\""));
	json_decref(problem);
	reply_free(&reply);
}
END_TEST

START_TEST(the_command_gives_the_bytes_of_the_route)
{
	char path[4200], *output;
	const char *arguments[] = {"compare", "--config", config, path, NULL};
	struct reply reply;
	size_t length;

	snprintf(path, sizeof path, "%s/asked.json", logs);
	file_write(path, "{\"grid\":true," POND "}");
	ask(&served, NULL, "/v1/compare", "{\"grid\":true," POND "}", NULL, &reply);
	ck_assert_int_eq(program_run(arguments, &output, &length), 0);
	ck_assert_uint_eq(length, reply.length);
	ck_assert_mem_eq(output, reply.body, length);
	free(output);
	reply_free(&reply);
}
END_TEST

START_TEST(where_the_headline_is_all_nothing_finer_is_shown)
{
	char path[4200];
	json_t *service, *answer, *option;
	size_t i;

	snprintf(path, sizeof path, "%s/service.json", config);
	service = json_load_file(path, 0, NULL);
	json_object_set_new(service, "public_detail", json_string("headline"));
	ck_assert_int_eq(json_dump_file(service, path, 0), 0);
	program_reload(&served);
	answer = compared("{" POND "}");
	json_array_foreach (json_object_get(answer, "options"), i, option) {
		ck_assert(json_is_null(json_object_get(json_object_get(option, "price"), "gross_minor")));
		ck_assert_int_eq(json_integer_value(json_object_get(option, "cost_over_years_minor")) % 5000, 0);
		ck_assert_uint_eq(json_array_size(json_object_get(option, "sections")), 0);
	}
	ck_assert_uint_eq(json_array_size(json_object_get(answer, "differences")), 0);
	json_decref(answer);
	json_object_set_new(service, "public_detail", json_string("lines"));
	ck_assert_int_eq(json_dump_file(service, path, 0), 0);
	json_decref(service);
	program_reload(&served);
}
END_TEST

/* ---- calendar and sheet ---- */

START_TEST(a_quote_is_given_as_it_is_accepted)
{
	struct reply reply;

	quoted_as("{" POND "}", "text/calendar", false, &reply);
	ck_assert_int_eq(reply.status, 200);
	ck_assert(reply_has_header(&reply, "Content-Type: text/calendar; charset=utf-8"));
	reply_free(&reply);
	quoted_as("{" POND "}", "text/csv, application/json;q=0.5", false, &reply);
	ck_assert_int_eq(reply.status, 200);
	ck_assert(reply_has_header(&reply, "Content-Type: text/csv; charset=utf-8; header=present"));
	reply_free(&reply);
	quoted_as("{" POND "}", "*/*", false, &reply);
	ck_assert(reply_has_header(&reply, "Content-Type: application/json"));
	reply_free(&reply);
	quoted_as("{" POND "}", "image/png", false, &reply);
	ck_assert_int_eq(reply.status, 406);
	reply_free(&reply);
	quoted_as("{\"region\":\"nowhere\"}", "text/calendar", false, &reply);
	ck_assert_int_eq(reply.status, 422);
	ck_assert(reply_has_header(&reply, "Content-Type: application/problem+json"));
	reply_free(&reply);
}
END_TEST

START_TEST(a_task_with_dates_is_an_event)
{
	struct reply reply, again;

	quoted_as("{" POND "}", "text/calendar", false, &reply);
	ck_assert_uint_gt(occurrences(reply.body, "BEGIN:VEVENT\r\n"), 10);
	ck_assert_uint_eq(occurrences(reply.body, "BEGIN:VEVENT\r\n"), occurrences(reply.body, "DTSTART;VALUE=DATE:"));
	ck_assert_uint_eq(occurrences(reply.body, "BEGIN:VTODO"), 0);
	ck_assert_uint_eq(occurrences(reply.body, "\n"), occurrences(reply.body, "\r\n"));
	quoted_as("{" POND "}", "text/calendar", false, &again);
	ck_assert_str_eq(reply.body, again.body);
	reply_free(&again);
	reply_free(&reply);
}
END_TEST

START_TEST(a_stopped_job_has_things_to_do_and_no_dates)
{
	struct reply reply;

	quoted_as("{" STOPPED "}", "text/calendar", false, &reply);
	ck_assert_int_eq(reply.status, 200);
	ck_assert_uint_eq(occurrences(reply.body, "VEVENT"), 0);
	ck_assert_uint_gt(occurrences(reply.body, "BEGIN:VTODO\r\n"), 10);
	ck_assert_uint_eq(occurrences(reply.body, "DTSTART"), 0);
	ck_assert_uint_eq(occurrences(reply.body, "DUE"), 0);
	reply_free(&reply);
}
END_TEST

START_TEST(the_owners_sheet_is_what_to_order)
{
	struct reply reply;

	quoted_as("{" POND "}", "text/csv", true, &reply);
	ck_assert_int_eq(strncmp(reply.body, "delivery,supplier,order_by,", 27), 0);
	ck_assert_ptr_nonnull(strstr(reply.body, "sheet"));
	reply_free(&reply);
	quoted_as("{" POND "}", "text/csv", false, &reply);
	ck_assert_int_eq(strncmp(reply.body, "kind,section,", 13), 0);
	ck_assert_ptr_null(strstr(reply.body, "supplier"));
	reply_free(&reply);
}
END_TEST

START_TEST(the_programme_tells_what_moves_it)
{
	struct reply reply;
	json_t *answer, *programme, *moved;

	ask(&served, NULL, "/v1/quote", "{\"region\":\"demo-north\",\"issued_on\":\"2026-11-25\",\"start_on\":\"2026-12-25\",\"pond\":"
		"{\"outline\":{\"kind\":\"circle\",\"diameter_m\":4},\"depth_m\":1}}", NULL, &reply);
	answer = json_of(&reply);
	programme = json_object_get(answer, "programme");
	ck_assert_str_eq(json_string_value(json_object_get(programme, "earliest_start_on")), "2026-12-29");
	moved = json_array_get(json_object_get(programme, "moved_by"), 0);
	ck_assert_str_eq(json_string_value(json_object_get(moved, "id")), "free-days");
	ck_assert_int_eq(json_integer_value(json_object_get(moved, "days")), 4);
	json_decref(answer);
	reply_free(&reply);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("compare");
	TCase *cases = tcase_create("served");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_unchecked_fixture(cases, serve_once, stop_once);
	tcase_set_timeout(cases, 60);
	tcase_add_test(cases, a_comparison_holds_what_its_contract_says);
	tcase_add_test(cases, sections_that_differ_are_those_whose_money_does);
	tcase_add_test(cases, a_grid_is_given_where_it_is_asked_for);
	tcase_add_test(cases, faults_of_the_enquiry_and_of_the_grid_come_together);
	tcase_add_test(cases, the_command_gives_the_bytes_of_the_route);
	tcase_add_test(cases, where_the_headline_is_all_nothing_finer_is_shown);
	tcase_add_test(cases, a_quote_is_given_as_it_is_accepted);
	tcase_add_test(cases, a_task_with_dates_is_an_event);
	tcase_add_test(cases, a_stopped_job_has_things_to_do_and_no_dates);
	tcase_add_test(cases, the_owners_sheet_is_what_to_order);
	tcase_add_test(cases, the_programme_tells_what_moves_it);
	suite_add_tcase(suite, cases);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
