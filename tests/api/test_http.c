#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#include "demo_service.h"
#include "raw.h"

/* What the gate lets through and what it refuses, with the bytes that an attacker or a careless client sends. */

/* Sends a request that must draw this status, a problem with this code, and an open or closed connection. */
static void assert_refused(const char *request, size_t length, unsigned status, const char *code, bool closes)
{
	static const char next[] = "GET /healthz HTTP/1.1\r\n" HOST "\r\n";
	int connection = raw_connect(demo_port());
	struct raw_answer answer;
	char member[80];

	ck_assert(raw_send_bytes(connection, request, length));
	raw_read(connection, strncmp(request, "HEAD", 4) == 0, &answer);
	ck_assert_msg(answer.status == status, "%.40s: status %u, not %u", request, answer.status, status);
	ck_assert(raw_header_is(&answer, "Content-Type", "application/problem+json"));
	ck_assert(raw_header_is(&answer, "Cache-Control", "no-store"));
	ck_assert(raw_header_is(&answer, "X-Content-Type-Options", "nosniff"));
	snprintf(member, sizeof member, "\"code\":\"%s\"", code);
	ck_assert_msg(strstr(answer.body, member) != NULL, "%s: %s", code, answer.body);
	ck_assert_int_eq(raw_header_is(&answer, "Connection", "close"), closes);
	if (closes) {
		ck_assert(raw_closes(connection));
	} else {
		ck_assert(raw_send(connection, next));
		raw_read(connection, false, &answer);
		ck_assert_uint_eq(answer.status, 200);
		ck_assert_str_eq(answer.body, "{\"status\":\"alive\"}");
	}
	close(connection);
}

#define ASSERT_REFUSED(request, status, code, closes) assert_refused(request, sizeof(request) - 1, status, code, closes)

START_TEST(two_statements_of_length_are_refused)
{
	ASSERT_REFUSED("POST /v1/echo HTTP/1.1\r\n" HOST JSON "Content-Length: 2\r\nTransfer-Encoding: chunked\r\n\r\n"
		       "0\r\n\r\nGET /evil HTTP/1.1\r\n" HOST "\r\n",
		400, "length-ambiguous", true);
	ASSERT_REFUSED("POST /v1/echo HTTP/1.1\r\n" HOST JSON "Content-Length: 2\r\nContent-Length: 40\r\n\r\n{}", 400,
		"length-ambiguous", true);
	ASSERT_REFUSED("POST /v1/echo HTTP/1.1\r\n" HOST JSON "Content-Length: 2\r\nContent-Length: 2\r\n\r\n{}", 400,
		"length-ambiguous", true);
}
END_TEST

START_TEST(a_name_with_a_blank_is_refused)
{
	ASSERT_REFUSED(
		"POST /v1/echo HTTP/1.1\r\n" HOST JSON "Content-Length : 2\r\n\r\n{}", 400, "header-malformed", true);
	ASSERT_REFUSED(
		"POST /v1/echo HTTP/1.1\r\n" HOST JSON "Content-Length\t: 2\r\n\r\n{}", 400, "header-malformed", true);
	ASSERT_REFUSED("GET /healthz HTTP/1.1\r\n" HOST "X(y): 2\r\n\r\n", 400, "header-malformed", true);
}
END_TEST

START_TEST(a_folded_length_is_refused)
{
	ASSERT_REFUSED("POST /v1/echo HTTP/1.1\r\n" HOST JSON "Content-Length:\r\n 2\r\n\r\n{}", 400,
		"header-malformed", true);
	ASSERT_REFUSED("POST /v1/echo HTTP/1.1\r\n" HOST JSON "X: a\r\n Content-Length: 2\r\n\r\n{}", 400,
		"header-malformed", true);
	ASSERT_REFUSED("POST /v1/echo HTTP/1.1\r\n" HOST JSON "Transfer-Encoding:\r\n chunked\r\n\r\n0\r\n\r\n", 400,
		"header-malformed", true);
}
END_TEST

START_TEST(an_empty_name_hides_no_length)
{
	ASSERT_REFUSED("POST /v1/echo HTTP/1.1\r\n" HOST JSON ": x\r\nContent-Length: 2\r\n\r\n{}", 411,
		"length-required", true);
	ASSERT_REFUSED(
		"POST /nowhere HTTP/1.1\r\n" HOST JSON ": x\r\nContent-Length: 2\r\n\r\n{}", 404, "path-unknown", true);
}
END_TEST

START_TEST(transfer_codings_are_refused)
{
	ASSERT_REFUSED("POST /v1/echo HTTP/1.1\r\n" HOST JSON "Transfer-Encoding: chunked\r\n\r\n2\r\n{}\r\n0\r\n\r\n",
		411, "length-required", true);
	ASSERT_REFUSED("POST /v1/echo HTTP/1.1\r\n" HOST JSON "Transfer-Encoding: gzip\r\n\r\n", 400,
		"transfer-coding-unknown", true);
	ASSERT_REFUSED("POST /v1/echo HTTP/1.1\r\n" HOST JSON "Transfer-Encoding: identity\r\n\r\n", 400,
		"transfer-coding-unknown", true);
	ASSERT_REFUSED("POST /v1/echo HTTP/1.1\r\n" HOST JSON "Transfer-Encoding: chunked, chunked\r\n\r\n", 400,
		"transfer-coding-unknown", true);
}
END_TEST

START_TEST(host_is_sent_once)
{
	ASSERT_REFUSED("GET /healthz HTTP/1.1\r\n\r\n", 400, "host-invalid", true);
	ASSERT_REFUSED("GET /healthz HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n", 400, "host-invalid", true);
}
END_TEST

START_TEST(http_1_0_needs_no_host)
{
	struct raw_answer answer;

	raw_ask(demo_port(), "GET /healthz HTTP/1.0\r\n\r\n", &answer);
	ck_assert_uint_eq(answer.status, 200);
}
END_TEST

START_TEST(a_bare_carriage_return_is_refused)
{
	ASSERT_REFUSED("GET /healthz HTTP/1.1\r\n" HOST "X: a\rb\r\n\r\n", 400, "header-malformed", true);
	ASSERT_REFUSED("GET /healthz HTTP/1.1\r\n" HOST "X: a\x01z\r\n\r\n", 400, "header-malformed", true);
}
END_TEST

START_TEST(paths_are_compared_as_they_came)
{
	ASSERT_REFUSED("GET /healthz%00.html HTTP/1.1\r\n" HOST "\r\n", 404, "path-unknown", false);
	ASSERT_REFUSED("GET /%68ealthz HTTP/1.1\r\n" HOST "\r\n", 404, "path-unknown", false);
	ASSERT_REFUSED("GET /healthz\0.html HTTP/1.1\r\n" HOST "\r\n", 404, "path-unknown", false);
	ASSERT_REFUSED("GET /healthz\0 HTTP/1.1\r\n" HOST "\r\n", 404, "path-unknown", false);
	ASSERT_REFUSED("GET /health z HTTP/1.1\r\n" HOST "\r\n", 404, "path-unknown", false);
	ASSERT_REFUSED("GET /./healthz HTTP/1.1\r\n" HOST "\r\n", 404, "path-unknown", false);
	ASSERT_REFUSED("GET /v1/things/.. HTTP/1.1\r\n" HOST "\r\n", 404, "path-unknown", false);
	ASSERT_REFUSED("OPTIONS * HTTP/1.1\r\n" HOST "\r\n", 404, "path-unknown", false);
	ASSERT_REFUSED("GET /Healthz HTTP/1.1\r\n" HOST "\r\n", 404, "path-unknown", false);
}
END_TEST

START_TEST(an_absolute_target_is_routed_by_its_path)
{
	struct raw_answer answer;

	raw_ask(demo_port(), "GET http://x:1/healthz?a=%00 HTTP/1.1\r\n" HOST "\r\n", &answer);
	ck_assert_uint_eq(answer.status, 200);
	raw_ask(demo_port(), "GET HTTPS://x HTTP/1.1\r\n" HOST "\r\n", &answer);
	ck_assert_uint_eq(answer.status, 200);
	ck_assert_str_eq(answer.body, demo_page);
	raw_ask(demo_port(), "GET http://x?/healthz HTTP/1.1\r\n" HOST "\r\n", &answer);
	ck_assert_str_eq(answer.body, demo_page);
}
END_TEST

START_TEST(other_methods_are_told_what_is_allowed)
{
	static const char *const methods[] = {"GET", "PUT", "DELETE", "PATCH", "TRACE", "BREW", "post"};
	struct raw_answer answer;
	char request[256];

	for (size_t i = 0; i < sizeof methods / sizeof methods[0]; i++) {
		snprintf(request, sizeof request, "%s /v1/echo HTTP/1.1\r\n" HOST "\r\n", methods[i]);
		raw_ask(demo_port(), request, &answer);
		ck_assert_msg(answer.status == 405, "%s: %u", methods[i], answer.status);
		ck_assert(raw_header_is(&answer, "Allow", "POST, OPTIONS"));
		ck_assert(raw_header_is(&answer, "Vary", "Origin"));
	}
	raw_ask(demo_port(), "POST /healthz HTTP/1.1\r\n" HOST "Content-Length: 0\r\n\r\n", &answer);
	ck_assert_uint_eq(answer.status, 405);
	ck_assert(raw_header_is(&answer, "Allow", "GET, HEAD, OPTIONS"));
}
END_TEST

START_TEST(ordinary_refusals_keep_the_connection)
{
	ASSERT_REFUSED("GET /nowhere HTTP/1.1\r\n" HOST "\r\n", 404, "path-unknown", false);
	ASSERT_REFUSED("GET /v1/echo HTTP/1.1\r\n" HOST "\r\n", 405, "method-not-allowed", false);
	ASSERT_REFUSED("POST /nowhere HTTP/1.1\r\n" HOST "Content-Length: 4\r\n\r\nabcd", 404, "path-unknown", false);
	ASSERT_REFUSED("POST /v1/echo HTTP/1.1\r\n" HOST "Content-Type: text/plain\r\nContent-Length: 2\r\n\r\n{}", 415,
		"content-type-unsupported", false);
	ASSERT_REFUSED("POST /v1/echo HTTP/1.1\r\n" HOST "Content-Length: 2\r\n\r\n{}", 415, "content-type-unsupported",
		false);
	ASSERT_REFUSED("POST /v1/echo HTTP/1.1\r\n" HOST JSON "Content-Encoding: gzip\r\nContent-Length: 2\r\n\r\n{}",
		415, "content-encoding-unsupported", false);
	ASSERT_REFUSED("GET /v1/things/a HTTP/1.1\r\n" HOST "Accept: text/html\r\n\r\n", 406, "not-acceptable", false);
	ASSERT_REFUSED("GET /healthz HTTP/1.1\r\n" HOST "Expect: tea\r\n\r\n", 417, "expectation-unknown", false);
}
END_TEST

START_TEST(a_refusal_does_not_ask_for_the_body_first)
{
	ASSERT_REFUSED("POST /nowhere HTTP/1.1\r\n" HOST "Content-Length: 4\r\nExpect: 100-continue\r\n\r\n", 404,
		"path-unknown", true);
}
END_TEST

START_TEST(a_post_without_length_is_refused)
{
	ASSERT_REFUSED("POST /v1/echo HTTP/1.1\r\n" HOST JSON "\r\n", 411, "length-required", true);
}
END_TEST

/* A request with a field of so many bytes. */
static char *long_request(const char *before, size_t bytes, const char *after)
{
	char *text = malloc(strlen(before) + bytes + strlen(after) + 1);
	size_t length = strlen(before);

	ck_assert_ptr_nonnull(text);
	memcpy(text, before, length);
	memset(text + length, 'a', bytes);
	memcpy(text + length + bytes, after, strlen(after) + 1);
	return text;
}

static void assert_long_refused(
	const char *before, size_t bytes, const char *after, unsigned status, const char *code, bool closes)
{
	char *text = long_request(before, bytes, after);

	assert_refused(text, strlen(text), status, code, closes);
	free(text);
}

START_TEST(long_targets_are_refused)
{
	assert_long_refused("GET /", 511, " HTTP/1.1\r\n" HOST "\r\n", 404, "path-unknown", false);
	assert_long_refused("GET /", 512, " HTTP/1.1\r\n" HOST "\r\n", 414, "target-too-long", true);
	assert_long_refused("GET /x?", 1024, " HTTP/1.1\r\n" HOST "\r\n", 404, "path-unknown", false);
	assert_long_refused("GET /healthz?", 1025, " HTTP/1.1\r\n" HOST "\r\n", 414, "target-too-long", true);
}
END_TEST

START_TEST(a_query_of_a_thousand_arguments_stalls_nothing)
{
	char request[2048] = "GET /healthz?";
	struct raw_answer answer;

	for (int i = 0; i < 511; i++)
		strcat(request, "a&");
	strcat(request, " HTTP/1.1\r\n" HOST "\r\n");
	raw_ask(demo_port(), request, &answer);
	ck_assert_uint_eq(answer.status, 200);
}
END_TEST

START_TEST(many_or_long_headers_are_refused)
{
	char request[4096] = "GET /healthz HTTP/1.1\r\n" HOST;

	assert_long_refused("GET /healthz HTTP/1.1\r\n" HOST "X: ", 17000, "\r\n\r\n", 431, "headers-too-large", true);
	for (int i = 0; i < 100; i++)
		strcat(request, "X: y\r\n");
	strcat(request, "\r\n");
	assert_refused(request, strlen(request), 431, "headers-too-large", true);
}
END_TEST

START_TEST(a_body_over_the_limit_is_swallowed_then_refused)
{
	assert_long_refused("POST /v1/echo HTTP/1.1\r\n" HOST JSON "Content-Length: 65537\r\n\r\n", 65537, "", 413,
		"body-too-large", false);
}
END_TEST

START_TEST(a_body_far_over_the_limit_is_refused_before_it_comes)
{
	ASSERT_REFUSED(
		"POST /v1/echo HTTP/1.1\r\n" HOST JSON "Content-Length: 1048577\r\n\r\n", 413, "body-too-large", true);
	ASSERT_REFUSED("GET /v1/things/a HTTP/1.1\r\n" HOST "Content-Length: 18446744073709551615\r\n\r\n", 413,
		"body-too-large", true);
}
END_TEST

START_TEST(a_body_at_the_limit_arrives_whole)
{
	char *text = long_request("POST /v1/echo HTTP/1.1\r\n" HOST JSON "Content-Length: 65536\r\n\r\n", 65536, "");
	struct raw_answer answer;

	raw_ask(demo_port(), text, &answer);
	ck_assert_uint_eq(answer.status, 200);
	ck_assert_int_eq(strncmp(answer.body, "{\"length\":65536,", 16), 0);
	free(text);
}
END_TEST

START_TEST(a_body_in_pieces_is_put_together)
{
	int connection = raw_connect(demo_port());
	struct raw_answer answer;

	ck_assert(raw_send(connection,
		"POST /v1/echo HTTP/1.1\r\n" HOST JSON "Content-Length: 9\r\n"
		"Expect: 100-continue\r\n\r\n{\"a\""));
	usleep(20000);
	ck_assert(raw_send(connection, ": 12}"));
	raw_read(connection, false, &answer);
	ck_assert_uint_eq(answer.status, 200);
	ck_assert_str_eq(answer.body, "{\"length\":9,\"body\":\"{\\\"a\\\": 12}\"}");
	close(connection);
}
END_TEST

START_TEST(an_unwanted_body_of_a_get_is_dropped)
{
	struct raw_answer answer;

	raw_ask(demo_port(), "GET /healthz HTTP/1.1\r\n" HOST "Content-Length: 3\r\n\r\nabc", &answer);
	ck_assert_uint_eq(answer.status, 200);
}
END_TEST

START_TEST(pipelined_requests_are_answered_in_order)
{
	int connection = raw_connect(demo_port());
	struct raw_answer answer;

	ck_assert(raw_send(connection,
		"GET /v1/things/a HTTP/1.1\r\n" HOST "\r\nGET /v1/things/none HTTP/1.1\r\n" HOST
		"\r\nGET /v1/things/b HTTP/1.1\r\n" HOST "\r\n"));
	raw_read(connection, false, &answer);
	ck_assert_str_eq(answer.body, "{\"id\":\"a\"}");
	ck_assert(raw_header_is(&answer, "Link", "</openapi.json>; rel=\"service-desc\""));
	raw_read(connection, false, &answer);
	ck_assert_uint_eq(answer.status, 404);
	raw_read(connection, false, &answer);
	ck_assert_str_eq(answer.body, "{\"id\":\"b\"}");
	close(connection);
}
END_TEST

static TCase *framing_cases(void)
{
	TCase *cases = tcase_create("framing");

	tcase_add_checked_fixture(cases, demo_service_start, demo_service_stop);
	tcase_set_timeout(cases, 60);
	tcase_add_test(cases, two_statements_of_length_are_refused);
	tcase_add_test(cases, a_name_with_a_blank_is_refused);
	tcase_add_test(cases, a_folded_length_is_refused);
	tcase_add_test(cases, an_empty_name_hides_no_length);
	tcase_add_test(cases, transfer_codings_are_refused);
	tcase_add_test(cases, host_is_sent_once);
	tcase_add_test(cases, http_1_0_needs_no_host);
	tcase_add_test(cases, a_bare_carriage_return_is_refused);
	tcase_add_test(cases, paths_are_compared_as_they_came);
	tcase_add_test(cases, an_absolute_target_is_routed_by_its_path);
	tcase_add_test(cases, other_methods_are_told_what_is_allowed);
	tcase_add_test(cases, ordinary_refusals_keep_the_connection);
	tcase_add_test(cases, a_refusal_does_not_ask_for_the_body_first);
	tcase_add_test(cases, a_post_without_length_is_refused);
	tcase_add_test(cases, long_targets_are_refused);
	tcase_add_test(cases, a_query_of_a_thousand_arguments_stalls_nothing);
	tcase_add_test(cases, many_or_long_headers_are_refused);
	tcase_add_test(cases, a_body_over_the_limit_is_swallowed_then_refused);
	tcase_add_test(cases, a_body_far_over_the_limit_is_refused_before_it_comes);
	tcase_add_test(cases, a_body_at_the_limit_arrives_whole);
	tcase_add_test(cases, a_body_in_pieces_is_put_together);
	tcase_add_test(cases, an_unwanted_body_of_a_get_is_dropped);
	tcase_add_test(cases, pipelined_requests_are_answered_in_order);
	return cases;
}

int main(void)
{
	Suite *suite = suite_create("http");
	SRunner *runner;
	int failed;

	suite_add_tcase(suite, framing_cases());
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
