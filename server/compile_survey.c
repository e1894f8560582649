#include "compile.h"

#include <string.h>

enum { STOPS_MOST = 24, STOP_FIELDS_MOST = 64 };

static void read_field(struct builder *b, const struct place *at, json_t *value)
{
	const char *pointer = value_string(at, value);
	enum field_id id;
	uint16_t field;

	if (pointer == NULL || !field_named(at, pointer, &id))
		return;
	field = (uint16_t)id;
	for (uint32_t i = 0; i < rows_count(&b->survey_fields); i++)
		if (*ROW(b->survey_fields, uint16_t, i) == field)
			place_fault(at, "%.80s is asked at an earlier stop already", pointer);
	rows_add(&b->survey_fields, &field);
}

static void read_stop(struct builder *b, struct reader *entry)
{
	const char *id = reader_id(entry, "id");
	json_t *fields = reader_list(entry, "pointers", NEEDED, 1, STOP_FIELDS_MOST);
	struct place at = place_member(&entry->at, "pointers");
	struct survey_stop stop = {.fields.first = rows_count(&b->survey_fields)};

	for (size_t i = 0; i < json_array_size(fields); i++) {
		struct place place = place_entry(&at, i);

		read_field(b, &place, json_array_get(fields, i));
	}
	stop.fields = span_since(&b->survey_fields, stop.fields.first);
	stop.sketch = reader_flag(entry, "sketch", MAY_MISS, false);
	stop.always = reader_flag(entry, "always", MAY_MISS, false);
	stop.text = reader_text(b, entry, id, TEXT_BIT(title), TEXT_BIT(act) | TEXT_BIT(photograph));
	rows_add(&b->survey_stops, &stop);
}

void compile_survey(struct builder *b)
{
	if (config_files_find(b->files, "survey.json") != NULL)
		read_list_file(b, "survey.json", "stops", 1, STOPS_MOST, NAME_KIND_COUNT, read_stop);
}
