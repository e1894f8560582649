#ifndef PONDWRIGHT_TEXT_POOL_H
#define PONDWRIGHT_TEXT_POOL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Copies of strings that never move while the pool lives. Each knows its place in the one block that
 * text_pool_copy writes, so that pointers into the pool can be turned into pointers into that block. */
struct text_pool {
	struct text_chunk *newest;
	size_t bytes; /* of the block */
	bool *out_of_memory;
};

void text_pool_init(struct text_pool *pool, bool *out_of_memory);
void text_pool_free(struct text_pool *pool);

/* A copy; NULL for NULL, and where memory is short, which sets the flag. */
const char *text_pool_add(struct text_pool *pool, const char *text);

/* Writes every string into a block of pool->bytes. */
void text_pool_copy(const struct text_pool *pool, char *block);

/* The string of the block that a string of the pool became; NULL for NULL. */
const char *text_pool_moved(const char *text, const char *block);

#endif
