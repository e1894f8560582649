#ifndef PONDWRIGHT_HTTP_H
#define PONDWRIGHT_HTTP_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "router.h"
#include "statics.h"

/* The HTTP service around libmicrohttpd. It knows nothing about ponds: the application brings routes and pages. */
struct http;
struct metrics;

struct http_options {
	const char *listen;           /* "127.0.0.1:8080", "[::1]:8080", ":8080" for every address; port 0 picks one */
	const char *admin_listen;     /* a second socket for health and metrics alone, or NULL */
	int inherited_descriptor;     /* a listening socket to use instead of listen, or -1 */
	unsigned threads;             /* 1 to 64; 0: one a core, 2 to 8 */
	unsigned connection_limit;    /* of the public listener, shared out among the threads */
	unsigned per_ip_limit;        /* 0: none, as behind a proxy, where all clients share one address */
	unsigned timeout_s;           /* inactivity */
	unsigned deadline_ms;         /* waiting, reading and writing one request must fit */
	size_t body_limit_bytes;      /* at most 1 MiB */
	unsigned requests_per_minute; /* of one client, for the application's routes; 0: no limit */
	/* these texts are kept by pointer until http_stop */
	const char *const *trusted_proxies; /* plain addresses whose X-Forwarded-For is believed */
	size_t n_trusted_proxies;
	const char *frame_ancestors; /* who may embed the pages, or NULL for nobody */
	const char *program_version;
	bool logs_requests;
	bool logs_addresses; /* the network that a request came from: /24, or /48 of IPv6 */
	const char *const *allowed_origins;
	size_t n_allowed_origins;
};

struct http_app {
	void *context; /* request->app */
	const struct route *routes;
	size_t n_routes;
	const struct static_page *pages;
	size_t n_pages;
	/* Whether price tables are loaded; copies their version, cut to size, into text. Called from any thread.
	 * NULL: always ready. */
	bool (*ready)(void *context, char *text, size_t size);
};

#define RATES_VERSION_SIZE 64

/* The defaults: 127.0.0.1:8080, 2000 connections, 15 s, 20 s, 64 KiB, requests logged. */
void http_options_default(struct http_options *options);

/* Starts the service. Options, routes and pages must outlive it, but for the origins, which are copied. Signals that
 * the caller waits for must be blocked before. NULL after a line in the log that says why. */
struct http *http_start(const struct http_options *options, const struct http_app *app);

/* The public socket's address and port as text, and its port. */
#define ADDRESS_TEXT_SIZE 80
void http_address(const struct http *http, char text[ADDRESS_TEXT_SIZE]);
unsigned http_port(const struct http *http);
unsigned http_admin_port(const struct http *http); /* 0 for none */

/* For a reload, from any thread: the origins whose pages may read answers. False when memory is short. */
bool http_origins_set(struct http *http, const char *const *origins, size_t count);

/* How the last reload went, for readiness: "done", "refused", or NULL where there was none. */
void http_reloaded(struct http *http, bool done);
const char *http_last_reload(struct http *http);

/* Text of the price tables in use, false while there are none. */
bool http_ready(struct http *http, char *text, size_t size);
struct metrics *http_metrics(struct http *http);

/* The steps of an end: readiness turns 503 and answers close their connection; no new connection is taken;
 * connections idle for so long are shut; how many are open; all stops and is freed. */
void http_drain(struct http *http);
void http_quiesce(struct http *http);
void http_shut_idle(struct http *http, int64_t idle_ms);
size_t http_connections(struct http *http);
void http_stop(struct http *http);

#endif
