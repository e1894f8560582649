#include "enquiry_reader.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "dates.h"
#include "enquiry_words.h"
#include "number.h"

const char *asked_pointer(const struct asked_reader *reader, enum field_id id, char at[POINTER_SIZE])
{
	size_t prefix = strlen(reader->prefix), rest = strlen(enquiry_fields[id].pointer);

	assert(prefix + rest < POINTER_SIZE);
	memcpy(at, reader->prefix, prefix);
	memcpy(at + prefix, enquiry_fields[id].pointer, rest + 1);
	return at;
}

void asked_below(char below[POINTER_SIZE], const char *at, const char *member)
{
	struct writer text;

	writer_init_fixed(&text, below, POINTER_SIZE - 1);
	writer_text(&text, at, strlen(at));
	pointer_add(&text, member, strlen(member));
	below[text.length] = '\0';
}

void asked_below_entry(char below[POINTER_SIZE], const char *at, size_t entry)
{
	char place[NUMBER_TEXT_SIZE];

	integer_text((int64_t)entry, place);
	asked_below(below, at, place);
}

void asked_give(struct asked_reader *reader, enum field_id id, double number)
{
	reader->enquiry->v[id] = (struct value){.number = number, .origin = GIVEN};
}

void asked_wrong_type(struct asked_reader *reader, const char *at, const char *name, const char *needed, json_t *json)
{
	static const char *const types[] = {
		[JSON_OBJECT] = "an object",
		[JSON_ARRAY] = "a list",
		[JSON_STRING] = "a text",
		[JSON_INTEGER] = "a number",
		[JSON_REAL] = "a number",
		[JSON_TRUE] = "true",
		[JSON_FALSE] = "false",
		[JSON_NULL] = "null",
	};

	enquiry_fault_add(reader->faults, at, NULL, "wrong-type", "%s: %s is needed, not %s%s", name, needed,
		types[json_typeof(json)], json_is_null(json) ? "; leave it out" : "");
}

/* Six decimals and less than a million are twelve digits at most. Dividing two whole numbers that a double holds
 * exactly rounds once, as reading the decimal does. */
static bool has_few_digits(double value)
{
	double millionths = nearbyint(value * 1e6);

	return fabs(millionths) < 1e12 && millionths / 1e6 == value;
}

bool asked_number(json_t *json, double *number)
{
	char text[NUMBER_TEXT_SIZE];
	double value = json_number_value(json);

	if (!json_is_number(json) || !isfinite(value))
		return false;
	if (!has_few_digits(value)) {
		number_text(value, text);
		value = strtod(text, NULL);
	}
	*number = value + 0.0; /* -0 + 0 is +0 */
	return true;
}

bool asked_bounded(struct asked_reader *reader, const char *at, const char *name, const char *unit, double lo,
	double hi, bool whole, json_t *json, double *number)
{
	char value[NUMBER_TEXT_SIZE], low[NUMBER_TEXT_SIZE], high[NUMBER_TEXT_SIZE];
	bool said = unit[0] != '\0' && strcmp(unit, "share") != 0;

	if (!asked_number(json, number)) {
		asked_wrong_type(reader, at, name, whole ? "a whole number" : "a number", json);
		return false;
	}
	if ((lo == 0 && hi == 0) || (*number >= lo && *number <= hi)) {
		if (!whole || *number == floor(*number))
			return true;
		number_text(*number, value);
		enquiry_fault_add(
			reader->faults, at, NULL, "wrong-type", "%s: a whole number is needed, not %s", name, value);
		return false;
	}
	number_text(*number, value);
	number_text(lo, low);
	number_text(hi, high);
	enquiry_fault_add(reader->faults, at, NULL, "out-of-range", "%s: %s%s%s is outside %s to %s%s%s", name, value,
		said ? " " : "", said ? unit : "", low, high, said ? " " : "", said ? unit : "");
	return false;
}

static uint32_t region_of(const struct asked_reader *reader)
{
	return field_given(reader->enquiry, F_region) ? (uint32_t)reader->enquiry->v[F_region].number : REGION_ALL;
}

bool asked_word(struct asked_reader *reader, const char *at, const char *name, enum word_list list, json_t *json,
	uint32_t *place)
{
	char choices[CHOICES_SIZE];

	if (!json_is_string(json)) {
		asked_wrong_type(reader, at, name, "a word", json);
		return false;
	}
	if (word_find(reader->config, list, region_of(reader), json_string_value(json), place))
		return true;
	if (enquiry_faults_full(reader->faults))
		return false;
	word_choices(reader->config, list, region_of(reader), json_string_value(json), choices);
	enquiry_fault_add(reader->faults, at, NULL, list < LIST_FIXED_COUNT ? "not-a-choice" : "unknown-id",
		"%s: not one of %s", name, choices);
	return false;
}

static void read_number(struct asked_reader *reader, enum field_id id, json_t *json, const char *at)
{
	const struct field *field = &enquiry_fields[id];
	double number;

	if (field->kind == FIELD_COUNT && json_is_boolean(json))
		asked_give(reader, id, json_is_true(json));
	else if (asked_bounded(reader, at, field_name(id), field->unit, field->lo, field->hi,
			 field->kind != FIELD_NUMBER, json, &number))
		asked_give(reader, id, number);
}

static void read_word(struct asked_reader *reader, enum field_id id, json_t *json, const char *at)
{
	uint32_t place;

	if (asked_word(reader, at, field_name(id), enquiry_fields[id].list, json, &place))
		asked_give(reader, id, place);
}

static void read_yesno(struct asked_reader *reader, enum field_id id, json_t *json, const char *at)
{
	if (json_is_boolean(json))
		asked_give(reader, id, json_is_true(json));
	else
		asked_wrong_type(reader, at, field_name(id), "true or false", json);
}

static void read_date(struct asked_reader *reader, enum field_id id, json_t *json, const char *at)
{
	int32_t day;

	if (!json_is_string(json))
		asked_wrong_type(reader, at, field_name(id), "a date such as \"2026-03-31\"", json);
	else if (date_read(json_string_value(json), json_string_length(json), &day))
		asked_give(reader, id, day);
	else
		enquiry_fault_add(reader->faults, at, NULL, "not-a-date",
			"%s: not a day from 1970-01-01 to 2200-12-31, written such as 2026-03-31", field_name(id));
}

static bool is_unknown(json_t *json)
{
	return json_is_string(json) && strcmp(json_string_value(json), "unknown") == 0;
}

/* A set that holds nothing but "unknown" says as much as the word alone. */
static void read_set(struct asked_reader *reader, enum field_id id, json_t *json, const char *at)
{
	char entry_at[POINTER_SIZE];
	struct value value = {.origin = GIVEN};
	bool whole = true;
	uint32_t place;
	json_t *entry;
	size_t i;

	if (!json_is_array(json)) {
		asked_wrong_type(reader, at, field_name(id), "a list of words", json);
		return;
	}
	json_array_foreach (json, i, entry) {
		asked_below_entry(entry_at, at, i);
		if (is_unknown(entry))
			value.unsure = true;
		else if (asked_word(reader, entry_at, field_name(id), enquiry_fields[id].list, entry, &place))
			value.set |= 1u << place;
		else
			whole = false;
	}
	if (whole)
		reader->enquiry->v[id] = value.unsure && value.set == 0 ? (struct value){.origin = NOT_KNOWN} : value;
}

static bool months_from_pair(json_t *json, double month[2])
{
	for (size_t i = 0; i < 2; i++)
		if (!asked_number(json_array_get(json, i), &month[i]))
			return false;
	return json_array_size(json) == 2;
}

/* "10..11", as the rules are written. */
static bool months_from_text(json_t *json, double month[2])
{
	int first, last, end = 0;
	const char *text = json_string_value(json);

	if (text[0] < '1' || text[0] > '9' || sscanf(text, "%2d..%n", &first, &end) != 1 || end == 0)
		return false;
	text += end;
	end = 0;
	if (text[0] < '1' || text[0] > '9' || sscanf(text, "%2d%n", &last, &end) != 1 || text[end] != '\0')
		return false;
	month[0] = first;
	month[1] = last;
	return true;
}

static bool is_month(double month)
{
	return month >= 1 && month <= 12 && month == floor(month);
}

static void read_months(struct asked_reader *reader, enum field_id id, json_t *json, const char *at)
{
	double month[2];
	bool read = json_is_array(json) ? months_from_pair(json, month)
					: json_is_string(json) && months_from_text(json, month);
	struct value *value = &reader->enquiry->v[id];

	if (!read) {
		asked_wrong_type(reader, at, field_name(id), "[first, last] month", json);
		return;
	}
	if (!is_month(month[0]) || !is_month(month[1])) {
		enquiry_fault_add(reader->faults, at, NULL, "out-of-range", "%s: months are whole numbers from 1 to 12",
			field_name(id));
		return;
	}
	*value = (struct value){.number = month[0] * 100 + month[1], .origin = GIVEN};
	for (uint32_t m = (uint32_t)month[0]; m != (uint32_t)month[1]; m = m % 12 + 1)
		value->set |= 1u << m;
	value->set |= 1u << (uint32_t)month[1];
}

static void read_object(struct asked_reader *reader, enum field_id id, json_t *json, const char *at)
{
	if (!json_is_object(json))
		asked_wrong_type(reader, at, field_name(id), "an object", json);
	else if (enquiry_fields[id].presence != ALWAYS || json_object_size(json) > 0)
		asked_give(reader, id, 1);
}

void asked_value(struct asked_reader *reader, enum field_id id, json_t *json)
{
	char at[POINTER_SIZE];

	asked_pointer(reader, id, at);
	if (enquiry_fields[id].fact && is_unknown(json)) {
		reader->enquiry->v[id].origin = NOT_KNOWN;
		return;
	}
	switch ((enum field_kind)enquiry_fields[id].kind) {
	case FIELD_OBJECT:
		read_object(reader, id, json, at);
		break;
	case FIELD_NUMBER:
	case FIELD_WHOLE:
	case FIELD_COUNT:
		read_number(reader, id, json, at);
		break;
	case FIELD_YESNO:
		read_yesno(reader, id, json, at);
		break;
	case FIELD_CHOICE:
		read_word(reader, id, json, at);
		break;
	case FIELD_SET:
		read_set(reader, id, json, at);
		break;
	case FIELD_MONTHS:
		read_months(reader, id, json, at);
		break;
	case FIELD_DATE:
		read_date(reader, id, json, at);
		break;
	case FIELD_LIST:
		asked_list(reader, id, json);
		break;
	}
}
