#include "edition_write.h"

#include <string.h>

#include "number.h"

/* Deeper than this an object or list stands in one line. */
enum { LINES_DEEP = 2 };

static void write_string(struct writer *out, const char *text)
{
	struct writer escaped;

	writer_init(&escaped);
	writer_string(&escaped, text);
	if (escaped.out_of_memory)
		out->out_of_memory = true;
	else
		writer_text(out, escaped.bytes, escaped.length);
	writer_free(&escaped);
}

static void write_scalar(struct writer *out, json_t *value)
{
	char number[NUMBER_TEXT_SIZE];

	if (json_is_string(value)) {
		write_string(out, json_string_value(value));
	} else if (json_is_number(value)) {
		number_text(json_number_value(value), number);
		writer_print(out, "%s", number);
	} else {
		writer_print(out, "%s", json_is_true(value) ? "true" : json_is_false(value) ? "false" : "null");
	}
}

static void new_line(struct writer *out, int depth)
{
	writer_print(out, "\n%*s", 2 * depth, "");
}

static void between(struct writer *out, bool first, bool lines, int depth)
{
	if (!first)
		writer_print(out, lines ? "," : ", ");
	if (lines)
		new_line(out, depth + 1);
	else if (first)
		writer_print(out, " ");
}

static void write_value(struct writer *out, json_t *value, int depth);

static void write_object(struct writer *out, json_t *object, int depth)
{
	bool lines = depth < LINES_DEEP, first = true;
	const char *key;
	json_t *member;

	writer_print(out, "{");
	json_object_foreach (object, key, member) {
		between(out, first, lines, depth);
		write_string(out, key);
		writer_print(out, ": ");
		write_value(out, member, depth + 1);
		first = false;
	}
	if (lines && !first)
		new_line(out, depth);
	writer_print(out, lines || first ? "}" : " }");
}

static void write_array(struct writer *out, json_t *array, int depth)
{
	bool lines = depth < LINES_DEEP && json_is_object(json_array_get(array, 0));
	size_t at;
	json_t *entry;

	writer_print(out, "[");
	json_array_foreach (array, at, entry) {
		if (lines || at > 0)
			between(out, at == 0, lines, depth);
		write_value(out, entry, depth + 1);
	}
	if (lines)
		new_line(out, depth);
	writer_print(out, "]");
}

static void write_value(struct writer *out, json_t *value, int depth)
{
	if (json_is_object(value))
		write_object(out, value, depth);
	else if (json_is_array(value))
		write_array(out, value, depth);
	else
		write_scalar(out, value);
}

void edition_write(struct writer *out, json_t *edition)
{
	write_value(out, edition, 0);
	writer_print(out, "\n");
}
