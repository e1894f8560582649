#include "compile_editions.h"

#include <stdio.h>
#include <string.h>

void read_retention(struct edition_reader *in, struct edition *edition)
{
	struct place at = place_member(&in->top->at, "retention");
	json_t *value = reader_value(in->top, "retention", MAY_MISS), *clients;
	struct place clients_at = place_member(&at, "clients");
	const char *const *words;
	struct reader retention;
	uint32_t n_words;

	if (value == NULL)
		return;
	words = words_of_list(LIST_client, &n_words);
	reader_open(&retention, &at, value);
	edition->retention_ppm = reader_ppm(&retention, "share", NEEDED, 0.2);
	edition->retention_days = (uint32_t)reader_whole(&retention, "days", NEEDED, 1, 1000, 1);
	clients = reader_list(&retention, "clients", NEEDED, 1, n_words);
	for (size_t i = 0; i < json_array_size(clients); i++) {
		struct place place = place_entry(&clients_at, i);
		const char *word = value_string(&place, json_array_get(clients, i));
		uint32_t client;

		if (word != NULL && word_index(&place, word, words, n_words, &client))
			edition->retention_clients |= 1u << client;
	}
	edition->retention_text = reader_text(in->b, &retention, "retention", TEXT_BIT(title), 0);
	reader_close(&retention);
}

/* "cement/bag": an item that has a price of that name. */
static void check_price_name(struct edition_reader *in, const struct place *at, const char *name)
{
	json_t *prices = json_object_get(in->top->object, "prices");
	const char *slash = strchr(name, '/');
	char item[64];

	snprintf(item, sizeof item, "%.*s", slash != NULL ? (int)(slash - name) : 0, name);
	if (slash == NULL || json_object_get(json_object_get(prices, item), slash + 1) == NULL)
		place_fault(at, "names no price of this edition; such a name is an item, a slash and a pack");
}

void read_sources(struct edition_reader *in)
{
	json_t *sources = reader_value(in->top, "sources", MAY_MISS);
	struct place at = place_member(&in->top->at, "sources");
	const char *name;
	json_t *value;

	if (sources != NULL && !json_is_object(sources))
		place_fault(&at, "must be an object of prices and where they come from");
	json_object_foreach (sources, name, value) {
		struct place place = place_member(&at, name);
		struct reader source;

		check_price_name(in, &place, name);
		reader_open(&source, &place, value);
		reader_day(&source, "as_of", MAY_MISS);
		reader_string(&source, "source", MAY_MISS);
		reader_close(&source);
	}
}
