#ifndef PONDWRIGHT_CSV_H
#define PONDWRIGHT_CSV_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "writer.h"

/* Comma-separated values as RFC 4180 has them: CRLF after each record, fields in double quotes where they need them. */

/* One field; first: the first of its record. NULL writes an empty one. */
void csv_field(struct writer *out, bool first, const char *text);
void csv_end(struct writer *out);

/* Reads a text record by record. A byte-order mark at the start is passed over; records end with CRLF, LF or CR. */
enum { CSV_FIELDS_MOST = 512, CSV_RECORD_BYTES_MOST = 1 << 17 };
struct csv_reader {
	const char *at, *end;
	uint32_t line;          /* on which the record began, from 1 */
	uint32_t next_line;
	size_t n_fields;
	const char *fields[CSV_FIELDS_MOST]; /* each with its NUL, good until the next record */
	const char *fault;      /* NULL, or why the record is none: a clause for a message */
	char bytes[CSV_RECORD_BYTES_MOST];
};

void csv_open(struct csv_reader *reader, const char *text, size_t length);
/* The next record; lines without anything are passed over. False at the end, and after a fault. */
bool csv_next(struct csv_reader *reader);

#endif
