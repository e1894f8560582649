#include "compile_editions.h"

#include <string.h>

static const char *const taxed_words[COMPONENT_COUNT + 1] = {"material", "labour", "hire", "disposal", "service",
	"sums"}; /* the order of enum component */

static bool class_index(struct builder *b, const struct edition *edition, const char *id, uint16_t *index)
{
	for (uint32_t i = 0; i < edition->tax_classes.count; i++) {
		uint32_t text = ROW(b->tax_classes, struct tax_class, edition->tax_classes.first + i)->text;
		const char *other = ROW(b->texts, struct text, text)->id;

		if (other != NULL && strcmp(other, id) == 0) {
			*index = (uint16_t)i;
			return true;
		}
	}
	return false;
}

static uint16_t read_class_name(struct builder *b, struct reader *reader, const char *key, const struct edition *edition)
{
	const char *id = reader_string(reader, key, NEEDED);
	struct place at = place_member(&reader->at, key);
	uint16_t index = 0;

	if (id != NULL && !class_index(b, edition, id, &index))
		place_fault(&at, "no tax class of this edition is named %.60s", id);
	return index;
}

static void read_classes(struct builder *b, struct reader *tax, struct edition *edition)
{
	json_t *list = reader_list(tax, "classes", NEEDED, 1, CLASSES_MOST);
	struct place at = place_member(&tax->at, "classes");

	edition->tax_classes = (struct span){rows_count(&b->tax_classes), 0};
	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);
		struct tax_class row;
		struct reader entry;
		uint16_t other;
		const char *id;

		reader_open(&entry, &place, json_array_get(list, i));
		id = reader_id(&entry, "id");
		if (id != NULL && class_index(b, edition, id, &other))
			place_fault(&place, "there is another class named %s", id);
		row.rate_ppm = reader_ppm(&entry, "rate", NEEDED, 1);
		row.text = reader_text(b, &entry, id, TEXT_BIT(title), 0);
		reader_close(&entry);
		rows_add(&b->tax_classes, &row);
		edition->tax_classes.count = rows_count(&b->tax_classes) - edition->tax_classes.first;
	}
}

static void read_share_rule(struct builder *b, struct reader *tax, struct edition *edition)
{
	json_t *value = reader_value(tax, "share_rule", MAY_MISS);
	struct place at = place_member(&tax->at, "share_rule");
	struct reader rule;

	if (value == NULL)
		return;
	reader_open(&rule, &at, value);
	edition->share_rule_ppm = reader_ppm(&rule, "materials_over", NEEDED, 1);
	if (rule.object != NULL)
		edition->share_rule_over = read_class_name(b, &rule, "then", edition);
	reader_string(&rule, "source", MAY_MISS);
	reader_string(&rule, "note", MAY_MISS);
	reader_close(&rule);
}

void read_tax(struct edition_reader *in, struct edition *edition)
{
	struct place at = place_member(&in->top->at, "tax"), of_at;
	struct reader tax, of;

	reader_open(&tax, &at, reader_value(in->top, "tax", NEEDED));
	edition->registered = reader_flag(&tax, "registered", NEEDED, true);
	read_classes(in->b, &tax, edition);
	of_at = place_member(&tax.at, "of");
	reader_open(&of, &of_at, reader_value(&tax, "of", NEEDED));
	for (uint32_t i = 0; i < COMPONENT_COUNT; i++)
		edition->tax_of[i] = read_class_name(in->b, &of, taxed_words[i], edition);
	edition->tax_of_sums = read_class_name(in->b, &of, taxed_words[COMPONENT_COUNT], edition);
	reader_close(&of);
	read_share_rule(in->b, &tax, edition);
	reader_string(&tax, "source", MAY_MISS);
	reader_string(&tax, "as_of", MAY_MISS);
	reader_string(&tax, "note", MAY_MISS);
	reader_close(&tax);
}
