#define _GNU_SOURCE 1
#include <check.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <sys/wait.h>
#include <unistd.h>

#include "demo_service.h"
#include "listen.h"
#include "log.h"
#include "raw.h"
#include "serve.h"

/* The life of a service in a process of its own: start, reload, drain, and what it tells the service manager. */

struct child {
	pid_t pid;
	FILE *log;   /* its standard error */
	int manager; /* where it sends its notices */
	unsigned port;
	unsigned admin_port;
};

static unsigned reloads;

/* Refuses every second time. */
static bool demo_reload(void *context, struct http *http)
{
	(void)context;
	(void)http;
	return ++reloads % 2 == 1;
}

static int manager_open(void)
{
	struct sockaddr_un address = {.sun_family = AF_UNIX};
	struct timeval patience = {.tv_sec = 10};
	int manager = socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC, 0);
	int length = snprintf(address.sun_path + 1, sizeof address.sun_path - 1, "pondwright-test-%d", (int)getpid());

	ck_assert_int_eq(
		bind(manager, (struct sockaddr *)&address, (socklen_t)(sizeof address.sun_family + 1 + (size_t)length)),
		0);
	setsockopt(manager, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
	snprintf(address.sun_path, sizeof address.sun_path, "@pondwright-test-%d", (int)getpid());
	setenv("NOTIFY_SOCKET", address.sun_path, 1);
	return manager;
}

static void assert_told(const struct child *child, const char *start)
{
	char text[512];
	ssize_t length;

	do { /* signs of life come in between */
		length = recv(child->manager, text, sizeof text - 1, 0);
		ck_assert_int_gt(length, 0);
		text[length] = '\0';
	} while (strcmp(text, "WATCHDOG=1") == 0 && strcmp(start, text) != 0);
	ck_assert_msg(strncmp(text, start, strlen(start)) == 0, "%s, not %s", text, start);
}

/* Reads log lines up to one of the event; all of them must be whole objects. */
static void assert_logged(const struct child *child, const char *event, char *line, int size)
{
	char member[64];

	snprintf(member, sizeof member, "\"event\":\"%s\"", event);
	do {
		ck_assert_ptr_nonnull(fgets(line, size, child->log));
		ck_assert_int_eq(strncmp(line, "{\"ts\":\"20", 9), 0);
		ck_assert_str_eq(line + strlen(line) - 2, "}\n");
	} while (strstr(line, member) == NULL);
}

static unsigned port_logged(const struct child *child)
{
	char line[LOG_LINE_SIZE];
	const char *address;

	assert_logged(child, "listening", line, sizeof line);
	address = strstr(line, "\"address\":\"127.0.0.1:");
	ck_assert_ptr_nonnull(address);
	return (unsigned)strtoul(address + 21, NULL, 10);
}

static struct serve demo_serve(void)
{
	struct serve serve = {.app = demo_app(), .reload = demo_reload, .drain_limit_ms = 10000};

	http_options_default(&serve.http);
	serve.http.listen = "127.0.0.1:0";
	serve.http.admin_listen = "127.0.0.1:0";
	serve.http.program_version = "1.0-test";
	return serve;
}

/* inherited: a listening socket that the child is to find as systemd hands it over, or -1. */
static void child_run(const struct serve *serve, int log_end, int inherited)
{
	char pid[16];

	dup2(log_end, STDERR_FILENO);
	if (inherited >= 0) {
		snprintf(pid, sizeof pid, "%d", (int)getpid());
		dup2(inherited, 3);
		setenv("LISTEN_PID", pid, 1);
		setenv("LISTEN_FDS", "1", 1);
	}
	exit(serve_run(serve)); /* not _exit: leaks and coverage are looked at on the way out */
}

static struct child child_start(const struct serve *serve, int inherited)
{
	struct child child;
	int ends[2];

	child.manager = manager_open();
	ck_assert_int_eq(pipe2(ends, O_CLOEXEC), 0);
	child.pid = fork();
	ck_assert_int_ge(child.pid, 0);
	if (child.pid == 0)
		child_run(serve, ends[1], inherited);
	close(ends[1]);
	child.log = fdopen(ends[0], "r");
	child.port = port_logged(&child);
	child.admin_port = port_logged(&child);
	assert_told(&child, "READY=1\nSTATUS=Serving demo-tables on 127.0.0.1:");
	return child;
}

static int child_end(const struct child *child)
{
	int status;

	ck_assert_int_eq(waitpid(child->pid, &status, 0), child->pid);
	fclose(child->log);
	close(child->manager);
	ck_assert(WIFEXITED(status));
	return WEXITSTATUS(status);
}

static void assert_status(unsigned port, const char *path, unsigned status)
{
	struct raw_answer answer;
	char request[128];

	snprintf(request, sizeof request, "GET %s HTTP/1.1\r\n" HOST "\r\n", path);
	raw_ask(port, request, &answer);
	ck_assert_uint_eq(answer.status, status);
}

/* Readiness turns within moments of the signal. */
static void await_unready(unsigned port)
{
	struct raw_answer answer;

	do
		raw_ask(port, "GET /readyz HTTP/1.1\r\n" HOST "\r\n", &answer);
	while (answer.status == 200);
	ck_assert_uint_eq(answer.status, 503);
}

/* A request that is half sent on a connection that was accepted: the queue is served in order, and one behind it
 * has been answered. */
static int request_begin(unsigned port)
{
	int connection = raw_connect(port);

	ck_assert(raw_send(connection, "POST /v1/echo HTTP/1.1\r\n" HOST JSON "Content-Length: 4\r\n\r\n{}"));
	assert_status(port, "/readyz", 200);
	return connection;
}

static void assert_request_ends(int connection)
{
	struct raw_answer answer;

	ck_assert(raw_send(connection, "  "));
	raw_read(connection, false, &answer);
	ck_assert_uint_eq(answer.status, 200);
	ck_assert(raw_header_is(&answer, "Connection", "close"));
	ck_assert(raw_closes(connection));
	close(connection);
}

START_TEST(an_accepted_request_is_answered_in_a_drain)
{
	struct serve serve = demo_serve();
	struct child child = child_start(&serve, -1);
	int connection = request_begin(child.port);
	char line[LOG_LINE_SIZE];

	kill(child.pid, SIGTERM);
	assert_told(&child, "STOPPING=1");
	await_unready(child.admin_port);
	assert_status(child.admin_port, "/healthz", 200);
	ck_assert_int_eq(raw_connect(child.port), -1);
	assert_request_ends(connection);
	assert_logged(&child, "stopped", line, sizeof line);
	ck_assert_ptr_nonnull(strstr(line, "\"msg\":\"0 connections left\""));
	ck_assert_int_eq(child_end(&child), 0);
}
END_TEST

START_TEST(a_drain_with_a_delay_goes_on_accepting_until_a_second_signal)
{
	struct serve serve = demo_serve();
	struct child child;

	serve.drain_delay_ms = 60000;
	child = child_start(&serve, -1);
	kill(child.pid, SIGINT);
	await_unready(child.port);
	assert_status(child.port, "/v1/things/a", 200);
	kill(child.pid, SIGTERM);
	ck_assert_int_eq(child_end(&child), 1);
}
END_TEST

START_TEST(a_reload_is_told_counted_and_logged)
{
	struct serve serve = demo_serve();
	struct child child = child_start(&serve, -1);
	struct raw_answer answer;
	char line[LOG_LINE_SIZE];

	for (int i = 0; i < 2; i++) {
		kill(child.pid, SIGHUP);
		assert_told(&child, "RELOADING=1\nMONOTONIC_USEC=");
		assert_told(&child, "READY=1\n");
		assert_logged(&child, "reload", line, sizeof line);
		ck_assert_ptr_nonnull(strstr(line, i == 0 ? "now serving demo-tables" : "still serving demo-tables"));
	}
	raw_ask(child.port, "GET /metrics HTTP/1.1\r\n" HOST "\r\n", &answer);
	ck_assert_ptr_nonnull(strstr(answer.body, "\npondwright_rates_reloads_total{result=\"done\"} 1\n"));
	ck_assert_ptr_nonnull(strstr(answer.body, "\npondwright_rates_reloads_total{result=\"refused\"} 1\n"));
	ck_assert_ptr_nonnull(strstr(answer.body, "\npondwright_rates_info{version=\"demo-tables\"} 1\n"));
	kill(child.pid, SIGTERM);
	ck_assert_int_eq(child_end(&child), 0);
}
END_TEST

START_TEST(an_inherited_socket_is_served)
{
	struct serve serve = demo_serve();
	char fault[128];
	int listening = listen_open("127.0.0.1:0", fault, sizeof fault);
	struct child child;

	ck_assert_int_ge(listening, 0);
	serve.http.listen = "nowhere";
	child = child_start(&serve, listening);
	ck_assert_uint_eq(child.port, listen_port(listening));
	assert_status(child.port, "/healthz", 200);
	kill(child.pid, SIGTERM);
	ck_assert_int_eq(child_end(&child), 0);
	close(listening);
}
END_TEST

START_TEST(signs_of_life_are_sent_when_asked_for)
{
	struct serve serve = demo_serve();
	struct child child;

	setenv("WATCHDOG_USEC", "100000", 1);
	child = child_start(&serve, -1);
	assert_told(&child, "WATCHDOG=1");
	assert_told(&child, "WATCHDOG=1");
	kill(child.pid, SIGTERM);
	ck_assert_int_eq(child_end(&child), 0);
}
END_TEST

START_TEST(a_client_over_its_rate_is_told_when_to_come_back)
{
	static const char *const proxies[] = {"127.0.0.1"};
	struct serve serve = demo_serve();
	struct raw_answer answer;
	struct child child;
	char wait_s[16];

	serve.http.requests_per_minute = 2;
	serve.http.trusted_proxies = proxies;
	serve.http.n_trusted_proxies = 1;
	child = child_start(&serve, -1);
	assert_status(child.port, "/v1/things/a", 200);
	assert_status(child.port, "/v1/things/a", 200);
	raw_ask(child.port, "GET /v1/things/a HTTP/1.1\r\n" HOST "\r\n", &answer);
	ck_assert_uint_eq(answer.status, 429);
	ck_assert_ptr_nonnull(raw_header(&answer, "Retry-After", wait_s, sizeof wait_s));
	ck_assert_int_ge(atoi(wait_s), 1);
	ck_assert_int_le(atoi(wait_s), 30);
	assert_status(child.port, "/healthz", 200);
	assert_status(child.port, "/", 200);
	raw_ask(child.port, "GET /v1/things/a HTTP/1.1\r\n" HOST "X-Forwarded-For: 192.0.2.1\r\n\r\n", &answer);
	ck_assert_uint_eq(answer.status, 200);
	raw_ask(child.port, "GET /metrics HTTP/1.1\r\n" HOST "\r\n", &answer);
	ck_assert_ptr_nonnull(strstr(answer.body, "\npondwright_ratelimited_total 1\n"));
	kill(child.pid, SIGTERM);
	ck_assert_int_eq(child_end(&child), 0);
}
END_TEST

START_TEST(a_log_that_nobody_reads_holds_up_nobody)
{
	struct serve serve = demo_serve();
	struct child child = child_start(&serve, -1);
	struct raw_answer answer;
	int connection = raw_connect(child.port);

	for (int i = 0; i < 1000; i++) { /* far more lines than the pipe holds */
		ck_assert(raw_send(connection, "GET /v1/things/a HTTP/1.1\r\n" HOST "\r\n"));
		raw_read(connection, false, &answer);
		ck_assert_uint_eq(answer.status, 200);
	}
	raw_ask(child.port, "GET /metrics HTTP/1.1\r\n" HOST "\r\n", &answer);
	ck_assert_ptr_nonnull(strstr(answer.body, "\npondwright_log_lines_dropped_total "));
	ck_assert_ptr_null(strstr(answer.body, "\npondwright_log_lines_dropped_total 0\n"));
	close(connection);
	kill(child.pid, SIGTERM);
	ck_assert_int_eq(child_end(&child), 0);
}
END_TEST

START_TEST(a_request_is_one_line_without_its_path)
{
	struct serve serve = demo_serve();
	struct child child = child_start(&serve, -1);
	struct raw_answer answer;
	char line[LOG_LINE_SIZE];

	raw_ask(child.port,
		"GET /v1/things/secret?secret HTTP/1.1\r\n" HOST "X-Request-Id: me\r\nUser-Agent: secret\r\n"
		"traceparent: 00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01\r\n\r\n",
		&answer);
	assert_logged(&child, "request", line, sizeof line);
	ck_assert_ptr_nonnull(strstr(line,
		"\"req_id\":\"me\",\"trace_id\":\"0af7651916cd43dd8448eb211c80319c\","
		"\"method\":\"GET\",\"route\":\"/v1/things/{id}\",\"status\":200,"));
	ck_assert_ptr_nonnull(strstr(line, "\"bytes_in\":0,\"bytes_out\":15,\"reason\":\"done\"}"));
	ck_assert_ptr_null(strstr(line, "secret"));
	raw_ask(child.port, "HEAD /v1/things/a HTTP/1.1\r\n" HOST "\r\n", &answer);
	assert_logged(&child, "request", line, sizeof line);
	ck_assert_ptr_nonnull(strstr(line, "\"method\":\"HEAD\","));
	ck_assert_ptr_nonnull(strstr(line, "\"bytes_out\":0,"));
	raw_ask(child.port, "GET / HTTP/1.1\r\n" HOST "If-None-Match: *\r\n\r\n", &answer);
	ck_assert_uint_eq(answer.status, 304);
	assert_logged(&child, "request", line, sizeof line);
	ck_assert_ptr_nonnull(strstr(line, "\"status\":304,"));
	ck_assert_ptr_nonnull(strstr(line, "\"bytes_out\":0,"));
	kill(child.pid, SIGTERM);
	ck_assert_int_eq(child_end(&child), 0);
}
END_TEST

START_TEST(a_successor_finds_the_newcomers_of_a_drain)
{
	struct serve serve = demo_serve();
	char fault[128];
	int listening = listen_open("127.0.0.1:0", fault, sizeof fault);
	struct child child = child_start(&serve, listening);
	int first = request_begin(child.port);
	struct raw_answer answer;
	int newcomer;

	kill(child.pid, SIGTERM);
	await_unready(child.admin_port);
	newcomer = raw_connect(listen_port(listening));
	ck_assert(raw_send(newcomer, "GET /v1/things/a HTTP/1.1\r\n" HOST "\r\n"));
	assert_request_ends(first);
	ck_assert_int_eq(child_end(&child), 0);
	child = child_start(&serve, listening);
	raw_read(newcomer, false, &answer);
	ck_assert_uint_eq(answer.status, 200);
	kill(child.pid, SIGTERM);
	ck_assert_int_eq(child_end(&child), 0);
	close(newcomer);
	close(listening);
}
END_TEST

START_TEST(a_start_that_fails_says_why)
{
	static const char *const wrong[] = {"127.0.0.1", "127.0.0.1:70000", "127.0.0.1:x", "::1:80", "[::1]8080", ""};
	struct serve serve = demo_serve();
	char fault[256];

	for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
		ck_assert_int_eq(listen_open(wrong[i], fault, sizeof fault), -1);
		ck_assert_ptr_nonnull(strstr(fault, "not ADDR:PORT"));
	}
	ck_assert_int_eq(listen_open("192.0.2.1:0", fault, sizeof fault), -1);
	ck_assert_ptr_null(strstr(fault, "not ADDR:PORT"));
	serve.http.listen = "192.0.2.1:0"; /* an address for documentation, no machine's */
	ck_assert_int_eq(serve_run(&serve), 1);
	serve.http.listen = "127.0.0.1:0";
	serve.http.inherited_descriptor = STDIN_FILENO; /* listens to nobody */
	ck_assert_int_eq(serve_run(&serve), 1);
	serve.http.inherited_descriptor = -1;
	memset(fault, 'a', sizeof fault - 1);
	fault[sizeof fault - 1] = '\0';
	serve.http.frame_ancestors = fault; /* longer than the header that it goes into */
	ck_assert_int_eq(serve_run(&serve), 1);
}
END_TEST

START_TEST(every_kind_of_address_is_listened_on)
{
	static const char *const pairs[][2] = {{"127.0.0.1:0", "127.0.0.1:"}, {"localhost:0", ":"},
		{"[::1]:0", "[::1]:"}, {":0", ":"}, {"0.0.0.0:0", "0.0.0.0:"}};
	char text[ADDRESS_TEXT_SIZE];
	char fault[256];

	for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
		int listening = listen_open(pairs[i][0], fault, sizeof fault);

		if (listening < 0 && pairs[i][0][0] == '[') { /* a machine may be without IPv6, and is told so */
			ck_assert_ptr_nonnull(strstr(fault, "ddress"));
			continue;
		}
		ck_assert_msg(listening >= 0, "%s", fault);
		listen_text(listening, text);
		ck_assert_ptr_nonnull(strstr(text, pairs[i][1]));
		ck_assert_uint_gt(listen_port(listening), 0);
		close(listening);
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("serve");
	TCase *cases = tcase_create("serve");
	SRunner *runner;
	int failed;

	tcase_set_timeout(cases, 60);
	tcase_add_test(cases, an_accepted_request_is_answered_in_a_drain);
	tcase_add_test(cases, a_drain_with_a_delay_goes_on_accepting_until_a_second_signal);
	tcase_add_test(cases, a_reload_is_told_counted_and_logged);
	tcase_add_test(cases, an_inherited_socket_is_served);
	tcase_add_test(cases, signs_of_life_are_sent_when_asked_for);
	tcase_add_test(cases, a_client_over_its_rate_is_told_when_to_come_back);
	tcase_add_test(cases, a_log_that_nobody_reads_holds_up_nobody);
	tcase_add_test(cases, a_request_is_one_line_without_its_path);
	tcase_add_test(cases, a_successor_finds_the_newcomers_of_a_drain);
	tcase_add_test(cases, a_start_that_fails_says_why);
	tcase_add_test(cases, every_kind_of_address_is_listened_on);
	suite_add_tcase(suite, cases);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
