#include "schema_types.h"

#include <string.h>

#include "enquiry_lists.h"
#include "enquiry_write.h"

const char *schema_presence(enum presence presence)
{
	switch (presence) {
	case MUST:
		return "must";
	case ASSUMED:
		return "assumed";
	case DEFAULTED:
		return "default";
	case DERIVED:
		return "derived";
	case UNKNOWN:
		return "unknown";
	case OPTIONAL:
	case ALWAYS:
		break;
	}
	return "nothing";
}

static bool has_preset(const struct config *config, enum field_id id)
{
	for (uint32_t r = 0; r < config->catalogue.n_regions; r++) {
		struct span presets = config->catalogue.regions[r].presets;

		for (uint32_t i = presets.first; i < presets.first + presets.count; i++)
			if (config->catalogue.presets[i].field == id)
				return true;
	}
	return false;
}

void schema_default(struct writer *out, const char *key, const struct config *config, enum field_id id)
{
	struct value left_out = {.number = enquiry_fields[id].left_out, .origin = BY_DEFAULT};

	if (enquiry_fields[id].presence != DEFAULTED || has_preset(config, id))
		return;
	writer_key(out, key);
	enquiry_write_value(out, config, id, &left_out);
}

void schema_annotations(struct writer *out, const struct config *config, enum field_id id)
{
	const struct field *field = &enquiry_fields[id];

	writer_member_string(out, "description", config_help(config, id));
	if (field->unit[0] != '\0')
		writer_member_string(out, "x-unit", field->unit);
	writer_member_string(out, "x-if-left-out", schema_presence(field->presence));
	schema_default(out, "default", config, id);
}

static void write_bounds(struct writer *out, const char *type, double lo, double hi)
{
	writer_member_string(out, "type", type);
	if (lo == 0 && hi == 0)
		return;
	writer_member_number(out, "minimum", lo);
	writer_member_number(out, "maximum", hi);
}

static bool stands_earlier(const char *const *words, uint32_t at)
{
	for (uint32_t i = 0; i < at; i++)
		if (strcmp(words[i], words[at]) == 0)
			return true;
	return false;
}

/* Regions may have editions of the same id; the array holds it once. */
void schema_words(struct writer *out, const struct config *config, enum word_list list, bool or_unknown)
{
	uint32_t count;
	const char *const *words = config_words(config, list, &count);

	writer_array_open(out);
	for (uint32_t i = 0; i < count; i++)
		if (list != LIST_editions || !stands_earlier(words, i))
			writer_string(out, words[i]);
	if (or_unknown)
		writer_string(out, "unknown");
	writer_array_close(out);
}

static void write_enum(struct writer *out, const struct config *config, enum word_list list, bool or_unknown)
{
	writer_key(out, "enum");
	schema_words(out, config, list, or_unknown);
}

static void write_array_of(struct writer *out, uint32_t least, uint32_t most)
{
	writer_member_string(out, "type", "array");
	writer_member_int(out, "minItems", least);
	writer_member_int(out, "maxItems", most);
}

static void write_cell(struct writer *out, const struct config *config, const struct member *member)
{
	writer_object_open(out);
	writer_member_string(out, "description", member->help);
	if (member->unit[0] != '\0')
		writer_member_string(out, "x-unit", member->unit);
	if (member->list == LIST_none_at_all)
		write_bounds(out, "number", member->lo, member->hi);
	else
		write_enum(out, config, member->list, false);
	writer_object_close(out);
}

static void write_pair(struct writer *out, const struct config *config, const struct child *child)
{
	write_array_of(out, child->count, child->count);
	writer_key(out, "prefixItems");
	writer_array_open(out);
	for (uint32_t i = 0; i < child->count; i++)
		write_cell(out, config, &child_members[child->first + i]);
	writer_array_close(out);
	writer_member_bool(out, "items", false);
}

static void write_record(struct writer *out, const struct config *config, const struct child *child)
{
	const struct member *member = &child_members[child->first];

	writer_member_string(out, "type", "object");
	writer_key(out, "properties");
	writer_object_open(out);
	for (uint32_t i = 0; i < child->count; i++) {
		writer_key(out, member[i].name);
		write_cell(out, config, &member[i]);
	}
	writer_object_close(out);
	writer_key(out, "required");
	writer_array_open(out);
	for (uint32_t i = 0; i < child->count; i++)
		writer_string(out, member[i].name);
	writer_array_close(out);
	writer_member_bool(out, "additionalProperties", false);
}

static void write_tally(struct writer *out, const struct config *config, const struct child *child)
{
	const struct member *member = &child_members[child->first];
	uint32_t count;
	const char *const *words = config_words(config, LIST_fittings, &count);

	writer_member_string(out, "type", "object");
	writer_key(out, "properties");
	writer_object_open(out);
	for (uint32_t i = 0; i < count; i++) {
		writer_key(out, words[i]);
		writer_object_open(out);
		write_bounds(out, "integer", member->lo, member->hi);
		writer_object_close(out);
	}
	writer_object_close(out);
	writer_member_bool(out, "additionalProperties", false);
}

static void write_list(struct writer *out, const struct config *config, enum child_list list)
{
	const struct child *child = &child_tables[list];

	if (child->shape == TALLY) {
		write_tally(out, config, child);
		return;
	}
	write_array_of(out, list_least(list), list_most_written(list));
	writer_key(out, "items");
	writer_object_open(out);
	if (child->shape == PAIR)
		write_pair(out, config, child);
	else
		write_record(out, config, child);
	writer_object_close(out);
}

static void write_count(struct writer *out, double hi)
{
	writer_key(out, "type");
	writer_array_open(out);
	writer_string(out, "integer");
	writer_string(out, "boolean");
	writer_array_close(out);
	writer_member_int(out, "minimum", 0);
	writer_member_number(out, "maximum", hi);
}

static void write_months(struct writer *out)
{
	write_array_of(out, 2, 2);
	writer_key(out, "items");
	writer_object_open(out);
	write_bounds(out, "integer", 1, 12);
	writer_object_close(out);
}

static void write_type(struct writer *out, const struct config *config, enum field_id id)
{
	const struct field *field = &enquiry_fields[id];

	switch ((enum field_kind)field->kind) {
	case FIELD_NUMBER:
		write_bounds(out, "number", field->lo, field->hi);
		break;
	case FIELD_WHOLE:
		write_bounds(out, "integer", field->lo, field->hi);
		break;
	case FIELD_COUNT:
		write_count(out, field->hi);
		break;
	case FIELD_YESNO:
		writer_member_string(out, "type", "boolean");
		break;
	case FIELD_CHOICE:
		write_enum(out, config, field->list, false);
		break;
	case FIELD_DATE:
		writer_member_string(out, "type", "string");
		writer_member_string(out, "format", "date");
		writer_member_string(out, "pattern", "^(19[7-9][0-9]|20[0-9]{2}|21[0-9]{2}|2200)-[0-9]{2}-[0-9]{2}$");
		break;
	case FIELD_SET:
		writer_member_string(out, "type", "array");
		writer_key(out, "items");
		writer_object_open(out);
		write_enum(out, config, field->list, true);
		writer_object_close(out);
		break;
	case FIELD_MONTHS:
		write_months(out);
		break;
	case FIELD_LIST:
		write_list(out, config, field->child);
		break;
	case FIELD_OBJECT:
		break;
	}
}

/* A fact may also be unknown, and months written as one text. */
static void write_alternatives(struct writer *out, const struct config *config, enum field_id id)
{
	writer_key(out, "anyOf");
	writer_array_open(out);
	writer_object_open(out);
	write_type(out, config, id);
	writer_object_close(out);
	if (enquiry_fields[id].kind == FIELD_MONTHS) {
		writer_object_open(out);
		writer_member_string(out, "type", "string");
		writer_member_string(out, "pattern", "^([1-9]|1[0-2])\\.\\.([1-9]|1[0-2])$");
		writer_object_close(out);
	}
	writer_object_open(out);
	writer_member_string(out, "const", "unknown");
	writer_object_close(out);
	writer_array_close(out);
}

void schema_field(struct writer *out, const struct config *config, enum field_id id)
{
	writer_object_open(out);
	schema_annotations(out, config, id);
	if (enquiry_fields[id].fact)
		write_alternatives(out, config, id);
	else
		write_type(out, config, id);
	writer_object_close(out);
}

static void write_pointers(struct writer *out)
{
	writer_key(out, "propertyNames");
	writer_object_open(out);
	writer_key(out, "enum");
	writer_array_open(out);
	for (uint32_t id = 0; id < F_COUNT; id++)
		if (field_is_measured((enum field_id)id))
			writer_string(out, enquiry_fields[id].pointer);
	writer_array_close(out);
	writer_object_close(out);
}

void schema_measured(struct writer *out)
{
	writer_object_open(out);
	writer_member_string(out, "description", MEASURED_HELP);
	writer_member_string(out, "x-unit", "share");
	writer_member_string(out, "x-if-left-out", "default");
	writer_key(out, "anyOf");
	writer_array_open(out);
	writer_object_open(out);
	write_bounds(out, "number", 0, MEASURED_SHARE_MOST);
	writer_object_close(out);
	writer_object_open(out);
	writer_member_string(out, "type", "object");
	write_pointers(out);
	writer_member_int(out, "maxProperties", MEASURED_MOST);
	writer_key(out, "additionalProperties");
	writer_object_open(out);
	write_bounds(out, "number", 0, MEASURED_SHARE_MOST);
	writer_object_close(out);
	writer_object_close(out);
	writer_array_close(out);
	writer_object_close(out);
}
