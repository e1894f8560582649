#include "answer_fields.h"

#include "enquiry_lists.h"
#include "schema_types.h"

static const char *kind_of(const struct field *field)
{
	switch ((enum field_kind)field->kind) {
	case FIELD_OBJECT:
		return "object";
	case FIELD_NUMBER:
	case FIELD_WHOLE:
	case FIELD_COUNT:
		return "number";
	case FIELD_YESNO:
	case FIELD_CHOICE:
		return "choice";
	case FIELD_SET:
		return "set";
	case FIELD_MONTHS:
		return "pair";
	case FIELD_DATE:
		return "date";
	case FIELD_LIST:
		break;
	}
	return child_tables[field->child].shape == TALLY ? "tally" : "list";
}

static void words(struct writer *out, const struct config *config, const struct field *field)
{
	writer_key(out, "words");
	if (field->kind != FIELD_YESNO) {
		schema_words(out, config, (enum word_list)field->list, field->fact);
		return;
	}
	writer_array_open(out);
	writer_bool(out, true);
	writer_bool(out, false);
	if (field->fact)
		writer_string(out, "unknown");
	writer_array_close(out);
}

/* A record's columns have names, a pair's do not. */
static void columns(struct writer *out, const struct child *child)
{
	writer_key(out, "columns");
	writer_array_open(out);
	for (uint32_t i = child->first; i < child->first + child->count; i++) {
		writer_object_open(out);
		writer_member_string(out, "name", child->shape == RECORD ? child_members[i].name : NULL);
		writer_member_string(out, "help", child_members[i].help);
		writer_object_close(out);
	}
	writer_array_close(out);
}

static void content(struct writer *out, const struct config *config, const struct field *field)
{
	switch ((enum field_kind)field->kind) {
	case FIELD_NUMBER:
	case FIELD_WHOLE:
	case FIELD_COUNT:
		if (field->lo != 0 || field->hi != 0) {
			writer_member_number(out, "lo", field->lo);
			writer_member_number(out, "hi", field->hi);
		}
		break;
	case FIELD_YESNO:
	case FIELD_CHOICE:
	case FIELD_SET:
		words(out, config, field);
		break;
	case FIELD_LIST:
		if (child_tables[field->child].shape == TALLY) {
			writer_key(out, "words");
			schema_words(out, config, LIST_fittings, false);
		} else {
			columns(out, &child_tables[field->child]);
		}
		break;
	case FIELD_OBJECT:
	case FIELD_MONTHS:
	case FIELD_DATE:
		break;
	}
}

static void write_field(struct writer *out, const struct config *config, enum field_id id)
{
	const struct field *field = &enquiry_fields[id];

	writer_object_open(out);
	writer_member_string(out, "pointer", field->pointer);
	writer_member_string(out, "kind", kind_of(field));
	writer_member_string(out, "help", config_help(config, id));
	writer_member_string(out, "left_out", schema_presence((enum presence)field->presence));
	if (field->unit[0] != '\0')
		writer_member_string(out, "unit", field->unit);
	schema_default(out, "usual", config, id);
	if (field_decides_others(id)) /* the word is of that object */
		writer_member_string(out, "of", field_name((enum field_id)config->catalogue.parent[id]));
	if (field->fact)
		writer_member_bool(out, "may_be_unknown", true);
	content(out, config, field);
	writer_object_close(out);
}

static void write_measured(struct writer *out)
{
	writer_object_open(out);
	writer_member_string(out, "pointer", "/measured_within");
	writer_member_string(out, "kind", "number");
	writer_member_string(out, "help", MEASURED_HELP);
	writer_member_string(out, "left_out", "default");
	writer_member_string(out, "unit", "share");
	writer_member_number(out, "lo", 0);
	writer_member_number(out, "hi", MEASURED_SHARE_MOST);
	writer_object_close(out);
}

void answer_fields(struct writer *out, const struct config *config)
{
	writer_key(out, "fields");
	writer_array_open(out);
	for (uint32_t id = 0; id < F_COUNT; id++)
		write_field(out, config, (enum field_id)id);
	write_measured(out);
	writer_array_close(out);
}
