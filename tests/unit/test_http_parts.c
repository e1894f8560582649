#include <arpa/inet.h>
#include <check.h>
#include <netinet/in.h>
#include <stdlib.h>
#include <string.h>

#include "etag.h"
#include "limit.h"
#include "media.h"
#include "metrics.h"
#include "origins.h"
#include "router.h"
#include "trace.h"

static const char json[] = "application/json";

START_TEST(accept_gives_each_type_its_weight)
{
	ck_assert_uint_eq(media_weight(NULL, json), 1000);
	ck_assert_uint_eq(media_weight("", json), 1000);
	ck_assert_uint_eq(media_weight("*/*", json), 1000);
	ck_assert_uint_eq(media_weight("text/html, application/*;q=0.5", json), 500);
	ck_assert_uint_eq(media_weight("Application/JSON ; charset=utf-8;q=0.25", json), 250);
	ck_assert_uint_eq(media_weight("text/csv", json), 0);
	ck_assert_uint_eq(media_weight("*/*;q=0.1, application/json;q=0", json), 0);
	ck_assert_uint_eq(media_weight("application/json;q=0, */*", json), 0);
	ck_assert_uint_eq(media_weight("text/*;q=0.3,text/csv;q=0.125,*/*;q=0.9", "text/csv"), 125);
	ck_assert_uint_eq(media_weight("application/jsonx, application/jso", json), 0);
	ck_assert_uint_eq(media_weight(",,, ;;;", json), 0);
}
END_TEST

START_TEST(content_type_ignores_case_and_parameters)
{
	ck_assert(media_is("application/json", json));
	ck_assert(media_is(" Application/JSON ; charset=UTF-8", json));
	ck_assert(!media_is("text/plain", json));
	ck_assert(!media_is("application/json, text/plain", json));
	ck_assert(!media_is("application/problem+json", json));
	ck_assert(!media_is("", json));
	ck_assert(!media_is(NULL, json));
}
END_TEST

START_TEST(if_none_match_finds_the_tag_in_every_form)
{
	char etag[ETAG_SIZE];
	char list[128];

	etag_make("page", 4, etag);
	ck_assert(etag_matches("*", etag));
	ck_assert(etag_matches(etag, etag));
	strcpy(list, "\"other\" , W/");
	ck_assert(etag_matches(strcat(list, etag), etag));
	ck_assert(!etag_matches(NULL, etag));
	ck_assert(!etag_matches("", etag));
	ck_assert(!etag_matches("\"other\"", etag));
	ck_assert(!etag_matches("\"unclosed", etag));
	ck_assert(!etag_matches("bare, words", etag));
}
END_TEST

START_TEST(tags_of_different_bytes_differ)
{
	char one[ETAG_SIZE];
	char two[ETAG_SIZE];

	etag_make("pond", 4, one);
	etag_make("ponc", 4, two);
	ck_assert_str_ne(one, two);
	etag_make("pond", 3, two);
	ck_assert_str_ne(one, two);
}
END_TEST

START_TEST(a_request_id_is_short_and_plain)
{
	char longest[REQUEST_ID_SIZE + 1];

	memset(longest, 'a', sizeof longest);
	longest[REQUEST_ID_SIZE] = '\0';
	ck_assert(!request_id_is_valid(longest));
	longest[REQUEST_ID_SIZE - 1] = '\0';
	ck_assert(request_id_is_valid(longest));
	ck_assert(request_id_is_valid("A-z_0.9"));
	ck_assert(!request_id_is_valid(""));
	ck_assert(!request_id_is_valid(NULL));
	ck_assert(!request_id_is_valid("a b"));
	ck_assert(!request_id_is_valid("a\"b"));
}
END_TEST

START_TEST(ids_of_our_own_differ_and_are_valid)
{
	char one[REQUEST_ID_SIZE];
	char two[REQUEST_ID_SIZE];

	request_id_make(7, 1, one);
	request_id_make(7, 2, two);
	ck_assert(request_id_is_valid(one));
	ck_assert_str_ne(one, two);
}
END_TEST

START_TEST(a_trace_id_is_read_only_from_a_good_traceparent)
{
	char id[TRACE_ID_SIZE];

	ck_assert(trace_id_read("00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01", id));
	ck_assert_str_eq(id, "0af7651916cd43dd8448eb211c80319c");
	ck_assert(trace_id_read("01-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01-later", id));
	ck_assert(!trace_id_read("00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01-later", id));
	ck_assert(!trace_id_read("ff-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01", id));
	ck_assert(!trace_id_read("00-00000000000000000000000000000000-b7ad6b7169203331-01", id));
	ck_assert(!trace_id_read("00-0af7651916cd43dd8448eb211c80319c-0000000000000000-01", id));
	ck_assert(!trace_id_read("00-0AF7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01", id));
	ck_assert(!trace_id_read("00-0af765", id));
	ck_assert(!trace_id_read("00", id));
	ck_assert(!trace_id_read("", id));
	ck_assert(!trace_id_read(NULL, id));
	ck_assert_str_eq(id, "");
}
END_TEST

START_TEST(origins_match_whole_and_are_swapped_whole)
{
	static const char *const first[] = {"https://a.example.test", "null"};
	static const char *const second[] = {"https://b.example.test"};
	struct origins origins;

	ck_assert(origins_init(&origins));
	ck_assert(!origins_hold(&origins, "https://a.example.test"));
	ck_assert(origins_set(&origins, first, 2));
	ck_assert(origins_hold(&origins, "https://a.example.test"));
	ck_assert(!origins_hold(&origins, "https://a.example.test.evil"));
	ck_assert(!origins_hold(&origins, "https://A.example.test"));
	ck_assert(!origins_hold(&origins, "null"));
	ck_assert(!origins_hold(&origins, NULL));
	ck_assert(origins_set(&origins, second, 1));
	ck_assert(!origins_hold(&origins, "https://a.example.test"));
	ck_assert(origins_hold(&origins, "https://b.example.test"));
	origins_free(&origins);
}
END_TEST

START_TEST(a_prefix_takes_exactly_one_segment)
{
	static const struct route rows[] = {
		{.path = "/v1/things", .template = "/v1/things", .methods = METHOD_GET},
		{.path = "/v1/things/", .prefix = true, .template = "/v1/things/{id}", .methods = METHOD_GET},
	};
	struct router router;
	const char *tail;

	ck_assert(router_init(&router, rows, 2, NULL, 0));
	ck_assert_str_eq(router_find(&router, "/v1/things", false, &tail)->template, "/v1/things");
	ck_assert_str_eq(router_find(&router, "/v1/things/a-b", false, &tail)->template, "/v1/things/{id}");
	ck_assert_str_eq(tail, "a-b");
	ck_assert_ptr_null(router_find(&router, "/v1/things/", false, &tail));
	ck_assert_ptr_null(router_find(&router, "/v1/things/a/b", false, &tail));
	ck_assert_ptr_null(router_find(&router, "/v1/things/..", false, &tail));
	ck_assert_ptr_null(router_find(&router, "/V1/things", false, &tail));
	ck_assert_ptr_null(router_find(&router, "/v1/things", true, &tail));
	router_free(&router);
}
END_TEST

static const char *metrics_text(struct metrics *metrics, struct writer *out)
{
	writer_clear(out);
	metrics_write(metrics, out);
	writer_text(out, "", 1);
	ck_assert(!out->out_of_memory);
	return out->bytes;
}

START_TEST(metrics_count_by_route_method_and_code)
{
	static const char *const templates[] = {"/v1/quote", "unknown"};
	struct metrics *metrics = metrics_new("1.2\"3", templates, 2);
	struct writer out;
	const char *text;

	ck_assert_ptr_nonnull(metrics);
	writer_init(&out);
	metrics_request_begin(metrics);
	metrics_request_begin(metrics);
	metrics_request_begin(metrics);
	metrics_request_end(metrics, 0, method_index(METHOD_POST), 200, 300000);
	metrics_request_end(metrics, 0, method_index(METHOD_POST), 200, 2000000000);
	metrics_count(metrics, METRICS_QUOTES, "priced");
	metrics_count(metrics, METRICS_QUOTES, "priced");
	metrics_count(metrics, METRICS_QUOTES, "cannot");
	metrics_rates_loaded(metrics, "digest", 1700000000);
	text = metrics_text(metrics, &out);
	ck_assert_ptr_nonnull(strstr(text, "pondwright_build_info{version=\"1.2\\\"3\"} 1\n"));
	ck_assert_ptr_nonnull(
		strstr(text, "pondwright_http_requests_total{route=\"/v1/quote\",method=\"POST\",code=\"200\"} 2\n"));
	ck_assert_ptr_nonnull(strstr(text, "_bucket{route=\"/v1/quote\",le=\"0.00025\"} 0\n"));
	ck_assert_ptr_nonnull(strstr(text, "_bucket{route=\"/v1/quote\",le=\"0.0005\"} 1\n"));
	ck_assert_ptr_nonnull(strstr(text, "_bucket{route=\"/v1/quote\",le=\"+Inf\"} 2\n"));
	ck_assert_ptr_nonnull(strstr(text, "_sum{route=\"/v1/quote\"} 2.000300000\n"));
	ck_assert_ptr_nonnull(strstr(text, "pondwright_http_requests_in_flight 1\n"));
	ck_assert_ptr_nonnull(strstr(text, "pondwright_quotes_total{outcome=\"priced\"} 2\n"));
	ck_assert_ptr_nonnull(strstr(text, "pondwright_quotes_total{outcome=\"cannot\"} 1\n"));
	ck_assert_ptr_nonnull(strstr(text, "pondwright_rates_loaded_timestamp_seconds 1700000000\n"));
	ck_assert_ptr_nonnull(strstr(text, "pondwright_rates_info{version=\"digest\"} 1\n"));
	ck_assert_ptr_nonnull(strstr(text, "process_open_fds "));
	writer_free(&out);
	metrics_free(metrics);
}
END_TEST

START_TEST(too_many_words_count_as_other)
{
	static const char *const templates[] = {"unknown"};
	static char words[80][8];
	struct metrics *metrics = metrics_new("1", templates, 1);
	struct writer out;

	writer_init(&out);
	for (int i = 0; i < 80; i++) {
		words[i][0] = (char)('a' + i / 10);
		words[i][1] = (char)('0' + i % 10);
		metrics_count(metrics, METRICS_REJECTED_FIELDS, words[i]);
	}
	ck_assert_ptr_nonnull(
		strstr(metrics_text(metrics, &out), "pondwright_rejected_fields_total{code=\"other\"} 17\n"));
	writer_free(&out);
	metrics_free(metrics);
}
END_TEST

START_TEST(a_client_gets_its_burst_and_then_its_rate)
{
	bool made;
	struct limiter *limiter = limiter_new(60, 1, &made);
	unsigned wait_s;

	ck_assert(made);
	for (int i = 0; i < 60; i++)
		ck_assert(limiter_allows(limiter, 7, 1000, &wait_s));
	ck_assert(!limiter_allows(limiter, 7, 1000, &wait_s));
	ck_assert_uint_eq(wait_s, 1);
	ck_assert(limiter_allows(limiter, 8, 1000, &wait_s));
	ck_assert(!limiter_allows(limiter, 7, 1999, &wait_s));
	ck_assert(limiter_allows(limiter, 7, 2000, &wait_s));
	ck_assert(!limiter_allows(limiter, 7, 2000, &wait_s));
	for (int i = 0; i < 60; i++)
		ck_assert(limiter_allows(limiter, 7, 1000000, &wait_s));
	ck_assert(!limiter_allows(limiter, 7, 1000000, &wait_s));
	limiter_free(limiter);
}
END_TEST

START_TEST(no_limit_lets_everyone)
{
	bool made;
	unsigned wait_s;

	ck_assert_ptr_null(limiter_new(0, 1, &made));
	ck_assert(made);
	ck_assert(limiter_allows(NULL, 7, 0, &wait_s));
}
END_TEST

/* The client of an IPv4 or IPv6 peer, as text, with one trusted proxy of each kind. */
static uint64_t client(const char *peer, const char *forwarded_for)
{
	static const char *const trusted[] = {"10.0.0.1", "2001:db8:1::1"};
	struct sockaddr_in four = {.sin_family = AF_INET};
	struct sockaddr_in6 six = {.sin6_family = AF_INET6};

	if (inet_pton(AF_INET, peer, &four.sin_addr) == 1)
		return client_of((const struct sockaddr *)&four, forwarded_for, trusted, 2);
	ck_assert_int_eq(inet_pton(AF_INET6, peer, &six.sin6_addr), 1);
	return client_of((const struct sockaddr *)&six, forwarded_for, trusted, 2);
}

START_TEST(clients_are_told_apart_by_address)
{
	uint64_t other = client("192.0.2.9", NULL);

	ck_assert_uint_ne(client("192.0.2.8", NULL), other);
	ck_assert_uint_eq(client("::ffff:192.0.2.9", NULL), other);
	ck_assert_uint_eq(client("2001:db8:2::1", NULL), client("2001:db8:2::2", NULL));
	ck_assert_uint_ne(client("2001:db8:2::1", NULL), client("2001:db8:2:1::1", NULL));
	ck_assert_uint_ne(client("::1", NULL), 0);
	ck_assert_uint_eq(client_of(NULL, NULL, NULL, 0), 0);
}
END_TEST

START_TEST(only_a_trusted_proxy_names_another_client)
{
	uint64_t other = client("192.0.2.9", NULL);
	uint64_t proxy = client("10.0.0.1", NULL);

	ck_assert_uint_ne(client("192.0.2.8", "192.0.2.9"), other);
	ck_assert_uint_eq(client("10.0.0.1", "192.0.2.9"), other);
	ck_assert_uint_eq(client("2001:db8:1::1", " 198.51.100.1 , 192.0.2.9 "), other);
	ck_assert_uint_eq(client("10.0.0.1", "192.0.2.9, 10.0.0.1"), other);
	ck_assert_uint_eq(client("10.0.0.1", "192.0.2.9,rubbish"), proxy);
	ck_assert_uint_eq(client("10.0.0.1", "10.0.0.1"), proxy);
	ck_assert_uint_eq(client("10.0.0.1", ",,"), proxy);
	ck_assert_uint_eq(client("10.0.0.1", "1111111111111111111111111111111111111111111111111"), proxy);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("http parts");
	TCase *cases = tcase_create("http parts");
	SRunner *runner;
	int failed;

	tcase_add_test(cases, accept_gives_each_type_its_weight);
	tcase_add_test(cases, content_type_ignores_case_and_parameters);
	tcase_add_test(cases, if_none_match_finds_the_tag_in_every_form);
	tcase_add_test(cases, tags_of_different_bytes_differ);
	tcase_add_test(cases, a_request_id_is_short_and_plain);
	tcase_add_test(cases, ids_of_our_own_differ_and_are_valid);
	tcase_add_test(cases, a_trace_id_is_read_only_from_a_good_traceparent);
	tcase_add_test(cases, origins_match_whole_and_are_swapped_whole);
	tcase_add_test(cases, a_prefix_takes_exactly_one_segment);
	tcase_add_test(cases, metrics_count_by_route_method_and_code);
	tcase_add_test(cases, too_many_words_count_as_other);
	tcase_add_test(cases, a_client_gets_its_burst_and_then_its_rate);
	tcase_add_test(cases, no_limit_lets_everyone);
	tcase_add_test(cases, clients_are_told_apart_by_address);
	tcase_add_test(cases, only_a_trusted_proxy_names_another_client);
	suite_add_tcase(suite, cases);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
