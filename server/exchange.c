#include "exchange.h"

#include <string.h>
#include <sys/socket.h>

#include "clocks.h"
#include "gate.h"
#include "http_state.h"
#include "log.h"
#include "reply.h"
#include "request.h"

size_t exchange_leave_escaped(void *closure, struct MHD_Connection *connection, char *text)
{
	(void)closure;
	(void)connection;
	return strlen(text);
}

static struct connection *connection_entry(struct MHD_Connection *connection)
{
	const union MHD_ConnectionInfo *info = MHD_get_connection_info(connection, MHD_CONNECTION_INFO_SOCKET_CONTEXT);

	return info != NULL ? info->socket_context : NULL;
}

void *exchange_target(void *closure, const char *target, struct MHD_Connection *connection)
{
	struct listener *listener = closure;
	struct request *req = request_new(listener->http, connection, listener->admin, target);

	if (req == NULL)
		return NULL;
	req->entry = connection_entry(connection);
	connection_request_begin(req->entry);
	metrics_request_begin(listener->http->metrics);
	return req;
}

static void answer(struct request *req)
{
	if (req->refusal != REFUSAL_NONE)
		reply_refusal(req, req->refusal);
	else if (req->method == METHOD_OPTIONS)
		reply_options(req);
	else
		req->route->handle(req);
	if (!req->replied)
		reply_problem(req, 500, "internal", "The service has a fault.");
}

/* The header is complete. An answer queued here is an early one: libmicrohttpd reads no body, sends no 100 Continue
 * and closes. That is for refusals that must close; any other answer waits for the final call, for a connection
 * answered early is lost. */
static enum MHD_Result first_call(struct request *req, const char *method, const char *version)
{
	req->first_seen = true;
	if (req->http->options.logs_addresses) /* now: its header is gone when the line is written */
		client_network(request_client(req), req->network);
	gate_check(req, method, version);
	if (!req->closes)
		return MHD_YES;
	answer(req);
	return req->queued == MHD_YES ? MHD_YES : MHD_NO;
}

/* No answer can be queued while a body arrives; a refusal is remembered and the rest discarded. */
static enum MHD_Result body_call(struct request *req, const char *bytes, size_t *length)
{
	bool go_on = request_take_body(req, bytes, *length);

	*length = 0;
	if (!go_on)
		metrics_count(req->http->metrics, METRICS_CONNECTIONS_CUT, "body");
	return go_on ? MHD_YES : MHD_NO;
}

enum MHD_Result exchange_answer(void *closure, struct MHD_Connection *connection, const char *url, const char *method,
	const char *version, const char *upload_data, size_t *upload_data_size, void **context)
{
	struct request *req = *context;

	(void)closure;
	(void)connection;
	(void)url;
	if (req == NULL) /* no memory for the record: drop the connection */
		return MHD_NO;
	if (!req->first_seen)
		return first_call(req, method, version);
	if (*upload_data_size > 0)
		return body_call(req, upload_data, upload_data_size);
	if (!req->replied)
		answer(req);
	return req->queued == MHD_YES ? MHD_YES : MHD_NO;
}

static const char *completion_reason(const struct request *req, enum MHD_RequestTerminationCode code)
{
	static const char *const words[] = {
		[MHD_REQUEST_TERMINATED_COMPLETED_OK] = "done",
		[MHD_REQUEST_TERMINATED_WITH_ERROR] = "error",
		[MHD_REQUEST_TERMINATED_TIMEOUT_REACHED] = "timeout",
		[MHD_REQUEST_TERMINATED_DAEMON_SHUTDOWN] = "shutdown",
		[MHD_REQUEST_TERMINATED_READ_ERROR] = "read-error",
		[MHD_REQUEST_TERMINATED_CLIENT_ABORT] = "client-abort",
	};
	const char *cut = connection_cut(req->entry);

	if (code == MHD_REQUEST_TERMINATED_COMPLETED_OK || cut == NULL)
		return (size_t)code < sizeof words / sizeof words[0] ? words[code] : "other";
	return cut;
}

static void request_log(const struct request *req, int64_t duration_ns, const char *reason)
{
	struct log_line line;

	log_begin(&line, req->status >= 500 ? LEVEL_ERROR : LEVEL_INFO, "request",
		req->status > 0 ? "answered" : "not answered");
	writer_member_string(&line.out, "req_id", req->id);
	if (req->trace_id[0] != '\0')
		writer_member_string(&line.out, "trace_id", req->trace_id);
	writer_member_string(&line.out, "method", method_word(method_index(req->method)));
	writer_member_string(&line.out, "route", req->route->template);
	writer_member_int(&line.out, "status", req->status);
	writer_member_number(&line.out, "duration_ms", (double)(duration_ns / 1000) / 1000.0);
	writer_member_int(&line.out, "bytes_in", (int64_t)(req->body_length + req->discarded));
	writer_member_int(&line.out, "bytes_out", (int64_t)req->bytes_out);
	writer_member_string(&line.out, "reason", reason);
	if (req->network[0] != '\0')
		writer_member_string(&line.out, "network", req->network);
	log_end(&line);
}

void exchange_completed(
	void *closure, struct MHD_Connection *connection, void **context, enum MHD_RequestTerminationCode code)
{
	struct listener *listener = closure;
	struct http *http = listener->http;
	struct request *req = *context;
	int64_t duration_ns;

	(void)connection;
	if (req == NULL)
		return;
	duration_ns = monotonic_ns() - req->began_ns;
	if (code == MHD_REQUEST_TERMINATED_TIMEOUT_REACHED)
		metrics_count(http->metrics, METRICS_CONNECTIONS_CUT, "timeout");
	metrics_request_end(http->metrics, router_index(&http->router, req->route), method_index(req->method),
		req->status, duration_ns);
	if (http->options.logs_requests && !req->route->operational)
		request_log(req, duration_ns, completion_reason(req, code));
	connection_request_end(req->entry);
	request_free(req);
	*context = NULL;
}

void exchange_connection(void *closure, struct MHD_Connection *connection, void **socket_context,
	enum MHD_ConnectionNotificationCode code)
{
	struct listener *listener = closure;
	struct reaper *reaper = listener->http->reaper;
	int descriptor;

	if (code == MHD_CONNECTION_NOTIFY_CLOSED) {
		if (*socket_context != NULL)
			reaper_connection_end(reaper, *socket_context);
		*socket_context = NULL;
		return;
	}
	descriptor = MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD)->connect_fd;
	*socket_context = reaper_connection_begin(reaper, descriptor);
	if (*socket_context == NULL) /* without an entry it would have no deadline */
		shutdown(descriptor, SHUT_RDWR);
}
