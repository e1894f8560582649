#include <check.h>
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "asked.h"
#include "small.h"

/* What service.json says of the server, and what is said of a slip in it. */

/* What was said at the start stays until a restart. */
START_TEST(the_owner_limits_logs_and_embeds)
{
	static const char *const forwarded[] = {"X-Forwarded-For: 192.0.2.77", NULL};
	struct reply reply;
	char *log;

	small_set("requests_per_minute", json_integer(2));
	small_set("trusted_proxies", json_pack("[s]", "127.0.0.1"));
	small_set("per_ip_limit", json_integer(50));
	small_set("frame_ancestors", json_pack("[ss]", "https://www.example.test", "https://b.example.test"));
	small_set("log_addresses", json_true());
	small_serve();
	small_set("requests_per_minute", json_integer(0));
	small_set("trusted_proxies", json_array());
	small_set("frame_ancestors", json_array());
	small_set("log_addresses", json_false());
	small_reload("done");
	for (int i = 0; i < 3; i++) {
		ask(&small_program, NULL, "/v1/quote", small_body, forwarded, &reply);
		ck_assert_int_eq(reply.status, i < 2 ? 200 : 429);
		ck_assert_int_eq(reply_has_header(&reply, "retry-after: "), i == 2);
		reply_free(&reply);
	}
	ask(&small_program, NULL, "/v1/quote", small_body, NULL, &reply);
	ck_assert_int_eq(reply.status, 200); /* the proxy itself is another client */
	reply_free(&reply);
	ask(&small_program, NULL, "/", NULL, NULL, &reply);
	ck_assert(reply_has_header(&reply, "content-security-policy: ") &&
		strstr(reply.headers, "frame-ancestors https://www.example.test https://b.example.test\r\n") != NULL);
	reply_free(&reply);
	ck_assert_int_eq(program_stop(&small_program), 0);
	log = file_read(small_program.log, NULL);
	ck_assert_ptr_nonnull(strstr(log, "\"network\":\"192.0.2.0/24\""));
	ck_assert_ptr_null(strstr(log, "192.0.2.77"));
	free(log);
}
END_TEST

/* One slip a row, and where it is said to be. */
static const struct {
	const char *key, *json, *where;
} slips[] = {
	{"trusted_proxies", "[\"proxy.example.test\"]", "/trusted_proxies/0"},
	{"trusted_proxies", "[\"192.0.2.0/24\"]", "/trusted_proxies/0"},
	{"frame_ancestors", "[\"'self'\"]", "/frame_ancestors/0"},
	{"frame_ancestors", "\"https://a.test\"", "/frame_ancestors"},
	{"requests_per_minute", "-1", "/requests_per_minute"},
	{"per_ip_limit", "1.5", "/per_ip_limit"},
	{"allowed_origins", "[\"https://www.example.test/\"]", "/allowed_origins/0"},
	{"allowed_origins", "[\"*\"]", "/allowed_origins/0"},
	{"body_limit_bytes", "1048577", "/body_limit_bytes"},
	{"connection_limit", "1", "/connection_limit"},
	{"deadline_s", "0", "/deadline_s"},
	{"log_addresses", "\"no\"", "/log_addresses"},
	{"public_detail", "\"all\"", "/public_detail"},
	{"default_region", "\"nowhere\"", "/default_region"},
	{"owner_token_file", "7", "/owner_token_file"},
	{"colour_light", "\"red\"", "/colour_light"},
	{"firm", "null", "/firm"},
	{"alowed_origins", "[]", "/alowed_origins"},
};
enum { SLIPS = sizeof slips / sizeof slips[0] };

START_TEST(slips_in_service_json_are_named)
{
	const char *const check[] = {"check", "--config", small_config(), NULL};
	char *complaints, where[64];

	snprintf(where, sizeof where, "service.json: %s: ", slips[_i].where);
	small_set(slips[_i].key, json_loads(slips[_i].json, JSON_DECODE_ANY, NULL));
	ck_assert_int_eq(program_complain(check, &complaints), 1);
	ck_assert_msg(strstr(complaints, where) != NULL, "no \"%s\" in %s", where, complaints);
	ck_assert_msg(strstr(complaints, "\n1 faults\n") != NULL, "more than the slip: %s", complaints);
	free(complaints);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("settings");
	TCase *cases = tcase_create("settings");

	tcase_add_checked_fixture(cases, small_begin, small_end);
	tcase_set_timeout(cases, 230);
	tcase_add_test(cases, the_owner_limits_logs_and_embeds);
	tcase_add_loop_test(cases, slips_in_service_json_are_named, 0, SLIPS);
	suite_add_tcase(suite, cases);
	return suite_run(suite);
}
