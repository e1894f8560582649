#ifndef PONDWRIGHT_JSON_MEMORY_H
#define PONDWRIGHT_JSON_MEMORY_H

#include <stdbool.h>
#include <stddef.h>

/* jansson 2.14 does not look whether the buffer of the string or number that it is reading could grow: where memory
 * is short it drops a byte and reads on, and 1250.00 becomes 125.00. So its allocations are watched, and a document
 * during whose reading one failed is not used. */

/* Makes jansson allocate through json_memory_get. Called once, before threads start and before any document. */
void json_memory_watch(void);

/* malloc that remembers a failure for this thread. */
void *json_memory_get(size_t size);
/* Forgets this thread's failures; whether there was one since. */
void json_memory_begin(void);
bool json_memory_was_short(void);
/* Notes a failure, for allocators other than json_memory_get. */
void json_memory_note(void);

#endif
