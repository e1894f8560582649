#ifndef PONDWRIGHT_BENCH_MEASURE_H
#define PONDWRIGHT_BENCH_MEASURE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "config.h"
#include "enquiry.h"

/* What the programs that time parts of the service share. */

enum { BENCH_DAY = 20782 }; /* 2026-11-25 */

/* A body and the enquiry in it. */
struct asked {
	char body[65536];
	size_t length;
	struct enquiry enquiry;
};

/* Both leave the program with a message where it can't be done. */
struct config *bench_config(const char *folder);
void bench_ask(const struct config *config, const char *path, struct asked *asked);

/* Something to measure. */
typedef void step(void *with);
struct measured {
	const char *name;
	step *before; /* done before each call and not measured, or NULL */
	step *call;
	void *with;
	bool slow;    /* milliseconds */
};

/* Processor time of one call in ns, the median of many. Where nothing has to be done before, calls are timed in batches; else
 * one by one, less what looking at the clock takes. */
double measure_ns(const struct measured *what);

/* For callgrind: some calls, through measure_call, then measure_end, by which their instructions are told apart from others
 * (--toggle-collect=measure_call --dump-after=measure_end). Returns how many calls; one more before is not counted. */
uint32_t measure_count(const struct measured *what);
void measure_call(const struct measured *what);
void measure_end(void);

#endif
