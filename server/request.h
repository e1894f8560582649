#ifndef PONDWRIGHT_REQUEST_H
#define PONDWRIGHT_REQUEST_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "limit.h"
#include "problem.h"
#include "router.h"
#include "trace.h"
#include "writer.h"

struct MHD_Connection;
struct connection;
struct http;
struct static_page;

#define PATH_BYTES_MAX 512
#define QUERY_BYTES_MAX 1024
#define DISCARD_BYTES_MAX (1024 * 1024) /* a longer body is refused before it is read */
#define EXTRA_HEADERS 8

struct extra_header {
	const char *name;
	const char *value;
};

/* One request, from its first line to the answer's last byte. Everything that it owns hangs here and goes in
 * request_free. A handler reads the first part, writes into out and answers by reply.h; it never blocks, for it
 * holds up every connection of its thread. */
struct request {
	void *app;                 /* the application's context */
	const struct route *route; /* the one that matched */
	const char *tail;          /* the segment after a prefix route's path, else "" */
	unsigned method;           /* one METHOD_ bit; HEAD is answered as GET, libmicrohttpd drops the body */
	const char *body;          /* NUL after the last byte; "" when there is none */
	size_t body_length;
	char id[REQUEST_ID_SIZE]; /* X-Request-Id */
	struct writer out;        /* for the answer; empty */

	/* the rest is this layer's */
	struct http *http;
	struct MHD_Connection *connection;
	struct connection *entry; /* in the reaper's list; NULL if it could not be made */
	const struct static_page *page;
	char path[PATH_BYTES_MAX + 1];
	char trace_id[TRACE_ID_SIZE];
	char network[NETWORK_TEXT_SIZE]; /* for the log, "" where it is not wanted there */
	unsigned retry_after_s; /* of a refusal for the rate */
	const char *target_end; /* where libmicrohttpd's text of the target ended */
	int64_t began_ns;
	char *body_bytes;
	uint64_t declared_length;
	size_t discarded;
	enum refusal refusal; /* found by the gate or while reading */
	bool target_long;
	bool admin;      /* came through the admin listener */
	bool first_seen; /* the first call of the access handler has been */
	bool has_length; /* a Content-Length was sent */
	bool closes;     /* the answer ends the connection */
	bool replied;
	int queued; /* enum MHD_Result of the answer */
	unsigned status;
	size_t bytes_out;
	struct extra_header extra[EXTRA_HEADERS];
	size_t n_extra;
};

/* A request header's value, the first of its name, or NULL. Names do not mind case. */
const char *request_header(const struct request *req, const char *name);

/* How much the client wants a type that the route gives, 0 to 1000, by its Accept header. */
unsigned request_weight(const struct request *req, const char *type);

/* The type of the route, application/json first and then also_gives, that the client wants most; ties go to the
 * earlier. NULL where it accepts none. */
const char *request_best_type(const struct request *req);

/* The client behind the connection, as client_of tells it. */
uint64_t request_client(const struct request *req);

/* For the daemon. The record of a request whose target has just been read; NULL when memory is short.
 * Cuts the query off in libmicrohttpd's own copy of the target. */
struct request *request_new(struct http *http, struct MHD_Connection *connection, bool admin, const char *target);
/* Keeps or discards some bytes of the body; false when too much was discarded and the connection must go. */
bool request_take_body(struct request *req, const char *bytes, size_t length);
void request_free(struct request *req);

#endif
