#ifndef PONDWRIGHT_TRACE_H
#define PONDWRIGHT_TRACE_H

#include <stdbool.h>
#include <stdint.h>

/* Ids that tie an answer to a log line. */

#define REQUEST_ID_SIZE 65
#define TRACE_ID_SIZE 33

/* Whether a caller's X-Request-Id may be used: 1 to 64 letters, digits, '-', '_' or '.'. NULL may not. */
bool request_id_is_valid(const char *id);

/* An id of our own: 16 hexadecimal digits, different for every turn of one seed. */
void request_id_make(uint64_t seed, uint64_t turn, char id[REQUEST_ID_SIZE]);

/* The trace id of a traceparent value (W3C Trace Context, version 00 and later ones that begin alike).
 * False, with id empty, when the value is malformed or NULL. */
bool trace_id_read(const char *traceparent, char id[TRACE_ID_SIZE]);

#endif
