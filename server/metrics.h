#ifndef PONDWRIGHT_METRICS_H
#define PONDWRIGHT_METRICS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "writer.h"

/* Counters of one service, as Prometheus text 0.0.4. Counting is lock-free and safe from any thread.
 * Labels come from fixed sets only: route templates, methods, statuses and words that are constants of the program. */
struct metrics;

/* What is counted by one word each. */
enum metrics_family {
	METRICS_CONNECTIONS_CUT, /* reason */
	METRICS_QUOTES,          /* outcome */
	METRICS_REJECTED_FIELDS, /* code */
	METRICS_RATES_RELOADS,   /* result */
	METRICS_FAMILIES
};

/* n_routes route templates, kept by pointer until metrics_free. NULL when memory is short. */
struct metrics *metrics_new(const char *version, const char *const *templates, size_t n_routes);
void metrics_free(struct metrics *metrics);

void metrics_request_begin(struct metrics *metrics);
/* method is an index of the method table of router.h; status 0 is a request that got no answer of ours. */
void metrics_request_end(struct metrics *metrics, size_t route, unsigned method, unsigned status, int64_t duration_ns);
void metrics_connection(struct metrics *metrics, int change);
void metrics_rate_limited(struct metrics *metrics);

/* Adds one to the word of a family. The word is kept by pointer: a constant. Past 63 words a family counts "other". */
void metrics_count(struct metrics *metrics, enum metrics_family family, const char *word);

/* The price tables now in use. The version is copied, cut at 63 bytes. */
void metrics_rates_loaded(struct metrics *metrics, const char *version, int64_t loaded_at_s);

/* The whole exposition. */
void metrics_write(struct metrics *metrics, struct writer *out);

#endif
