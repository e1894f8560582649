#include "compile_editions.h"

#include <string.h>

/* The prices of one edition: every pack of every item, its delivery and its short charge where it has them. All that
 * is missing is said, one line each. */

static const char *item_id(struct builder *b, uint32_t item)
{
	const char *id = ROW(b->texts, struct text, ROW(b->items, struct item, item)->text)->id;

	return id != NULL ? id : "";
}

static const char *pack_id(struct builder *b, uint32_t pack)
{
	const char *id = ROW(b->texts, struct text, ROW(b->packs, struct pack, pack)->text)->id;

	return id != NULL ? id : "";
}

static int64_t read_price(const struct edition_reader *in, const struct place *item, json_t *prices, const char *key)
{
	struct place at = place_member(item, key);
	json_t *value = json_object_get(prices, key);
	int64_t milliminor = 0;

	if (value == NULL)
		place_fault(&at, "is missing");
	else
		money_milliminor(&at, value, in->minor_digits, &milliminor);
	return milliminor;
}

static bool is_price_of(struct builder *b, const struct item *item, const char *key)
{
	if ((item->has_fixed && strcmp(key, "delivery") == 0) || (item->short_below > 0.0 && strcmp(key, "short") == 0))
		return true;
	for (uint32_t i = 0; i < item->packs.count; i++)
		if (strcmp(pack_id(b, item->packs.first + i), key) == 0)
			return true;
	return false;
}

static void refuse_others(struct builder *b, const struct place *at, json_t *prices, const struct item *item)
{
	const char *key;
	json_t *value;

	json_object_foreach(prices, key, value)
	{
		struct place place = place_member(at, key);
		struct nearest nearest = nearest_to(key);
		char hint[NEAREST_HINT_SIZE];

		if (is_price_of(b, item, key))
			continue;
		for (uint32_t i = 0; i < item->packs.count; i++)
			nearest_offer(&nearest, pack_id(b, item->packs.first + i));
		nearest_offer(&nearest, "delivery");
		place_fault(&place, "prices nothing: the item has no such pack or charge%s", nearest_hint(&nearest, hint));
	}
}

/* A larger pack that costs more than smaller ones which hold as much is never bought: most likely a slip. */
static void warn_of_dear_packs(struct builder *b, const struct place *at, const struct item *item, const int64_t *packs)
{
	for (uint32_t big = item->packs.first; big < item->packs.first + item->packs.count; big++)
		for (uint32_t small = item->packs.first; small < item->packs.first + item->packs.count; small++) {
			double big_size = ROW(b->packs, struct pack, big)->size, small_size = ROW(b->packs, struct pack, small)->size;

			if (small_size < big_size && ROW(b->packs, struct pack, small)->most_t == 0.0 &&
				(double)packs[big] * small_size > (double)packs[small] * (big_size + small_size * 1e-9))
				place_warning(at, "%s costs more than as much in %s", pack_id(b, big), pack_id(b, small));
		}
}

static void read_item_prices(struct edition_reader *in, const struct place *at, json_t *prices, uint32_t index, int64_t *out)
{
	struct builder *b = in->b;
	const struct item *item = ROW(b->items, struct item, index);
	uint32_t n_packs = rows_count(&b->packs), n_items = rows_count(&b->items);

	if (prices != NULL && !json_is_object(prices)) {
		place_fault(at, "must be an object of packs and their prices");
		return;
	}
	for (uint32_t i = item->packs.first; i < item->packs.first + item->packs.count; i++) {
		struct place place = place_member(at, pack_id(b, i));

		out[i] = read_price(in, at, prices, pack_id(b, i));
		if (out[i] == 0 && json_object_get(prices, pack_id(b, i)) != NULL && item->component != SERVICE)
			place_warning(&place, "costs nothing");
	}
	if (item->has_fixed)
		out[n_packs + index] = read_price(in, at, prices, "delivery");
	if (item->short_below > 0.0)
		out[n_packs + n_items + index] = read_price(in, at, prices, "short");
	refuse_others(b, at, prices, item);
	warn_of_dear_packs(b, at, item, out);
}

static void refuse_other_items(struct edition_reader *in, const struct place *at, json_t *prices)
{
	const struct names *names = &in->b->names[NAME_ITEM];
	const char *key;
	json_t *value;

	json_object_foreach(prices, key, value)
	{
		struct place place = place_member(at, key);
		struct nearest nearest = nearest_to(key);
		char hint[NEAREST_HINT_SIZE];
		uint32_t index;

		if (name_find(in->b, NAME_ITEM, key, &index) || names->incomplete)
			continue;
		for (uint32_t i = 0; i < rows_count(&names->sorted); i++)
			nearest_offer(&nearest, ROW(names->sorted, struct name, i)->word);
		place_fault(&place, "no item is named so%s", nearest_hint(&nearest, hint));
	}
}

void read_prices(struct edition_reader *in)
{
	struct builder *b = in->b;
	json_t *prices = reader_value(in->top, "prices", NEEDED);
	struct place at = place_member(&in->top->at, "prices");
	uint32_t n = rows_count(&b->packs) + 2 * rows_count(&b->items), first = rows_count(&b->prices);
	const int64_t none = 0;

	for (uint32_t i = 0; i < n; i++)
		rows_add(&b->prices, &none);
	if (prices != NULL && !json_is_object(prices))
		place_fault(&at, "must be an object of items and their prices");
	if (!json_is_object(prices) || b->out_of_memory)
		return;
	for (uint32_t item = 0; item < rows_count(&b->items); item++) {
		struct place place = place_member(&at, item_id(b, item));

		read_item_prices(in, &place, json_object_get(prices, item_id(b, item)), item, ROW(b->prices, int64_t, first));
	}
	refuse_other_items(in, &at, prices);
}
