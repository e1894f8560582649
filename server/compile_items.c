#include "compile.h"

#include <math.h>
#include <string.h>

#include "packs.h"

static const char *const component_words[COMPONENT_COUNT] = {"material", "labour", "hire", "disposal", "service"};
static const char *const unit_words[] = {"kg", "m3", "m2", "m", "each", "l", "h", "t"};
enum { UNIT_COUNT = sizeof unit_words / sizeof unit_words[0] };

static void check_pack_id(struct builder *b, const struct place *at, const char *id, uint32_t first)
{
	if (strcmp(id, "delivery") == 0 || strcmp(id, "short") == 0)
		place_fault(at, "a pack can't be named %s: prices have a member of that name", id);
	for (uint32_t i = first; i < rows_count(&b->packs); i++) {
		const char *other = ROW(b->texts, struct text, ROW(b->packs, struct pack, i)->text)->id;

		if (other != NULL && strcmp(other, id) == 0)
			place_fault(at, "there is another pack of this item named %s", id);
	}
}

static void read_pack(struct builder *b, const struct place *at, json_t *value, uint32_t first)
{
	struct pack pack;
	struct reader entry;
	const char *id;

	reader_open(&entry, at, value);
	id = reader_id(&entry, "id");
	if (id != NULL)
		check_pack_id(b, at, id, first);
	pack.size = reader_number(&entry, "size", NEEDED, 1e-3, 1e6, 1);
	pack.most_t = reader_number(&entry, "most_t", MAY_MISS, 1e-3, 1e3, 0);
	pack.returnable = reader_flag(&entry, "returnable", MAY_MISS, false);
	pack.loose = reader_flag(&entry, "loose", MAY_MISS, false);
	pack.text = reader_text(b, &entry, id, TEXT_BIT(title), 0);
	rows_add(&b->packs, &pack);
	reader_close(&entry);
}

static struct span read_packs(struct builder *b, struct reader *entry)
{
	json_t *list = reader_list(entry, "packs", NEEDED, 1, PACKS_OF_ITEM_MOST);
	struct place at = place_member(&entry->at, "packs");
	uint32_t first = rows_count(&b->packs);

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);

		read_pack(b, &place, json_array_get(list, i), first);
	}
	return span_since(&b->packs, first);
}

/* A weight limit needs a density to act on, and a density something to limit. */
static void check_weights(struct builder *b, const struct reader *entry, const struct item *item)
{
	struct place at = place_member(&entry->at, "density");
	bool limited = false;

	for (uint32_t i = 0; i < item->packs.count; i++)
		limited = limited || ROW(b->packs, struct pack, item->packs.first + i)->most_t > 0.0;
	if (limited && item->density == Q_none)
		place_fault(&at, "is missing: a pack of this item says most_t");
	if (!limited && item->density != Q_none)
		place_fault(&at, "has nothing to act on: no pack of this item says most_t");
}

static uint16_t read_density(struct reader *entry)
{
	uint16_t quantity = reader_quantity(entry, "density", MAY_MISS);
	struct place at = place_member(&entry->at, "density");

	if (quantity == Q_none || strcmp(quantity_table[quantity].unit, "t/m3") == 0)
		return quantity;
	place_fault(&at, "%s is no density: its unit is %s, not t/m3", quantity_table[quantity].name,
		quantity_table[quantity].unit);
	return Q_none;
}

/* One text for each kind of supplier, so that what comes from one place has one index. */
static uint16_t read_supplier(struct builder *b, struct reader *entry)
{
	const char *word = reader_string(entry, "supplier", MAY_MISS);
	struct place at = place_member(&entry->at, "supplier");
	struct text text = {0};
	uint32_t index;

	if (word == NULL)
		return 0;
	if (name_find(b, NAME_SUPPLIER, word, &index))
		return (uint16_t)index;
	text.title = text_pool_add(&b->pool, word);
	index = rows_add(&b->texts, &text);
	if (index > UINT16_MAX)
		place_fault(&at, "there are too many texts before this one");
	name_add(b, NAME_SUPPLIER, &at, word, index);
	return (uint16_t)index;
}

static double read_kgco2e(struct reader *entry)
{
	double kgco2e = reader_number(entry, "kgco2e", MAY_MISS, -1e4, 1e4, (double)NAN);
	struct place at = place_member(&entry->at, "kgco2e_source");

	if (!isnan(kgco2e) && entry->object != NULL && json_object_get(entry->object, "kgco2e_source") == NULL)
		place_fault(&at, "is missing: a factor names its source");
	return kgco2e;
}

static void read_item(struct builder *b, struct reader *entry)
{
	const char *id = reader_id(entry, "id");
	struct place unit_at = place_member(&entry->at, "unit");
	uint32_t unit = reader_word(entry, "unit", NEEDED, unit_words, UNIT_COUNT, UNIT_COUNT);
	struct place component_at = place_member(&entry->at, "component");
	struct item item = {0};
	struct text *text;

	item.component = (uint8_t)reader_word(entry, "component", NEEDED, component_words, COMPONENT_COUNT, MATERIAL);
	item.packs = read_packs(b, entry);
	item.density = read_density(entry);
	item.one_piece = reader_flag(entry, "one_piece", MAY_MISS, false);
	item.has_fixed = reader_flag(entry, "delivery", MAY_MISS, false);
	item.minimum = reader_number(entry, "minimum", MAY_MISS, 0, 1e6, 0);
	item.short_below = reader_number(entry, "short_below", MAY_MISS, 0, 1e6, 0);
	item.kg = reader_number(entry, "kg", MAY_MISS, 0, 1e5, 0);
	item.kgco2e = read_kgco2e(entry);
	item.lead_days = (uint16_t)reader_whole(entry, "lead_days", MAY_MISS, 0, 365, 0);
	item.supplier = read_supplier(b, entry);
	item.text = reader_text(b, entry, id, TEXT_BIT(title), TEXT_BIT(kgco2e_source));
	text = ROW(b->texts, struct text, item.text);
	text->unit = text_pool_add(&b->pool, unit < UNIT_COUNT ? unit_words[unit] : NULL);
	if (item.component == LABOUR)
		place_fault(&component_at, "labour is priced by grade, not bought as an item");
	if (item.component == HIRE && unit < UNIT_COUNT && strcmp(unit_words[unit], "h") != 0)
		place_fault(&unit_at, "what is hired is counted in h");
	check_weights(b, entry, &item);
	name_add(b, NAME_ITEM, &entry->at, id, rows_add(&b->items, &item));
}

static void read_items(struct builder *b, const char *path)
{
	read_list_file(b, path, "items", 1, ITEMS_MOST, NAME_ITEM, read_item);
}

void compile_items(struct builder *b)
{
	if (each_file(b, "items/", read_items) == 0)
		faults_add(b->faults, false, "items", "", "holds no file: there is nothing to buy");
	if (rows_count(&b->items) > ITEMS_MOST)
		faults_add(b->faults, false, "items", "", "hold %u items; a quote has room for %d", rows_count(&b->items), ITEMS_MOST);
	if (rows_count(&b->packs) > PACKS_MOST)
		faults_add(b->faults, false, "items", "", "hold %u packs; a quote has room for %d", rows_count(&b->packs), PACKS_MOST);
}
