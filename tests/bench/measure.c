#include "measure.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "enquiry_check.h"
#include "enquiry_read.h"
#include "json_memory.h"

enum { BATCHES = 41, SINGLES = 1501, SLOW_CALLS = 15, COUNTED_CALLS = 4 };

struct config *bench_config(const char *folder)
{
	struct faults faults;
	struct config *config;

	json_memory_watch();
	json_object_seed(1); /* the same order of members every time, so the same number of instructions */
	faults_init(&faults);
	config = config_load(folder, &faults);
	if (config == NULL) {
		faults_print(&faults, stderr);
		exit(1);
	}
	faults_free(&faults);
	return config;
}

void bench_ask(const struct config *config, const char *path, struct asked *asked)
{
	struct enquiry_faults faults;
	FILE *in = fopen(path, "rb");
	json_t *object = NULL;

	asked->length = in != NULL ? fread(asked->body, 1, sizeof asked->body, in) : 0;
	if (in != NULL)
		fclose(in);
	enquiry_faults_init(&faults);
	if (body_parse(asked->body, asked->length, &object, &faults) == BODY_READ) {
		enquiry_read(config, NEED_QUOTE, object, "", &asked->enquiry, &faults);
		enquiry_check(config, BENCH_DAY, "", &asked->enquiry, &faults);
	}
	if (object == NULL || faults.count > 0) {
		fprintf(stderr, "%s: no good enquiry\n", path);
		exit(1);
	}
	json_decref(object);
	enquiry_faults_free(&faults);
}

/* Not the process's own clock: asking that takes a call into the kernel, longer than some stages. */
static double now_ns(void)
{
	struct timespec now;

	clock_gettime(CLOCK_MONOTONIC, &now);
	return (double)now.tv_sec * 1e9 + (double)now.tv_nsec;
}

static int by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;

	return (x > y) - (x < y);
}

static double median(double *values, size_t n)
{
	qsort(values, n, sizeof *values, by_size);
	return values[n / 2];
}

__attribute__((noinline)) void measure_call(const struct measured *what)
{
	what->call(what->with);
}

__attribute__((noinline)) void measure_end(void)
{
	__asm__ volatile("" ::: "memory"); /* a place for callgrind to stop at, which must not be optimized away */
}

static double batch_ns(const struct measured *what, uint32_t calls)
{
	double from_ns = now_ns();

	for (uint32_t i = 0; i < calls; i++)
		measure_call(what);
	return now_ns() - from_ns;
}

static double in_batches_ns(const struct measured *what, uint32_t batches)
{
	static const double long_enough_ns = 200e3;
	double times_ns[BATCHES];
	uint32_t calls = 1;

	while (!what->slow && batch_ns(what, calls) < long_enough_ns)
		calls *= 2;
	for (uint32_t i = 0; i < batches; i++)
		times_ns[i] = batch_ns(what, calls) / calls;
	return median(times_ns, batches);
}

static void nothing(void *with)
{
	(void)with;
}

static double one_by_one_ns(const struct measured *what)
{
	static double times_ns[SINGLES];

	for (uint32_t i = 0; i < SINGLES; i++) {
		what->before(what->with);
		times_ns[i] = batch_ns(what, 1);
	}
	return median(times_ns, SINGLES);
}

double measure_ns(const struct measured *what)
{
	static const struct measured clock_alone = {.name = "clock", .before = nothing, .call = nothing};

	if (what->before != NULL)
		return one_by_one_ns(what) - one_by_one_ns(&clock_alone);
	return in_batches_ns(what, what->slow ? SLOW_CALLS : BATCHES);
}

uint32_t measure_count(const struct measured *what)
{
	uint32_t calls = what->slow ? 1 : COUNTED_CALLS;

	if (what->before != NULL)
		what->before(what->with);
	what->call(what->with);
	for (uint32_t i = 0; i < calls; i++) {
		if (what->before != NULL)
			what->before(what->with);
		measure_call(what);
	}
	measure_end();
	return calls;
}
