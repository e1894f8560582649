#define _GNU_SOURCE 1
#include "http.h"

#include <sched.h>
#include <stdlib.h>
#include <string.h>
#include <sys/random.h>
#include <sys/socket.h>
#include <unistd.h>

#include <microhttpd.h>

#include "builtin.h"
#include "exchange.h"
#include "http_state.h"
#include "listen.h"
#include "log.h"

#define MEMORY_PER_CONNECTION (32 * 1024)
#define BACKLOG 1024
#define ADMIN_CONNECTIONS 64
#define BODY_LIMIT_MOST (1024 * 1024)

/* 0.9.75 has defects at its stricter levels that later ones lost; the gate does that work. */
#if MHD_VERSION >= 0x01000000
#define STRICTNESS 1
#else
#define STRICTNESS 0
#endif

void http_options_default(struct http_options *options)
{
	*options = (struct http_options){
		.listen = "127.0.0.1:8080",
		.inherited_descriptor = -1,
		.connection_limit = 2000,
		.timeout_s = 15,
		.deadline_ms = 20000,
		.body_limit_bytes = 64 * 1024,
		.program_version = "unknown",
		.logs_requests = true,
	};
}

/* The cores that this process may use, which in a container are fewer than the machine has. */
static unsigned threads_wanted(const struct http_options *options)
{
	cpu_set_t cores;
	int count = sched_getaffinity(0, sizeof cores, &cores) == 0 ? CPU_COUNT(&cores) : 2;

	if (options->threads > 0)
		return options->threads <= 64 ? options->threads : 64;
	return count < 2 ? 2 : count > 8 ? 8 : (unsigned)count;
}

static struct MHD_OptionItem number_item(enum MHD_OPTION option, intptr_t value)
{
	return (struct MHD_OptionItem){option, value, NULL};
}

static struct MHD_OptionItem callback_item(enum MHD_OPTION option, intptr_t function, void *closure)
{
	return (struct MHD_OptionItem){option, function, closure};
}

static bool daemon_start(struct listener *listener, unsigned threads, unsigned connections)
{
	const struct http_options *options = &listener->http->options;
	unsigned flags = MHD_USE_EPOLL_INTERNAL_THREAD | MHD_USE_ITC | MHD_USE_ERROR_LOG;
	struct MHD_OptionItem items[] = {
		callback_item(
			MHD_OPTION_EXTERNAL_LOGGER, (intptr_t)log_library, NULL), /* first, or it misses the start */
		callback_item(MHD_OPTION_UNESCAPE_CALLBACK, (intptr_t)exchange_leave_escaped, NULL),
		callback_item(MHD_OPTION_URI_LOG_CALLBACK, (intptr_t)exchange_target, listener),
		callback_item(MHD_OPTION_NOTIFY_COMPLETED, (intptr_t)exchange_completed, listener),
		callback_item(MHD_OPTION_NOTIFY_CONNECTION, (intptr_t)exchange_connection, listener),
		number_item(MHD_OPTION_LISTEN_SOCKET, listener->descriptor),
		number_item(MHD_OPTION_CONNECTION_LIMIT, (intptr_t)connections),
		number_item(MHD_OPTION_PER_IP_CONNECTION_LIMIT, listener->admin ? 0 : (intptr_t)options->per_ip_limit),
		number_item(MHD_OPTION_CONNECTION_TIMEOUT, (intptr_t)options->timeout_s),
		number_item(MHD_OPTION_CONNECTION_MEMORY_LIMIT, MEMORY_PER_CONNECTION),
		number_item(MHD_OPTION_LISTEN_BACKLOG_SIZE, BACKLOG),
		number_item(MHD_OPTION_STRICT_FOR_CLIENT, STRICTNESS),
		/* a pool of one is no pool; the end comes earlier then */
		number_item(threads > 1 ? MHD_OPTION_THREAD_POOL_SIZE : MHD_OPTION_END, (intptr_t)threads),
		number_item(MHD_OPTION_END, 0),
	};

	listener->daemon = MHD_start_daemon(
		flags, 0, NULL, NULL, exchange_answer, listener, MHD_OPTION_ARRAY, items, MHD_OPTION_END);
	return listener->daemon != NULL;
}

static bool listener_open(struct listener *listener, const char *where, int inherited)
{
	char fault[256];

	if (inherited >= 0) {
		listener->descriptor = listen_adopt(inherited) ? inherited : -1;
		if (listener->descriptor < 0)
			log_event(LEVEL_ERROR, "start-failed", "the inherited descriptor is no listening socket");
	} else {
		listener->descriptor = listen_open(where, fault, sizeof fault);
		if (listener->descriptor < 0)
			log_event(LEVEL_ERROR, "start-failed", "%s", fault);
	}
	return listener->descriptor >= 0;
}

static void listening_log(const struct listener *listener, unsigned threads, unsigned connections)
{
	const struct http_options *options = &listener->http->options;
	char address[ADDRESS_TEXT_SIZE];
	struct log_line line;

	listen_text(listener->descriptor, address);
	log_begin(&line, LEVEL_INFO, "listening", listener->admin ? "health and metrics" : "accepting requests");
	writer_member_string(&line.out, "address", address);
	writer_member_int(&line.out, "threads", threads);
	writer_member_int(&line.out, "connection_limit", connections);
	writer_member_int(&line.out, "timeout_s", options->timeout_s);
	writer_member_int(&line.out, "deadline_ms", options->deadline_ms);
	writer_member_int(&line.out, "body_limit_bytes", (int64_t)options->body_limit_bytes);
	log_end(&line);
}

static bool listener_start(
	struct listener *listener, const char *where, int inherited, unsigned threads, unsigned connections)
{
	if (!listener_open(listener, where, inherited))
		return false;
	if (!daemon_start(listener, threads, connections)) {
		log_event(LEVEL_ERROR, "start-failed", "the HTTP library did not start");
		return false;
	}
	listening_log(listener, threads, connections);
	return true;
}

static bool listeners_start(struct http *http)
{
	const struct http_options *options = &http->options;

	if (!listener_start(&http->listeners[0], options->listen, options->inherited_descriptor,
		    threads_wanted(options), options->connection_limit))
		return false;
	return options->admin_listen == NULL ||
		listener_start(&http->listeners[1], options->admin_listen, -1, 1, ADMIN_CONNECTIONS);
}

static struct MHD_Response *spare_make(void)
{
	static char text[] = "{\"type\":\"about:blank\",\"title\":\"Service Unavailable\",\"status\":503,"
			     "\"detail\":\"The service is short of memory; try again.\","
			     "\"errors\":[{\"pointer\":\"\",\"code\":\"unavailable\","
			     "\"detail\":\"The service is short of memory; try again.\"}]}";
	struct MHD_Response *spare = MHD_create_response_from_buffer(sizeof text - 1, text, MHD_RESPMEM_PERSISTENT);

	if (spare == NULL)
		return NULL;
	if (MHD_add_response_header(spare, "Content-Type", "application/problem+json") == MHD_YES &&
		MHD_add_response_header(spare, "Cache-Control", "no-store") == MHD_YES &&
		MHD_add_response_header(spare, "Retry-After", "1") == MHD_YES &&
		MHD_add_response_header(spare, "Vary", "Origin") == MHD_YES &&
		MHD_add_response_header(spare, "X-Content-Type-Options", "nosniff") == MHD_YES)
		return spare;
	MHD_destroy_response(spare);
	return NULL;
}

static bool parts_make(struct http *http)
{
	const struct http_app *app = &http->app;
	const struct http_options *options = &http->options;
	bool made;

	if (getrandom(&http->id_seed, sizeof http->id_seed, 0) != (ssize_t)sizeof http->id_seed)
		return false;
	if (!router_init(&http->router, app->routes, app->n_routes, builtin_routes, n_builtin_routes))
		return false;
	if (!statics_init(&http->statics, app->pages, app->n_pages, options->frame_ancestors))
		return false;
	if (!origins_set(&http->origins, options->allowed_origins, options->n_allowed_origins))
		return false;
	http->limiter = limiter_new(options->requests_per_minute, http->id_seed, &made);
	if (!made)
		return false;
	http->metrics = metrics_new(options->program_version, http->router.templates, http->router.count);
	http->spare = spare_make();
	if (http->metrics == NULL || http->spare == NULL)
		return false;
	http->reaper = reaper_start(http->metrics, options->deadline_ms);
	return http->reaper != NULL;
}

struct http *http_start(const struct http_options *options, const struct http_app *app)
{
	struct http *http = calloc(1, sizeof *http);

	if (http == NULL || !origins_init(&http->origins)) {
		free(http);
		return NULL;
	}
	http->options = *options;
	http->app = *app;
	if (http->options.body_limit_bytes > BODY_LIMIT_MOST)
		http->options.body_limit_bytes = BODY_LIMIT_MOST;
	for (size_t i = 0; i < 2; i++)
		http->listeners[i] = (struct listener){.http = http, .descriptor = -1, .admin = i == 1};
	if (!parts_make(http)) {
		log_event(LEVEL_ERROR, "start-failed", "short of memory, or an option does not fit");
		http_stop(http);
		return NULL;
	}
	if (!listeners_start(http)) {
		http_stop(http);
		return NULL;
	}
	return http;
}

void http_address(const struct http *http, char text[ADDRESS_TEXT_SIZE])
{
	listen_text(http->listeners[0].descriptor, text);
}

unsigned http_port(const struct http *http)
{
	return listen_port(http->listeners[0].descriptor);
}

unsigned http_admin_port(const struct http *http)
{
	return listen_port(http->listeners[1].descriptor);
}

bool http_origins_set(struct http *http, const char *const *origins, size_t count)
{
	return origins_set(&http->origins, origins, count);
}

enum { RELOAD_NONE, RELOAD_DONE, RELOAD_REFUSED };

void http_reloaded(struct http *http, bool done)
{
	atomic_store(&http->last_reload, done ? RELOAD_DONE : RELOAD_REFUSED);
}

const char *http_last_reload(struct http *http)
{
	int last = atomic_load(&http->last_reload);

	return last == RELOAD_NONE ? NULL : last == RELOAD_DONE ? "done" : "refused";
}

bool http_ready(struct http *http, char *text, size_t size)
{
	text[0] = '\0';
	return http->app.ready == NULL || http->app.ready(http->app.context, text, size);
}

struct metrics *http_metrics(struct http *http)
{
	return http->metrics;
}

void http_drain(struct http *http)
{
	atomic_store(&http->draining, true);
}

/* Connections that the kernel took before the door closed are clients with a request under way: they are served. */
static void queue_take(struct listener *listener)
{
	struct sockaddr_storage address;
	socklen_t size = sizeof address;
	int connection;

	while ((connection = accept4(
			listener->descriptor, (struct sockaddr *)&address, &size, SOCK_NONBLOCK | SOCK_CLOEXEC)) >= 0) {
		/* on failure libmicrohttpd closes it */
		MHD_add_connection(listener->daemon, connection, (struct sockaddr *)&address, size);
		size = sizeof address;
	}
}

/* Only the public side: health and metrics answer until the end.
 * A socket of our own is shut, so that newcomers are refused at once instead of waiting in a queue that nobody will
 * serve. One that was handed over stays open for the successor, who finds the newcomers in its queue. */
void http_quiesce(struct http *http)
{
	struct listener *listener = &http->listeners[0];

	if (listener->daemon == NULL || listener->quiet)
		return;
	MHD_quiesce_daemon(listener->daemon);
	listener->quiet = true;
	if (http->options.inherited_descriptor >= 0)
		return;
	queue_take(listener);
	shutdown(listener->descriptor, SHUT_RD);
}

void http_shut_idle(struct http *http, int64_t idle_ms)
{
	reaper_shut_idle(http->reaper, idle_ms);
}

size_t http_connections(struct http *http)
{
	return reaper_connections(http->reaper);
}

/* MHD_stop_daemon closes the socket of a daemon that still listens, and leaves that of a quiet one to us. */
static void listener_stop(struct listener *listener)
{
	if (listener->daemon != NULL)
		MHD_stop_daemon(listener->daemon);
	if (listener->descriptor >= 0 && (listener->daemon == NULL || listener->quiet))
		close(listener->descriptor);
}

void http_stop(struct http *http)
{
	for (size_t i = 0; i < 2; i++)
		listener_stop(&http->listeners[i]);
	reaper_stop(http->reaper);
	if (http->spare != NULL)
		MHD_destroy_response(http->spare);
	metrics_free(http->metrics);
	limiter_free(http->limiter);
	origins_free(&http->origins);
	statics_free(&http->statics);
	router_free(&http->router);
	free(http);
}
