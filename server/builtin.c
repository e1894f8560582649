#include "builtin.h"

#include "http_state.h"
#include "reply.h"
#include "request.h"

/* Touches nothing, so that it never fails under load. */
static void health_handle(struct request *req)
{
	static const char alive[] = "{\"status\":\"alive\"}";

	reply_bytes(req, 200, "application/json", alive, sizeof alive - 1, NULL, NULL);
}

static void readiness_handle(struct request *req)
{
	char version[RATES_VERSION_SIZE] = "";
	bool draining = atomic_load(&req->http->draining);
	bool loaded = http_ready(req->http, version, sizeof version);

	writer_object_open(&req->out);
	writer_member_string(&req->out, "status", draining ? "draining" : loaded ? "ready" : "not-loaded");
	writer_member_string(&req->out, "config", loaded ? version : NULL);
	writer_member_string(&req->out, "version", req->http->options.program_version);
	writer_member_string(&req->out, "last_reload", http_last_reload(req->http));
	writer_object_close(&req->out);
	reply_json(req, loaded && !draining ? 200 : 503);
}

static void metrics_handle(struct request *req)
{
	metrics_write(req->http->metrics, &req->out);
	reply_text(req, 200, "text/plain; version=0.0.4; charset=utf-8");
}

const struct route builtin_routes[] = {
	{.path = "/healthz",
		.template = "/healthz",
		.methods = METHOD_GET,
		.handle = health_handle,
		.any_type = true,
		.operational = true},
	{.path = "/readyz",
		.template = "/readyz",
		.methods = METHOD_GET,
		.handle = readiness_handle,
		.any_type = true,
		.operational = true},
	{.path = "/metrics",
		.template = "/metrics",
		.methods = METHOD_GET,
		.handle = metrics_handle,
		.any_type = true,
		.operational = true},
};
const size_t n_builtin_routes = sizeof builtin_routes / sizeof builtin_routes[0];
