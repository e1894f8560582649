#include <check.h>
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "asked.h"
#include "look.h"

/* What is refused, and how it is said. */

static void ask_quote(const char *body, long status, struct reply *reply)
{
	ask(&served, NULL, "/v1/quote", body, NULL, reply);
	ck_assert_msg(reply->status == status, "%ld instead of %ld: %s", reply->status, status, reply->body);
	ck_assert(reply_has_header(reply, "content-type: application/problem+json"));
}

START_TEST(an_unknown_member_is_named)
{
	struct reply reply;
	json_t *problem, *error;

	ask_quote("{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":3},\"depht_m\":1}}",
		422, &reply);
	problem = json_of(&reply);
	error = entry_of(member(problem, "errors"), "pointer", "/pond/depht_m");
	ck_assert_ptr_nonnull(error);
	ck_assert_str_eq(word(error, "code"), "unknown-member");
	ck_assert_ptr_nonnull(strstr(word(error, "detail"), "depth_m"));
	json_decref(problem);
	reply_free(&reply);
}
END_TEST

START_TEST(all_faults_come_at_once)
{
	struct reply reply;
	json_t *problem, *errors;

	ask_quote("{\"region\":\"nowhere\",\"work\":7,\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":-3}},"
		"\"site\":{\"soil\":\"cheese\"},\"colour\":1}", 422, &reply);
	problem = json_of(&reply);
	errors = member(problem, "errors");
	ck_assert_ptr_nonnull(entry_of(errors, "pointer", "/region"));
	ck_assert_ptr_nonnull(entry_of(errors, "pointer", "/work"));
	ck_assert_ptr_nonnull(entry_of(errors, "pointer", "/pond/outline/diameter_m"));
	ck_assert_ptr_nonnull(entry_of(errors, "pointer", "/pond/depth_m"));
	ck_assert_ptr_nonnull(entry_of(errors, "pointer", "/site/soil"));
	ck_assert_ptr_nonnull(entry_of(errors, "pointer", "/colour"));
	json_decref(problem);
	reply_free(&reply);
}
END_TEST

START_TEST(what_is_no_json_is_a_400)
{
	static const char *const bodies[] = {"{", "", "[]", "1", "null", "\"x\"", "{} {}", "{/* */}", "{'a':1}",
		"\xef\xbb\xbf{}",
		"{\"region\":\"a\",\"region\":\"b\"}", "{\"region\":\"a\",\"\\u0072egion\":\"b\"}", "{\"depth_m\":NaN}",
		"{\"depth_m\":1e999}", "{\"depth_m\":-1e999}", "{\"depth_m\":9223372036854775808}", "{\"depth_m\":01}",
		"{\"depth_m\":1.}", "{\"depth_m\":+1}", "{\"depth_m\":Infinity}", "{\"region\":\"\\u0000\"}",
		"{\"\\u0000\":1}", "{\"region\":\"\\ud800\"}", "{\"region\":\"\\udc00\"}", "{\"region\":\"\xed\xa0\x80\"}",
		"{\"region\":\"\xc0\xaf\"}", "{\"region\":\"\xff\"}", "{\"region\":\"a\nb\"}"};

	for (size_t i = 0; i < sizeof bodies / sizeof bodies[0]; i++) {
		struct reply reply;

		ask_quote(bodies[i], 400, &reply);
		reply_free(&reply);
	}
}
END_TEST

/* JSON with a value that no enquiry may have: a 422 that names the member. */
START_TEST(what_is_json_and_no_enquiry_is_a_422)
{
	static const char form[] = "{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":%s},"
				   "\"depth_m\":1}}";
	static const char *const values[] = {"-0", "-0.0", "1e-400", "4.9e-324", "9223372036854775807",
		"1.7976931348623157e308", "\"3\"", "null", "true", "[3]", "{}"};
	char body[256];

	for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
		struct reply reply;
		json_t *problem, *error;

		snprintf(body, sizeof body, form, values[i]);
		ask_quote(body, 422, &reply);
		problem = json_of(&reply);
		error = entry_of(member(problem, "errors"), "pointer", "/pond/outline/diameter_m");
		ck_assert_msg(error != NULL, "%s: %s", values[i], reply.body);
		ck_assert_uint_eq(json_array_size(member(problem, "errors")), 1);
		json_decref(problem);
		reply_free(&reply);
	}
}
END_TEST

/* As deep and as many as fit into a body. */
START_TEST(bodies_full_of_brackets_are_refused_not_followed)
{
	static const char *const pieces[] = {"[", "{\"a\":", "[{},", "{\"a\":["};

	for (size_t i = 0; i < sizeof pieces / sizeof pieces[0]; i++) {
		char *body = calloc(1, 65537);
		struct reply reply;

		ck_assert_ptr_nonnull(body);
		for (size_t at = 0; at + strlen(pieces[i]) <= 65536; at += strlen(pieces[i]))
			memcpy(body + at, pieces[i], strlen(pieces[i]));
		ask_quote(body, 400, &reply);
		reply_free(&reply);
		free(body);
	}
}
END_TEST

START_TEST(paths_and_methods_are_guarded)
{
	struct reply reply;

	ask(&served, "GET", "/v1/quote", NULL, NULL, &reply);
	ck_assert_int_eq(reply.status, 405);
	ck_assert(reply_has_header(&reply, "allow: POST"));
	reply_free(&reply);
	ask(&served, NULL, "/v1/quotes", "{}", NULL, &reply);
	ck_assert_int_eq(reply.status, 404);
	reply_free(&reply);
	ask(&served, "HEAD", "/v1/regions", NULL, NULL, &reply);
	ck_assert_int_eq(reply.status, 200);
	ck_assert_uint_eq(reply.length, 0);
	ck_assert(reply_has_header(&reply, "etag: "));
	reply_free(&reply);
}
END_TEST

START_TEST(the_allowed_origin_alone_may_read)
{
	static const char *const known[] = {"Origin: https://www.example.test", NULL};
	static const char *const strange[] = {"Origin: https://elsewhere.example.test", NULL};
	struct reply reply;

	quote_of(&served, "1-phone-call", known, &reply);
	ck_assert(reply_has_header(&reply, "access-control-allow-origin: https://www.example.test"));
	reply_free(&reply);
	quote_of(&served, "1-phone-call", strange, &reply);
	ck_assert(!reply_has_header(&reply, "access-control-allow-origin"));
	reply_free(&reply);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("refusals");
	TCase *asking = tcase_create("asking");

	tcase_add_unchecked_fixture(asking, serve_once, stop_once);
	tcase_set_timeout(asking, 120);
	tcase_add_test(asking, an_unknown_member_is_named);
	tcase_add_test(asking, all_faults_come_at_once);
	tcase_add_test(asking, what_is_no_json_is_a_400);
	tcase_add_test(asking, what_is_json_and_no_enquiry_is_a_422);
	tcase_add_test(asking, bodies_full_of_brackets_are_refused_not_followed);
	tcase_add_test(asking, paths_and_methods_are_guarded);
	tcase_add_test(asking, the_allowed_origin_alone_may_read);
	suite_add_tcase(suite, asking);
	return suite_run(suite);
}
