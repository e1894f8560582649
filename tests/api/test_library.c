#include <check.h>
#include <microhttpd.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#include "asked.h"
#include "demo_service.h"
#include "raw.h"

/* What libmicrohttpd answers before a callback of ours could: DEVELOPERS.md describes it, "Operations". Measured with
 * 0.9.75. Where another version does otherwise, a row fails: then see whether the gate and that page still say the
 * truth. */

#define POST "POST /v1/echo HTTP/1.1\r\n" HOST JSON
#define GET "GET /healthz HTTP/1.1\r\n" HOST

struct own_answer {
	const char *before; /* of what is sent, then so many times the middle, then the rest */
	const char *middle;
	unsigned times;
	const char *after;
	unsigned status;
	unsigned heads; /* how often the status and the headers are sent, before one body */
};

static const struct own_answer own_answers[] = {
	{POST "Content-Length: abc\r\n\r\n{}", "", 0, "", 400, 2},
	{POST "Content-Length: -2\r\n\r\n{}", "", 0, "", 400, 2},
	{POST "Content-Length: 2, 2\r\n\r\n{}", "", 0, "", 400, 2},
	{POST "Content-Length: \r\n\r\n{}", "", 0, "", 400, 2},
	{GET "Content-Length: abc\r\n\r\n", "", 0, "", 400, 2},
	{POST "Content-Length: 18446744073709551616\r\n\r\n{}", "", 0, "", 413, 2}, /* 2^64; one less is the gate's */
	{GET "no colon\r\n\r\n", "", 0, "", 400, 1},
	{"GET /healthz\r\n\r\n", "", 0, "", 400, 1},
	{"GET /healthz HTTP/1.10\r\n" HOST "\r\n", "", 0, "", 400, 1},
	{"GET /healthz http/1.1\r\n" HOST "\r\n", "", 0, "", 400, 1},
	{"GET /healthz HTTP/0.9\r\n" HOST "\r\n", "", 0, "", 505, 1},
	{"GET /healthz HTTP/2.0\r\n" HOST "\r\n", "", 0, "", 505, 1},
	{"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n", "", 0, "", 505, 1},
	{"GET /", "a", 40000, " HTTP/1.1\r\n" HOST "\r\n", 414, 1},
	{"", "A", 40000, " / HTTP/1.1\r\n" HOST "\r\n", 414, 1},
	{GET "X: ", "a", 40000, "\r\n\r\n", 431, 1},
	{GET, "X: y\r\n", 700, "\r\n", 431, 1}, /* each header and each cookie also costs it a record */
	{GET "Cookie: ", "a=b; ", 700, "\r\n\r\n", 431, 2},
};
enum { OWN_ANSWERS = sizeof own_answers / sizeof own_answers[0] };

/* The caller frees it. */
static char *text_of(const struct own_answer *row)
{
	size_t before = strlen(row->before), middle = strlen(row->middle);
	char *text = malloc(before + middle * row->times + strlen(row->after) + 1);
	char *at = text + before;

	ck_assert_ptr_nonnull(text);
	memcpy(text, row->before, before);
	for (unsigned i = 0; i < row->times; i++, at += middle)
		memcpy(at, row->middle, middle);
	memcpy(at, row->after, strlen(row->after) + 1);
	return text;
}

/* All that comes until the other side closes. */
static size_t all_that_comes(const char *request, char *text, size_t size)
{
	int connection = raw_connect(demo_port());
	size_t length = 0;
	ssize_t part;

	ck_assert_int_ge(connection, 0);
	raw_send(connection, request); /* it may have closed before the last byte */
	while (length < size - 1 && (part = recv(connection, text + length, size - 1 - length, 0)) > 0)
		length += (size_t)part;
	text[length] = '\0';
	close(connection);
	return length;
}

START_TEST(what_is_no_request_is_answered_by_the_library)
{
	const struct own_answer *row = &own_answers[_i];
	char *request = text_of(row), answer[4096], head[32];
	unsigned heads = 0;

	all_that_comes(request, answer, sizeof answer);
	snprintf(head, sizeof head, "HTTP/1.1 %u ", row->status);
	for (const char *at = answer; (at = strstr(at, head)) != NULL; at++)
		heads++;
	ck_assert_msg(heads == row->heads, "row %d: %u times %u, not %u, under %s: %s", _i, heads, row->status, row->heads,
		MHD_get_version(), answer);
	ck_assert_msg(strstr(answer, "\r\nConnection: close\r\n") != NULL, "%s", answer);
	ck_assert_msg(strstr(answer, "\r\n\r\n<html>") != NULL, "%s", answer);
	ck_assert_ptr_null(strstr(answer, "Content-Type:"));
	ck_assert_ptr_null(strstr(answer, "Server:"));
	ck_assert_ptr_null(strstr(answer, "aaaa")); /* nothing that was sent comes back */
	free(request);
}
END_TEST

START_TEST(what_has_no_method_is_closed_without_a_word)
{
	char answer[64];

	ck_assert_uint_eq(all_that_comes(" " GET "\r\n", answer, sizeof answer), 0);
	ck_assert_uint_eq(all_that_comes("GET\t/healthz\tHTTP/1.1\r\n" HOST "\r\n", answer, sizeof answer), 0);
}
END_TEST

/* Whatever came in, the next client is served. */
START_TEST(what_the_library_refuses_harms_nobody_else)
{
	char answer[4096];

	for (size_t i = 0; i < OWN_ANSWERS; i++) {
		char *request = text_of(&own_answers[i]);
		struct raw_answer next;

		all_that_comes(request, answer, sizeof answer);
		raw_ask(demo_port(), GET "\r\n", &next);
		ck_assert_uint_eq(next.status, 200);
		free(request);
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("library");
	TCase *cases = tcase_create("library");

	tcase_add_checked_fixture(cases, demo_service_start, demo_service_stop);
	tcase_set_timeout(cases, 60);
	tcase_add_loop_test(cases, what_is_no_request_is_answered_by_the_library, 0, OWN_ANSWERS);
	tcase_add_test(cases, what_has_no_method_is_closed_without_a_word);
	tcase_add_test(cases, what_the_library_refuses_harms_nobody_else);
	suite_add_tcase(suite, cases);
	return suite_run(suite);
}
