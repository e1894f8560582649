#ifndef PONDWRIGHT_TESTS_RAW_H
#define PONDWRIGHT_TESTS_RAW_H

#include <stdbool.h>
#include <stddef.h>

/* A client that sends bytes as they are: what a well-behaved library never would. All waits end after 10 s. */

struct raw_answer {
	unsigned status; /* 0 when the connection closed without an answer */
	char head[8192];
	char body[16384];
	size_t body_length;
};

/* A connection to 127.0.0.1, or -1. */
int raw_connect(unsigned port);
/* Sends all of a text; false when the other side has closed. */
bool raw_send(int connection, const char *text);
bool raw_send_bytes(int connection, const char *bytes, size_t length);
/* Reads one answer by its Content-Length. without_body: it answers a HEAD, or is a 204 or 304. */
void raw_read(int connection, bool without_body, struct raw_answer *answer);
/* One request on a connection of its own. */
void raw_ask(unsigned port, const char *text, struct raw_answer *answer);
/* A header's value copied into text, or NULL. */
const char *raw_header(const struct raw_answer *answer, const char *name, char *text, size_t size);
bool raw_header_is(const struct raw_answer *answer, const char *name, const char *value);
/* Whether the other side closes, now or soon, without another byte. */
bool raw_closes(int connection);

#endif
