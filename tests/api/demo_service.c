#include "demo_service.h"

#include <check.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "reply.h"
#include "request.h"

static struct http *http;
static atomic_bool loaded;

static void echo_handle(struct request *req)
{
	writer_object_open(&req->out);
	writer_member_int(&req->out, "length", (int64_t)req->body_length);
	writer_key(&req->out, "body");
	writer_string_n(&req->out, req->body, req->body_length);
	writer_object_close(&req->out);
	reply_json(req, 200);
}

static void thing_handle(struct request *req)
{
	if (strcmp(req->tail, "none") == 0) {
		reply_problem(req, 404, "thing-unknown", "There is no such thing.");
		return;
	}
	if (strcmp(request_best_type(req), "text/csv") == 0) {
		writer_text(&req->out, "a,b\n", 4);
		reply_text(req, 200, "text/csv; charset=utf-8");
		return;
	}
	reply_header(req, "Link", "</openapi.json>; rel=\"service-desc\"");
	writer_object_open(&req->out);
	writer_member_string(&req->out, "id", req->tail);
	writer_object_close(&req->out);
	reply_json(req, 200);
}

static void starved_handle(struct request *req)
{
	req->out.out_of_memory = true;
	reply_json(req, 200);
}

static void silent_handle(struct request *req)
{
	(void)req;
}

static void faults_handle(struct request *req)
{
	problem_open(&req->out, 422, NULL, "One member needs attention.", req->id);
	problem_fault(&req->out, "/pond", "missing", "Needed.");
	problem_close(&req->out);
	reply_problem_list(req, 422);
}

static void page_sized_handle(struct request *req)
{
	size_t length = 16 * 1024 * 1024;
	char *bytes = calloc(1, length);

	if (bytes == NULL)
		reply_spare(req);
	else
		reply_bytes(req, 200, "application/octet-stream", bytes, length, free, bytes);
}

static const char *const csv[] = {"text/csv", NULL};
static const struct route routes[] = {
	{.path = "/v1/echo",
		.template = "/v1/echo",
		.methods = METHOD_POST,
		.needs_body = true,
		.cors = true,
		.handle = echo_handle},
	{.path = "/v1/things/",
		.prefix = true,
		.template = "/v1/things/{id}",
		.methods = METHOD_GET,
		.cors = true,
		.handle = thing_handle,
		.also_gives = csv},
	{.path = "/v1/starved", .template = "/v1/starved", .methods = METHOD_GET, .handle = starved_handle},
	{.path = "/v1/silent", .template = "/v1/silent", .methods = METHOD_GET, .handle = silent_handle},
	{.path = "/v1/page-sized", .template = "/v1/page-sized", .methods = METHOD_GET, .handle = page_sized_handle},
	{.path = "/v1/faults", .template = "/v1/faults", .methods = METHOD_GET, .handle = faults_handle},
};

const char demo_page[] = "<!doctype html><title>demo</title>";
static const struct static_page pages[] = {
	{"/", "text/html; charset=utf-8", (const unsigned char *)demo_page, sizeof demo_page - 1}};

static bool tables_ready(void *context, char *text, size_t size)
{
	snprintf(text, size, "%s", (const char *)context);
	return atomic_load(&loaded);
}

static char tables_version[] = "demo-tables";

struct http_app demo_app(void)
{
	atomic_store(&loaded, true);
	return (struct http_app){.context = tables_version,
		.routes = routes,
		.n_routes = sizeof routes / sizeof routes[0],
		.pages = pages,
		.n_pages = 1,
		.ready = tables_ready};
}

void demo_service_start(void)
{
	static const char *const origins[] = {"https://www.example.test"};
	struct http_app app = demo_app();
	struct http_options options;

	http_options_default(&options);
	options.listen = "127.0.0.1:0";
	options.admin_listen = "127.0.0.1:0";
	options.deadline_ms = DEMO_DEADLINE_MS;
	options.logs_requests = false;
	options.allowed_origins = origins;
	options.n_allowed_origins = 1;
	options.threads = 2;
	http = http_start(&options, &app);
	ck_assert_ptr_nonnull(http);
}

void demo_service_stop(void)
{
	http_stop(http);
}

struct http *demo_http(void)
{
	return http;
}

unsigned demo_port(void)
{
	return http_port(http);
}

unsigned demo_admin_port(void)
{
	return http_admin_port(http);
}

void demo_tables_load(bool now_loaded)
{
	atomic_store(&loaded, now_loaded);
}
