#include "answer_regions.h"

#include <string.h>

#include "answer_view.h"
#include "answer_words.h"
#include "compile.h"
#include "dates.h"

#define PPM 1e6

static const struct text *text_of(const struct config *config, uint32_t text)
{
	return config_text(config, text);
}

static void day_member(struct writer *out, const char *key, int32_t day)
{
	char text[DATE_TEXT_SIZE];

	date_text(day, text);
	writer_member_string(out, key, text);
}

/* ---- the card ---- */

static void editions(struct writer *out, const struct config *config, const struct region *region)
{
	writer_key(out, "editions");
	writer_array_open(out);
	for (uint32_t i = region->editions.first; i < region->editions.first + region->editions.count; i++) {
		const struct edition *edition = &config->catalogue.editions[i];

		writer_object_open(out);
		writer_member_string(out, "id", text_of(config, edition->text)->id);
		day_member(out, "from", edition->from_day);
		writer_member_int(out, "validity_days", edition->validity_days);
		writer_member_int(out, "lead_days", edition->lead_days);
		writer_member_bool(out, "invented", config->edition_cards[i].invented);
		writer_object_close(out);
	}
	writer_array_close(out);
}

static void card_members(struct writer *out, const struct config *config, uint32_t index)
{
	const struct region *region = &config->catalogue.regions[index];
	const struct region_card *card = &config->region_cards[index];
	const struct text *text = text_of(config, region->text);

	writer_member_string(out, "id", text->id);
	writer_member_string(out, "title", text->title);
	writer_member_string(out, "nation", config_word(config, LIST_nation, region->nation));
	writer_member_string(out, "currency", text->currency);
	writer_member_string(out, "symbol", text->symbol);
	writer_member_int(out, "minor_digits", card->minor_digits);
	writer_member_string(out, "units", card->us_units ? "us" : "metric");
	writer_member_string(out, "climate", text->climate);
	writer_key(out, "postcodes"); /* beginnings of postcodes, or counties, that the region serves */
	writer_array_open(out);
	for (uint32_t i = card->postcodes.first; i < card->postcodes.first + card->postcodes.count; i++)
		writer_string(out, config->strings[i]);
	writer_array_close(out);
	writer_member_bool(out, "invented", card->invented);
	editions(out, config, region);
}

void answer_regions(struct writer *out, const struct config *config)
{
	const struct region *usual = &config->catalogue.regions[config->service.default_region];

	writer_object_open(out);
	writer_member_string(out, "firm", config->service.firm);
	writer_member_string(out, "colour_light", config->service.colour_light);
	writer_member_string(out, "colour_dark", config->service.colour_dark);
	writer_member_string(out, "default_region", text_of(config, usual->text)->id);
	writer_key(out, "regions");
	writer_array_open(out);
	for (uint32_t i = 0; i < config->catalogue.n_regions; i++) {
		writer_object_open(out);
		card_members(out, config, i);
		writer_object_close(out);
	}
	writer_array_close(out);
	writer_object_close(out);
}

/* ---- what one region offers ---- */

/* Tax of the newest edition. */
static void taxes(struct writer *out, const struct config *config, const struct region *region)
{
	const struct edition *newest;

	writer_key(out, "tax");
	writer_array_open(out);
	newest = &config->catalogue.editions[region->editions.first + region->editions.count - 1];
	for (uint32_t i = 0; i < newest->tax_classes.count && newest->registered; i++) {
		const struct tax_class *row = &config->catalogue.tax_classes[newest->tax_classes.first + i];

		writer_object_open(out);
		writer_member_string(out, "class", text_of(config, row->text)->id);
		writer_member_string(out, "title", text_of(config, row->text)->title);
		writer_member_number(out, "rate", (double)row->rate_ppm / PPM);
		writer_object_close(out);
	}
	writer_array_close(out);
}

/* Opens an entry of a list with its id and title; the caller closes it. */
static void entry_open(struct writer *out, const struct text *text)
{
	writer_object_open(out);
	writer_member_string(out, "id", text->id);
	writer_member_string(out, "title", text->title);
}

static void layers(struct writer *out, const struct config *config, struct span layers)
{
	writer_key(out, "layers");
	writer_array_open(out);
	for (uint32_t i = layers.first; i < layers.first + layers.count; i++) {
		const struct layer *layer = &config->catalogue.layers[i];

		writer_object_open(out);
		writer_member_string(out, "kind", layer_word((enum layer_kind)layer->kind));
		writer_member_number(out, "thickness_mm", layer->thickness_m * 1000);
		writer_member_number(out, "coats", layer->coats);
		writer_object_close(out);
	}
	writer_array_close(out);
}

static void shells(struct writer *out, const struct config *config)
{
	writer_key(out, "shells");
	writer_array_open(out);
	for (uint32_t i = 0; i < config->catalogue.n_shells; i++) {
		const struct shell *shell = &config->catalogue.shells[i];

		entry_open(out, text_of(config, shell->text));
		writer_member_number(out, "service_life_years", shell->service_life_years);
		writer_member_bool(out, "sheet", shell->sheet);
		writer_member_string(out, "mix", text_of(config, shell->text)->mix);
		layers(out, config, shell->layers);
		writer_object_close(out);
	}
	writer_array_close(out);
}

static void soils(struct writer *out, const struct config *config)
{
	writer_key(out, "soils");
	writer_array_open(out);
	for (uint32_t i = 0; i < soil_COUNT; i++) {
		const struct soil *soil = &config->catalogue.soils[i];

		writer_object_open(out);
		writer_member_string(out, "id", config_word(config, LIST_soil, i));
		writer_member_string(out, "title", text_of(config, config->soil_texts[i])->title);
		writer_member_number(out, "bank_t_m3", soil->bank_t_m3);
		writer_member_number(out, "swell", soil->swell);
		writer_member_number(out, "safe_deg", soil->safe_deg);
		writer_object_close(out);
	}
	writer_array_close(out);
}

static void pump_curve(struct writer *out, const struct pump_curve *curve)
{
	writer_key(out, "curve");
	writer_array_open(out);
	for (size_t i = 0; i < curve->n_points; i++) {
		writer_array_open(out);
		writer_number(out, curve->flow_l_per_h[i]);
		writer_number(out, curve->head_m[i]);
		writer_array_close(out);
	}
	writer_array_close(out);
}

static void pumps(struct writer *out, const struct config *config)
{
	writer_key(out, "pumps");
	writer_array_open(out);
	for (uint32_t i = 0; i < config->catalogue.n_pumps; i++) {
		const struct pump *pump = &config->catalogue.pumps[i];

		entry_open(out, text_of(config, pump->text));
		pump_curve(out, &pump->curve);
		writer_member_number(out, "power_w", pump->power_w);
		writer_object_close(out);
	}
	writer_array_close(out);
}

static void bores(struct writer *out, const struct config *config)
{
	writer_key(out, "bores");
	writer_array_open(out);
	for (uint32_t i = 0; i < config->catalogue.n_bores; i++) {
		const struct bore *bore = &config->catalogue.bores[i];

		entry_open(out, text_of(config, bore->text));
		writer_member_number(out, "bore_mm", bore->bore_mm);
		writer_member_number(out, "roughness_mm", bore->roughness_mm);
		writer_object_close(out);
	}
	writer_array_close(out);
}

static void fittings(struct writer *out, const struct config *config)
{
	writer_key(out, "fittings");
	writer_array_open(out);
	for (uint32_t i = 0; i < config->catalogue.n_fittings; i++) {
		const struct fitting *fitting = &config->catalogue.fittings[i];

		entry_open(out, text_of(config, fitting->text));
		writer_member_number(out, "k", fitting->k);
		writer_member_number(out, "usual", fitting->usual);
		writer_object_close(out);
	}
	writer_array_close(out);
}

static void edges(struct writer *out, const struct config *config)
{
	writer_key(out, "edges");
	writer_array_open(out);
	for (uint32_t i = 0; i < config->catalogue.n_edges; i++) {
		entry_open(out, text_of(config, config->catalogue.edges[i].text));
		writer_object_close(out);
	}
	writer_array_close(out);
}

static void root_plants(struct writer *out, const struct config *config)
{
	writer_key(out, "root_plants");
	writer_array_open(out);
	for (uint32_t i = 0; i < config->catalogue.n_root_plants; i++) {
		const struct root_plant *plant = &config->catalogue.root_plants[i];

		entry_open(out, text_of(config, plant->text));
		writer_member_string(out, "latin", text_of(config, plant->text)->latin);
		writer_member_bool(out, "pierces", plant->pierces);
		writer_object_close(out);
	}
	writer_array_close(out);
}

/* Questions of the unknowns: the first row of each field that may hold in the region. */
static void questions_of_unknowns(struct writer *out, const struct config *config, uint32_t region)
{
	uint32_t said = UNKNOWN_SUBJECTS;

	writer_key(out, "questions");
	writer_array_open(out);
	for (uint32_t i = 0; i < config->catalogue.n_unknowns; i++) {
		const struct unknown *row = &config->catalogue.unknowns[i];
		const struct text *text = text_of(config, row->text);

		if (row->subject >= F_COUNT || row->subject == said || (row->region != REGION_ANY && row->region != region))
			continue;
		said = row->subject;
		writer_object_open(out);
		writer_member_string(out, "pointer", enquiry_fields[row->subject].pointer);
		writer_member_string(out, "question", text->question);
		writer_member_string(out, "why", text->why);
		writer_member_string(out, "where", row->on_visit ? "visit" : "phone");
		writer_object_close(out);
	}
	writer_array_close(out);
}

static void region_members(struct writer *out, const struct config *config, uint32_t index)
{
	writer_object_open(out);
	card_members(out, config, index);
	taxes(out, config, &config->catalogue.regions[index]);
	shells(out, config);
	soils(out, config);
	pumps(out, config);
	bores(out, config);
	fittings(out, config);
	edges(out, config);
	root_plants(out, config);
	answer_words(out, config);
	questions_of_unknowns(out, config, index);
	answer_disclaimer(out, config);
	writer_object_close(out);
}

bool answer_region(struct writer *out, const struct config *config, const char *id)
{
	uint32_t index;

	if (!config_word_index(config, LIST_regions, id, &index))
		return false;
	region_members(out, config, index);
	return true;
}
