#include "text_pool.h"

#include <stdlib.h>
#include <string.h>

/* A string stands behind its place in the block, four bytes, unaligned. */
enum { CHUNK_BYTES = 1 << 16, PLACE_BYTES = sizeof(uint32_t) };

struct text_chunk {
	struct text_chunk *older;
	size_t used, size, first_place;
	char bytes[];
};

void text_pool_init(struct text_pool *pool, bool *out_of_memory)
{
	*pool = (struct text_pool){.out_of_memory = out_of_memory};
}

void text_pool_free(struct text_pool *pool)
{
	while (pool->newest != NULL) {
		struct text_chunk *older = pool->newest->older;

		free(pool->newest);
		pool->newest = older;
	}
}

static struct text_chunk *chunk_for(struct text_pool *pool, size_t bytes)
{
	size_t size = bytes > CHUNK_BYTES ? bytes : CHUNK_BYTES;
	struct text_chunk *chunk = pool->newest;

	if (chunk != NULL && chunk->size - chunk->used >= bytes)
		return chunk;
	chunk = pool->bytes + bytes <= UINT32_MAX ? malloc(sizeof *chunk + size) : NULL;
	if (chunk == NULL) {
		*pool->out_of_memory = true;
		return NULL;
	}
	*chunk = (struct text_chunk){.older = pool->newest, .size = size, .first_place = pool->bytes};
	pool->newest = chunk;
	return chunk;
}

const char *text_pool_add(struct text_pool *pool, const char *text)
{
	size_t length = text != NULL ? strlen(text) + 1 : 0;
	struct text_chunk *chunk = text != NULL ? chunk_for(pool, PLACE_BYTES + length) : NULL;
	uint32_t place = (uint32_t)pool->bytes;
	char *copy;

	if (chunk == NULL)
		return NULL;
	memcpy(chunk->bytes + chunk->used, &place, PLACE_BYTES);
	copy = chunk->bytes + chunk->used + PLACE_BYTES;
	memcpy(copy, text, length);
	chunk->used += PLACE_BYTES + length;
	pool->bytes += length;
	return copy;
}

void text_pool_copy(const struct text_pool *pool, char *block)
{
	for (const struct text_chunk *chunk = pool->newest; chunk != NULL; chunk = chunk->older) {
		char *to = block + chunk->first_place;

		for (size_t at = 0; at < chunk->used;) {
			size_t length = strlen(chunk->bytes + at + PLACE_BYTES) + 1;

			memcpy(to, chunk->bytes + at + PLACE_BYTES, length);
			to += length;
			at += PLACE_BYTES + length;
		}
	}
}

const char *text_pool_moved(const char *text, const char *block)
{
	uint32_t place;

	if (text == NULL)
		return NULL;
	memcpy(&place, text - PLACE_BYTES, PLACE_BYTES);
	return block + place;
}
