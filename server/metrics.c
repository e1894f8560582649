#include "metrics.h"

#include <inttypes.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "clocks.h"
#include "log.h"
#include "metrics_process.h"
#include "router.h"

#define WORDS 64
#define VERSION_SIZE 64

/* The statuses that this service gives; the last row takes any other, the first requests without an answer. */
static const unsigned statuses[] = {
	0, 200, 204, 304, 400, 401, 403, 404, 405, 406, 411, 413, 414, 415, 417, 422, 429, 431, 500, 503, 1};
#define STATUSES (sizeof statuses / sizeof statuses[0])

static const int64_t bucket_ns[] = {100000, 250000, 500000, 1000000, 2500000, 5000000, 10000000, 25000000, 50000000,
	100000000, 250000000, 500000000, 1000000000};
static const char *const bucket_text[] = {"0.0001", "0.00025", "0.0005", "0.001", "0.0025", "0.005", "0.01", "0.025",
	"0.05", "0.1", "0.25", "0.5", "1", "+Inf"};
#define BUCKETS (sizeof bucket_text / sizeof bucket_text[0])

struct route_counters {
	_Atomic uint64_t answered[METHODS][STATUSES];
	_Atomic uint64_t bucket[BUCKETS];
	_Atomic uint64_t total_ns;
};

struct word_counters {
	_Atomic(const char *) word[WORDS];
	_Atomic uint64_t count[WORDS];
};

struct metrics {
	const char *version;
	const char *const *templates;
	size_t n_routes;
	struct route_counters *routes;
	struct word_counters families[METRICS_FAMILIES];
	_Atomic int64_t in_flight;
	_Atomic int64_t connections;
	_Atomic uint64_t rate_limited;
	int64_t started_at_s;
	pthread_mutex_t rates_lock; /* for the two below */
	char rates_version[VERSION_SIZE];
	int64_t rates_loaded_at_s;
};

struct metrics *metrics_new(const char *version, const char *const *templates, size_t n_routes)
{
	struct metrics *metrics = calloc(1, sizeof *metrics);

	if (metrics == NULL)
		return NULL;
	metrics->routes = calloc(n_routes, sizeof *metrics->routes);
	if (metrics->routes == NULL || pthread_mutex_init(&metrics->rates_lock, NULL) != 0) {
		free(metrics->routes);
		free(metrics);
		return NULL;
	}
	metrics->version = version;
	metrics->templates = templates;
	metrics->n_routes = n_routes;
	metrics->started_at_s = wall_clock_s();
	return metrics;
}

void metrics_free(struct metrics *metrics)
{
	if (metrics == NULL)
		return;
	pthread_mutex_destroy(&metrics->rates_lock);
	free(metrics->routes);
	free(metrics);
}

void metrics_request_begin(struct metrics *metrics)
{
	atomic_fetch_add_explicit(&metrics->in_flight, 1, memory_order_relaxed);
}

static size_t status_index(unsigned status)
{
	size_t i = 0;

	while (i < STATUSES - 1 && statuses[i] != status)
		i++;
	return i;
}

void metrics_request_end(struct metrics *metrics, size_t route, unsigned method, unsigned status, int64_t duration_ns)
{
	struct route_counters *counters = &metrics->routes[route];
	size_t bucket = 0;

	while (bucket < BUCKETS - 1 && duration_ns > bucket_ns[bucket])
		bucket++;
	atomic_fetch_add_explicit(&counters->answered[method][status_index(status)], 1, memory_order_relaxed);
	atomic_fetch_add_explicit(&counters->bucket[bucket], 1, memory_order_relaxed);
	atomic_fetch_add_explicit(&counters->total_ns, (uint64_t)duration_ns, memory_order_relaxed);
	atomic_fetch_sub_explicit(&metrics->in_flight, 1, memory_order_relaxed);
}

void metrics_connection(struct metrics *metrics, int change)
{
	atomic_fetch_add_explicit(&metrics->connections, change, memory_order_relaxed);
}

void metrics_rate_limited(struct metrics *metrics)
{
	atomic_fetch_add_explicit(&metrics->rate_limited, 1, memory_order_relaxed);
}

/* Finds the word's place or takes the first free one; two threads that bring the same new word agree on one. */
static size_t word_index(struct word_counters *family, const char *word)
{
	for (size_t i = 0; i < WORDS - 1; i++) {
		const char *held = atomic_load(&family->word[i]);

		if (held == NULL && atomic_compare_exchange_strong(&family->word[i], &held, word))
			return i;
		if (strcmp(held, word) == 0)
			return i;
	}
	atomic_store(&family->word[WORDS - 1], "other");
	return WORDS - 1;
}

void metrics_count(struct metrics *metrics, enum metrics_family family, const char *word)
{
	struct word_counters *counters = &metrics->families[family];

	atomic_fetch_add_explicit(&counters->count[word_index(counters, word)], 1, memory_order_relaxed);
}

void metrics_rates_loaded(struct metrics *metrics, const char *version, int64_t loaded_at_s)
{
	pthread_mutex_lock(&metrics->rates_lock);
	snprintf(metrics->rates_version, sizeof metrics->rates_version, "%s", version);
	metrics->rates_loaded_at_s = loaded_at_s;
	pthread_mutex_unlock(&metrics->rates_lock);
}

static void head_write(struct writer *out, const char *name, const char *type, const char *help)
{
	writer_print(out, "# HELP %s %s\n# TYPE %s %s\n", name, help, name, type);
}

/* A label value with the three escapes of the format. */
static void label_write(struct writer *out, const char *text)
{
	for (; *text != '\0'; text++) {
		if (*text == '"' || *text == '\\')
			writer_text(out, "\\", 1);
		if (*text == '\n')
			writer_text(out, "\\n", 2);
		else
			writer_text(out, text, 1);
	}
}

static void info_write(struct writer *out, const char *name, const char *help, const char *version)
{
	head_write(out, name, "gauge", help);
	writer_print(out, "%s{version=\"", name);
	label_write(out, version);
	writer_text(out, "\"} 1\n", 5);
}

static void single_write(struct writer *out, const char *name, const char *type, const char *help, int64_t value)
{
	head_write(out, name, type, help);
	writer_print(out, "%s %" PRId64 "\n", name, value);
}

static void status_label(unsigned status, char *text, size_t size)
{
	if (status > 1)
		snprintf(text, size, "%u", status);
	else
		snprintf(text, size, "%s", status == 0 ? "none" : "other");
}

static void answered_write(struct metrics *metrics, struct writer *out, size_t route)
{
	for (unsigned method = 0; method < METHODS; method++) {
		for (size_t i = 0; i < STATUSES; i++) {
			uint64_t count = atomic_load(&metrics->routes[route].answered[method][i]);
			char status[12];

			if (count == 0)
				continue;
			status_label(statuses[i], status, sizeof status);
			writer_print(out,
				"pondwright_http_requests_total{route=\"%s\",method=\"%s\",code=\"%s\"} %" PRIu64 "\n",
				metrics->templates[route], method_word(method), status, count);
		}
	}
}

static void histogram_write(struct metrics *metrics, struct writer *out, size_t route)
{
	static const char name[] = "pondwright_http_request_duration_seconds";
	struct route_counters *counters = &metrics->routes[route];
	const char *label = metrics->templates[route];
	uint64_t total_ns = atomic_load(&counters->total_ns);
	uint64_t below[BUCKETS];
	uint64_t sum = 0;

	for (size_t i = 0; i < BUCKETS; i++)
		below[i] = sum += atomic_load(&counters->bucket[i]);
	for (size_t i = 0; sum > 0 && i < BUCKETS; i++)
		writer_print(
			out, "%s_bucket{route=\"%s\",le=\"%s\"} %" PRIu64 "\n", name, label, bucket_text[i], below[i]);
	if (sum > 0) {
		writer_print(out, "%s_sum{route=\"%s\"} %.9f\n", name, label, (double)total_ns * 1e-9);
		writer_print(out, "%s_count{route=\"%s\"} %" PRIu64 "\n", name, label, sum);
	}
}

static void family_write(struct metrics *metrics, struct writer *out, enum metrics_family family)
{
	static const struct {
		const char *name, *label, *help;
	} rows[METRICS_FAMILIES] = {
		[METRICS_CONNECTIONS_CUT] = {"pondwright_http_connections_cut_total", "reason",
			"Connections closed by the service before the client did."},
		[METRICS_QUOTES] = {"pondwright_quotes_total", "outcome", "Enquiries priced, by outcome."},
		[METRICS_REJECTED_FIELDS] = {"pondwright_rejected_fields_total", "code",
			"Faults found in enquiries, by code."},
		[METRICS_RATES_RELOADS] = {"pondwright_rates_reloads_total", "result",
			"Reloads of the price tables, by result."},
	};
	struct word_counters *counters = &metrics->families[family];

	head_write(out, rows[family].name, "counter", rows[family].help);
	for (size_t i = 0; i < WORDS; i++) {
		const char *word = atomic_load(&counters->word[i]);

		if (word != NULL)
			writer_print(out, "%s{%s=\"%s\"} %" PRIu64 "\n", rows[family].name, rows[family].label, word,
				atomic_load(&counters->count[i]));
	}
}

static void rates_write(struct metrics *metrics, struct writer *out)
{
	char version[VERSION_SIZE];
	int64_t loaded_at_s;

	pthread_mutex_lock(&metrics->rates_lock);
	memcpy(version, metrics->rates_version, sizeof version);
	loaded_at_s = metrics->rates_loaded_at_s;
	pthread_mutex_unlock(&metrics->rates_lock);
	single_write(out, "pondwright_rates_loaded_timestamp_seconds", "gauge",
		"When the price tables in use were loaded, or 0.", loaded_at_s);
	if (version[0] != '\0')
		info_write(out, "pondwright_rates_info", "The price tables in use.", version);
}

void metrics_write(struct metrics *metrics, struct writer *out)
{
	info_write(out, "pondwright_build_info", "The program.", metrics->version);
	head_write(out, "pondwright_http_requests_total", "counter",
		"Requests ended; code none is a request that got no answer of ours.");
	for (size_t route = 0; route < metrics->n_routes; route++)
		answered_write(metrics, out, route);
	head_write(out, "pondwright_http_request_duration_seconds", "histogram",
		"From the request line read to the answer written.");
	for (size_t route = 0; route < metrics->n_routes; route++)
		histogram_write(metrics, out, route);
	single_write(out, "pondwright_http_requests_in_flight", "gauge", "Requests begun and not ended.",
		atomic_load(&metrics->in_flight));
	single_write(
		out, "pondwright_http_connections", "gauge", "Open connections.", atomic_load(&metrics->connections));
	for (int family = 0; family < METRICS_FAMILIES; family++)
		family_write(metrics, out, (enum metrics_family)family);
	rates_write(metrics, out);
	single_write(out, "pondwright_ratelimited_total", "counter", "Requests answered with 429.",
		(int64_t)atomic_load(&metrics->rate_limited));
	single_write(out, "pondwright_log_lines_dropped_total", "counter", "Log lines that nobody read in time.",
		(int64_t)log_dropped());
	metrics_process_write(out, metrics->started_at_s);
}
