#ifndef PONDWRIGHT_JSON_MEMORY_H
#define PONDWRIGHT_JSON_MEMORY_H

#include <stdbool.h>
#include <stddef.h>

/* jansson 2.14 does not look whether the buffer of the string or number that it is reading could grow: where memory
 * is short it drops a byte and reads on, and 1250.00 becomes 125.00. So its allocations are watched, and a document
 * during whose reading one failed is not used. Worse, where the buffer can't grow within a string, the end of the string
 * is lost and jansson reads on beyond it. So for bodies and files all that their reading can take is reserved before, and
 * nothing fails in the midst of it. */

/* Makes jansson allocate through json_memory_get. Called once, before threads start and before any document. */
void json_memory_watch(void);

/* malloc that remembers a failure for this thread, or a piece of the arena that this thread has open. */
void *json_memory_get(size_t size);
void json_memory_release(void *memory);
/* Forgets this thread's failures; whether there was one since. */
void json_memory_begin(void);
bool json_memory_was_short(void);
/* Notes a failure, for allocators other than json_memory_get. */
void json_memory_note(void);

/* Memory for one document. It begins as {0}, stays where it is, and belongs to one thread. */
struct json_arena {
	char *bytes;
	size_t capacity, used;
	size_t live;             /* pieces that were not released */
	bool was_small;          /* a document once needed more than was reserved */
	struct json_arena *next; /* of the same thread */
};

/* The most that reading a text of so many bytes takes of jansson 2.14 with an arena. */
size_t json_arena_needs(size_t text_length);

/* Reserves that much for a text and hands it out until json_arena_close. While a document of the arena is alive, malloc
 * serves instead. False when memory is short. */
bool json_arena_open(struct json_arena *arena, size_t text_length);
void json_arena_close(void);

/* Once its documents are released. It may be opened again. */
void json_arena_free(struct json_arena *arena);

#endif
