#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "builtin.h"
#include "etag.h"
#include "http_state.h"
#include "limit.h"
#include "media.h"
#include "request.h"
#include "routes.h"
#include "trace.h"

#include <netinet/in.h>

/* Any bytes as what a request line and its header fields hold: one a line, in the order target, Accept, Content-Type,
 * If-None-Match, traceparent, X-Request-Id, X-Forwarded-For. */

#define LINES 7

int LLVMFuzzerInitialize(int *argc, char ***argv);
int LLVMFuzzerTestOneInput(const unsigned char *bytes, size_t size);

static struct http http;

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
	(void)argc;
	(void)argv;
	if (!router_init(&http.router, pond_routes, n_pond_routes, builtin_routes, n_builtin_routes) ||
		!statics_init(&http.statics, static_pages, n_static_pages, NULL))
		exit(1);
	return 0;
}

/* A target as libmicrohttpd hands it over: text of its own, which may be written to. */
static void take_target(char *target, bool admin)
{
	bool has_query = strchr(target, '?') != NULL;
	struct request *req = request_new(&http, NULL, admin, target);

	assert(req != NULL && req->route != NULL);
	assert(strlen(req->path) <= PATH_BYTES_MAX && strchr(req->path, '?') == NULL);
	assert(strchr(req->tail, '/') == NULL && strcmp(req->tail, "..") != 0);
	assert((req->page != NULL) == (req->route == router_pages(&http.router)));
	assert(!admin || req->route->operational || req->route == router_unknown(&http.router));
	if (has_query)
		assert(strchr(target, '?')[1] == '\0');
	request_free(req);
}

static void take_fields(char *const lines[LINES])
{
	static const char *const languages[] = {"en", "fr"};
	static const char *const trusted[] = {"127.0.0.1", "192.0.2.7", "2001:db8::1"};
	struct sockaddr_in peer = {.sin_family = AF_INET, .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
	char etag[ETAG_SIZE], trace[TRACE_ID_SIZE], id[REQUEST_ID_SIZE];

	assert(media_weight(lines[1], "application/json") <= 1000);
	assert(media_language(lines[1], languages, 2) < 2);
	media_is(lines[2], "application/json");
	etag_make(lines[0], strlen(lines[0]), etag);
	etag_matches(lines[3], etag);
	assert(trace_id_read(lines[4], trace) ? strlen(trace) == TRACE_ID_SIZE - 1 : trace[0] == '\0');
	if (request_id_is_valid(lines[5])) {
		assert(strlen(lines[5]) < sizeof id);
		memcpy(id, lines[5], strlen(lines[5]) + 1);
	}
	client_of((struct sockaddr *)&peer, lines[6], trusted, 3);
}

int LLVMFuzzerTestOneInput(const unsigned char *bytes, size_t size)
{
	char *text = malloc(size + 1), *rest = text, *lines[LINES];
	static char none[] = "";

	assert(text != NULL);
	memcpy(text, bytes, size);
	text[size] = '\0';
	for (int i = 0; i < LINES; i++)
		lines[i] = rest != NULL ? strsep(&rest, "\n") : none;
	take_fields(lines);
	take_target(lines[0], size % 2 == 1);
	free(text);
	return 0;
}
