#include "compile.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PRESETS_MOST = 64, POSTCODES_MOST = 64, PATH_SIZE = 160 };
static const char *const unit_words[] = {"metric", "us"};
static const char *const frost_words[FROST_LIMITS] = {NULL, "concrete", "render", "coating"};

/* ---- presets ---- */

/* Defaults alone have a region's own value; what is assumed has its rows in unknowns.json, and facts are of the site. */
static bool is_default(enum field_id id)
{
	return enquiry_fields[id].presence == DEFAULTED && !enquiry_fields[id].fact;
}

static void read_preset(struct builder *b, const struct place *at, const char *pointer, json_t *value)
{
	struct nearest nearest = nearest_to(pointer);
	char hint[NEAREST_HINT_SIZE];
	struct preset preset;
	enum field_id id;

	if (field_find(pointer, &id) && is_default(id)) {
		preset.field = (uint16_t)id;
		if (field_value(b, at, id, value, &preset.number))
			rows_add(&b->presets, &preset);
		return;
	}
	for (uint32_t i = 0; i < F_COUNT; i++)
		if (is_default((enum field_id)i))
			nearest_offer(&nearest, enquiry_fields[i].pointer);
	place_fault(at, "is no field with a default%s", nearest_hint(&nearest, hint));
}

static struct span read_presets(struct builder *b, struct reader *top)
{
	json_t *presets = reader_value(top, "presets", MAY_MISS);
	struct place at = place_member(&top->at, "presets");
	uint32_t first = rows_count(&b->presets);
	const char *pointer;
	json_t *value;

	if (presets != NULL && (!json_is_object(presets) || json_object_size(presets) > PRESETS_MOST))
		place_fault(&at, "must be an object of at most %d fields and their values", PRESETS_MOST);
	json_object_foreach(presets, pointer, value)
	{
		struct place place = place_member(&at, pointer);

		read_preset(b, &place, pointer, value);
	}
	return span_since(&b->presets, first);
}

/* ---- calendar ---- */

static int by_day(const void *left, const void *right)
{
	const int32_t *a = left, *c = right;

	return *a < *c ? -1 : *a > *c;
}

static struct span read_holidays(struct builder *b, struct reader *top)
{
	json_t *list = reader_list(top, "holidays", NEEDED, 0, HOLIDAYS_MOST);
	struct place at = place_member(&top->at, "holidays");
	uint32_t first = rows_count(&b->holidays);
	int32_t days[HOLIDAYS_MOST];
	size_t n = 0;

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);

		n += value_day(&place, json_array_get(list, i), &days[n]);
	}
	qsort(days, n, sizeof *days, by_day);
	for (size_t i = 0; i < n; i++) {
		if (i > 0 && days[i] == days[i - 1])
			place_fault(&at, "names a day twice");
		rows_add(&b->holidays, &days[i]);
	}
	return span_since(&b->holidays, first);
}

static void read_weather(struct reader *top, double lost[12])
{
	json_t *list = reader_list(top, "weather_lost", NEEDED, 12, 12);
	struct place at = place_member(&top->at, "weather_lost");

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);

		value_number(&place, json_array_get(list, i), 0, 0.95, &lost[i]);
	}
}

static void read_works(struct reader *top, bool works[7])
{
	json_t *list = reader_list(top, "works", NEEDED, 7, 7);
	struct place at = place_member(&top->at, "works");
	bool any = false;

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);

		value_flag(&place, json_array_get(list, i), &works[i]);
		any = any || works[i];
	}
	if (list != NULL && !any)
		place_fault(&at, "no day of the week is a working day");
}

static uint16_t read_months(struct reader *frost, const char *key)
{
	json_t *list = reader_list(frost, key, MAY_MISS, 0, 11);
	struct place at = place_member(&frost->at, key);
	uint16_t months = 0;
	double month;

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);

		if (value_whole(&place, json_array_get(list, i), 1, 12, &month))
			months = (uint16_t)(months | 1u << (unsigned)month);
	}
	return months;
}

static void read_frost(struct reader *top, uint16_t months[FROST_LIMITS])
{
	struct place at = place_member(&top->at, "frost");
	struct reader frost;

	reader_open(&frost, &at, reader_value(top, "frost", MAY_MISS));
	for (uint32_t limit = FROST_NONE + 1; limit < FROST_LIMITS; limit++)
		months[limit] = read_months(&frost, frost_words[limit]);
	reader_close(&frost);
}

/* ---- the card ---- */

static struct span read_postcodes(struct builder *b, struct reader *top)
{
	json_t *list = reader_list(top, "postcodes", MAY_MISS, 0, POSTCODES_MOST);
	struct place at = place_member(&top->at, "postcodes");
	uint32_t first = rows_count(&b->strings);

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);
		const char *code = text_pool_add(&b->pool, value_string(&place, json_array_get(list, i)));

		if (code != NULL)
			rows_add(&b->strings, &code);
	}
	return span_since(&b->strings, first);
}

static uint32_t read_climate(struct builder *b, struct reader *top)
{
	uint16_t climate;

	return reader_name(b, top, "climate", NEEDED, NAME_CLIMATE, &climate) ? UINT32_C(1) << climate : 0;
}

static void read_card(struct builder *b, struct reader *top)
{
	const char *currency = reader_string(top, "currency", NEEDED);
	struct place at = place_member(&top->at, "currency");
	struct region_card card = {0};

	if (currency != NULL && (strlen(currency) != 3 || strspn(currency, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != 3))
		place_fault(&at, "must be three capitals, as in ISO 4217");
	card.minor_digits = (uint8_t)reader_whole(top, "minor_digits", NEEDED, 0, 3, 2);
	card.us_units = reader_word(top, "units", NEEDED, unit_words, 2, 0) == 1;
	card.invented = reader_flag(top, "invented", MAY_MISS, false);
	card.climate = read_climate(b, top);
	card.postcodes = read_postcodes(b, top);
	rows_add(&b->region_cards, &card);
}

static void read_region(struct builder *b, const char *id, struct reader *top)
{
	struct region region = {0};
	uint32_t count;
	const char *const *nations = words_of_list(LIST_nation, &count);

	region.nation = (uint16_t)reader_word(top, "nation", NEEDED, nations, count, NATION_OTHER);
	region.presets = read_presets(b, top);
	region.holidays = read_holidays(b, top);
	read_weather(top, region.weather_lost);
	read_works(top, region.works);
	read_frost(top, region.frost);
	region.measured_within = reader_number(top, "measured_within", NEEDED, 0, 0.5, 0);
	read_card(b, top);
	region.text = reader_text(b, top, id, TEXT_BIT(title) | TEXT_BIT(currency) | TEXT_BIT(climate),
		TEXT_BIT(symbol) | TEXT_BIT(holidays_source));
	rows_add(&b->regions, &region);
}

/* Rows of both arrays come even where the file does not, so that indexes stay those of the names. */
static void read_region_file(struct builder *b, const char *id)
{
	struct document document;
	char path[PATH_SIZE];

	snprintf(path, sizeof path, "regions/%s/region.json", id);
	if (!document_open(b, path, &document)) {
		rows_add(&b->regions, &(struct region){0});
		rows_add(&b->region_cards, &(struct region_card){.minor_digits = 2});
		return;
	}
	read_region(b, id, &document.top);
	document_close(&document);
}

void compile_regions(struct builder *b)
{
	uint32_t count = rows_count(&b->names[NAME_REGION].origins);

	if (count == 0)
		faults_add(b->faults, false, "regions", "", "holds no region");
	if (count > REGIONS_MOST)
		faults_add(b->faults, false, "regions", "", "hold %u regions; there may be %d", count, REGIONS_MOST);
	for (uint32_t region = 0; region < count; region++) {
		const char *id = NULL;

		for (uint32_t i = 0; id == NULL && i < rows_count(&b->names[NAME_REGION].sorted); i++)
			if (ROW(b->names[NAME_REGION].sorted, struct name, i)->index == region)
				id = ROW(b->names[NAME_REGION].sorted, struct name, i)->word;
		if (id == NULL)
			continue;
		read_region_file(b, id);
		compile_editions(b, region, id);
	}
}
