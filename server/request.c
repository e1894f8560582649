#include "request.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include <microhttpd.h>

#include "clocks.h"
#include "http_state.h"
#include "media.h"
#include "statics.h"

const char *request_header(const struct request *req, const char *name)
{
	return MHD_lookup_connection_value(req->connection, MHD_HEADER_KIND, name);
}

unsigned request_weight(const struct request *req, const char *type)
{
	return media_weight(request_header(req, "Accept"), type);
}

const char *request_best_type(const struct request *req)
{
	const char *accept = request_header(req, "Accept");
	const char *best = "application/json";
	unsigned weight = media_weight(accept, best);

	for (const char *const *type = req->route->also_gives; type != NULL && *type != NULL; type++) {
		unsigned other = media_weight(accept, *type);

		if (other > weight) {
			weight = other;
			best = *type;
		}
	}
	return weight > 0 ? best : NULL;
}

uint64_t request_client(const struct request *req)
{
	const struct http_options *options = &req->http->options;
	const union MHD_ConnectionInfo *info =
		MHD_get_connection_info(req->connection, MHD_CONNECTION_INFO_CLIENT_ADDRESS);

	return client_of(info != NULL ? info->client_addr : NULL, request_header(req, "X-Forwarded-For"),
		options->trusted_proxies, options->n_trusted_proxies);
}

/* The path within a target. The absolute form, which every server must take (RFC 9112 section 3.2.2), loses its
 * scheme and authority. */
static const char *target_path(const char *target)
{
	const char *authority;
	const char *slash;

	if (strncasecmp(target, "http://", 7) == 0)
		authority = target + 7;
	else if (strncasecmp(target, "https://", 8) == 0)
		authority = target + 8;
	else
		return target;
	slash = authority + strcspn(authority, "/?");
	return *slash == '/' ? slash : "/";
}

/* Many query arguments stall libmicrohttpd 0.9.75, and no route here takes any: a NUL after the '?' in its buffer
 * leaves it none to parse. The buffer is its writable pool; only the callback's type says const. */
static void query_cut(const char *query)
{
	*(char *)(uintptr_t)query = '\0';
}

static void target_read(struct request *req, const char *target)
{
	const char *path = target_path(target);
	const char *query = strchr(target, '?');
	size_t length = strcspn(path, "?");

	req->target_end = target + strlen(target);
	req->target_long = length > PATH_BYTES_MAX || (query != NULL && strlen(query + 1) > QUERY_BYTES_MAX);
	if (length > PATH_BYTES_MAX)
		length = PATH_BYTES_MAX;
	memcpy(req->path, path, length);
	req->path[length] = '\0';
	if (query != NULL)
		query_cut(query + 1);
}

/* Routing is a look-up and needs no trust in the framing, so it comes first: even a refusal of the framing then has
 * the route's name in the log and the CORS headers that let a page read it. */
static void route_find(struct request *req)
{
	const struct router *router = &req->http->router;

	req->route = router_find(router, req->path, req->admin, &req->tail);
	if (req->route == NULL && !req->admin)
		req->page = statics_find(&req->http->statics, req->path);
	if (req->route == NULL)
		req->route = req->page != NULL ? router_pages(router) : router_unknown(router);
}

struct request *request_new(struct http *http, struct MHD_Connection *connection, bool admin, const char *target)
{
	struct request *req = calloc(1, sizeof *req);

	if (req == NULL)
		return NULL;
	req->http = http;
	req->app = http->app.context;
	req->connection = connection;
	req->admin = admin;
	req->began_ns = monotonic_ns();
	req->method = METHOD_OTHER;
	req->body = "";
	req->queued = MHD_NO;
	writer_init(&req->out);
	target_read(req, target);
	route_find(req);
	return req;
}

/* The declared length is within the limit here, or the gate had refused. */
static bool body_room(struct request *req, size_t more)
{
	if (req->body_bytes == NULL)
		req->body_bytes = malloc((size_t)req->declared_length + 1);
	return req->body_bytes != NULL && more <= req->declared_length - req->body_length;
}

bool request_take_body(struct request *req, const char *bytes, size_t length)
{
	if (req->refusal == REFUSAL_NONE && req->route->needs_body && req->method == METHOD_POST) {
		if (body_room(req, length)) {
			memcpy(req->body_bytes + req->body_length, bytes, length);
			req->body_length += length;
			req->body_bytes[req->body_length] = '\0';
			req->body = req->body_bytes;
			return true;
		}
		req->refusal = REFUSAL_UNAVAILABLE;
	}
	req->discarded += length;
	return req->discarded <= DISCARD_BYTES_MAX;
}

void request_free(struct request *req)
{
	free(req->body_bytes);
	writer_free(&req->out);
	free(req);
}
