#include "compile.h"

#include <stddef.h>
#include <string.h>

/* ---- soils ---- */

static void read_soil(struct builder *b, struct reader *soils, uint32_t index, const char *word)
{
	struct soil *soil = &b->config.catalogue.soils[index];
	struct place at = place_member(&soils->at, word);
	struct reader entry;

	reader_open(&entry, &at, reader_value(soils, word, NEEDED));
	if (entry.object == NULL)
		return;
	soil->bank_t_m3 = reader_number(&entry, "bank_t_m3", NEEDED, 0.5, 4, 1);
	soil->swell = reader_number(&entry, "swell", NEEDED, 1, 2.5, 1);
	soil->refill_share = reader_number(&entry, "refill_share", NEEDED, 0.5, 1.5, 1);
	soil->safe_deg = reader_number(&entry, "safe_deg", NEEDED, 5, 90, 45);
	soil->seepage = reader_number(&entry, "seepage", NEEDED, 0, 1000, 1);
	b->config.soil_texts[index] = reader_text(b, &entry, word, 0, TEXT_BIT(title));
	reader_close(&entry);
}

static void read_soils(struct builder *b)
{
	uint32_t count;
	const char *const *words = words_of_list(LIST_soil, &count);
	struct document document;
	struct reader soils;
	struct place at;

	if (!document_open(b, "soils.json", &document))
		return;
	at = place_member(&document.top.at, "soils");
	reader_open(&soils, &at, reader_value(&document.top, "soils", NEEDED));
	for (uint32_t i = 0; soils.object != NULL && i < count; i++)
		read_soil(b, &soils, i, words[i]);
	if (soils.object != NULL)
		reader_close(&soils);
	document_close(&document);
}

/* ---- roots ---- */

static void read_root_plant(struct builder *b, struct reader *entry)
{
	const char *id = reader_id(entry, "id");
	struct root_plant plant;

	plant.visits = reader_whole(entry, "visits", NEEDED, 0, 20, 0);
	plant.reinspect_visits = reader_whole(entry, "reinspect_visits", NEEDED, 0, 20, 0);
	plant.dig_out_depth_m = reader_number(entry, "dig_out_depth_m", NEEDED, enquiry_fields[F_roots_dig_out_depth_m].lo,
		enquiry_fields[F_roots_dig_out_depth_m].hi, 0);
	plant.needs_barrier = reader_flag(entry, "needs_barrier", NEEDED, false);
	plant.pierces = reader_flag(entry, "pierces", NEEDED, false);
	plant.contaminates = reader_flag(entry, "contaminates", NEEDED, false);
	plant.text = reader_text(b, entry, id, TEXT_BIT(title), TEXT_BIT(latin));
	name_add(b, NAME_ROOT_PLANT, &entry->at, id, rows_add(&b->root_plants, &plant));
}

/* ---- practice: more rows than a reader remembers, so they are walked by hand ---- */

static void read_practice_row(struct builder *b, const struct place *practice, json_t *rows, uint32_t row)
{
	const struct practice_row *known = &practice_table[row];
	struct place at = place_member(practice, known->name);
	json_t *value = json_object_get(rows, known->name);
	struct reader entry;

	if (value == NULL) {
		place_fault(&at, "is missing: %s", known->sentence);
		return;
	}
	reader_open(&entry, &at, value);
	if (entry.object == NULL)
		return;
	b->config.catalogue.practice[row] = reader_number(&entry, "value", NEEDED, known->lo, known->hi, known->lo);
	b->config.practice_texts[row] = reader_text(b, &entry, known->name, TEXT_BIT(source), 0);
	reader_close(&entry);
}

static bool is_constant(const char *key)
{
	for (uint32_t i = 0; i < P_COUNT; i++)
		if (strcmp(practice_table[i].name, key) == 0)
			return true;
	return false;
}

static void check_practice_names(const struct place *practice, json_t *rows)
{
	const char *key;
	json_t *value;

	json_object_foreach(rows, key, value)
	{
		struct place at = place_member(practice, key);
		struct nearest nearest = nearest_to(key);
		char hint[NEAREST_HINT_SIZE];

		if (is_constant(key))
			continue;
		for (uint32_t i = 0; i < P_COUNT; i++)
			nearest_offer(&nearest, practice_table[i].name);
		place_fault(&at, "is no constant that is known here%s", nearest_hint(&nearest, hint));
	}
}

static void read_practice(struct builder *b)
{
	struct document document;
	struct place at;
	json_t *rows;

	if (!document_open(b, "practice.json", &document))
		return;
	at = place_member(&document.top.at, "practice");
	rows = reader_value(&document.top, "practice", NEEDED);
	if (rows != NULL && !json_is_object(rows))
		place_fault(&at, "must be an object");
	for (uint32_t i = 0; json_is_object(rows) && i < P_COUNT; i++)
		read_practice_row(b, &at, rows, i);
	check_practice_names(&at, rows);
	document_close(&document);
}

void compile_ground(struct builder *b)
{
	read_soils(b);
	read_list_file(b, "roots.json", "plants", 1, ROOT_PLANTS_MOST, NAME_ROOT_PLANT, read_root_plant);
	read_practice(b);
}
