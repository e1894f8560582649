#include "reply.h"

#include <assert.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include <microhttpd.h>

#include "http_state.h"
#include "request.h"

void reply_header(struct request *req, const char *name, const char *value)
{
	assert(req->n_extra < EXTRA_HEADERS);
	req->extra[req->n_extra++] = (struct extra_header){name, value};
}

static bool header_add(struct MHD_Response *response, const char *name, const char *value)
{
	return value[0] == '\0' || MHD_add_response_header(response, name, value) == MHD_YES;
}

static bool extra_added(const struct request *req, struct MHD_Response *response)
{
	for (size_t i = 0; i < req->n_extra; i++)
		if (!header_add(response, req->extra[i].name, req->extra[i].value))
			return false;
	return true;
}

/* A header that every answer gets unless the handler brought its own. */
static bool default_added(const struct request *req, struct MHD_Response *response, const char *name, const char *value)
{
	for (size_t i = 0; i < req->n_extra; i++)
		if (strcasecmp(req->extra[i].name, name) == 0)
			return true;
	return header_add(response, name, value);
}

/* What a cache must compare before it gives an answer to another client (RFC 9110 section 12.5.5). */
static bool vary_added(const struct route *route, struct MHD_Response *response)
{
	char names[48];

	snprintf(names, sizeof names, "%s%s%s", route->also_gives != NULL ? ", Accept" : "",
		route->speaks ? ", Accept-Language" : "", route->cors ? ", Origin" : "");
	return header_add(response, "Vary", names[0] != '\0' ? names + 2 : "");
}

/* The list of origins decides, byte for byte; the origin that goes out is therefore one of the owner's own words. */
static bool cors_added(const struct request *req, struct MHD_Response *response)
{
	const char *origin = request_header(req, "Origin");

	if (!req->route->cors)
		return true;
	if (!origins_hold(&req->http->origins, origin))
		return true;
	return header_add(response, "Access-Control-Allow-Origin", origin) &&
		header_add(response, "Access-Control-Expose-Headers", "X-Request-Id, Retry-After");
}

static bool headers_added(struct request *req, unsigned status, struct MHD_Response *response, const char *type)
{
	if (!extra_added(req, response) || !header_add(response, "Content-Type", type) ||
		!default_added(req, response, "Cache-Control", "no-store"))
		return false;
	if ((status == 503 || status == 429) && !default_added(req, response, "Retry-After", "1"))
		return false;
	if ((req->closes || atomic_load(&req->http->draining)) && !header_add(response, "Connection", "close"))
		return false;
	return header_add(response, "X-Content-Type-Options", "nosniff") &&
		header_add(response, "X-Request-Id", req->id) && vary_added(req->route, response) && cors_added(req, response);
}

static void queue(struct request *req, unsigned status, struct MHD_Response *response, size_t length)
{
	req->queued = MHD_queue_response(req->connection, status, response);
	req->status = req->queued == MHD_YES ? status : 0;
	req->bytes_out = req->method == METHOD_HEAD || status == 304 ? 0 : length; /* the library leaves such a body out */
	if (status == 429)
		metrics_rate_limited(req->http->metrics);
}

void reply_spare(struct request *req)
{
	req->replied = true;
	queue(req, 503, req->http->spare, 0);
}

/* Takes over the response, which is NULL where it could not be made. */
static void reply_send(
	struct request *req, unsigned status, struct MHD_Response *response, const char *type, size_t length)
{
	assert(!req->replied);
	req->replied = true;
	if (response != NULL && headers_added(req, status, response, type))
		queue(req, status, response, length);
	else
		reply_spare(req);
	if (response != NULL)
		MHD_destroy_response(response);
}

void reply_text(struct request *req, unsigned status, const char *type)
{
	struct MHD_Response *response = NULL;
	size_t length;
	char *bytes = writer_release(&req->out, &length);

	if (bytes != NULL) {
		response = MHD_create_response_from_buffer(length, bytes, MHD_RESPMEM_MUST_FREE);
		if (response == NULL)
			free(bytes);
	}
	reply_send(req, status, response, type, length);
}

void reply_json(struct request *req, unsigned status)
{
	reply_text(req, status, "application/json");
}

void reply_bytes(struct request *req, unsigned status, const char *type, const void *bytes, size_t length,
	void (*release)(void *owner), void *owner)
{
	void *buffer = (void *)(uintptr_t)bytes; /* libmicrohttpd only reads it, its type does not say so */
	struct MHD_Response *response;

	if (release != NULL) {
		response = MHD_create_response_from_buffer_with_free_callback_cls(length, buffer, release, owner);
		if (response == NULL)
			release(owner);
	} else {
		response = MHD_create_response_from_buffer(length, buffer, MHD_RESPMEM_PERSISTENT);
	}
	reply_send(req, status, response, type, length);
}

void reply_problem_list(struct request *req, unsigned status)
{
	reply_text(req, status, "application/problem+json");
}

void reply_problem(struct request *req, unsigned status, const char *code, const char *detail)
{
	writer_clear(&req->out);
	problem_open(&req->out, status, NULL, detail, req->id);
	problem_fault(&req->out, "", code, detail);
	problem_close(&req->out);
	reply_problem_list(req, status);
}

void reply_refusal(struct request *req, enum refusal refusal)
{
	const struct refusal_row *row = refusal_row(refusal);
	const char *detail = row->detail;
	char allow[ALLOW_SIZE];
	char limit[64];
	char wait[16];

	if (refusal == REFUSAL_METHOD) {
		route_allow(req->route, allow);
		reply_header(req, "Allow", allow);
	}
	if (row->status == 415)
		reply_header(req, "Accept", "application/json");
	if (refusal == REFUSAL_RATE) {
		snprintf(wait, sizeof wait, "%u", req->retry_after_s);
		reply_header(req, "Retry-After", wait);
	}
	if (refusal == REFUSAL_BODY_LARGE) {
		snprintf(limit, sizeof limit, "The body may have %zu bytes.", req->http->options.body_limit_bytes);
		detail = limit;
	}
	reply_problem(req, row->status, row->code, detail);
}

void reply_options(struct request *req)
{
	char allow[ALLOW_SIZE];

	route_allow(req->route, allow);
	reply_header(req, "Allow", allow);
	if (req->route->cors && origins_hold(&req->http->origins, request_header(req, "Origin"))) {
		reply_header(req, "Access-Control-Allow-Methods", allow);
		reply_header(req, "Access-Control-Allow-Headers", "content-type, authorization");
		reply_header(req, "Access-Control-Max-Age", "600");
	}
	reply_bytes(req, 204, "", "", 0, NULL, NULL);
}
