#include "rows.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

enum { FIRST_ROWS = 16 };

bool rows_init(struct rows *rows, size_t row_size, bool *out_of_memory)
{
	*rows = (struct rows){.row_size = row_size, .capacity = FIRST_ROWS, .out_of_memory = out_of_memory};
	rows->bytes = calloc(FIRST_ROWS, row_size);
	return rows->bytes != NULL;
}

void rows_free(struct rows *rows)
{
	free(rows->bytes);
	*rows = (struct rows){0};
}

static bool rows_grow(struct rows *rows)
{
	char *bytes;

	if (rows->count < rows->capacity)
		return true;
	bytes = rows->capacity < UINT32_MAX / 2 ? realloc(rows->bytes, 2 * rows->capacity * rows->row_size) : NULL;
	if (bytes == NULL) {
		*rows->out_of_memory = true;
		return false;
	}
	rows->bytes = bytes;
	rows->capacity *= 2;
	return true;
}

uint32_t rows_insert(struct rows *rows, uint32_t at, const void *row)
{
	if (!rows_grow(rows)) {
		at = rows_count(rows) - 1;
	} else {
		memmove(rows->bytes + (at + (size_t)1) * rows->row_size, rows->bytes + at * rows->row_size,
			(rows->count - at) * rows->row_size);
		rows->count++;
	}
	memcpy(rows->bytes + at * rows->row_size, row, rows->row_size);
	return at;
}

uint32_t rows_add(struct rows *rows, const void *row)
{
	return rows_insert(rows, rows_count(rows), row);
}

void *rows_at(const struct rows *rows, uint32_t index)
{
	assert(index < rows->count);
	return rows->bytes + index * rows->row_size;
}
