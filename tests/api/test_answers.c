#include <check.h>
#include <curl/curl.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#include "demo_service.h"
#include "metrics.h"
#include "raw.h"

/* What answers look like, and how long a client may take. */

static const char origin[] = "https://www.example.test";

static void assert_header(const struct raw_answer *answer, const char *name, const char *value)
{
	char text[1024];
	const char *found = raw_header(answer, name, text, sizeof text);

	if (value == NULL)
		ck_assert_msg(found == NULL, "%s: %s", name, found);
	else
		ck_assert_msg(found != NULL && strcmp(found, value) == 0, "%s: %s, not %s", name,
			found != NULL ? found : "missing", value);
}

START_TEST(head_is_get_without_the_body)
{
	struct raw_answer get;
	struct raw_answer head;
	char length[32];

	raw_ask(demo_port(), "GET / HTTP/1.1\r\n" HOST "\r\n", &get);
	raw_ask(demo_port(), "HEAD / HTTP/1.1\r\n" HOST "\r\n", &head);
	ck_assert_uint_eq(get.status, 200);
	ck_assert_uint_eq(head.status, 200);
	ck_assert_str_eq(get.body, demo_page);
	assert_header(&head, "Content-Length", raw_header(&get, "Content-Length", length, sizeof length));
	raw_ask(demo_port(), "HEAD /readyz HTTP/1.1\r\n" HOST "\r\n", &head);
	ck_assert_uint_eq(head.status, 200);
}
END_TEST

START_TEST(a_page_brings_its_policies)
{
	struct raw_answer answer;

	raw_ask(demo_port(), "GET / HTTP/1.1\r\n" HOST "Accept: image/png\r\n\r\n", &answer);
	assert_header(&answer, "Content-Type", "text/html; charset=utf-8");
	assert_header(&answer, "Cache-Control", "public, max-age=300");
	assert_header(&answer, "Content-Security-Policy",
		"default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self'; "
		"form-action 'self'; base-uri 'none'; frame-ancestors 'none'");
	assert_header(&answer, "Referrer-Policy", "no-referrer");
	assert_header(&answer, "Cross-Origin-Opener-Policy", "same-origin");
	assert_header(&answer, "X-Content-Type-Options", "nosniff");
	assert_header(&answer, "Server", NULL);
	assert_header(&answer, "Access-Control-Allow-Origin", NULL);
}
END_TEST

START_TEST(a_page_that_is_held_is_not_sent_again)
{
	static const char *const forms[] = {"%s", "W/%s", "\"other\", %s", "*"};
	struct raw_answer first;
	char etag[64];
	char length[32];

	raw_ask(demo_port(), "GET / HTTP/1.1\r\n" HOST "\r\n", &first);
	ck_assert_ptr_nonnull(raw_header(&first, "ETag", etag, sizeof etag));
	raw_header(&first, "Content-Length", length, sizeof length);
	for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
		int connection = raw_connect(demo_port());
		struct raw_answer answer;

		ck_assert(raw_send(connection, "GET / HTTP/1.1\r\n" HOST "If-None-Match: "));
		for (const char *at = forms[i]; *at != '\0'; at++)
			ck_assert(
				at[0] == '%' ? raw_send(connection, etag) && at++ : raw_send_bytes(connection, at, 1));
		ck_assert(raw_send(connection, "\r\n\r\nGET /healthz HTTP/1.1\r\n" HOST "\r\n"));
		raw_read(connection, true, &answer);
		ck_assert_uint_eq(answer.status, 304);
		assert_header(&answer, "ETag", etag);
		raw_read(connection, false, &answer);
		ck_assert_uint_eq(answer.status, 200);
		close(connection);
	}
	raw_ask(demo_port(), "GET / HTTP/1.1\r\n" HOST "If-None-Match: \"other\"\r\n\r\n", &first);
	ck_assert_uint_eq(first.status, 200);
}
END_TEST

START_TEST(a_listed_origin_may_ask_and_read)
{
	struct raw_answer answer;

	raw_ask(demo_port(),
		"OPTIONS /v1/echo HTTP/1.1\r\n" HOST "Origin: https://www.example.test\r\n"
		"Access-Control-Request-Method: POST\r\nAccess-Control-Request-Headers: content-type\r\n\r\n",
		&answer);
	ck_assert_uint_eq(answer.status, 204);
	assert_header(&answer, "Access-Control-Allow-Origin", origin);
	assert_header(&answer, "Access-Control-Allow-Methods", "POST, OPTIONS");
	assert_header(&answer, "Access-Control-Allow-Headers", "content-type, authorization");
	assert_header(&answer, "Access-Control-Max-Age", "600");
	assert_header(&answer, "Access-Control-Allow-Credentials", NULL);
	assert_header(&answer, "Vary", "Origin");
	raw_ask(demo_port(),
		"POST /v1/echo HTTP/1.1\r\n" HOST JSON "Origin: https://www.example.test\r\n"
		"Content-Length: 2\r\n\r\n{}",
		&answer);
	ck_assert_uint_eq(answer.status, 200);
	assert_header(&answer, "Access-Control-Allow-Origin", origin);
	assert_header(&answer, "Access-Control-Expose-Headers", "X-Request-Id, Retry-After");
}
END_TEST

START_TEST(a_refusal_can_be_read_by_a_listed_origin)
{
	struct raw_answer answer;

	raw_ask(demo_port(), "POST /v1/echo HTTP/1.1\r\n" HOST JSON "Origin: https://www.example.test\r\n\r\n",
		&answer);
	ck_assert_uint_eq(answer.status, 411);
	assert_header(&answer, "Access-Control-Allow-Origin", origin);
	assert_header(&answer, "Vary", "Origin");
}
END_TEST

START_TEST(no_other_origin_may_read)
{
	static const char *const others[] = {"null", "https://www.example.test.evil", "http://www.example.test",
		"https://www.example.test:443", "*"};
	struct raw_answer answer;
	char request[256];

	for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
		snprintf(request, sizeof request, "OPTIONS /v1/echo HTTP/1.1\r\n" HOST "Origin: %s\r\n\r\n", others[i]);
		raw_ask(demo_port(), request, &answer);
		ck_assert_uint_eq(answer.status, 204);
		assert_header(&answer, "Access-Control-Allow-Origin", NULL);
		assert_header(&answer, "Access-Control-Allow-Methods", NULL);
		assert_header(&answer, "Vary", "Origin");
	}
}
END_TEST

START_TEST(origins_change_at_a_reload)
{
	static const char *const fresh[] = {"https://new.example.test"};
	struct raw_answer answer;

	ck_assert(http_origins_set(demo_http(), fresh, 1));
	raw_ask(demo_port(), "GET /v1/things/a HTTP/1.1\r\n" HOST "Origin: https://new.example.test\r\n\r\n", &answer);
	assert_header(&answer, "Access-Control-Allow-Origin", fresh[0]);
	raw_ask(demo_port(), "GET /v1/things/a HTTP/1.1\r\n" HOST "Origin: https://www.example.test\r\n\r\n", &answer);
	assert_header(&answer, "Access-Control-Allow-Origin", NULL);
}
END_TEST

START_TEST(a_good_request_id_comes_back_and_a_bad_one_does_not)
{
	struct raw_answer answer;
	char id[128];

	raw_ask(demo_port(), "GET /v1/things/none HTTP/1.1\r\n" HOST "X-Request-Id: my-id_1.2\r\n\r\n", &answer);
	assert_header(&answer, "X-Request-Id", "my-id_1.2");
	ck_assert_ptr_nonnull(strstr(answer.body, "\"instance\":\"my-id_1.2\""));
	raw_ask(demo_port(), "GET /v1/things/a HTTP/1.1\r\n" HOST "X-Request-Id: a b<script>\r\n\r\n", &answer);
	ck_assert_ptr_nonnull(raw_header(&answer, "X-Request-Id", id, sizeof id));
	ck_assert_uint_eq(strlen(id), 16);
}
END_TEST

START_TEST(accept_chooses_among_what_a_route_gives)
{
	struct raw_answer answer;

	raw_ask(demo_port(), "GET /v1/things/a HTTP/1.1\r\n" HOST "Accept: text/csv\r\n\r\n", &answer);
	assert_header(&answer, "Content-Type", "text/csv; charset=utf-8");
	assert_header(&answer, "Vary", "Accept, Origin");
	ck_assert_str_eq(answer.body, "a,b\n");
	raw_ask(demo_port(), "GET /v1/things/a HTTP/1.1\r\n" HOST "Accept: text/csv;q=0.4, */*;q=0.5\r\n\r\n", &answer);
	assert_header(&answer, "Content-Type", "application/json");
	raw_ask(demo_port(), "GET /v1/things/a HTTP/1.1\r\n" HOST "Accept: application/json;q=0\r\n\r\n", &answer);
	ck_assert_uint_eq(answer.status, 406);
	assert_header(&answer, "Vary", "Accept, Origin");
	raw_ask(demo_port(), "GET /v1/silent HTTP/1.1\r\n" HOST "\r\n", &answer);
	assert_header(&answer, "Vary", NULL);
	raw_ask(demo_port(), "OPTIONS /v1/things/a HTTP/1.1\r\n" HOST "Accept: text/html\r\n\r\n", &answer);
	ck_assert_uint_eq(answer.status, 204);
}
END_TEST

START_TEST(short_memory_is_a_503_and_a_forgotten_answer_a_500)
{
	struct raw_answer answer;

	raw_ask(demo_port(), "GET /v1/starved HTTP/1.1\r\n" HOST "\r\n", &answer);
	ck_assert_uint_eq(answer.status, 503);
	assert_header(&answer, "Retry-After", "1");
	assert_header(&answer, "Content-Type", "application/problem+json");
	raw_ask(demo_port(), "GET /v1/silent HTTP/1.1\r\n" HOST "\r\n", &answer);
	ck_assert_uint_eq(answer.status, 500);
}
END_TEST

START_TEST(a_list_of_faults_is_a_problem)
{
	struct raw_answer answer;

	raw_ask(demo_port(), "GET /v1/faults HTTP/1.1\r\n" HOST "X-Request-Id: q\r\n\r\n", &answer);
	ck_assert_uint_eq(answer.status, 422);
	assert_header(&answer, "Content-Type", "application/problem+json");
	ck_assert_str_eq(answer.body,
		"{\"type\":\"about:blank\",\"title\":\"Unprocessable Content\",\"status\":422,"
		"\"detail\":\"One member needs attention.\",\"instance\":\"q\",\"errors\":"
		"[{\"pointer\":\"/pond\",\"code\":\"missing\",\"detail\":\"Needed.\"}]}");
}
END_TEST

START_TEST(readiness_follows_the_tables_and_the_drain)
{
	struct raw_answer answer;

	raw_ask(demo_port(), "GET /readyz HTTP/1.1\r\n" HOST "\r\n", &answer);
	ck_assert_uint_eq(answer.status, 200);
	ck_assert_str_eq(answer.body, "{\"status\":\"ready\",\"config\":\"demo-tables\",\"version\":\"unknown\",\"last_reload\":null}");
	demo_tables_load(false);
	raw_ask(demo_port(), "GET /readyz HTTP/1.1\r\n" HOST "\r\n", &answer);
	ck_assert_uint_eq(answer.status, 503);
	ck_assert_str_eq(answer.body, "{\"status\":\"not-loaded\",\"config\":null,\"version\":\"unknown\",\"last_reload\":null}");
	demo_tables_load(true);
	http_drain(demo_http());
	raw_ask(demo_port(), "GET /readyz HTTP/1.1\r\n" HOST "\r\n", &answer);
	ck_assert_uint_eq(answer.status, 503);
	assert_header(&answer, "Connection", "close");
	assert_header(&answer, "Retry-After", "1");
	raw_ask(demo_port(), "GET /healthz HTTP/1.1\r\n" HOST "\r\n", &answer);
	ck_assert_uint_eq(answer.status, 200);
}
END_TEST

START_TEST(the_admin_port_answers_health_and_metrics_alone)
{
	struct raw_answer answer;

	raw_ask(demo_admin_port(), "GET /healthz HTTP/1.1\r\n" HOST "\r\n", &answer);
	ck_assert_uint_eq(answer.status, 200);
	raw_ask(demo_admin_port(), "GET /metrics HTTP/1.1\r\n" HOST "\r\n", &answer);
	ck_assert_uint_eq(answer.status, 200);
	raw_ask(demo_admin_port(), "GET /v1/things/a HTTP/1.1\r\n" HOST "\r\n", &answer);
	ck_assert_uint_eq(answer.status, 404);
	raw_ask(demo_admin_port(), "GET / HTTP/1.1\r\n" HOST "\r\n", &answer);
	ck_assert_uint_eq(answer.status, 404);
}
END_TEST

START_TEST(metrics_tell_what_happened)
{
	struct raw_answer answer;

	raw_ask(demo_port(), "GET /v1/things/a HTTP/1.1\r\n" HOST "\r\n", &answer);
	raw_ask(demo_port(), "BREW /nowhere HTTP/1.1\r\n" HOST "\r\n", &answer);
	do { /* a request is counted once its answer is out, which its client may see first */
		raw_ask(demo_port(), "GET /metrics HTTP/1.1\r\n" HOST "\r\n", &answer);
	} while (strstr(answer.body, "\npondwright_http_requests_in_flight 1\n") == NULL);
	assert_header(&answer, "Content-Type", "text/plain; version=0.0.4; charset=utf-8");
	ck_assert_ptr_nonnull(strstr(answer.body,
		"\npondwright_http_requests_total{route=\"/v1/things/{id}\",method=\"GET\",code=\"200\"} 1\n"));
	ck_assert_ptr_nonnull(strstr(
		answer.body, "\npondwright_http_requests_total{route=\"unknown\",method=\"other\",code=\"404\"} 1\n"));
}
END_TEST

/* Sends one byte now and then, which no timeout of inactivity would catch, until the service ends it. */
static void assert_cut(const char *start, const char *drip)
{
	int connection = raw_connect(demo_port());
	int rounds = 0;

	ck_assert(raw_send(connection, start));
	while (raw_send(connection, drip) && rounds < 1000) {
		usleep(20000);
		rounds++;
	}
	ck_assert_int_lt(rounds, 1000);
	close(connection);
}

START_TEST(a_dripping_client_is_cut_at_the_deadline)
{
	struct raw_answer answer;

	assert_cut("GET /healthz HTTP/1.1\r\n" HOST, "X: y\r\n");
	assert_cut("POST /v1/echo HTTP/1.1\r\n" HOST JSON "Content-Length: 60000\r\n\r\n", "a");
	assert_cut("", "\r\n");
	raw_ask(demo_port(), "GET /metrics HTTP/1.1\r\n" HOST "\r\n", &answer);
	ck_assert_ptr_nonnull(strstr(answer.body, "\npondwright_http_connections_cut_total{reason=\"deadline\"} 3\n"));
}
END_TEST

START_TEST(a_client_that_does_not_read_is_cut_at_the_deadline)
{
	int connection = raw_connect(demo_port());
	size_t received = 0;
	char bytes[4096];
	ssize_t part;

	ck_assert(raw_send(connection, "GET /v1/page-sized HTTP/1.1\r\n" HOST "\r\n"));
	usleep(1000 * (DEMO_DEADLINE_MS + 600));
	while ((part = recv(connection, bytes, sizeof bytes, 0)) > 0)
		received += (size_t)part;
	ck_assert_uint_lt(received, 16 * 1024 * 1024);
	close(connection);
}
END_TEST

START_TEST(a_body_that_breaks_off_is_cut_at_the_deadline)
{
	int connection = raw_connect(demo_port());

	ck_assert(raw_send(connection, "POST /v1/echo HTTP/1.1\r\n" HOST JSON "Content-Length: 60000\r\n\r\nabc"));
	shutdown(connection, SHUT_WR);
	ck_assert(raw_closes(connection));
	close(connection);
}
END_TEST

START_TEST(an_idle_connection_is_shut_in_a_drain)
{
	int connection = raw_connect(demo_port());
	struct raw_answer answer;

	ck_assert(raw_send(connection, "GET /healthz HTTP/1.1\r\n" HOST "\r\n"));
	raw_read(connection, false, &answer);
	ck_assert_uint_eq(answer.status, 200);
	while (http_connections(demo_http()) > 0) {
		http_shut_idle(demo_http(), 0);
		usleep(1000);
	}
	ck_assert(raw_closes(connection));
	close(connection);
}
END_TEST

static size_t text_take(char *bytes, size_t size, size_t count, void *closure)
{
	char *text = closure;
	size_t held = strlen(text);

	ck_assert_uint_lt(held + size * count, 4096);
	memcpy(text + held, bytes, size * count);
	text[held + size * count] = '\0';
	return size * count;
}

#define ROUNDS 200

/* Posts one body again and again over one connection; returns how often the answer was not the expected one. */
static void *client_run(void *closure)
{
	size_t *wrong = closure;
	CURL *curl = curl_easy_init();
	struct curl_slist *headers = curl_slist_append(NULL, "Content-Type: application/json");
	char url[64];

	snprintf(url, sizeof url, "http://127.0.0.1:%u/v1/echo", demo_port());
	curl_easy_setopt(curl, CURLOPT_URL, url);
	curl_easy_setopt(curl, CURLOPT_HTTPHEADER, headers);
	curl_easy_setopt(curl, CURLOPT_POSTFIELDS, "{\"depth_m\":1.2}");
	curl_easy_setopt(curl, CURLOPT_WRITEFUNCTION, text_take);
	curl_easy_setopt(curl, CURLOPT_NOSIGNAL, 1L);
	for (int i = 0; i < ROUNDS; i++) {
		char text[4096] = "";
		long status = 0;

		curl_easy_setopt(curl, CURLOPT_WRITEDATA, text);
		if (curl_easy_perform(curl) == CURLE_OK)
			curl_easy_getinfo(curl, CURLINFO_RESPONSE_CODE, &status);
		*wrong += status != 200 || strcmp(text, "{\"length\":15,\"body\":\"{\\\"depth_m\\\":1.2}\"}") != 0;
	}
	curl_slist_free_all(headers);
	curl_easy_cleanup(curl);
	return NULL;
}

START_TEST(many_clients_at_once_each_get_their_own_answer)
{
	pthread_t threads[8];
	size_t wrong[8] = {0};

	curl_global_init(CURL_GLOBAL_DEFAULT);
	for (int i = 0; i < 8; i++)
		ck_assert_int_eq(pthread_create(&threads[i], NULL, client_run, &wrong[i]), 0);
	for (int i = 0; i < 8; i++) {
		pthread_join(threads[i], NULL);
		ck_assert_uint_eq(wrong[i], 0);
	}
	curl_global_cleanup();
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("answers");
	TCase *cases = tcase_create("answers");
	SRunner *runner;
	int failed;

	tcase_add_checked_fixture(cases, demo_service_start, demo_service_stop);
	tcase_set_timeout(cases, 120);
	tcase_add_test(cases, head_is_get_without_the_body);
	tcase_add_test(cases, a_page_brings_its_policies);
	tcase_add_test(cases, a_page_that_is_held_is_not_sent_again);
	tcase_add_test(cases, a_listed_origin_may_ask_and_read);
	tcase_add_test(cases, a_refusal_can_be_read_by_a_listed_origin);
	tcase_add_test(cases, no_other_origin_may_read);
	tcase_add_test(cases, origins_change_at_a_reload);
	tcase_add_test(cases, a_good_request_id_comes_back_and_a_bad_one_does_not);
	tcase_add_test(cases, accept_chooses_among_what_a_route_gives);
	tcase_add_test(cases, short_memory_is_a_503_and_a_forgotten_answer_a_500);
	tcase_add_test(cases, a_list_of_faults_is_a_problem);
	tcase_add_test(cases, readiness_follows_the_tables_and_the_drain);
	tcase_add_test(cases, the_admin_port_answers_health_and_metrics_alone);
	tcase_add_test(cases, metrics_tell_what_happened);
	tcase_add_test(cases, a_dripping_client_is_cut_at_the_deadline);
	tcase_add_test(cases, a_client_that_does_not_read_is_cut_at_the_deadline);
	tcase_add_test(cases, a_body_that_breaks_off_is_cut_at_the_deadline);
	tcase_add_test(cases, an_idle_connection_is_shut_in_a_drain);
	tcase_add_test(cases, many_clients_at_once_each_get_their_own_answer);
	suite_add_tcase(suite, cases);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
