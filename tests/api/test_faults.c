#define _GNU_SOURCE 1
#include <check.h>
#include <curl/curl.h>
#include <dirent.h>
#include <jansson.h>
#include <pthread.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "asked.h"
#include "raw.h"
#include "small.h"

/* What goes wrong around the program: its files, its descriptors, its clients, its end. The small configuration of the
 * tests keeps a reload short. */

#define CLIENTS 3
#define JSON_HEAD "POST /v1/quote HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\n"

static unsigned port(void)
{
	return (unsigned)strtoul(strrchr(small_program.url, ':') + 1, NULL, 10);
}

static char *quote(void)
{
	struct reply reply;

	ask(&small_program, NULL, "/v1/quote", small_body, NULL, &reply);
	ck_assert_msg(reply.status == 200, "%ld %s", reply.status, reply.body);
	free(reply.headers);
	return reply.body;
}

static void assert_quoted(const char *right)
{
	char *now = quote();

	ck_assert_str_eq(now, right);
	free(now);
}

static void set_rate(double rate)
{
	static const char name[] = "regions/small-a/2026-10.json";
	json_t *edition = json_load_file(small_file(name), 0, NULL);

	ck_assert_ptr_nonnull(edition);
	json_object_set_new(json_object_get(edition, "labour"), "skilled", json_real(rate));
	ck_assert_int_eq(json_dump_file(edition, small_file(name), 0), 0);
	json_decref(edition);
}

/* ---- reloads ---- */

/* PONDWRIGHT_RELOADS, or as many as sanitizers leave time for. */
static int reloads_wanted(void)
{
	const char *wanted = getenv("PONDWRIGHT_RELOADS");

	return wanted != NULL ? atoi(wanted) : 80;
}

static atomic_bool over;
static char *rights[2]; /* the answers of the two configurations */

struct client {
	pthread_t thread;
	long asked, wrong;
	char first_wrong[200]; /* how the first of them ended */
};

static size_t body_take(char *bytes, size_t size, size_t count, void *closure)
{
	return fwrite(bytes, size, count, closure);
}

/* One request over a connection that is kept; how it ended. */
static CURLcode post(CURL *curl, long *status, char **answer)
{
	size_t length;
	FILE *text = open_memstream(answer, &length);
	CURLcode code;

	*status = 0;
	curl_easy_setopt(curl, CURLOPT_WRITEDATA, text);
	code = curl_easy_perform(curl);
	curl_easy_getinfo(curl, CURLINFO_RESPONSE_CODE, status);
	fclose(text);
	return code;
}

static CURL *client_open(struct curl_slist **headers)
{
	static char url[96];
	CURL *curl = curl_easy_init();

	snprintf(url, sizeof url, "%s/v1/quote", small_program.url);
	*headers = curl_slist_append(NULL, "Content-Type: application/json");
	curl_easy_setopt(curl, CURLOPT_URL, url);
	curl_easy_setopt(curl, CURLOPT_HTTPHEADER, *headers);
	curl_easy_setopt(curl, CURLOPT_POSTFIELDS, small_body);
	curl_easy_setopt(curl, CURLOPT_WRITEFUNCTION, body_take);
	curl_easy_setopt(curl, CURLOPT_NOSIGNAL, 1L);
	return curl;
}

static void note_wrong(struct client *client, CURLcode code, long status, const char *answer)
{
	if (client->wrong++ == 0)
		snprintf(client->first_wrong, sizeof client->first_wrong, "%s, status %ld: %s", curl_easy_strerror(code), status, answer);
}

static void *ask_until_over(void *context)
{
	struct client *client = context;
	struct curl_slist *headers;
	CURL *curl = client_open(&headers);

	while (!atomic_load(&over)) {
		char *answer;
		long status;
		CURLcode code = post(curl, &status, &answer);

		client->asked++;
		if (code != CURLE_OK || status != 200 || (strcmp(answer, rights[0]) != 0 && strcmp(answer, rights[1]) != 0))
			note_wrong(client, code, status, answer);
		free(answer);
	}
	curl_slist_free_all(headers);
	curl_easy_cleanup(curl);
	return NULL;
}

static void clients_start(struct client clients[CLIENTS], void *(*run)(void *))
{
	atomic_store(&over, false);
	for (int i = 0; i < CLIENTS; i++) {
		clients[i] = (struct client){0};
		ck_assert_int_eq(pthread_create(&clients[i].thread, NULL, run, &clients[i]), 0);
	}
}

static void clients_end(struct client clients[CLIENTS])
{
	for (int i = 0; i < CLIENTS; i++) {
		pthread_join(clients[i].thread, NULL);
		ck_assert_int_gt(clients[i].asked, 0);
		ck_assert_msg(clients[i].wrong == 0, "%ld of %ld, the first: %s", clients[i].wrong, clients[i].asked,
			clients[i].first_wrong);
	}
}

START_TEST(reloads_under_load_fail_nobody_and_mix_nothing)
{
	static const double rates[] = {28.5, 57};
	struct client clients[CLIENTS];
	int wanted = reloads_wanted();

	for (int i = 0; i < 2; i++) {
		set_rate(rates[i]);
		small_reload("done");
		rights[i] = quote();
	}
	ck_assert_str_ne(rights[0], rights[1]);
	clients_start(clients, ask_until_over);
	for (int i = 2; i < wanted; i++) {
		set_rate(rates[i % 2]);
		small_reload("done");
	}
	atomic_store(&over, true);
	clients_end(clients);
	ck_assert_int_eq(small_reloads("done"), wanted);
	ck_assert_int_eq(small_reloads("refused"), 0);
	free(rights[0]);
	free(rights[1]);
}
END_TEST

static void damage_none(void)
{
	remove(small_file("tasks.json"));
}

static void damage_half(void)
{
	char *text = file_read(small_file("tasks.json"), NULL);

	text[strlen(text) / 2] = '\0';
	file_write(small_file("tasks.json"), text);
	free(text);
}

/* Unreadable for everybody, even the superuser. */
static void damage_unreadable(void)
{
	remove(small_file("tasks.json"));
	ck_assert_int_eq(mkfifo(small_file("tasks.json"), 0600), 0);
}

static void damage_wrong(void)
{
	set_rate(-1);
}

static void damage_edition_gone(void)
{
	remove(small_file("regions/small-a/2026-10.json"));
	remove(small_file("regions/small-a/2026-04.json"));
}

static void damage_all(void)
{
	temporary_remove(small_config());
	ck_assert_int_eq(mkdir(small_config(), 0700), 0);
}

START_TEST(a_reload_of_what_is_damaged_keeps_the_old_and_says_so)
{
	static void (*const damages[])(void) = {
		damage_none, damage_half, damage_unreadable, damage_wrong, damage_edition_gone, damage_all};
	char *right = quote(), *log;
	struct reply reply;

	damages[_i]();
	small_reload("refused");
	assert_quoted(right);
	ask(&small_program, NULL, "/readyz", NULL, NULL, &reply);
	ck_assert_int_eq(reply.status, 200);
	ck_assert_ptr_nonnull(strstr(reply.body, "\"last_reload\":\"refused\""));
	reply_free(&reply);
	log = file_read(small_program.log, NULL);
	ck_assert_ptr_nonnull(strstr(log, "\"event\":\"config\""));
	ck_assert_ptr_nonnull(strstr(log, "refused; still serving"));
	free(log);
	small_restore();
	small_reload("done");
	assert_quoted(right);
	ask(&small_program, NULL, "/readyz", NULL, NULL, &reply);
	ck_assert_ptr_nonnull(strstr(reply.body, "\"last_reload\":\"done\""));
	reply_free(&reply);
	free(right);
}
END_TEST

/* Ranges at their cap, one after another on one connection while others are open: pauses are asked for, and after such a
 * pause the next one is answered. */
START_TEST(in_a_crowd_ranges_make_pauses)
{
	enum { CROWD = 6, RANGES = 12 };
	static struct raw_answer answer;
	int others[CROWD], connection;
	char request[512], wait[16];
	int answered = 0, refused = 0;
	static const char body[] = "{\"region\":\"small-a\",\"samples\":16384,\"pond\":{\"outline\":{\"kind\":\"circle\","
				   "\"diameter_m\":4},\"depth_m\":1}}";

	for (int i = 0; i < CROWD; i++)
		ck_assert_int_ge(others[i] = raw_connect(port()), 0);
	connection = raw_connect(port());
	snprintf(request, sizeof request, "POST /v1/range HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\n"
		"Content-Length: %zu\r\n\r\n%s", strlen(body), body);
	for (int i = 0; i < RANGES && (answered < 2 || refused < 1); i++) {
		ck_assert(raw_send(connection, request));
		raw_read(connection, false, &answer);
		answered += answer.status == 200;
		if (answer.status != 429)
			continue;
		refused++;
		ck_assert_ptr_nonnull(strstr(answer.body, "too-many-ranges"));
		ck_assert_ptr_nonnull(raw_header(&answer, "Retry-After", wait, sizeof wait));
		sleep((unsigned)strtoul(wait, NULL, 10));
	}
	ck_assert_int_ge(answered, 2);
	ck_assert_int_ge(refused, 1);
	for (int i = 0; i < CROWD; i++)
		close(others[i]);
	close(connection);
}
END_TEST

/* ---- clients and descriptors ---- */

static int descriptors_open(void)
{
	char list[64];
	int count = 0;
	DIR *folder;

	snprintf(list, sizeof list, "/proc/%d/fd", (int)small_program.pid);
	folder = opendir(list);
	ck_assert_ptr_nonnull(folder);
	while (readdir(folder) != NULL)
		count++;
	closedir(folder);
	return count;
}

/* Waits until so many are open and no more; a connection is closed a moment after its client is gone. */
static void await_descriptors(int most)
{
	for (int i = 0; i < 3000 && descriptors_open() > most; i++)
		usleep(10000);
	ck_assert_int_le(descriptors_open(), most);
}

/* Closes with a reset instead of a farewell. */
static void reset_connection(int connection)
{
	struct linger now = {.l_onoff = 1, .l_linger = 0};

	setsockopt(connection, SOL_SOCKET, SO_LINGER, &now, sizeof now);
	close(connection);
}

START_TEST(clients_that_go_in_the_midst_leave_nothing_behind)
{
	char request[1024], *right = quote(), bytes[64];
	int before = descriptors_open();

	snprintf(request, sizeof request, JSON_HEAD "Content-Length: %zu\r\n\r\n%s", strlen(small_body), small_body);
	for (int i = 0; i < 300; i++) {
		int connection = raw_connect(port());
		size_t part = i % 3 == 0 ? strlen(request) : strlen(request) * (size_t)i / 300;

		ck_assert_int_ge(connection, 0);
		ck_assert(raw_send_bytes(connection, request, part));
		if (i % 3 == 0)
			ck_assert_int_gt(recv(connection, bytes, 1 + (size_t)i % sizeof bytes, 0), 0);
		if (i % 2 == 0)
			reset_connection(connection);
		else
			close(connection);
	}
	assert_quoted(right);
	await_descriptors(before);
	free(right);
}
END_TEST

/* The program may open this many files, about thirty of them for clients. */
#define FEW_FILES 48
#define MANY_CLIENTS 120

START_TEST(without_descriptors_it_waits_and_goes_on)
{
	struct rlimit usual, few;
	int connections[MANY_CLIENTS];
	char *right;

	small_set("deadline_s", json_integer(2)); /* half a request whose client is gone may hold its place so long */
	ck_assert_int_eq(getrlimit(RLIMIT_NOFILE, &usual), 0);
	few = (struct rlimit){.rlim_cur = FEW_FILES, .rlim_max = usual.rlim_max};
	setrlimit(RLIMIT_NOFILE, &few);
	small_serve();
	setrlimit(RLIMIT_NOFILE, &usual);
	right = quote();
	for (int round = 0; round < 3; round++) {
		for (int i = 0; i < MANY_CLIENTS; i++) {
			connections[i] = raw_connect(port());
			ck_assert_int_ge(connections[i], 0);
			ck_assert(raw_send(connections[i], "GET /healthz HTTP/1.1\r\n"));
		}
		for (int i = 0; i < MANY_CLIENTS; i++)
			close(connections[i]);
		assert_quoted(right);
	}
	free(right);
	ck_assert_int_eq(program_stop(&small_program), 0);
}
END_TEST

/* ---- ends ---- */

/* Until the door is shut: what was sent on a connection is answered whole, or the connection could not be made. */
static void *ask_until_refused(void *context)
{
	struct client *client = context;
	struct curl_slist *headers;
	CURL *curl = client_open(&headers);
	CURLcode code;

	do {
		char *answer;
		long status;

		code = post(curl, &status, &answer);
		client->asked++;
		if (code == CURLE_OK)
			client->wrong += status != 200 || strcmp(answer, rights[0]) != 0;
		else
			client->wrong += code != CURLE_COULDNT_CONNECT;
		free(answer);
	} while (code == CURLE_OK);
	curl_slist_free_all(headers);
	curl_easy_cleanup(curl);
	return NULL;
}

START_TEST(told_to_stop_under_load_it_answers_what_it_took)
{
	struct client clients[CLIENTS];

	small_serve();
	rights[0] = quote();
	clients_start(clients, ask_until_refused);
	usleep(20000 * (useconds_t)(1 + _i));
	ck_assert_int_eq(program_stop(&small_program), 0);
	clients_end(clients);
	free(rights[0]);
}
END_TEST

START_TEST(killed_and_started_again_it_quotes_the_same)
{
	char *right;
	int status;

	small_serve();
	right = quote();
	ck_assert_int_eq(kill(small_program.pid, SIGKILL), 0);
	ck_assert_int_eq(waitpid(small_program.pid, &status, 0), small_program.pid);
	small_serve();
	assert_quoted(right);
	free(right);
	ck_assert_int_eq(program_stop(&small_program), 0);
}
END_TEST

static TCase *case_of(Suite *suite, const char *name, void (*first)(void), void (*last)(void))
{
	TCase *tcase = tcase_create(name);

	tcase_add_checked_fixture(tcase, first, last);
	tcase_set_timeout(tcase, 230);
	suite_add_tcase(suite, tcase);
	return tcase;
}

int main(void)
{
	Suite *suite = suite_create("faults");
	TCase *serving = case_of(suite, "serving", small_begin_serving, small_end_serving);
	TCase *own = case_of(suite, "own", small_begin, small_end);
	int failed;

	curl_global_init(CURL_GLOBAL_DEFAULT);
	tcase_add_test(serving, reloads_under_load_fail_nobody_and_mix_nothing);
	tcase_add_loop_test(serving, a_reload_of_what_is_damaged_keeps_the_old_and_says_so, 0, 6);
	tcase_add_test(serving, in_a_crowd_ranges_make_pauses);
	tcase_add_test(serving, clients_that_go_in_the_midst_leave_nothing_behind);
	tcase_add_test(own, without_descriptors_it_waits_and_goes_on);
	tcase_add_loop_test(own, told_to_stop_under_load_it_answers_what_it_took, 0, 5);
	tcase_add_test(own, killed_and_started_again_it_quotes_the_same);
	failed = suite_run(suite);
	curl_global_cleanup();
	return failed;
}
