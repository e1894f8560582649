#include "compile.h"

#include <string.h>
#include <strings.h>

/* Plants are words for the answer; nothing is priced by species. Climates are whatever words the plants use. */
static const char *const role_words[ROLE_COUNT] = {"submerged", "floating", "emergent", "margin", "bog"};
enum { CLIMATES_MOST = 32, BANNED_MOST = 200 };

static uint32_t climate_bit(struct builder *b, const struct place *at, const char *word)
{
	uint32_t index;

	if (!name_find(b, NAME_CLIMATE, word, &index)) {
		index = rows_count(&b->names[NAME_CLIMATE].sorted);
		if (!id_is_well_formed(word) || index >= CLIMATES_MOST) {
			place_fault(at, "\"%.60s\" must be lower-case letters, digits and hyphens, and one of %d at most", word,
				CLIMATES_MOST);
			return 0;
		}
		name_add(b, NAME_CLIMATE, at, word, index);
	}
	return UINT32_C(1) << (index % CLIMATES_MOST);
}

static uint32_t read_climates(struct builder *b, struct reader *entry)
{
	json_t *list = reader_list(entry, "climates", NEEDED, 1, CLIMATES_MOST);
	struct place at = place_member(&entry->at, "climates");
	uint32_t climates = 0;

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);
		const char *word = value_string(&place, json_array_get(list, i));

		if (word != NULL)
			climates |= climate_bit(b, &place, word);
	}
	return climates;
}

static void read_depths(struct reader *entry, struct plant *plant)
{
	json_t *list = reader_list(entry, "depth_m", NEEDED, 2, 2);
	struct place at = place_member(&entry->at, "depth_m");

	if (list == NULL || !value_number(&at, json_array_get(list, 0), -1, 6, &plant->least_depth_m) ||
		!value_number(&at, json_array_get(list, 1), -1, 6, &plant->most_depth_m))
		return;
	if (plant->least_depth_m > plant->most_depth_m)
		place_fault(&at, "must be the least depth, then the greatest");
}

static const char *latin_of(struct builder *b, uint32_t text)
{
	const char *latin = ROW(b->texts, struct text, text)->latin;

	return latin != NULL ? latin : "";
}

static void read_banned(struct builder *b, struct reader *entry)
{
	uint32_t text = reader_text(b, entry, NULL, TEXT_BIT(latin) | TEXT_BIT(because) | TEXT_BIT(source), 0);

	rows_add(&b->banned, &text);
}

static void read_plant(struct builder *b, struct reader *entry)
{
	struct place latin_at = place_member(&entry->at, "latin");
	const char *id = reader_id(entry, "id");
	struct plant plant = {0};

	plant.role = (enum plant_role)reader_word(entry, "role", NEEDED, role_words, ROLE_COUNT, ROLE_MARGIN);
	plant.climates = read_climates(b, entry);
	read_depths(entry, &plant);
	plant.text = reader_text(b, entry, id, TEXT_BIT(title) | TEXT_BIT(latin), 0);
	for (uint32_t i = 0; i < rows_count(&b->banned); i++)
		if (strcasecmp(latin_of(b, *ROW(b->banned, uint32_t, i)), latin_of(b, plant.text)) == 0 &&
			latin_of(b, plant.text)[0] != '\0')
			place_fault(&latin_at, "%s is among the banned species", latin_of(b, plant.text));
	for (uint32_t i = 0; i < rows_count(&b->plants); i++) {
		const char *other = ROW(b->texts, struct text, ROW(b->plants, struct plant, i)->text)->id;

		if (id != NULL && other != NULL && strcmp(other, id) == 0)
			place_fault(&entry->at, "there is another plant named %s", id);
	}
	rows_add(&b->plants, &plant);
}

void compile_plants(struct builder *b)
{
	struct document document;

	if (!document_open(b, "plants.json", &document)) {
		b->names[NAME_CLIMATE].incomplete = true;
		return;
	}
	read_list(b, &document, "banned", 0, BANNED_MOST, read_banned);
	read_list(b, &document, "plants", 1, PLANTS_MOST, read_plant);
	document_close(&document);
}
