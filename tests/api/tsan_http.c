#include <check.h>
#include <curl/curl.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "demo_service.h"
#include "raw.h"

/* Everything that threads of the HTTP layer share, used at once while ThreadSanitizer looks: answers, origins that
 * change, metrics that are read, connections that are cut, and a drain under load. Whoever fails counts in wrong. */

#define CLIENTS 6
#define ROUNDS 150

static atomic_bool over;
static atomic_size_t wrong;

static size_t text_drop(char *bytes, size_t size, size_t count, void *closure)
{
	(void)bytes;
	(void)closure;
	return size * count;
}

static void *posts_run(void *unused)
{
	CURL *curl = curl_easy_init();
	struct curl_slist *headers = curl_slist_append(NULL, "Content-Type: application/json");
	char url[64];

	(void)unused;
	headers = curl_slist_append(headers, "Origin: https://a.example.test");
	snprintf(url, sizeof url, "http://127.0.0.1:%u/v1/echo", demo_port());
	curl_easy_setopt(curl, CURLOPT_URL, url);
	curl_easy_setopt(curl, CURLOPT_HTTPHEADER, headers);
	curl_easy_setopt(curl, CURLOPT_POSTFIELDS, "{}");
	curl_easy_setopt(curl, CURLOPT_WRITEFUNCTION, text_drop);
	curl_easy_setopt(curl, CURLOPT_NOSIGNAL, 1L);
	for (int i = 0; i < ROUNDS; i++) {
		long status = 0;

		if (curl_easy_perform(curl) == CURLE_OK)
			curl_easy_getinfo(curl, CURLINFO_RESPONSE_CODE, &status);
		atomic_fetch_add(&wrong, status != 200);
	}
	curl_slist_free_all(headers);
	curl_easy_cleanup(curl);
	return NULL;
}

static void *origins_run(void *unused)
{
	static const char *const lists[2][1] = {{"https://a.example.test"}, {"https://b.example.test"}};

	(void)unused;
	for (int i = 0; !atomic_load(&over); i++)
		atomic_fetch_add(&wrong, !http_origins_set(demo_http(), lists[i % 2], 1));
	return NULL;
}

static void *metrics_run(void *unused)
{
	struct raw_answer answer;

	(void)unused;
	while (!atomic_load(&over)) {
		raw_ask(demo_port(), "GET /metrics HTTP/1.1\r\n" HOST "\r\n", &answer);
		atomic_fetch_add(&wrong, answer.status != 200);
		raw_ask(demo_admin_port(), "GET /readyz HTTP/1.1\r\n" HOST "\r\n", &answer);
		atomic_fetch_add(&wrong, answer.status != 200 && answer.status != 503);
	}
	return NULL;
}

/* Never finishes a request, and is cut for it. */
static void *slow_run(void *unused)
{
	int connection = raw_connect(demo_port());

	(void)unused;
	atomic_fetch_add(
		&wrong, !raw_send(connection, "POST /v1/echo HTTP/1.1\r\n" HOST JSON "Content-Length: 9\r\n\r\n{"));
	atomic_fetch_add(&wrong, !raw_closes(connection));
	close(connection);
	return NULL;
}

static pthread_t thread_start(void *(*run)(void *))
{
	pthread_t thread;

	ck_assert_int_eq(pthread_create(&thread, NULL, run, NULL), 0);
	return thread;
}

START_TEST(threads_share_nothing_unguarded)
{
	pthread_t clients[CLIENTS];
	pthread_t others[3] = {thread_start(origins_run), thread_start(metrics_run), thread_start(slow_run)};

	for (int i = 0; i < CLIENTS; i++)
		clients[i] = thread_start(posts_run);
	for (int i = 0; i < CLIENTS; i++)
		pthread_join(clients[i], NULL);
	pthread_join(others[2], NULL);
	http_drain(demo_http());
	atomic_store(&over, true);
	pthread_join(others[0], NULL);
	pthread_join(others[1], NULL);
	ck_assert_uint_eq(atomic_load(&wrong), 0);
}
END_TEST

START_TEST(a_drain_under_load_shares_nothing_unguarded)
{
	pthread_t slow[CLIENTS];

	for (int i = 0; i < CLIENTS; i++)
		slow[i] = thread_start(slow_run);
	http_quiesce(demo_http());
	http_drain(demo_http());
	while (http_connections(demo_http()) > 0) {
		http_shut_idle(demo_http(), 0);
		usleep(1000);
	}
	for (int i = 0; i < CLIENTS; i++)
		pthread_join(slow[i], NULL);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("http threads");
	TCase *cases = tcase_create("http threads");
	SRunner *runner;
	int failed;

	curl_global_init(CURL_GLOBAL_DEFAULT);
	tcase_add_checked_fixture(cases, demo_service_start, demo_service_stop);
	tcase_set_timeout(cases, 120);
	tcase_add_test(cases, threads_share_nothing_unguarded);
	tcase_add_test(cases, a_drain_under_load_shares_nothing_unguarded);
	suite_add_tcase(suite, cases);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	curl_global_cleanup();
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
