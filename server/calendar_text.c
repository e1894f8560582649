#include "calendar_text.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "dates.h"

enum { LINE_OCTETS_MOST = 75 };

static bool goes_on(char byte)
{
	return ((unsigned char)byte & 0xc0) == 0x80; /* inside a UTF-8 character */
}

/* How much of the text fits into so many octets. */
static size_t fitting(const char *text, size_t length, size_t room)
{
	size_t fits = length < room ? length : room;

	while (fits > 0 && fits < length && goes_on(text[fits]))
		fits--;
	return fits;
}

static void fold(struct writer *out, const char *line, size_t length)
{
	size_t room = LINE_OCTETS_MOST;

	while (length > 0) {
		size_t part = fitting(line, length, room);

		writer_text(out, line, part);
		writer_text(out, "\r\n", 2);
		line += part;
		length -= part;
		if (length > 0)
			writer_text(out, " ", 1);
		room = LINE_OCTETS_MOST - 1; /* the blank counts */
	}
}

void calendar_line(struct writer *out, const char *line)
{
	fold(out, line, strlen(line));
}

static void escape(struct writer *text, const char *value)
{
	for (; *value != '\0'; value++) {
		if (*value == '\n') {
			writer_text(text, "\\n", 2);
			continue;
		}
		if (strchr("\\;,", *value) != NULL)
			writer_text(text, "\\", 1);
		writer_text(text, value, 1);
	}
}

void calendar_text(struct writer *out, const char *name, const char *value)
{
	struct writer line;

	if (value == NULL)
		return;
	writer_init(&line);
	writer_print(&line, "%s:", name);
	escape(&line, value);
	if (line.out_of_memory)
		out->out_of_memory = true;
	else
		fold(out, line.bytes, line.length);
	writer_free(&line);
}

void calendar_day(struct writer *out, const char *name, int32_t day)
{
	char iso[DATE_TEXT_SIZE], line[64];

	date_text(day, iso);
	snprintf(line, sizeof line, "%s;VALUE=DATE:%.4s%.2s%.2s", name, iso, iso + 5, iso + 8);
	calendar_line(out, line);
}
