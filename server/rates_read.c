#include <errno.h>
#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "csv.h"
#include "dates.h"
#include "nearest.h"
#include "rates_sheet.h"

/* Reading a rate sheet: everything that is wrong with it, each with its line. */

enum { MESSAGES_MOST = 100 };

struct sheet_reader {
	struct rate_rows *rows;
	const char *name;
	uint8_t minor_digits;
	FILE *messages;
	size_t faults;
	uint32_t line;
};

static void fault(struct sheet_reader *in, const char *format, ...) __attribute__((format(printf, 2, 3)));

static void fault(struct sheet_reader *in, const char *format, ...)
{
	va_list arguments;

	if (in->faults++ >= MESSAGES_MOST)
		return;
	fprintf(in->messages, "%s:%u: ", in->name, in->line);
	va_start(arguments, format);
	vfprintf(in->messages, format, arguments);
	va_end(arguments);
	fputc('\n', in->messages);
}

static bool is_header(const struct csv_reader *csv)
{
	char joined[256] = "";

	for (size_t i = 0; i < csv->n_fields; i++)
		if (strlen(joined) + strlen(csv->fields[i]) + 2 < sizeof joined) {
			strcat(joined, i > 0 ? "," : "");
			strcat(joined, csv->fields[i]);
		}
	return strcmp(joined, RATE_COLUMNS) == 0;
}

static struct rate_row *find(struct sheet_reader *in, const char *const fields[], struct nearest *nearest)
{
	for (size_t i = 0; i < in->rows->count; i++) {
		struct rate_row *row = &in->rows->list[i];

		if (strcmp(rate_kind_words[row->kind], fields[RATE_KIND]) != 0)
			continue;
		nearest_offer(nearest, row->item);
		if (strcmp(row->item, fields[RATE_ITEM]) == 0 && strcmp(row->pack, fields[RATE_PACK]) == 0)
			return row;
	}
	return NULL;
}

/* ---- values ---- */

static bool is_money(const struct rate_row *row)
{
	return row->kind != RATE_SETTING;
}

static json_t *number_of(struct sheet_reader *in, const struct rate_row *row, const char *text)
{
	char *end;
	double number, units;

	errno = 0;
	number = strtod(text, &end);
	if (end == text || *end != '\0' || strspn(text, "0123456789.+-eE") != strlen(text) || errno != 0 || !isfinite(number)) {
		fault(in, "\"%.40s\" is no number; decimals go after a point, and thousands are not grouped", text);
		return NULL;
	}
	units = number * pow(10, in->minor_digits + 3);
	if (is_money(row) && (number < 0 || number > 1e9))
		fault(in, "%.40s is no price", text);
	else if (is_money(row) && fabs(units - round(units)) > 1e-6 + 4e-16 * fabs(units))
		fault(in, "%.40s has more than %d decimals", text, in->minor_digits + 3);
	else
		return json_is_integer(row->value) && number == floor(number) && fabs(number) < 1e15 ? json_integer((json_int_t)number)
													  : json_real(number);
	return NULL;
}

/* Spreadsheets write TRUE and FALSE. */
static json_t *flag_of(struct sheet_reader *in, const char *text)
{
	char lower[8] = "";

	for (size_t i = 0; i < sizeof lower - 1 && text[i] != '\0'; i++)
		lower[i] = text[i] >= 'A' && text[i] <= 'Z' ? (char)(text[i] + 32) : text[i];
	if (strcmp(lower, "true") == 0)
		return json_true();
	if (strcmp(lower, "false") == 0)
		return json_false();
	fault(in, "\"%.40s\" must be true or false", text);
	return NULL;
}

static json_t *value_of(struct sheet_reader *in, const struct rate_row *row, const char *text)
{
	if (json_is_boolean(row->value))
		return flag_of(in, text);
	if (json_is_number(row->value))
		return number_of(in, row, text);
	if (text[0] == '\0') {
		fault(in, "%s must not be empty", row->item);
		return NULL;
	}
	return json_string(text);
}

static void set_value(struct rate_row *row, json_t *value)
{
	const char *key = row->kind == RATE_PRICE ? row->pack : row->item;

	if (row->kind == RATE_SETTING)
		key = strrchr(row->item, '/') + 1;
	if (json_is_array(row->holder)) {
		json_array_set_new(row->holder, row->index, value);
		row->value = json_array_get(row->holder, row->index);
	} else {
		json_object_set_new(row->holder, key, value);
		row->value = json_object_get(row->holder, key);
	}
}

/* ---- where a price comes from ---- */

static void set_part(json_t *source, const char *part, const char *text)
{
	if (text[0] != '\0')
		json_object_set_new(source, part, json_string(text));
}

static void read_source(struct sheet_reader *in, const struct rate_row *row, const char *const fields[])
{
	json_t *sources = json_object_get(in->rows->edition, "sources"), *source;
	bool told = fields[RATE_AS_OF][0] != '\0' || fields[RATE_SOURCE][0] != '\0';
	char key[RATE_POINTER_SIZE];
	int32_t day;

	if (fields[RATE_AS_OF][0] != '\0' && !date_read(fields[RATE_AS_OF], strlen(fields[RATE_AS_OF]), &day))
		fault(in, "as_of: \"%.20s\" is no day like 2026-11-25", fields[RATE_AS_OF]);
	if (strchr("=+-@", fields[RATE_SOURCE][0]) != NULL && fields[RATE_SOURCE][0] != '\0')
		fault(in, "source: begins with %c, which a spreadsheet takes for a formula", fields[RATE_SOURCE][0]);
	if (row->kind != RATE_PRICE && told)
		fault(in, "as_of and source are kept for prices alone");
	if (row->kind != RATE_PRICE || (sources == NULL && !told))
		return;
	if (sources == NULL) {
		sources = json_object();
		json_object_set_new(in->rows->edition, "sources", sources);
	}
	rate_source_key(row, key);
	source = json_object();
	set_part(source, "as_of", fields[RATE_AS_OF]);
	set_part(source, "source", fields[RATE_SOURCE]);
	if (told)
		json_object_set_new(sources, key, source);
	else {
		json_object_del(sources, key);
		json_decref(source);
	}
	if (json_object_size(sources) == 0)
		json_object_del(in->rows->edition, "sources");
}

/* ---- the sheet ---- */

static void read_record(struct sheet_reader *in, const struct csv_reader *csv)
{
	const char *fields[RATE_COLUMN_COUNT];
	char hint[NEAREST_HINT_SIZE];
	struct nearest nearest;
	struct rate_row *row;
	json_t *value;

	if (csv->n_fields != RATE_COLUMN_COUNT) {
		fault(in, "has %zu fields instead of %d", csv->n_fields, RATE_COLUMN_COUNT);
		return;
	}
	memcpy(fields, csv->fields, sizeof fields);
	nearest = nearest_to(fields[RATE_ITEM]);
	row = find(in, fields, &nearest);
	if (row == NULL) {
		fault(in, "the edition has no %.20s \"%.80s\" \"%.40s\"%s", fields[RATE_KIND], fields[RATE_ITEM], fields[RATE_PACK],
			nearest_hint(&nearest, hint));
		return;
	}
	if (row->seen)
		fault(in, "%s %s stands here a second time", row->item, row->pack);
	row->seen = true;
	value = value_of(in, row, fields[RATE_VALUE]);
	if (value != NULL)
		set_value(row, value);
	read_source(in, row, fields);
}

size_t rate_rows_read(struct rate_rows *rows, const char *name, const char *text, size_t length, uint8_t minor_digits,
	FILE *messages)
{
	struct sheet_reader in = {.rows = rows, .name = name, .minor_digits = minor_digits, .messages = messages, .line = 1};
	struct csv_reader *csv = malloc(sizeof *csv);

	if (csv == NULL) {
		fault(&in, "there is no memory to read it");
		return in.faults;
	}
	csv_open(csv, text, length);
	if (!csv_next(csv) || !is_header(csv))
		fault(&in, "must begin with the line " RATE_COLUMNS);
	else
		while (csv_next(csv)) {
			in.line = csv->line;
			read_record(&in, csv);
		}
	in.line = csv->line;
	if (csv->fault != NULL)
		fault(&in, "%s", csv->fault);
	free(csv);
	for (size_t i = 0; i < rows->count && in.faults == 0; i++)
		if (!rows->list[i].seen)
			fprintf(messages, "%s: the row for %s %s %s is missing\n", name, rate_kind_words[rows->list[i].kind],
				rows->list[i].item, rows->list[i].pack);
	for (size_t i = 0; i < rows->count; i++)
		in.faults += !rows->list[i].seen && in.faults < MESSAGES_MOST;
	return in.faults;
}
