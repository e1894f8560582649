#ifndef PONDWRIGHT_REAPER_H
#define PONDWRIGHT_REAPER_H

#include <stddef.h>
#include <stdint.h>

/* The absolute deadline: waiting for, reading and answering one request must fit, however busy the line looks.
 * libmicrohttpd's own timeout only knows inactivity, which one byte now and then defeats. */
struct reaper;
struct connection;
struct metrics;

/* A thread that shuts connections past the deadline. NULL when it cannot start. */
struct reaper *reaper_start(struct metrics *metrics, unsigned deadline_ms);
/* After the daemons: no connection may be left. */
void reaper_stop(struct reaper *reaper);

/* A connection begins and ends. NULL when memory is short; the entry is gone before its descriptor is closed, so
 * the thread never shuts somebody else's. */
struct connection *reaper_connection_begin(struct reaper *reaper, int descriptor);
void reaper_connection_end(struct reaper *reaper, struct connection *connection);

/* A request begins; it ends, and the clock starts again. Both take no lock, and NULL. */
void connection_request_begin(struct connection *connection);
void connection_request_end(struct connection *connection);

/* Why the reaper shut the connection, a constant word, or NULL. */
const char *connection_cut(const struct connection *connection);

/* Shuts every connection that has had no request for so long. */
void reaper_shut_idle(struct reaper *reaper, int64_t idle_ms);
size_t reaper_connections(struct reaper *reaper);

#endif
