#include "csv.h"

#include <string.h>

/* ---- writing ---- */

static bool needs_quotes(const char *text)
{
	return strpbrk(text, ",\"\r\n") != NULL || text[0] == ' ' || (text[0] != '\0' && text[strlen(text) - 1] == ' ');
}

void csv_field(struct writer *out, bool first, const char *text)
{
	if (!first)
		writer_text(out, ",", 1);
	if (text == NULL)
		return;
	if (!needs_quotes(text)) {
		writer_text(out, text, strlen(text));
		return;
	}
	writer_text(out, "\"", 1);
	for (const char *at = text; *at != '\0'; at++) {
		if (*at == '"')
			writer_text(out, "\"", 1);
		writer_text(out, at, 1);
	}
	writer_text(out, "\"", 1);
}

void csv_end(struct writer *out)
{
	writer_text(out, "\r\n", 2);
}

/* ---- reading ---- */

void csv_open(struct csv_reader *reader, const char *text, size_t length)
{
	static const char mark[] = "\xef\xbb\xbf";
	size_t skip = length >= 3 && memcmp(text, mark, 3) == 0 ? 3 : 0;

	reader->at = text + skip;
	reader->end = text + length;
	reader->line = reader->next_line = 1;
	reader->n_fields = 0;
	reader->fault = NULL;
}

static bool at_break(const struct csv_reader *reader)
{
	return reader->at < reader->end && (*reader->at == '\r' || *reader->at == '\n');
}

static void pass_break(struct csv_reader *reader)
{
	if (*reader->at == '\r' && reader->at + 1 < reader->end && reader->at[1] == '\n')
		reader->at++;
	reader->at++;
	reader->next_line++;
}

static bool put(struct csv_reader *reader, size_t *used, char byte)
{
	if (*used + 1 >= sizeof reader->bytes) {
		reader->fault = "a record is too long";
		return false;
	}
	reader->bytes[(*used)++] = byte;
	return true;
}

/* What stands between quotes; a quote that is meant is doubled. */
static bool read_quoted(struct csv_reader *reader, size_t *used)
{
	for (reader->at++; reader->at < reader->end; reader->at++) {
		if (*reader->at == '"') {
			reader->at++;
			if (reader->at == reader->end || *reader->at != '"')
				return true;
		}
		if (*reader->at == '\n')
			reader->next_line++;
		if (!put(reader, used, *reader->at))
			return false;
	}
	reader->fault = "a quote is opened and never closed";
	return false;
}

static bool read_field(struct csv_reader *reader, size_t *used)
{
	size_t start = *used;

	if (reader->n_fields == CSV_FIELDS_MOST) {
		reader->fault = "a record has too many fields";
		return false;
	}
	reader->fields[reader->n_fields++] = reader->bytes + start;
	if (reader->at < reader->end && *reader->at == '"' && !read_quoted(reader, used))
		return false;
	for (; reader->at < reader->end && *reader->at != ',' && !at_break(reader); reader->at++) {
		if (*reader->at == '\0' || *reader->at == '"') {
			reader->fault = *reader->at == '"' ? "a quote stands within a field" : "there is a NUL character";
			return false;
		}
		if (!put(reader, used, *reader->at))
			return false;
	}
	return put(reader, used, '\0');
}

bool csv_next(struct csv_reader *reader)
{
	size_t used = 0;

	while (at_break(reader))
		pass_break(reader);
	reader->line = reader->next_line;
	reader->n_fields = 0;
	if (reader->fault != NULL || reader->at >= reader->end)
		return false;
	while (read_field(reader, &used)) {
		if (reader->at < reader->end && *reader->at == ',') {
			reader->at++;
			continue;
		}
		if (at_break(reader))
			pass_break(reader);
		return true;
	}
	return false;
}
