#include "json_memory.h"

#include <stdint.h>
#include <stdlib.h>

#include <jansson.h>

static _Thread_local bool was_short;
static _Thread_local struct json_arena *mine; /* all arenas of this thread that hold memory */
static _Thread_local struct json_arena *opened;

/* More than this is given back before the next document. */
#define KEEP_BYTES ((size_t)1 << 20)
#define ALIGNMENT ((size_t)16)

/* ---- the arena ---- */

/* The dearest text for its length is a list of empty objects: "{}," takes 80 bytes of object, 128 of buckets, and of the
 * list's table, which doubles and leaves the old ones behind, at most 32. Deeper nesting has a list's 112 bytes for each
 * single "[", but only 2048 of them. A string leaves behind the buffers that it grew through: four times its length. */
#define BYTES_PER_BYTE 80
#define BYTES_PER_DEPTH 112
#define DEPTH_MOST 2048
#define BYTES_BESIDE 4096

size_t json_arena_needs(size_t text_length)
{
	size_t depth = text_length < DEPTH_MOST ? text_length : DEPTH_MOST;

	return text_length * BYTES_PER_BYTE + depth * BYTES_PER_DEPTH + BYTES_BESIDE;
}

static struct json_arena *arena_of(const void *memory)
{
	struct json_arena *arena = mine;

	while (arena != NULL && (uintptr_t)memory - (uintptr_t)arena->bytes >= arena->capacity)
		arena = arena->next;
	return arena;
}

static void forget(struct json_arena *arena)
{
	struct json_arena **at = &mine;

	while (*at != NULL && *at != arena)
		at = &(*at)->next;
	if (*at != NULL)
		*at = arena->next;
}

static bool reserve(struct json_arena *arena, size_t needs)
{
	if (arena->capacity >= needs && arena->capacity <= KEEP_BYTES)
		return true;
	json_arena_free(arena);
	arena->bytes = malloc(needs);
	if (arena->bytes == NULL)
		return false;
	arena->capacity = needs;
	arena->next = mine;
	mine = arena;
	return true;
}

bool json_arena_open(struct json_arena *arena, size_t text_length)
{
	if (arena->live > 0)
		return true;
	if (!reserve(arena, json_arena_needs(text_length)))
		return false;
	arena->used = 0;
	opened = arena;
	return true;
}

void json_arena_close(void)
{
	opened = NULL;
}

void json_arena_free(struct json_arena *arena)
{
	forget(arena);
	free(arena->bytes);
	arena->bytes = NULL;
	arena->capacity = 0;
}

static void *take(struct json_arena *arena, size_t size)
{
	size_t rounded = (size + ALIGNMENT - 1) / ALIGNMENT * ALIGNMENT;
	void *memory = arena->bytes + arena->used;

	if (size > arena->capacity || rounded > arena->capacity - arena->used) {
		arena->was_small = true;
		return NULL;
	}
	arena->used += rounded;
	arena->live++;
	return memory;
}

/* ---- for jansson ---- */

void json_memory_note(void)
{
	was_short = true;
}

void *json_memory_get(size_t size)
{
	void *memory = opened != NULL ? take(opened, size) : NULL;

	if (memory == NULL)
		memory = malloc(size);
	if (memory == NULL)
		json_memory_note();
	return memory;
}

void json_memory_release(void *memory)
{
	struct json_arena *arena = arena_of(memory);

	if (arena != NULL)
		arena->live--;
	else
		free(memory);
}

void json_memory_watch(void)
{
	json_set_alloc_funcs(json_memory_get, json_memory_release);
}

void json_memory_begin(void)
{
	was_short = false;
}

bool json_memory_was_short(void)
{
	return was_short;
}
