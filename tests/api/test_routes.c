#define _GNU_SOURCE 1
#include <check.h>
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "asked.h"
#include "look.h"

/* The other routes: what can be looked up, water and screening alone. */

START_TEST(regions_are_listed_and_told)
{
	struct reply reply;
	json_t *document;

	ask(&served, NULL, "/v1/regions", NULL, NULL, &reply);
	document = json_of(&reply);
	ck_assert_ptr_nonnull(entry_of(member(document, "regions"), "id", "demo-north"));
	ck_assert_ptr_nonnull(entry_of(member(document, "regions"), "id", "demo-isle"));
	json_decref(document);
	reply_free(&reply);
	ask(&served, NULL, "/v1/regions/demo-isle", NULL, NULL, &reply);
	ck_assert_int_eq(reply.status, 200);
	document = json_of(&reply);
	ck_assert_str_eq(word(document, "currency"), "EUR");
	ck_assert_uint_gt(json_array_size(member(document, "shells")), 3);
	ck_assert_uint_eq(json_array_size(member(document, "soils")), 7);
	ck_assert_ptr_nonnull(entry_of(member(member(document, "words"), "/site/soil"), "word", "chalk"));
	ck_assert_ptr_nonnull(entry_of(member(member(document, "words"), "/stream/cascades/lip"), "word", "sharp"));
	ck_assert_ptr_nonnull(entry_of(member(document, "questions"), "pointer", "/site/soil"));
	json_decref(document);
	reply_free(&reply);
	ask(&served, NULL, "/v1/regions/atlantis", NULL, NULL, &reply);
	ck_assert_int_eq(reply.status, 404);
	reply_free(&reply);
}
END_TEST

START_TEST(a_document_that_is_held_is_a_304)
{
	static const char *const paths[] = {"/v1/regions", "/v1/language", "/v1/regions/demo-north", "/v1/enquiry-schema", "/openapi.json"};
	char condition[256];
	const char *headers[] = {condition, NULL};

	for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
		struct reply reply;
		const char *etag;

		ask(&served, NULL, paths[i], NULL, NULL, &reply);
		ck_assert_int_eq(reply.status, 200);
		ck_assert(reply_has_header(&reply, "cache-control: no-cache"));
		ck_assert(reply_has_header(&reply, "link: </openapi.json>; rel=\"service-desc\""));
		etag = strcasestr(reply.headers, "etag: ");
		ck_assert_ptr_nonnull(etag);
		snprintf(condition, sizeof condition, "If-None-Match: %.*s", (int)strcspn(etag + 6, "\r\n"), etag + 6);
		reply_free(&reply);
		ask(&served, NULL, paths[i], NULL, headers, &reply);
		ck_assert_int_eq(reply.status, 304);
		reply_free(&reply);
	}
}
END_TEST

/* Asks in the language that the header names and gives the answer, which must be in the other. */
static json_t *in_language(const char *path, const char *body, const char *accept, const char *language)
{
	char line[64], wanted[64];
	const char *headers[] = {line, NULL};
	struct reply reply;
	json_t *document;

	snprintf(line, sizeof line, "Accept-Language: %s", accept);
	snprintf(wanted, sizeof wanted, "content-language: %s\r\n", language);
	ask(&served, NULL, path, body, headers, &reply);
	ck_assert_int_eq(reply.status, 200);
	ck_assert_msg(reply_has_header(&reply, wanted), "%s", reply.headers);
	ck_assert(strcasestr(reply.headers, "vary: ") != NULL && strcasestr(reply.headers, "Accept-Language") != NULL);
	document = json_of(&reply);
	reply_free(&reply);
	return document;
}

START_TEST(answers_are_in_the_language_that_is_wanted)
{
	json_t *english = in_language("/v1/language", NULL, "de, en;q=0.3", "en");
	json_t *french = in_language("/v1/language", NULL, "fr-CH, en;q=0.9", "fr");

	ck_assert_uint_eq(json_object_size(member(english, "page")), 0);
	ck_assert_str_eq(word(member(french, "languages"), "en"), "English");
	ck_assert_str_eq(word(member(french, "page"), "back"), "Retour");
	json_decref(english);
	json_decref(french);
	french = in_language("/v1/regions/demo-north", NULL, "fr", "fr");
	ck_assert_str_eq(word(entry_of(member(member(french, "words"), "/facts/nation"), "word", "wales"), "title"), "pays de Galles");
	json_decref(french);
	french = in_language("/v1/enquiry-schema", NULL, "fr", "fr");
	ck_assert_str_eq(word(member(member(french, "properties"), "start_on"), "description"), "Début au plus tôt");
	json_decref(french);
	json_decref(in_language("/v1/regions", NULL, "fr", "fr"));
}
END_TEST

START_TEST(a_quote_in_another_language_is_the_same_quote)
{
	char *enquiry = enquiry_of(fixtures[0]);
	json_t *english = in_language("/v1/quote", enquiry, "en", "en"), *french = in_language("/v1/quote", enquiry, "fr", "fr");

	ck_assert_str_eq(word(english, "reference"), word(french, "reference"));
	ck_assert(json_equal(member(english, "price"), member(french, "price")));
	ck_assert_str_ne(word(english, "disclaimer"), word(french, "disclaimer"));
	json_decref(english);
	json_decref(french);
	free(enquiry);
}
END_TEST

/* Sheets and calendars go between people of the firm. */
START_TEST(what_is_not_json_is_english)
{
	static const char *const headers[] = {"Accept-Language: fr", "Accept: text/csv", NULL};
	char *enquiry = enquiry_of(fixtures[0]);
	struct reply reply;

	ask(&served, NULL, "/v1/quote", enquiry, headers, &reply);
	ck_assert_int_eq(reply.status, 200);
	ck_assert(reply_has_header(&reply, "content-language: en"));
	reply_free(&reply);
	free(enquiry);
}
END_TEST

START_TEST(water_alone_needs_no_pond)
{
	struct reply reply;
	json_t *document, *water;

	ask(&served, NULL, "/v1/water",
		"{\"region\":\"demo-north\",\"water\":{\"kept_pump\":{\"curve\":[[0,5],[6000,0]],\"power_w\":80},\"bore_mm\":25,"
		"\"run_m\":10,\"static_m\":1,\"sum_k\":4,\"roughness_mm\":0}}", NULL, &reply);
	ck_assert_msg(reply.status == 200, "%s", reply.body);
	document = json_of(&reply);
	water = member(document, "water");
	ck_assert_str_eq(word(member(water, "duty"), "status"), "ok");
	ck_assert(json_is_null(member(water, "enough"))); /* nobody said how much is wanted */
	ck_assert_double_gt(number(member(water, "duty"), "flow_l_per_h"), 1000);
	json_decref(document);
	reply_free(&reply);
}
END_TEST

START_TEST(screening_alone_needs_no_pond)
{
	struct reply reply;
	json_t *document, *asked, *entry;
	size_t i, j;

	ask(&served, NULL, "/v1/screen", "{\"region\":\"demo-north\",\"facts\":{\"species_found\":[\"great-crested-newt\"]}}",
		NULL, &reply);
	ck_assert_msg(reply.status == 200, "%s", reply.body);
	document = json_of(&reply);
	ck_assert_ptr_nonnull(entry_of(member(document, "flags"), "id", "newt-crested-found"));
	asked = member(document, "still_to_ask");
	ck_assert_ptr_nonnull(entry_of(asked, "pointer", "/facts/site_setting"));
	json_array_foreach(asked, i, entry) {
		ck_assert_uint_gt(strlen(word(entry, "question")), 5);
		for (j = 0; j < i; j++)
			ck_assert_str_ne(word(json_array_get(asked, j), "pointer"), word(entry, "pointer"));
	}
	ck_assert_uint_gt(strlen(word(document, "disclaimer")), 20);
	json_decref(document);
	reply_free(&reply);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("routes");
	TCase *asking = tcase_create("asking");

	tcase_add_unchecked_fixture(asking, serve_once, stop_once);
	tcase_set_timeout(asking, 120);
	tcase_add_test(asking, regions_are_listed_and_told);
	tcase_add_test(asking, a_document_that_is_held_is_a_304);
	tcase_add_test(asking, answers_are_in_the_language_that_is_wanted);
	tcase_add_test(asking, a_quote_in_another_language_is_the_same_quote);
	tcase_add_test(asking, what_is_not_json_is_english);
	tcase_add_test(asking, water_alone_needs_no_pond);
	tcase_add_test(asking, screening_alone_needs_no_pond);
	suite_add_tcase(suite, asking);
	return suite_run(suite);
}
