#define _GNU_SOURCE 1
#include "reaper.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdlib.h>
#include <sys/socket.h>
#include <time.h>

#include "clocks.h"
#include "metrics.h"

#define LOOK_EVERY_MS 250

struct connection {
	struct connection *previous, *next; /* under the reaper's lock */
	int descriptor;
	_Atomic int64_t since_ms; /* the beginning, or the end of the last request */
	atomic_bool busy;         /* a request line has been read and its answer is not out */
	_Atomic(const char *) cut;
};

struct reaper {
	pthread_mutex_t lock;
	pthread_cond_t wake;
	pthread_t thread;
	bool stops; /* under the lock, as the next two */
	struct connection *first;
	size_t count;
	struct metrics *metrics;
	int64_t deadline_ms;
};

static void connection_shut(struct reaper *reaper, struct connection *connection, const char *reason)
{
	if (atomic_load(&connection->cut) != NULL)
		return;
	atomic_store(&connection->cut, reason);
	metrics_count(reaper->metrics, METRICS_CONNECTIONS_CUT, reason);
	shutdown(connection->descriptor, SHUT_RDWR);
}

static void deadline_look(struct reaper *reaper)
{
	int64_t now_ms = monotonic_ms();

	for (struct connection *each = reaper->first; each != NULL; each = each->next)
		if (now_ms - atomic_load(&each->since_ms) > reaper->deadline_ms)
			connection_shut(reaper, each, "deadline");
}

static void *reaper_run(void *closure)
{
	struct reaper *reaper = closure;
	int64_t every_ms = reaper->deadline_ms / 4 < LOOK_EVERY_MS ? reaper->deadline_ms / 4 + 1 : LOOK_EVERY_MS;

	pthread_mutex_lock(&reaper->lock);
	while (!reaper->stops) {
		int64_t until_ns = monotonic_ns() + every_ms * 1000000;
		struct timespec until = {.tv_sec = until_ns / 1000000000, .tv_nsec = until_ns % 1000000000};

		pthread_cond_timedwait(&reaper->wake, &reaper->lock, &until);
		deadline_look(reaper);
	}
	pthread_mutex_unlock(&reaper->lock);
	return NULL;
}

static bool wake_init(pthread_cond_t *wake)
{
	pthread_condattr_t attributes;
	bool made;

	if (pthread_condattr_init(&attributes) != 0)
		return false;
	made = pthread_condattr_setclock(&attributes, CLOCK_MONOTONIC) == 0 &&
		pthread_cond_init(wake, &attributes) == 0;
	pthread_condattr_destroy(&attributes);
	return made;
}

struct reaper *reaper_start(struct metrics *metrics, unsigned deadline_ms)
{
	struct reaper *reaper = calloc(1, sizeof *reaper);

	if (reaper == NULL)
		return NULL;
	reaper->metrics = metrics;
	reaper->deadline_ms = deadline_ms;
	if (pthread_mutex_init(&reaper->lock, NULL) == 0 && wake_init(&reaper->wake) &&
		pthread_create(&reaper->thread, NULL, reaper_run, reaper) == 0)
		return reaper;
	free(reaper); /* on Linux neither a mutex nor a condition holds anything else */
	return NULL;
}

void reaper_stop(struct reaper *reaper)
{
	if (reaper == NULL)
		return;
	pthread_mutex_lock(&reaper->lock);
	reaper->stops = true;
	pthread_cond_signal(&reaper->wake);
	pthread_mutex_unlock(&reaper->lock);
	pthread_join(reaper->thread, NULL);
	pthread_cond_destroy(&reaper->wake);
	pthread_mutex_destroy(&reaper->lock);
	free(reaper);
}

struct connection *reaper_connection_begin(struct reaper *reaper, int descriptor)
{
	struct connection *connection = calloc(1, sizeof *connection);

	if (connection == NULL)
		return NULL;
	connection->descriptor = descriptor;
	atomic_store(&connection->since_ms, monotonic_ms());
	pthread_mutex_lock(&reaper->lock);
	connection->next = reaper->first;
	if (reaper->first != NULL)
		reaper->first->previous = connection;
	reaper->first = connection;
	reaper->count++;
	pthread_mutex_unlock(&reaper->lock);
	metrics_connection(reaper->metrics, 1);
	return connection;
}

void reaper_connection_end(struct reaper *reaper, struct connection *connection)
{
	pthread_mutex_lock(&reaper->lock);
	if (connection->previous != NULL)
		connection->previous->next = connection->next;
	else
		reaper->first = connection->next;
	if (connection->next != NULL)
		connection->next->previous = connection->previous;
	reaper->count--;
	pthread_mutex_unlock(&reaper->lock);
	metrics_connection(reaper->metrics, -1);
	free(connection);
}

void connection_request_begin(struct connection *connection)
{
	if (connection != NULL)
		atomic_store(&connection->busy, true);
}

void connection_request_end(struct connection *connection)
{
	if (connection == NULL)
		return;
	atomic_store(&connection->since_ms, monotonic_ms());
	atomic_store(&connection->busy, false);
}

const char *connection_cut(const struct connection *connection)
{
	return connection != NULL ? atomic_load(&connection->cut) : NULL;
}

void reaper_shut_idle(struct reaper *reaper, int64_t idle_ms)
{
	int64_t now_ms = monotonic_ms();

	pthread_mutex_lock(&reaper->lock);
	for (struct connection *each = reaper->first; each != NULL; each = each->next)
		if (!atomic_load(&each->busy) && now_ms - atomic_load(&each->since_ms) >= idle_ms)
			connection_shut(reaper, each, "drain");
	pthread_mutex_unlock(&reaper->lock);
}

size_t reaper_connections(struct reaper *reaper)
{
	size_t count;

	pthread_mutex_lock(&reaper->lock);
	count = reaper->count;
	pthread_mutex_unlock(&reaper->lock);
	return count;
}
