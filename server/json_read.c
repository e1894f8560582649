#include "json_read.h"

#include <assert.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "dates.h"
#include "number.h"

enum { STRING_MOST = 2000, ID_MOST = 60, REASON_SIZE = 1024 };

struct place place_top(struct faults *faults, const char *file)
{
	return (struct place){.faults = faults, .file = file};
}

struct place place_member(const struct place *up, const char *key)
{
	return (struct place){.faults = up->faults, .file = up->file, .up = up, .key = key};
}

struct place place_entry(const struct place *up, size_t index)
{
	return (struct place){.faults = up->faults, .file = up->file, .up = up, .index = index};
}

/* RFC 6901 section 3: ~ and / of a member's name are written ~0 and ~1. */
static size_t put_key(char *text, size_t size, const char *key)
{
	size_t length = 0;

	for (; *key != '\0' && length + 3 < size; key++) {
		if (*key == '~' || *key == '/') {
			text[length++] = '~';
			text[length++] = *key == '~' ? '0' : '1';
		} else {
			text[length++] = *key;
		}
	}
	text[length] = '\0';
	return length;
}

static size_t put_place(const struct place *at, char *text, size_t size)
{
	size_t length = at->up == NULL ? 0 : put_place(at->up, text, size);

	if (at->up == NULL || length + 24 > size) {
		text[length] = '\0';
		return length;
	}
	text[length++] = '/';
	if (at->key != NULL)
		return length + put_key(text + length, size - length, at->key);
	return length + (size_t)snprintf(text + length, size - length, "%zu", at->index);
}

void place_pointer(const struct place *at, char text[POINTER_SIZE])
{
	put_place(at, text, POINTER_SIZE);
}

static void place_report(const struct place *at, bool warning, const char *reason)
{
	char pointer[POINTER_SIZE];

	place_pointer(at, pointer);
	faults_add(at->faults, warning, at->file, pointer, "%s", reason);
}

void place_fault(const struct place *at, const char *format, ...)
{
	char reason[REASON_SIZE];
	va_list arguments;

	va_start(arguments, format);
	vsnprintf(reason, sizeof reason, format, arguments);
	va_end(arguments);
	place_report(at, false, reason);
}

void place_warning(const struct place *at, const char *format, ...)
{
	char reason[REASON_SIZE];
	va_list arguments;

	va_start(arguments, format);
	vsnprintf(reason, sizeof reason, format, arguments);
	va_end(arguments);
	place_report(at, true, reason);
}

/* ---- values ---- */

bool value_number(const struct place *at, json_t *value, double lo, double hi, double *number)
{
	char given[NUMBER_TEXT_SIZE], least[NUMBER_TEXT_SIZE], most[NUMBER_TEXT_SIZE];

	if (!json_is_number(value)) {
		place_fault(at, "must be a number");
		return false;
	}
	*number = json_number_value(value);
	if (*number >= lo && *number <= hi)
		return true;
	number_text(*number, given);
	number_text(lo, least);
	number_text(hi, most);
	place_fault(at, "%s is outside %s to %s", given, least, most);
	return false;
}

bool value_whole(const struct place *at, json_t *value, double lo, double hi, double *number)
{
	double real;

	if (!value_number(at, value, lo, hi, &real))
		return false;
	if (real != floor(real)) {
		place_fault(at, "must be a whole number");
		return false;
	}
	*number = real;
	return true;
}

bool value_flag(const struct place *at, json_t *value, bool *flag)
{
	if (!json_is_boolean(value)) {
		place_fault(at, "must be true or false");
		return false;
	}
	*flag = json_is_true(value);
	return true;
}

const char *value_string(const struct place *at, json_t *value)
{
	const char *text = json_string_value(value);

	if (text == NULL || text[0] == '\0') {
		place_fault(at, text == NULL ? "must be a text" : "is empty");
		return NULL;
	}
	if (strlen(text) > STRING_MOST) {
		place_fault(at, "is longer than %d bytes", STRING_MOST);
		return NULL;
	}
	for (const char *c = text; *c != '\0'; c++)
		if ((unsigned char)*c < ' ' || *c == 0x7f) {
			place_fault(at, "holds a control character");
			return NULL;
		}
	return text;
}

bool value_day(const struct place *at, json_t *value, int32_t *day)
{
	const char *text = value_string(at, value);

	if (text == NULL)
		return false;
	if (date_read(text, strlen(text), day))
		return true;
	place_fault(at, "\"%.40s\" is no day; write it as 2026-11-25", text);
	return false;
}

bool word_index(const struct place *at, const char *word, const char *const *words, uint32_t n_words, uint32_t *index)
{
	struct nearest nearest = nearest_to(word);
	char hint[NEAREST_HINT_SIZE];

	for (uint32_t i = 0; i < n_words; i++)
		if (strcmp(words[i], word) == 0) {
			*index = i;
			return true;
		}
	for (uint32_t i = 0; i < n_words; i++)
		nearest_offer(&nearest, words[i]);
	place_fault(at, "\"%.60s\" is not a word that is known here%s", word, nearest_hint(&nearest, hint));
	return false;
}

/* ---- members ---- */

void reader_open(struct reader *reader, const struct place *at, json_t *value)
{
	*reader = (struct reader){.at = *at, .object = json_is_object(value) ? value : NULL};
	if (value != NULL && reader->object == NULL)
		place_fault(at, "must be an object");
}

json_t *reader_value(struct reader *reader, const char *key, enum requirement need)
{
	struct place at = place_member(&reader->at, key);
	json_t *value;

	if (reader->object == NULL)
		return NULL;
	assert(reader->n_known < READER_MEMBERS_MOST);
	reader->known[reader->n_known++] = key;
	value = json_object_get(reader->object, key);
	if (value == NULL && need == NEEDED)
		place_fault(&at, "is missing");
	if (json_is_null(value)) {
		place_fault(&at, "is null; leave it out where there is none");
		return NULL;
	}
	return value;
}

static bool is_known(const struct reader *reader, const char *key)
{
	for (size_t i = 0; i < reader->n_known; i++)
		if (strcmp(reader->known[i], key) == 0)
			return true;
	return false;
}

void reader_close(struct reader *reader)
{
	char hint[NEAREST_HINT_SIZE];
	const char *key;
	json_t *value;

	json_object_foreach(reader->object, key, value)
	{
		struct place at = place_member(&reader->at, key);
		struct nearest nearest = nearest_to(key);

		if (is_known(reader, key))
			continue;
		for (size_t i = 0; i < reader->n_known; i++)
			nearest_offer(&nearest, reader->known[i]);
		place_fault(&at, "is not a member that is known here%s", nearest_hint(&nearest, hint));
	}
}

const char *reader_string(struct reader *reader, const char *key, enum requirement need)
{
	json_t *value = reader_value(reader, key, need);
	struct place at = place_member(&reader->at, key);

	return value == NULL ? NULL : value_string(&at, value);
}

bool id_is_well_formed(const char *text)
{
	char before = '-';

	for (const char *c = text; *c != '\0'; before = *c++)
		if (!((*c >= 'a' && *c <= 'z') || (*c >= '0' && *c <= '9') || (*c == '-' && before != '-')))
			return false;
	return before != '-' && strlen(text) <= ID_MOST;
}

const char *reader_id(struct reader *reader, const char *key)
{
	const char *text = reader_string(reader, key, NEEDED);
	struct place at = place_member(&reader->at, key);

	if (text == NULL || id_is_well_formed(text))
		return text;
	place_fault(&at, "\"%.60s\" must be lower-case letters, digits and single hyphens, at most %d", text, ID_MOST);
	return NULL;
}

double reader_number(struct reader *reader, const char *key, enum requirement need, double lo, double hi, double left_out)
{
	json_t *value = reader_value(reader, key, need);
	struct place at = place_member(&reader->at, key);
	double number;

	return value != NULL && value_number(&at, value, lo, hi, &number) ? number : left_out;
}

double reader_whole(struct reader *reader, const char *key, enum requirement need, double lo, double hi, double left_out)
{
	json_t *value = reader_value(reader, key, need);
	struct place at = place_member(&reader->at, key);
	double number;

	return value != NULL && value_whole(&at, value, lo, hi, &number) ? number : left_out;
}

bool reader_flag(struct reader *reader, const char *key, enum requirement need, bool left_out)
{
	json_t *value = reader_value(reader, key, need);
	struct place at = place_member(&reader->at, key);
	bool flag;

	return value != NULL && value_flag(&at, value, &flag) ? flag : left_out;
}

int32_t reader_day(struct reader *reader, const char *key, enum requirement need)
{
	json_t *value = reader_value(reader, key, need);
	struct place at = place_member(&reader->at, key);
	int32_t day;

	return value != NULL && value_day(&at, value, &day) ? day : 0;
}

uint32_t reader_word(struct reader *reader, const char *key, enum requirement need, const char *const *words,
	uint32_t n_words, uint32_t left_out)
{
	const char *word = reader_string(reader, key, need);
	struct place at = place_member(&reader->at, key);
	uint32_t index;

	return word != NULL && word_index(&at, word, words, n_words, &index) ? index : left_out;
}

json_t *reader_list(struct reader *reader, const char *key, enum requirement need, size_t least, size_t most)
{
	json_t *value = reader_value(reader, key, need);
	struct place at = place_member(&reader->at, key);

	if (value == NULL)
		return NULL;
	if (!json_is_array(value)) {
		place_fault(&at, "must be a list");
		return NULL;
	}
	if (json_array_size(value) < least || json_array_size(value) > most) {
		place_fault(&at, "holds %zu entries; it may hold %zu to %zu", json_array_size(value), least, most);
		return NULL;
	}
	return value;
}
