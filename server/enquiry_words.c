#include "enquiry_words.h"

#include <stdio.h>
#include <string.h>

enum { LISTED_MOST = 300 };

static bool edition_find(const struct config *config, uint32_t region, const char *word, uint32_t *place)
{
	if (region != REGION_ALL)
		return config_edition_index(config, region, word, place);
	for (uint32_t i = 0; i < config->catalogue.n_regions; i++)
		if (config_edition_index(config, i, word, place))
			return true;
	return false;
}

bool word_find(const struct config *config, enum word_list list, uint32_t region, const char *word, uint32_t *place)
{
	if (list == LIST_editions)
		return edition_find(config, region, word, place);
	return config_word_index(config, list, word, place);
}

const char *word_choices(
	const struct config *config, enum word_list list, uint32_t region, const char *word, char text[CHOICES_SIZE])
{
	struct nearest nearest = nearest_to(word);
	struct span all = {0, 0};
	char hint[NEAREST_HINT_SIZE];
	uint32_t left_out = 0;
	size_t length = 0;

	config_words(config, list, &all.count);
	if (list == LIST_editions && region != REGION_ALL)
		all = config->catalogue.regions[region].editions;
	text[0] = '\0';
	for (uint32_t i = all.first; i < all.first + all.count; i++) {
		const char *choice = config_word(config, list, i);
		size_t more = strlen(choice) + 2;

		nearest_offer(&nearest, choice);
		if (left_out == 0 && length + more < LISTED_MOST)
			length += (size_t)snprintf(
				text + length, CHOICES_SIZE - length, "%s%s", length > 0 ? ", " : "", choice);
		else
			left_out++;
	}
	if (left_out > 0)
		length += (size_t)snprintf(text + length, CHOICES_SIZE - length, " and %u more", left_out);
	snprintf(text + length, CHOICES_SIZE - length, "%s", nearest_hint(&nearest, hint));
	return text;
}
