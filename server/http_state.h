#ifndef PONDWRIGHT_HTTP_STATE_H
#define PONDWRIGHT_HTTP_STATE_H

#include <stdatomic.h>

#include "http.h"
#include "limit.h"
#include "metrics.h"
#include "origins.h"
#include "reaper.h"
#include "router.h"
#include "statics.h"

struct MHD_Daemon;
struct MHD_Response;

/* One socket that is listened on. */
struct listener {
	struct http *http;
	struct MHD_Daemon *daemon;
	int descriptor; /* -1 for none */
	bool admin;
	bool quiet; /* accepts no more */
};

/* What the files of this layer share of a running service. */
struct http {
	struct http_options options;
	struct http_app app;
	struct router router;
	struct statics statics;
	struct origins origins;
	struct metrics *metrics;
	struct reaper *reaper;
	struct limiter *limiter;      /* NULL: no limit */
	struct MHD_Response *spare;   /* the 503 for when nothing can be allocated, made at the start */
	struct listener listeners[2]; /* the public one, the admin one */
	atomic_bool draining;
	atomic_int last_reload;
	uint64_t id_seed;
	_Atomic uint64_t id_turn;
};

#endif
