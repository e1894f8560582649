#include "writer.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "number.h"

#define FIRST_CAPACITY 16384

void writer_init(struct writer *out)
{
	memset(out, 0, sizeof *out);
}

void writer_init_fixed(struct writer *out, char *storage, size_t size)
{
	*out = (struct writer){.bytes = storage, .capacity = size, .fixed = true};
}

void writer_free(struct writer *out)
{
	if (!out->fixed)
		free(out->bytes);
	writer_init(out);
}

void writer_clear(struct writer *out)
{
	out->length = 0;
	out->out_of_memory = false;
}

char *writer_release(struct writer *out, size_t *length)
{
	char *bytes = out->bytes;

	*length = out->length;
	if (out->out_of_memory || out->fixed || bytes == NULL) {
		writer_free(out);
		return NULL;
	}
	writer_init(out);
	return bytes;
}

static bool writer_grow(struct writer *out, size_t more)
{
	size_t capacity = out->capacity < FIRST_CAPACITY ? FIRST_CAPACITY : out->capacity;
	char *bytes;

	if (out->out_of_memory)
		return false;
	out->out_of_memory = true;
	if (out->fixed || more > SIZE_MAX / 4 - out->length)
		return false;
	while (capacity - out->length < more)
		capacity *= 2;
	bytes = realloc(out->bytes, capacity);
	if (bytes == NULL)
		return false;
	out->bytes = bytes;
	out->capacity = capacity;
	out->out_of_memory = false;
	return true;
}

static bool writer_room(struct writer *out, size_t more)
{
	return (!out->out_of_memory && out->capacity - out->length >= more) || writer_grow(out, more);
}

void writer_reserve(struct writer *out, size_t more)
{
	writer_room(out, more);
}

void writer_text(struct writer *out, const char *bytes, size_t length)
{
	if (length == 0 || !writer_room(out, length))
		return;
	memcpy(out->bytes + out->length, bytes, length);
	out->length += length;
}

void writer_print(struct writer *out, const char *format, ...)
{
	char text[1024];
	va_list arguments;
	int length;

	va_start(arguments, format);
	length = vsnprintf(text, sizeof text, format, arguments);
	va_end(arguments);
	if (length < 0 || (size_t)length >= sizeof text)
		out->out_of_memory = true; /* a line that long is ours to split, never a reason to send half of it */
	else
		writer_text(out, text, (size_t)length);
}

/* The last byte tells whether a comma is due: no value ends in an opening bracket, a colon or a line break,
 * so there is no stack to keep and no limit of depth. Leaves room for more bytes. */
static bool value_begin(struct writer *out, size_t more)
{
	char last;

	if (!writer_room(out, more + 1))
		return false;
	last = out->length > 0 ? out->bytes[out->length - 1] : '\n';
	if (last != '{' && last != '[' && last != ':' && last != '\n')
		out->bytes[out->length++] = ',';
	return true;
}

static void value_byte(struct writer *out, char byte)
{
	if (value_begin(out, 1))
		out->bytes[out->length++] = byte;
}

void writer_object_open(struct writer *out)
{
	value_byte(out, '{');
}

void writer_object_close(struct writer *out)
{
	writer_text(out, "}", 1);
}

void writer_array_open(struct writer *out)
{
	value_byte(out, '[');
}

void writer_array_close(struct writer *out)
{
	writer_text(out, "]", 1);
}

/* Leaves room for more bytes after the colon. */
static bool key_begin(struct writer *out, const char *key, size_t length, size_t more)
{
	char *to;

	if (!value_begin(out, length + 3 + more))
		return false;
	to = out->bytes + out->length;
	*to = '"';
	memcpy(to + 1, key, length);
	memcpy(to + 1 + length, "\":", 2);
	out->length += length + 3;
	return true;
}

void writer_key_n(struct writer *out, const char *key, size_t length)
{
	key_begin(out, key, length, 0);
}

void writer_raw(struct writer *out, const char *json, size_t length)
{
	if (!value_begin(out, length))
		return;
	memcpy(out->bytes + out->length, json, length);
	out->length += length;
}

/* The length of one UTF-8 sequence of 2 to 4 bytes, or 0 where it is cut, overlong, a surrogate or beyond U+10FFFF
 * (the table of well-formed sequences, Unicode 15 chapter 3, table 3-7). */
static size_t utf8_length(const unsigned char *text, size_t left)
{
	unsigned char lead = text[0];
	size_t length = lead >= 0xf0 ? 4 : lead >= 0xe0 ? 3 : 2;
	unsigned char lowest = lead == 0xe0 ? 0xa0 : lead == 0xf0 ? 0x90 : 0x80;
	unsigned char highest = lead == 0xed ? 0x9f : lead == 0xf4 ? 0x8f : 0xbf;

	if (lead < 0xc2 || lead > 0xf4 || left < length || text[1] < lowest || text[1] > highest)
		return 0;
	for (size_t i = 2; i < length; i++)
		if ((text[i] & 0xc0) != 0x80)
			return 0;
	return length;
}

/* Escapes the byte at text and returns how many bytes of the input that settled. */
static size_t escape_write(struct writer *out, const unsigned char *text, size_t left)
{
	static const char short_form[] = "btn.fr"; /* 0x08 to 0x0d; 0x0b has none */
	char escape[7] = {'\\', (char)text[0], '\0'};
	size_t sequence;

	if (text[0] >= 0x80) {
		sequence = utf8_length(text, left);
		if (sequence > 0)
			writer_text(out, (const char *)text, sequence);
		else
			writer_text(out, "\xef\xbf\xbd", 3);
		return sequence > 0 ? sequence : 1;
	}
	if (text[0] >= 0x08 && text[0] <= 0x0d && text[0] != 0x0b)
		escape[1] = short_form[text[0] - 0x08];
	else if (text[0] < 0x20 || text[0] == 0x7f)
		snprintf(escape, sizeof escape, "\\u%04x", (unsigned)text[0]);
	writer_text(out, escape, strlen(escape));
	return 1;
}

static bool byte_is_plain(unsigned char byte)
{
	return byte >= 0x20 && byte < 0x7f && byte != '"' && byte != '\\';
}

enum { BLOCK = 16 };

/* Whether so many bytes need no escape: without a branch, so that the compiler compares them at once. */
static inline bool block_is_plain(const unsigned char *bytes, int size)
{
	unsigned char escaped = 0;

	for (int i = 0; i < size; i++)
		escaped |= (unsigned char)((bytes[i] < 0x20) | (bytes[i] >= 0x7f) | (bytes[i] == '"') | (bytes[i] == '\\'));
	return escaped == 0;
}

/* How many bytes from the start are known to need no escape, block by block; the last block overlaps the one before. */
static size_t plain_run(const unsigned char *bytes, size_t length)
{
	size_t run = 0;

	if (length >= BLOCK) {
		while (length - run >= BLOCK && block_is_plain(bytes + run, BLOCK))
			run += BLOCK;
		if (length - run < BLOCK && block_is_plain(bytes + length - BLOCK, BLOCK))
			return length;
	} else if (length >= BLOCK / 2) {
		if (block_is_plain(bytes, BLOCK / 2) && block_is_plain(bytes + length - BLOCK / 2, BLOCK / 2))
			return length;
	}
	while (run < length && byte_is_plain(bytes[run]))
		run++;
	return run;
}

/* There is room for the text and two bytes more, which is enough where nothing needs an escape. */
static void string_put(struct writer *out, const char *text, size_t length)
{
	const unsigned char *bytes = (const unsigned char *)text;
	size_t from = plain_run(bytes, length);

	out->bytes[out->length++] = '"';
	memcpy(out->bytes + out->length, text, from);
	out->length += from;
	if (from == length) {
		out->bytes[out->length++] = '"';
		return;
	}
	while (from < length && !out->out_of_memory) {
		size_t run = plain_run(bytes + from, length - from);

		writer_text(out, text + from, run);
		from += run;
		if (from < length)
			from += escape_write(out, bytes + from, length - from);
	}
	writer_text(out, "\"", 1);
}

void writer_string_n(struct writer *out, const char *text, size_t length)
{
	if (value_begin(out, length + 2))
		string_put(out, text, length);
}

void writer_string_of(struct writer *out, struct writer *text)
{
	writer_string_n(out, text->bytes != NULL ? text->bytes : "", text->length);
	out->out_of_memory = out->out_of_memory || text->out_of_memory;
	writer_free(text);
}

void writer_string(struct writer *out, const char *text)
{
	if (text == NULL)
		writer_null(out);
	else
		writer_string_n(out, text, strlen(text));
}

void writer_int(struct writer *out, int64_t value)
{
	if (value_begin(out, NUMBER_TEXT_SIZE))
		out->length += integer_text(value, out->bytes + out->length);
}

void writer_number(struct writer *out, double value)
{
	if (!isfinite(value))
		writer_null(out);
	else if (value_begin(out, NUMBER_TEXT_SIZE))
		out->length += number_text(value, out->bytes + out->length);
}

void writer_bool(struct writer *out, bool value)
{
	writer_raw(out, value ? "true" : "false", value ? 4 : 5);
}

void writer_null(struct writer *out)
{
	writer_raw(out, "null", 4);
}

static void word_put(struct writer *out, const char *word, size_t length)
{
	memcpy(out->bytes + out->length, word, length);
	out->length += length;
}

void writer_member_string_n(struct writer *out, const char *key, size_t key_length, const char *text)
{
	size_t length = text != NULL ? strlen(text) : 4;

	if (!key_begin(out, key, key_length, length + 2))
		return;
	if (text != NULL)
		string_put(out, text, length);
	else
		word_put(out, "null", 4);
}

void writer_member_int_n(struct writer *out, const char *key, size_t key_length, int64_t value)
{
	if (key_begin(out, key, key_length, NUMBER_TEXT_SIZE))
		out->length += integer_text(value, out->bytes + out->length);
}

void writer_member_number_n(struct writer *out, const char *key, size_t key_length, double value)
{
	if (!key_begin(out, key, key_length, NUMBER_TEXT_SIZE))
		return;
	if (isfinite(value))
		out->length += number_text(value, out->bytes + out->length);
	else
		word_put(out, "null", 4);
}

void writer_member_raw_n(struct writer *out, const char *key, size_t key_length, const char *json, size_t length)
{
	if (key_begin(out, key, key_length, length))
		word_put(out, json, length);
}
