#include "compile_editions.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { EDITIONS_OF_REGION_MOST = 64 };

/* ---- rates by name: every grade, every sum ---- */

static void refuse_other_names(struct builder *b, const struct place *at, json_t *rates, enum name_kind kind)
{
	const struct names *names = &b->names[kind];
	const char *key;
	json_t *value;

	json_object_foreach(rates, key, value)
	{
		struct place place = place_member(at, key);
		struct nearest nearest = nearest_to(key);
		char hint[NEAREST_HINT_SIZE];
		uint32_t index;

		if (name_find(b, kind, key, &index) || names->incomplete)
			continue;
		for (uint32_t i = 0; i < rows_count(&names->sorted); i++)
			nearest_offer(&nearest, ROW(names->sorted, struct name, i)->word);
		place_fault(&place, "is priced, but nothing is named so%s", nearest_hint(&nearest, hint));
	}
}

/* The member of every name of a kind, as money; `minor` in minor units, else in thousandths of them. */
static void read_rates(struct edition_reader *in, const char *member, enum name_kind kind, bool minor, int64_t *rates,
	uint32_t most)
{
	const struct names *names = &in->b->names[kind];
	struct place at = place_member(&in->top->at, member);
	struct reader reader;

	reader_open(&reader, &at, reader_value(in->top, member, NEEDED));
	for (uint32_t i = 0; i < rows_count(&names->sorted); i++) {
		const struct name *name = ROW(names->sorted, struct name, i);

		if (name->index < most)
			rates[name->index] = minor ? reader_minor(&reader, name->word, NEEDED, in->minor_digits)
						   : reader_milliminor(&reader, name->word, NEEDED, in->minor_digits);
	}
	refuse_other_names(in->b, &at, reader.object, kind);
}

/* ---- crew, shares, payment, terms ---- */

static void read_crew(struct edition_reader *in, struct edition *edition)
{
	struct place at = place_member(&in->top->at, "crew");
	struct reader crew;

	reader_open(&crew, &at, reader_value(in->top, "crew", NEEDED));
	edition->crew_people = reader_whole(&crew, "people", NEEDED, 1, 20, 1);
	edition->productive_h = reader_number(&crew, "productive_h", NEEDED, 1, 16, 1);
	edition->paid_h = reader_number(&crew, "paid_h", NEEDED, 1, 16, 16);
	if (edition->productive_h > edition->paid_h)
		place_fault(&at, "more hours are worked than paid");
	reader_string(&crew, "source", MAY_MISS);
	reader_string(&crew, "note", MAY_MISS);
	reader_close(&crew);
}

static void read_shares(struct edition_reader *in, struct edition *edition)
{
	struct place at = place_member(&in->top->at, "shares");
	struct reader shares;

	reader_open(&shares, &at, reader_value(in->top, "shares", NEEDED));
	edition->overhead_ppm = reader_ppm(&shares, "overhead", NEEDED, 0.95);
	edition->risk_ppm = reader_ppm(&shares, "risk", NEEDED, 0.95);
	edition->margin_ppm = reader_ppm(&shares, "margin", NEEDED, 0.95);
	reader_string(&shares, "source", MAY_MISS);
	reader_string(&shares, "note", MAY_MISS);
	reader_close(&shares);
}

static void read_payment(struct edition_reader *in, struct edition *edition)
{
	json_t *list = reader_list(in->top, "payment", NEEDED, 1, STAGES_MOST);
	struct place at = place_member(&in->top->at, "payment");
	int64_t sum_ppm = 0;

	edition->n_stages = (uint32_t)json_array_size(list);
	for (uint32_t i = 0; i < edition->n_stages; i++) {
		struct place place = place_entry(&at, i);
		struct reader entry;

		reader_open(&entry, &place, json_array_get(list, i));
		edition->stages[i].share_ppm = reader_ppm(&entry, "share", NEEDED, 1);
		edition->stages[i].text = reader_text(in->b, &entry, reader_id(&entry, "id"), TEXT_BIT(title), 0);
		reader_close(&entry);
		sum_ppm += edition->stages[i].share_ppm;
	}
	if (list != NULL && sum_ppm != 1000000)
		place_fault(&at, "the shares add up to %lld parts in a million, not to a million", (long long)sum_ppm);
}

static struct span read_terms(struct edition_reader *in)
{
	struct builder *b = in->b;
	json_t *terms = reader_value(in->top, "terms", MAY_MISS);
	struct place at = place_member(&in->top->at, "terms");
	uint32_t first = rows_count(&b->terms);
	const char *key;
	json_t *value;

	if (terms != NULL && (!json_is_object(terms) || json_object_size(terms) > TERMS_MOST))
		place_fault(&at, "must be an object of at most %d texts", TERMS_MOST);
	json_object_foreach(terms, key, value)
	{
		struct place place = place_member(&at, key);
		struct text text = {.id = text_pool_add(&b->pool, key), .text = text_pool_add(&b->pool, value_string(&place, value))};
		uint32_t index = rows_add(&b->texts, &text);

		rows_add(&b->terms, &index);
	}
	return span_since(&b->terms, first);
}

/* ---- an edition ---- */

static void read_money(struct edition_reader *in, struct edition *edition)
{
	struct place net_at = place_member(&in->top->at, "round_net"), gross_at = place_member(&in->top->at, "headline_round");

	edition->minimum_charge_minor = reader_minor(in->top, "minimum_charge", NEEDED, in->minor_digits);
	edition->round_net_minor = reader_minor(in->top, "round_net", NEEDED, in->minor_digits);
	edition->headline_minor = reader_minor(in->top, "headline_round", NEEDED, in->minor_digits);
	edition->energy_milliminor_kwh = reader_milliminor(in->top, "energy_per_kwh", NEEDED, in->minor_digits);
	edition->water_milliminor_m3 = reader_milliminor(in->top, "water_per_m3", NEEDED, in->minor_digits);
	if (edition->round_net_minor < 1)
		place_fault(&net_at, "must be at least the smallest coin");
	if (edition->headline_minor < 1)
		place_fault(&gross_at, "must be at least the smallest coin");
}

/* The name of an edition is the start of its day, so that names and days sort alike. */
static void read_from(struct edition_reader *in, const char *id, struct edition *edition)
{
	const char *from = reader_string(in->top, "from", NEEDED);
	struct place at = place_member(&in->top->at, "from");

	if (from == NULL || !value_day(&at, json_object_get(in->top->object, "from"), &edition->from_day))
		return;
	if ((strlen(id) != 7 && strlen(id) != 10) || strncmp(from, id, strlen(id)) != 0)
		place_fault(&at, "does not begin with the name of the file, which must be a month or a day: %s.json", id);
}

static void read_edition(struct edition_reader *in, const char *id, uint32_t region)
{
	struct edition edition = {.region = (uint16_t)region};
	struct edition_card card = {0};

	read_from(in, id, &edition);
	read_prices(in);
	read_rates(in, "labour", NAME_GRADE, false, edition.grade_milliminor_h, GRADES_MOST);
	read_rates(in, "sums", NAME_SUM, true, edition.sum_minor, SUMS_MOST);
	read_crew(in, &edition);
	read_shares(in, &edition);
	read_money(in, &edition);
	read_tax(in, &edition);
	edition.discount_rate = reader_number(in->top, "discount_rate", NEEDED, 0, 0.5, 0);
	edition.price_growth = reader_number(in->top, "price_growth", NEEDED, -0.1, 0.5, 0);
	edition.lead_days = (uint32_t)reader_whole(in->top, "lead_days", NEEDED, 0, 730, 0);
	edition.validity_days = (uint32_t)reader_whole(in->top, "validity_days", NEEDED, 1, 365, 1);
	read_payment(in, &edition);
	read_retention(in, &edition);
	read_sources(in);
	card.invented = reader_flag(in->top, "invented", MAY_MISS, false);
	card.terms = read_terms(in);
	edition.text = reader_text(in->b, in->top, id, 0, TEXT_BIT(title));
	rows_add(&in->b->editions, &edition);
	rows_add(&in->b->edition_cards, &card);
}

static void read_edition_file(struct builder *b, const char *path, uint32_t region, uint32_t first)
{
	const char *name = strrchr(path, '/') + 1;
	struct place top = place_top(b->faults, path);
	struct document document;
	struct edition_reader in = {.b = b, .minor_digits = ROW(b->region_cards, struct region_card, region)->minor_digits};
	const struct edition *edition;
	char id[64];

	if (!document_open(b, path, &document))
		return;
	snprintf(id, sizeof id, "%.*s", (int)(strlen(name) - strlen(".json")), name);
	in.top = &document.top;
	read_edition(&in, id, region);
	edition = ROW(b->editions, struct edition, rows_count(&b->editions) - 1);
	if (rows_count(&b->editions) > first + 1 && edition->from_day <= (edition - 1)->from_day)
		place_fault(&top, "is not newer than the edition before it");
	document_close(&document);
}

/* By name without .json, so that 2026-10 comes before 2026-10-15. */
static int by_name(const void *left, const void *right)
{
	const char *a = *(const char *const *)left, *c = *(const char *const *)right;
	size_t n = strlen(a) - strlen(".json"), m = strlen(c) - strlen(".json");
	int order = memcmp(a, c, n < m ? n : m);

	return order != 0 ? order : n < m ? -1 : n > m;
}

void compile_editions(struct builder *b, uint32_t region, const char *id)
{
	const char *paths[EDITIONS_OF_REGION_MOST];
	uint32_t first = rows_count(&b->editions), n = 0;
	char folder[96];
	size_t length = (size_t)snprintf(folder, sizeof folder, "regions/%s/", id);

	for (size_t i = 0; i < b->files->count; i++) {
		const char *path = b->files->list[i].path;

		if (strncmp(path, folder, length) != 0 || strcmp(path + length, "region.json") == 0)
			continue;
		if (n == EDITIONS_OF_REGION_MOST) {
			faults_add(b->faults, false, path, "", "is one too many: a region may have %d editions", EDITIONS_OF_REGION_MOST);
			break;
		}
		paths[n++] = path;
	}
	if (n == 0)
		faults_add(b->faults, false, folder, "", "has no edition: nothing is priced");
	qsort(paths, n, sizeof *paths, by_name);
	for (uint32_t i = 0; i < n; i++)
		read_edition_file(b, paths[i], region, first);
	ROW(b->regions, struct region, region)->editions = span_since(&b->editions, first);
}
