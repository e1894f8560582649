#include "demo_words.h"

#include <assert.h>

#include "dates.h"

#define COUNT_OF(array) ((uint32_t)(sizeof(array) / sizeof(array)[0]))

/* By the alphabet, so that the sorted order is the order. */
static const char *const regions[] = {"demo-north", "demo-south"};
static const char *const editions[] = {"2026-04", "2026-10", "2026-10"};
static const char *const shells[] = {"clay-lining", "rendered-concrete", "rubber-sheet"};
static const char *const pumps[] = {"demo-pump-large", "demo-pump-small"};
static const char *const edges[] = {"sandstone", "slate"};
static const char *const root_plants[] = {"bulrush", "common-reed"};
static const char *const fittings[] = {"ball-valve", "elbow-45", "elbow-90", "tee"};
static const char *const bores[] = {"bore-25", "bore-32"};
static const uint32_t sorted[] = {0, 1, 2, 3};

static const struct preset presets[] = {{F_freeboard_m, 0.15}};
static struct region region_rows[2];
static struct edition edition_rows[3];

static void set_words(struct config *config, enum word_list list, const char *const *words, uint32_t count)
{
	config->words[list] = (struct word_table){words, sorted, count};
}

static int32_t day_of(const char *text)
{
	int32_t day;
	bool read = date_read(text, 10, &day);

	assert(read);
	return day;
}

static void set_regions(struct config *config)
{
	region_rows[0] = (struct region){.editions = {0, 2}, .presets = {0, 1}};
	region_rows[1] = (struct region){.editions = {2, 1}};
	edition_rows[0] = (struct edition){.from_day = day_of("2026-04-01"), .lead_days = 14};
	edition_rows[1] = (struct edition){.from_day = day_of("2026-10-01"), .lead_days = 21};
	edition_rows[2] = (struct edition){.region = 1, .from_day = day_of("2026-10-01"), .lead_days = 7};
	config->catalogue.regions = region_rows;
	config->catalogue.n_regions = COUNT_OF(region_rows);
	config->catalogue.editions = edition_rows;
	config->catalogue.n_editions = COUNT_OF(edition_rows);
	config->catalogue.presets = presets;
	config->catalogue.n_fittings = COUNT_OF(fittings);
}

const struct config *demo_words(void)
{
	static struct config config;

	if (config.catalogue.n_regions > 0)
		return &config;
	for (uint32_t list = 0; list < LIST_FIXED_COUNT; list++)
		config.words[list].words = words_of_list((enum word_list)list, &config.words[list].count);
	set_words(&config, LIST_regions, regions, COUNT_OF(regions));
	set_words(&config, LIST_editions, editions, COUNT_OF(editions));
	set_words(&config, LIST_shells, shells, COUNT_OF(shells));
	set_words(&config, LIST_pumps, pumps, COUNT_OF(pumps));
	set_words(&config, LIST_edges, edges, COUNT_OF(edges));
	set_words(&config, LIST_root_plants, root_plants, COUNT_OF(root_plants));
	set_words(&config, LIST_fittings, fittings, COUNT_OF(fittings));
	set_words(&config, LIST_bores, bores, COUNT_OF(bores));
	fields_parents(config.catalogue.parent);
	set_regions(&config);
	return &config;
}
