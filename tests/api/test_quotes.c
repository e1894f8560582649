#define _GNU_SOURCE 1
#include <check.h>
#include <jansson.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "asked.h"
#include "look.h"

/* What a price adds up to, and what a phone call and a find come to. */

START_TEST(every_price_adds_up_to_the_penny)
{
	json_t *quote = quote_document(&served, fixtures[_i], NULL), *price = member(quote, "price"), *section;
	json_int_t net = 0;
	size_t i;

	ck_assert_msg(json_is_object(price), "%s: no price", fixtures[_i]);
	json_array_foreach(member(quote, "sections"), i, section) {
		ck_assert_int_eq(sum_of(member(section, "lines"), "amount_minor"), amount(section, "amount_minor"));
		net += amount(section, "amount_minor");
	}
	ck_assert_int_gt(net, 0);
	ck_assert_int_eq(net, amount(price, "net_minor"));
	ck_assert_int_eq(sum_of(member(quote, "taxes"), "net_minor"), net);
	ck_assert_int_eq(sum_of(member(quote, "taxes"), "tax_minor"), amount(price, "tax_minor"));
	ck_assert_int_eq(net + amount(price, "tax_minor"), amount(price, "gross_minor"));
	ck_assert_int_eq(sum_of(member(quote, "payment"), "amount_minor"), amount(price, "gross_minor"));
	json_decref(quote);
}
END_TEST

START_TEST(the_echo_gives_the_same_bytes)
{
	struct reply first, again;
	json_t *quote;
	char *echo;

	quote_of(&served, fixtures[_i], NULL, &first);
	quote = json_of(&first);
	echo = json_dumps(member(quote, "enquiry"), JSON_COMPACT);
	ck_assert_ptr_nonnull(echo);
	ask(&served, NULL, "/v1/quote", echo, NULL, &again);
	ck_assert_uint_eq(first.length, again.length);
	ck_assert_str_eq(first.body, again.body);
	free(echo);
	json_decref(quote);
	reply_free(&first);
	reply_free(&again);
}
END_TEST

START_TEST(no_hours_costs_or_margin_are_public)
{
	struct reply reply;

	quote_of(&served, fixtures[_i], NULL, &reply);
	ck_assert_ptr_null(strstr(reply.body, "\"costing\""));
	ck_assert_ptr_null(strstr(reply.body, "\"hours\""));
	ck_assert_ptr_null(strstr(reply.body, "margin_minor"));
	ck_assert_ptr_null(strstr(reply.body, "overhead_minor"));
	reply_free(&reply);
}
END_TEST

START_TEST(a_phone_call_is_an_estimate_that_says_what_it_assumes)
{
	json_t *quote = quote_document(&served, "1-phone-call", NULL), *assumed = member(quote, "assumed");
	json_t *profile = entry_of(assumed, "pointer", "/pond/profile"), *soil = entry_of(assumed, "pointer", "/site/soil");
	json_t *edge = entry_of(assumed, "pointer", "/edge"), *takeoff = member(quote, "takeoff");

	ck_assert_str_eq(word(quote, "status"), "estimate");
	ck_assert_ptr_nonnull(profile);
	ck_assert_ptr_nonnull(json_object_get(member(profile, "value"), "kind"));
	ck_assert_ptr_nonnull(soil);
	ck_assert_uint_gt(strlen(word(soil, "because")), 10);
	ck_assert_uint_gt(strlen(word(soil, "question")), 10);
	ck_assert_ptr_nonnull(edge);
	ck_assert_double_eq_tol(number(edge, "value"), number(takeoff, "perimeter_m"), 1e-6); /* fixed to 1e-6 */
	ck_assert_double_eq_tol(number(takeoff, "water_surface_m2"), 15.1189, 1e-3);          /* pi 5.5 3.5 / 4 */
	ck_assert(json_is_true(member(quote, "invented")));
	ck_assert_uint_eq(strlen(word(quote, "reference")), 12);
	json_decref(quote);
}
END_TEST

START_TEST(a_newt_found_stops_the_dates_and_not_the_price)
{
	json_t *quote = quote_document(&served, fixtures[NEWT_FOUND], NULL), *programme = member(quote, "programme"), *task;
	json_t *flag = entry_of(member(quote, "flags"), "id", "newt-crested-found");
	double waits = 0;
	size_t i;

	ck_assert_ptr_nonnull(flag);
	ck_assert_str_eq(word(flag, "level"), "stop");
	ck_assert_str_eq(word(flag, "raised_by"), "fact");
	ck_assert(holds_word(member(programme, "conditional_on"), "newt-crested-found"));
	ck_assert(json_is_null(member(programme, "start_on")));
	ck_assert(json_is_null(member(programme, "water_in_on")));
	ck_assert(json_is_null(member(programme, "finish_on")));
	ck_assert_double_gt(number(programme, "on_site_days"), 5);
	json_array_foreach(member(programme, "tasks"), i, task) {
		ck_assert(json_is_null(member(task, "from")));
		waits += number(task, "wait_days");
	}
	ck_assert_double_ge(waits, 70); /* weeding, curing and hardening alone take ten weeks */
	ck_assert_int_gt(amount(member(quote, "price"), "gross_minor"), 0);
	json_decref(quote);
}
END_TEST

static long day_number(const char *iso)
{
	struct tm date = {0};

	ck_assert_ptr_nonnull(strptime(iso, "%Y-%m-%d", &date));
	return (long)(timegm(&date) / 86400);
}

/* The count is what dates are where dates are promised; it is there where they are not. */
START_TEST(days_of_the_programme_are_counted_from_its_start)
{
	json_t *quote = quote_document(&served, fixtures[_i], NULL), *programme = member(quote, "programme"), *task;
	bool promised = !json_is_null(member(programme, "start_on"));
	json_int_t earliest = 1000;
	size_t i;

	json_array_foreach(member(programme, "tasks"), i, task) {
		json_int_t first = amount(task, "first_day"), last = amount(task, "last_day"), ready = amount(task, "ready_day");

		ck_assert_int_ge(last, first);
		ck_assert_int_ge(ready, last);
		ck_assert_int_le(ready - last, (json_int_t)(number(task, "wait_days") + 0.999));
		earliest = first < earliest ? first : earliest;
		if (!promised)
			continue;
		ck_assert_int_eq(day_number(word(task, "from")), day_number(word(programme, "start_on")) + first - 1);
		ck_assert_int_eq(day_number(word(task, "to")), day_number(word(programme, "start_on")) + last - 1);
	}
	ck_assert_int_eq(earliest, 1);
	ck_assert_int_eq(promised, _i != NEWT_FOUND);
	json_decref(quote);
}
END_TEST

START_TEST(wider_bores_show_how_much_more_they_bring)
{
	json_t *quote = quote_document(&served, fixtures[NEWT_FOUND], NULL), *water = member(quote, "water"), *bore;
	double flow_l_per_h = number(member(water, "duty"), "flow_l_per_h");
	int wider = 0;
	size_t i;

	ck_assert(json_is_false(member(water, "enough")));
	json_array_foreach(member(water, "other_bores"), i, bore) {
		if (number(bore, "bore_mm") <= number(water, "bore_mm") ||
			number(bore, "roughness_mm") > number(water, "roughness_mm"))
			continue; /* a ribbed hose may bring less than a narrower smooth one */
		wider++;
		ck_assert_double_gt(number(bore, "flow_l_per_h"), flow_l_per_h);
		flow_l_per_h = number(bore, "flow_l_per_h");
	}
	ck_assert_int_ge(wider, 2);
	json_decref(quote);
}
END_TEST

/* The same job with a sheet, which the roots have pierced before. */
START_TEST(a_sheet_over_piercing_roots_is_priced_but_unsuitable)
{
	char *text = enquiry_of(fixtures[NEWT_FOUND]), *body;
	json_t *enquiry = json_loads(text, 0, NULL), *quote, *reasons;
	struct reply reply;

	ck_assert_ptr_nonnull(enquiry);
	ck_assert_int_eq(json_object_set_new(enquiry, "shell", json_string("epdm-liner")), 0);
	body = json_dumps(enquiry, 0);
	ask(&served, NULL, "/v1/quote", body, NULL, &reply);
	ck_assert_msg(reply.status == 200, "%s", reply.body);
	quote = json_of(&reply);
	reasons = member(quote, "unsuitable");
	ck_assert_uint_gt(json_array_size(reasons), 0);
	ck_assert_uint_gt(strlen(word(json_array_get(reasons, 0), "why")), 20);
	ck_assert_int_gt(amount(member(quote, "price"), "gross_minor"), 0);
	json_decref(quote);
	json_decref(enquiry);
	reply_free(&reply);
	free(body);
	free(text);
}
END_TEST

/* One after the other, each a second or more of a sanitized processor: only a crowd is told to wait. */
START_TEST(a_client_alone_is_never_told_to_wait_for_its_ranges)
{
	static const char body[] = "{\"region\":\"demo-north\",\"samples\":8192,\"pond\":{\"outline\":{\"kind\":\"circle\","
				   "\"diameter_m\":4},\"depth_m\":0.9}}";

	for (int i = 0; i < 4; i++) {
		struct reply reply;

		ask(&served, NULL, "/v1/range", body, NULL, &reply);
		ck_assert_msg(reply.status == 200, "%s", reply.body);
		reply_free(&reply);
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("quotes");
	TCase *asking = tcase_create("asking");

	tcase_add_unchecked_fixture(asking, serve_once, stop_once);
	tcase_set_timeout(asking, 120);
	tcase_add_loop_test(asking, every_price_adds_up_to_the_penny, 0, N_FIXTURES);
	tcase_add_loop_test(asking, the_echo_gives_the_same_bytes, 0, N_FIXTURES);
	tcase_add_loop_test(asking, no_hours_costs_or_margin_are_public, 0, N_FIXTURES);
	tcase_add_test(asking, a_phone_call_is_an_estimate_that_says_what_it_assumes);
	tcase_add_test(asking, a_newt_found_stops_the_dates_and_not_the_price);
	tcase_add_loop_test(asking, days_of_the_programme_are_counted_from_its_start, 0, N_FIXTURES);
	tcase_add_test(asking, wider_bores_show_how_much_more_they_bring);
	tcase_add_test(asking, a_sheet_over_piercing_roots_is_priced_but_unsuitable);
	tcase_add_test(asking, a_client_alone_is_never_told_to_wait_for_its_ranges);
	suite_add_tcase(suite, asking);
	return suite_run(suite);
}
