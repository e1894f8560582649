#ifndef PONDWRIGHT_ROWS_H
#define PONDWRIGHT_ROWS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A growing array of plain rows. Memory that can't be had sets a flag that stays, and the newest row is written over:
 * an index that was handed out always names a row, and whoever fills the array asks the flag once, at the end. */
struct rows {
	char *bytes;
	size_t row_size, count, capacity;
	bool *out_of_memory;
};

/* Room for the first rows. False, with nothing to free, when there is none. The flag must outlive the rows. */
bool rows_init(struct rows *rows, size_t row_size, bool *out_of_memory);
void rows_free(struct rows *rows);

/* Copies one row to the end, or to a place before it. Returns its index. */
uint32_t rows_add(struct rows *rows, const void *row);
uint32_t rows_insert(struct rows *rows, uint32_t at, const void *row);

/* The row of an index, good until the next row is added. */
void *rows_at(const struct rows *rows, uint32_t index);
#define ROW(rows, type, index) ((type *)rows_at(&(rows), index))

static inline uint32_t rows_count(const struct rows *rows)
{
	return (uint32_t)rows->count;
}

#endif
