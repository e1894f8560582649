#include "config.h"

#include "media.h"

#include <string.h>

const char *const *config_words(const struct config *config, enum word_list list, uint32_t *count)
{
	*count = config->words[list].count;
	return config->words[list].words;
}

const char *config_word(const struct config *config, enum word_list list, uint32_t index)
{
	const struct word_table *table = &config->words[list];

	return index < table->count ? table->words[index] : NULL;
}

static bool find_sorted(const struct word_table *table, const char *word, uint32_t *index)
{
	uint32_t low = 0, high = table->count;

	while (low < high) {
		uint32_t middle = low + (high - low) / 2;
		int order = strcmp(table->words[table->sorted[middle]], word);

		if (order == 0) {
			*index = table->sorted[middle];
			return true;
		}
		if (order < 0)
			low = middle + 1;
		else
			high = middle;
	}
	return false;
}

bool config_word_index(const struct config *config, enum word_list list, const char *word, uint32_t *index)
{
	const struct word_table *table = &config->words[list];

	if (list == LIST_editions)
		return false;
	if (table->sorted != NULL)
		return find_sorted(table, word, index);
	for (uint32_t i = 0; i < table->count; i++)
		if (strcmp(table->words[i], word) == 0) {
			*index = i;
			return true;
		}
	return false;
}

struct nearest config_word_nearest(const struct config *config, enum word_list list, const char *word)
{
	struct nearest nearest = nearest_to(word);

	for (uint32_t i = 0; i < config->words[list].count; i++)
		nearest_offer(&nearest, config->words[list].words[i]);
	return nearest;
}

bool config_edition_index(const struct config *config, uint32_t region, const char *word, uint32_t *index)
{
	struct span editions = config->catalogue.regions[region].editions;

	for (uint32_t i = editions.first; i < editions.first + editions.count; i++)
		if (strcmp(config->words[LIST_editions].words[i], word) == 0) {
			*index = i;
			return true;
		}
	return false;
}

bool config_edition_on(const struct config *config, uint32_t region, int32_t day, uint32_t *index)
{
	struct span editions = config->catalogue.regions[region].editions;
	bool found = false;

	for (uint32_t i = editions.first; i < editions.first + editions.count; i++)
		if (config->catalogue.editions[i].from_day <= day) {
			*index = i;
			found = true;
		}
	return found;
}

const struct config *config_spoken(const struct config *config, const char *accept)
{
	return config_language(config, (uint32_t)media_language(accept, config->tags, config->n_languages));
}

const char *config_help(const struct config *config, enum field_id id)
{
	return config->helps != NULL && config->helps[id] != NULL ? config->helps[id] : enquiry_fields[id].help;
}

const char *const *config_word_titles(const struct config *config, enum word_list list)
{
	const char *const *titles = config->word_titles;

	if (titles == NULL || list >= LIST_FIXED_COUNT)
		return NULL;
	for (uint32_t before = 0; before < (uint32_t)list; before++)
		titles += config->words[before].count;
	return titles;
}
