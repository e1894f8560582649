#ifndef PONDWRIGHT_RATES_SHEET_H
#define PONDWRIGHT_RATES_SHEET_H

#include <jansson.h>
#include <stdbool.h>
#include <stdio.h>

#include "config.h"
#include "writer.h"

/* An edition as one sheet that a spreadsheet opens, and back. One row for every value of the edition's file:
 *   kind      price, labour, sum, or setting
 *   item      the item, grade or sum; of a setting its JSON Pointer
 *   pack      the pack of a price, "delivery" or "short"
 *   title     of item and pack, for the reader
 *   unit      of the item; h for labour; for settings nothing
 *   price     the value: money in major units, a share, a text, true or false
 *   supplier  the kind of supplier
 *   as_of, source   of a price, from the edition's "sources"
 * title, unit and supplier are the configuration's: a sheet that changes them changes nothing. */

enum rate_kind { RATE_PRICE, RATE_LABOUR, RATE_SUM, RATE_SETTING };
enum { RATE_ROWS_MOST = 2000, RATE_POINTER_SIZE = 128 };

struct rate_row {
	enum rate_kind kind;
	const char *item, *pack; /* "" where it has none; both live as long as the document, item of a setting in pointer */
	char pointer[RATE_POINTER_SIZE];
	json_t *holder, *value;  /* borrowed; holder is the object or array that the value stands in */
	size_t index;            /* place in an array */
	bool seen;               /* in the sheet that is imported */
};

struct rate_rows {
	json_t *edition;         /* borrowed */
	struct rate_row list[RATE_ROWS_MOST];
	size_t count;
};

extern const char *const rate_kind_words[];
#define RATE_COLUMNS "kind,item,pack,title,unit,price,supplier,as_of,source"
enum rate_column { RATE_KIND, RATE_ITEM, RATE_PACK, RATE_TITLE, RATE_UNIT, RATE_VALUE, RATE_SUPPLIER, RATE_AS_OF, RATE_SOURCE,
	RATE_COLUMN_COUNT };

/* Every value of an edition's document, in its order; "sources" and its rows are left out. False where there are more
 * than RATE_ROWS_MOST. */
bool rate_rows_list(struct rate_rows *rows, json_t *edition);

/* The name of a price in the edition's "sources": "cement/bag". */
void rate_source_key(const struct rate_row *row, char key[RATE_POINTER_SIZE]);

/* The sheet. region: its index, for the digits of its money. */
void rate_rows_write(const struct rate_rows *rows, const struct config *config, uint32_t region, struct writer *out);

/* Reads a sheet into the rows and their document. Every row must be there once. Faults are printed to messages as
 * "name:line: what"; how many there were is returned. */
size_t rate_rows_read(struct rate_rows *rows, const char *name, const char *text, size_t length, uint8_t minor_digits,
	FILE *messages);

/* Adds a share to every price, wage and sum and to energy and water, each rounded to the smallest coin. */
void rate_rows_rise(struct rate_rows *rows, double percent, uint8_t minor_digits);

#endif
