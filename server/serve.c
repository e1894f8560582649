#define _GNU_SOURCE 1
#include "serve.h"

#include <signal.h>
#include <stdio.h>
#include <time.h>
#include <unistd.h>

#include "clocks.h"
#include "log.h"
#include "metrics.h"
#include "notify.h"

#define IDLE_SHUT_MS 500
#define DRAIN_LOOK_MS 20
#define SIGN_OF_LIFE_MS 60000 /* how long to sleep when nobody asks for signs of life */

static void signals_block(sigset_t *signals)
{
	sigemptyset(signals);
	sigaddset(signals, SIGTERM);
	sigaddset(signals, SIGINT);
	sigaddset(signals, SIGHUP);
	pthread_sigmask(SIG_BLOCK, signals, NULL);
	signal(SIGPIPE, SIG_IGN);
}

/* The next signal, or 0 after so long without one. */
static int signal_wait(const sigset_t *signals, int64_t wait_ms)
{
	struct timespec time = {.tv_sec = wait_ms / 1000, .tv_nsec = wait_ms % 1000 * 1000000};
	int number = sigtimedwait(signals, NULL, &time);

	return number > 0 ? number : 0;
}

static void status_text(struct http *http, char *text, size_t size)
{
	char version[RATES_VERSION_SIZE];
	char address[ADDRESS_TEXT_SIZE];

	http_ready(http, version, sizeof version);
	http_address(http, address);
	snprintf(text, size, "Serving %s on %s", version, address);
}

static void ready_tell(const struct notify *notify, struct http *http)
{
	char text[200];

	status_text(http, text, sizeof text);
	notify_ready(notify, text);
}

static void rates_note(struct http *http)
{
	char version[RATES_VERSION_SIZE];

	if (http_ready(http, version, sizeof version))
		metrics_rates_loaded(http_metrics(http), version, wall_clock_s());
}

static void reload(const struct serve *serve, struct http *http, const struct notify *notify)
{
	char version[RATES_VERSION_SIZE];
	bool done;

	if (serve->reload == NULL)
		return;
	notify_reloading(notify);
	done = serve->reload(serve->app.context, http);
	metrics_count(http_metrics(http), METRICS_RATES_RELOADS, done ? "done" : "refused");
	http_reloaded(http, done);
	if (done)
		rates_note(http);
	http_ready(http, version, sizeof version);
	log_event(done ? LEVEL_INFO : LEVEL_ERROR, "reload", done ? "now serving %s" : "refused; still serving %s",
		version);
	ready_tell(notify, http);
}

/* Serves until told to stop. */
static void serve_until_told(
	const struct serve *serve, struct http *http, const struct notify *notify, const sigset_t *signals)
{
	int64_t wait_ms = notify->watchdog_us > 0 ? notify->watchdog_us / 2000 : SIGN_OF_LIFE_MS;

	for (;;) {
		int number = signal_wait(signals, wait_ms);

		if (number == SIGTERM || number == SIGINT)
			return;
		if (number == SIGHUP)
			reload(serve, http, notify);
		notify_alive(notify);
	}
}

/* Waits, but leaves the process at a second signal to stop. */
static void drain_wait(const sigset_t *signals, int64_t wait_ms)
{
	int64_t until_ms = monotonic_ms() + wait_ms;
	int64_t left_ms = wait_ms;

	while (left_ms > 0) {
		int number = signal_wait(signals, left_ms);

		if (number == SIGTERM || number == SIGINT) {
			log_event(LEVEL_WARN, "stopped", "told twice; requests may have been lost");
			_exit(1);
		}
		left_ms = until_ms - monotonic_ms();
	}
}

static void drain(const struct serve *serve, struct http *http, const sigset_t *signals)
{
	int64_t until_ms;

	log_event(LEVEL_INFO, "draining", "%zu connections open", http_connections(http));
	if (serve->drain_delay_ms > 0) {
		http_drain(http);
		drain_wait(signals, serve->drain_delay_ms);
	}
	/* without a delay the door closes first: an answer that ends its connection sends the client back to the door,
	 * and one that came in the very moment would be reset */
	http_quiesce(http);
	http_drain(http);
	until_ms = monotonic_ms() + serve->drain_limit_ms;
	while (http_connections(http) > 0 && monotonic_ms() < until_ms) {
		http_shut_idle(http, IDLE_SHUT_MS);
		drain_wait(signals, DRAIN_LOOK_MS);
	}
	log_event(LEVEL_INFO, "stopped", "%zu connections left", http_connections(http));
}

static void start_log(const struct serve *serve)
{
	char version[RATES_VERSION_SIZE] = "";
	struct log_line line;

	if (serve->app.ready != NULL)
		serve->app.ready(serve->app.context, version, sizeof version);
	log_begin(&line, LEVEL_INFO, "start", "starting");
	writer_member_string(&line.out, "version", serve->http.program_version);
	writer_member_string(&line.out, "config", version);
	writer_member_int(&line.out, "pid", getpid());
	writer_member_int(&line.out, "drain_delay_ms", serve->drain_delay_ms);
	writer_member_int(&line.out, "drain_limit_ms", serve->drain_limit_ms);
	log_end(&line);
}

int serve_run(const struct serve *serve)
{
	struct http_options options = serve->http;
	struct notify notify;
	struct http *http;
	sigset_t signals;

	log_open(STDERR_FILENO);
	signals_block(&signals);
	notify_open(&notify);
	if (options.inherited_descriptor < 0)
		options.inherited_descriptor = notify_listen_descriptor();
	start_log(serve);
	http = http_start(&options, &serve->app);
	if (http == NULL) {
		notify_close(&notify);
		return 1;
	}
	rates_note(http);
	ready_tell(&notify, http);
	serve_until_told(serve, http, &notify, &signals);
	notify_stopping(&notify);
	drain(serve, http, &signals);
	http_stop(http);
	notify_close(&notify);
	return 0;
}
