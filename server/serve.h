#ifndef PONDWRIGHT_SERVE_H
#define PONDWRIGHT_SERVE_H

#include "http.h"

/* The life of the service from its start to the end of its drain. */
struct serve {
	struct http_options http;
	struct http_app app;
	/* Builds new tables beside the old and swaps; false, after its own lines in the log, leaves the old in use.
	 * Runs on the main thread. It may call http_origins_set. NULL: SIGHUP is ignored. */
	bool (*reload)(void *context, struct http *http);
	int64_t drain_delay_ms; /* go on accepting for so long after SIGTERM: 5000 in Kubernetes, else 0 */
	int64_t drain_limit_ms; /* then wait for open requests at most so long: 10000 */
};

/* Runs until SIGTERM or SIGINT and a drain; SIGHUP reloads; a second SIGTERM or SIGINT exits at once with 1.
 * Takes a socket from systemd where there is one. Must be called on the main thread before any other thread starts.
 * Returns the exit status: 0, or 1 when the service could not start. */
int serve_run(const struct serve *serve);

#endif
