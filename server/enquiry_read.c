#include "enquiry_reader.h"

#include <stdio.h>
#include <string.h>

#include "enquiry_words.h"
#include "nearest.h"

/* jansson's own text quotes the input and speaks of tokens. */
static const char *syntax_reason(enum json_error_code code)
{
	switch (code) {
	case json_error_duplicate_key:
		return "a member is given twice";
	case json_error_numeric_overflow:
		return "a number is too large";
	case json_error_invalid_utf8:
		return "the text is not UTF-8";
	case json_error_stack_overflow:
		return "the values are nested too deep";
	case json_error_premature_end_of_input:
		return "the text ends too soon";
	case json_error_end_of_input_expected:
		return "something follows the JSON text";
	case json_error_null_byte_in_key:
	case json_error_null_character:
		return "a string holds a NUL character";
	default:
		return "this is not JSON";
	}
}

static bool begins_with(const char *text, const char *start)
{
	return strncmp(text, start, strlen(start)) == 0;
}

/* jansson 2.14 says nothing at all when an allocation fails, or takes a text that it had no memory to copy for a
 * wrong token. Texts that are wrong themselves have other reasons, so a client can't bring this about: seen by failing
 * each allocation in turn. */
static bool memory_was_short(const json_error_t *error)
{
	return error->text[0] == '\0' || json_error_code(error) == json_error_out_of_memory ||
		begins_with(error->text, "invalid token near '\"") ||
		begins_with(error->text, "string or '}' expected near '\"");
}

enum body_state body_parse(const char *bytes, size_t length, json_t **object, struct enquiry_faults *faults)
{
	json_error_t error;
	json_t *json = json_loadb(bytes, length, JSON_REJECT_DUPLICATES, &error);

	if (json == NULL) {
		if (memory_was_short(&error))
			return BODY_NO_MEMORY;
		enquiry_fault_add(faults, "", NULL, "json", "Line %d, column %d: %s", error.line, error.column,
			syntax_reason(json_error_code(&error)));
		return faults->texts.out_of_memory ? BODY_NO_MEMORY : BODY_REFUSED;
	}
	if (!json_is_object(json)) {
		enquiry_fault_add(faults, "", NULL, "json", "Line 1, column 1: the body must be an object");
		json_decref(json);
		return faults->texts.out_of_memory ? BODY_NO_MEMORY : BODY_REFUSED;
	}
	*object = json;
	return BODY_READ;
}

static bool kind_is_given(const struct asked_reader *reader, enum field_id id)
{
	return field_given(reader->enquiry, enquiry_fields[id].variant);
}

/* Whether a member belongs beside the kind that its object was given. A kind that is missing or faulty has its own
 * fault and takes any. */
static bool belongs(const struct asked_reader *reader, enum field_id id)
{
	const struct field *field = &enquiry_fields[id];

	if (field->variant == F_NONE || !kind_is_given(reader, id))
		return true;
	return field->variant_mask >> (uint32_t)reader->enquiry->v[field->variant].number & 1;
}

static void refuse_member(struct asked_reader *reader, enum field_id id)
{
	const struct field *field = &enquiry_fields[id];
	uint32_t kind = (uint32_t)reader->enquiry->v[field->variant].number, count;
	const char *word = words_of_list(enquiry_fields[field->variant].list, &count)[kind];
	char at[POINTER_SIZE];

	enquiry_fault_add(reader->faults, asked_pointer(reader, id, at), NULL, "not-applicable",
		"%s: does not belong to kind %s", field_name(id), word);
}

/* The members of an object stand behind it in the table, and a kind before what belongs to it, so that one pass in
 * the order of the table meets every holder before its members. An object all of whose members were found has no more. */
static void read_members(struct asked_reader *reader)
{
	for (uint32_t i = 0; i < F_COUNT; i++) {
		enum field_id id = (enum field_id)i;
		uint16_t parent = reader->parent[id];
		json_t *holder = parent == F_NONE ? reader->top : reader->given[parent];
		size_t *known = &reader->known[parent == F_NONE ? F_COUNT : parent];
		json_t *json = *known < json_object_size(holder) ? json_object_get(holder, field_name(id)) : NULL;

		reader->given[id] = json;
		if (json == NULL)
			continue;
		++*known;
		if (belongs(reader, id))
			asked_value(reader, id, json);
		else
			refuse_member(reader, id);
		if (reader->enquiry->v[id].origin == LEFT_OUT && enquiry_fields[id].presence != ALWAYS)
			reader->enquiry->v[id].origin = NOT_APPLICABLE; /* faulty: later checks pass over it */
	}
}

static bool word_given(const struct asked_reader *reader, enum field_id id, uint32_t word)
{
	return field_given(reader->enquiry, id) && (uint32_t)reader->enquiry->v[id].number == word;
}

static bool must_be_given(const struct asked_reader *reader, enum field_id id)
{
	const struct field *field = &enquiry_fields[id];
	bool stream = word_given(reader, F_work, WORK_STREAM);
	bool work_is_clear = reader->enquiry->v[F_work].origin != NOT_APPLICABLE;

	if (id == F_pond)
		return reader->need == NEED_QUOTE && work_is_clear && !stream;
	if (id == F_stream)
		return reader->need == NEED_QUOTE && stream;
	if (id == F_depth_m) /* the last step says it too */
		return !word_given(reader, F_pond_profile_kind, SIDES_STEPPED);
	if (field->variant != F_NONE)
		return field->presence == MUST && kind_is_given(reader, id) && belongs(reader, id);
	return field->presence == MUST || field_decides_others(id);
}

static void find_missing(struct asked_reader *reader)
{
	char at[POINTER_SIZE];

	for (uint32_t i = 0; i < F_COUNT; i++) {
		enum field_id id = (enum field_id)i;
		uint16_t parent = reader->parent[id];
		bool held = parent == F_NONE || json_is_object(reader->given[parent]);

		if (held && reader->given[id] == NULL && must_be_given(reader, id))
			enquiry_fault_add(reader->faults, asked_pointer(reader, id, at), NULL, "missing",
				"%s: must be given: %s", field_name(id), enquiry_fields[id].help);
	}
}

static bool is_member(const struct asked_reader *reader, uint16_t holder, const char *key)
{
	if (holder == F_NONE && strcmp(key, MEASURED_WITHIN) == 0)
		return true;
	for (uint32_t id = 0; id < F_COUNT; id++)
		if (reader->parent[id] == holder && strcmp(field_name((enum field_id)id), key) == 0)
			return true;
	return false;
}

static void refuse_unknown(struct asked_reader *reader, uint16_t holder, const char *key)
{
	struct nearest nearest = nearest_to(key);
	char hint[NEAREST_HINT_SIZE], base[POINTER_SIZE];
	const char *elsewhere = NULL;

	if (enquiry_faults_full(reader->faults))
		return;
	for (uint32_t id = 0; id < F_COUNT; id++) {
		const char *name = field_name((enum field_id)id);

		if (reader->parent[id] == holder)
			nearest_offer(&nearest, name);
		else if (strcmp(name, key) == 0)
			elsewhere = enquiry_fields[id].pointer;
	}
	if (holder == F_NONE)
		nearest_offer(&nearest, MEASURED_WITHIN);
	nearest_hint(&nearest, hint);
	snprintf(base, sizeof base, "%s%s", reader->prefix, holder == F_NONE ? "" : enquiry_fields[holder].pointer);
	enquiry_fault_add(reader->faults, base, key, "unknown-member", "There is no such member%s%s",
		nearest.best != NULL        ? hint
			: elsewhere != NULL ? "; did you mean "
					    : "",
		nearest.best != NULL || elsewhere == NULL ? "" : elsewhere);
}

static void find_unknown(struct asked_reader *reader, uint16_t holder, json_t *object, size_t known)
{
	const char *key;
	json_t *value;

	if (json_object_size(object) == known)
		return;
	json_object_foreach (object, key, value) {
		if (!is_member(reader, holder, key))
			refuse_unknown(reader, holder, key);
	}
}

void enquiry_read(const struct config *config, enum route_need need, json_t *object, const char *prefix,
	struct enquiry *enquiry, struct enquiry_faults *faults)
{
	struct asked_reader reader = {.config = config,
		.parent = config->catalogue.parent,
		.need = need,
		.prefix = prefix,
		.enquiry = enquiry,
		.faults = faults,
		.top = object};
	json_t *measured = json_object_get(object, MEASURED_WITHIN);

	memset(enquiry, 0, sizeof *enquiry);
	for (uint32_t id = 0; id < F_COUNT; id++)
		enquiry->v[id].origin = LEFT_OUT;
	read_members(&reader);
	if (measured != NULL)
		asked_measured(&reader, measured);
	find_missing(&reader);
	find_unknown(&reader, F_NONE, object, reader.known[F_COUNT] + (measured != NULL));
	for (uint32_t id = 0; id < F_COUNT; id++)
		if (enquiry_fields[id].kind == FIELD_OBJECT)
			find_unknown(&reader, (uint16_t)id, reader.given[id], reader.known[id]);
}
