#include "shapes.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "answer_view.h"

const struct shape_row shape_rows[] = {
#define NIL SHAPE_NIL
#define MAY SHAPE_MAY
#define SHAPE(id, sentence) {#id, "", sentence, SHAPE_BEGINS, 0},
#define M(name, type, flags, of, sentence) {#name, of, sentence, SHAPE_##type, flags},
#include "shapes_quote.def"
#include "shapes.def"
#undef M
#undef SHAPE
#undef MAY
#undef NIL
};
const uint32_t shape_row_count = sizeof shape_rows / sizeof shape_rows[0];

enum { NAME_SIZE = 64 };

void shape_reference(struct writer *out, const char *name)
{
	char text[NAME_SIZE + 24];

	snprintf(text, sizeof text, "#/components/schemas/%s", name);
	writer_object_open(out);
	writer_member_string(out, "$ref", text);
	writer_object_close(out);
}

/* ---- members ---- */

/* "a|b" as a list of words, with null among them where that may be. */
static void write_words(struct writer *out, const char *words, bool or_null)
{
	writer_key(out, "enum");
	writer_array_open(out);
	while (*words != '\0') {
		size_t length = strcspn(words, "|");

		writer_string_n(out, words, length);
		words += length + (words[length] == '|');
	}
	if (or_null)
		writer_null(out);
	writer_array_close(out);
}

static void write_type(struct writer *out, const char *type, bool or_null)
{
	if (!or_null) {
		writer_member_string(out, "type", type);
		return;
	}
	writer_key(out, "type");
	writer_array_open(out);
	writer_string(out, type);
	writer_string(out, "null");
	writer_array_close(out);
}

/* A list or an object whose entries are all of one type, or of one shape where that is named. */
static void write_holder(struct writer *out, const struct shape_row *row, const char *holder, const char *key,
	const char *type)
{
	write_type(out, holder, row->flags & SHAPE_NIL);
	writer_key(out, key);
	if (type == NULL) {
		shape_reference(out, row->of);
		return;
	}
	writer_object_open(out);
	writer_member_string(out, "type", type);
	writer_object_close(out);
}

static void write_lists(struct writer *out, const struct shape_row *row)
{
	write_type(out, "object", row->flags & SHAPE_NIL);
	writer_key(out, "additionalProperties");
	writer_object_open(out);
	writer_member_string(out, "type", "array");
	writer_key(out, "items");
	shape_reference(out, row->of);
	writer_object_close(out);
}

static void write_one(struct writer *out, const struct shape_row *row)
{
	bool or_null = row->flags & SHAPE_NIL;

	writer_key(out, or_null ? "anyOf" : "allOf");
	writer_array_open(out);
	shape_reference(out, row->of);
	if (or_null) {
		writer_object_open(out);
		writer_member_string(out, "type", "null");
		writer_object_close(out);
	}
	writer_array_close(out);
}

static void write_value(struct writer *out, const struct shape_row *row)
{
	bool or_null = row->flags & SHAPE_NIL;

	switch ((enum shape_type)row->type) {
	case SHAPE_TEXT:
		write_type(out, "string", or_null);
		break;
	case SHAPE_WHOLE:
		write_type(out, "integer", or_null);
		break;
	case SHAPE_NUMBER:
		write_type(out, "number", or_null);
		break;
	case SHAPE_YESNO:
		write_type(out, "boolean", or_null);
		break;
	case SHAPE_DAY:
		write_type(out, "string", or_null);
		writer_member_string(out, "format", "date");
		break;
	case SHAPE_WORD:
		write_type(out, "string", or_null);
		write_words(out, row->of, or_null);
		break;
	case SHAPE_ONE:
		write_one(out, row);
		break;
	case SHAPE_MANY:
		write_holder(out, row, "array", "items", NULL);
		break;
	case SHAPE_TEXTS:
		write_holder(out, row, "array", "items", "string");
		break;
	case SHAPE_NUMBERS:
		write_holder(out, row, "array", "items", "number");
		break;
	case SHAPE_NUMBERED:
		write_holder(out, row, "object", "additionalProperties", "number");
		break;
	case SHAPE_WORDED:
		write_holder(out, row, "object", "additionalProperties", "string");
		break;
	case SHAPE_NAMED:
		write_lists(out, row);
		break;
	case SHAPE_ANY:
	case SHAPE_BEGINS:
		break;
	}
}

static void write_member(struct writer *out, const struct shape_row *row)
{
	writer_key(out, row->name);
	writer_object_open(out);
	writer_member_string(out, "description", row->sentence);
	write_value(out, row);
	writer_object_close(out);
}

/* ---- shapes ---- */

static uint32_t shape_end(uint32_t begin)
{
	uint32_t end = begin + 1;

	while (end < shape_row_count && shape_rows[end].type != SHAPE_BEGINS)
		end++;
	return end;
}

static void write_required(struct writer *out, uint32_t first, uint32_t end)
{
	writer_key(out, "required");
	writer_array_open(out);
	for (uint32_t i = first; i < end; i++)
		if (!(shape_rows[i].flags & SHAPE_MAY))
			writer_string(out, shape_rows[i].name);
	writer_array_close(out);
}

static void write_shape(struct writer *out, uint32_t begin, uint32_t end)
{
	writer_key(out, shape_rows[begin].name);
	writer_object_open(out);
	writer_member_string(out, "description", shape_rows[begin].sentence);
	writer_member_string(out, "type", "object");
	writer_key(out, "properties");
	writer_object_open(out);
	for (uint32_t i = begin + 1; i < end; i++)
		write_member(out, &shape_rows[i]);
	writer_object_close(out);
	write_required(out, begin + 1, end);
	writer_object_close(out);
}

/* ---- the take-off ---- */

static void write_measure(struct writer *out, const struct quantity *quantity)
{
	writer_key(out, quantity->name);
	writer_object_open(out);
	writer_member_string(out, "description", quantity->sentence);
	if (quantity->unit[0] != '\0')
		writer_member_string(out, "x-unit", quantity->unit);
	writer_member_string(out, "type", "number");
	writer_object_close(out);
}

static void write_takeoff(struct writer *out)
{
	bool always;

	writer_key(out, "Takeoff");
	writer_object_open(out);
	writer_member_string(out, "description", "Measures of the work; those that are not always said are left out where they are 0");
	writer_member_string(out, "type", "object");
	writer_key(out, "properties");
	writer_object_open(out);
	for (uint32_t id = 0; id < Q_COUNT; id++)
		if (takeoff_tells(id, &always))
			write_measure(out, &quantity_table[id]);
	writer_object_close(out);
	writer_key(out, "required");
	writer_array_open(out);
	for (uint32_t id = 0; id < Q_COUNT; id++)
		if (takeoff_tells(id, &always) && always)
			writer_string(out, quantity_table[id].name);
	writer_array_close(out);
	writer_object_close(out);
}

void shapes_write(struct writer *out)
{
	for (uint32_t begin = 0; begin < shape_row_count; begin = shape_end(begin))
		write_shape(out, begin, shape_end(begin));
	write_takeoff(out);
}
