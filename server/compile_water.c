#include "compile.h"

#include <stdlib.h>
#include <string.h>

static const char *const equipment_words[8] = {"filter", "uv", "bottom_drains", "skimmers", "air", "lights", "overflow",
	"top_up"}; /* the order of style.equipment */

/* ---- pumps ---- */

/* Points of a curve into `points`; 0 after a fault. */
static size_t read_curve(struct reader *entry, double points[PUMP_POINTS_MAX][2])
{
	json_t *list = reader_list(entry, "curve", NEEDED, 5, PUMP_POINTS_MAX);
	struct place at = place_member(&entry->at, "curve");
	size_t n = json_array_size(list);

	for (size_t i = 0; i < n; i++) {
		struct place place = place_entry(&at, i);
		json_t *pair = json_array_get(list, i);

		if (!json_is_array(pair) || json_array_size(pair) != 2) {
			place_fault(&place, "must be two numbers, [litres an hour, metres]");
			return 0;
		}
		if (!value_number(&place, json_array_get(pair, 0), 0, 1e6, &points[i][0]) ||
			!value_number(&place, json_array_get(pair, 1), 0, 200, &points[i][1]))
			return 0;
	}
	return n;
}

static void read_pump(struct builder *b, struct reader *entry)
{
	const char *id = reader_id(entry, "id");
	struct place at = place_member(&entry->at, "curve");
	double points[PUMP_POINTS_MAX][2];
	struct pump pump = {0};
	size_t n = read_curve(entry, points);
	enum status status = n > 0 ? pump_curve_prepare((const double(*)[2])points, n, &pump.curve) : ST_OK;

	if (status != ST_OK)
		place_fault(&at, "%s", status_sentence(status));
	pump.power_w = reader_number(entry, "power_w", NEEDED, 1, 1e5, 1);
	reader_name(b, entry, "item", NEEDED, NAME_ITEM, &pump.item);
	pump.text = reader_text(b, entry, id, TEXT_BIT(title), 0);
	name_add(b, NAME_PUMP, &entry->at, id, rows_add(&b->pumps, &pump));
}

/* ---- pipes ---- */

struct bore_entry {
	double bore_mm;
	size_t index;
};

static int by_bore(const void *left, const void *right)
{
	const struct bore_entry *a = left, *c = right;

	if (a->bore_mm != c->bore_mm)
		return a->bore_mm < c->bore_mm ? -1 : 1;
	return a->index < c->index ? -1 : 1;
}

static void read_bore(struct builder *b, const struct place *at, json_t *value)
{
	struct bore bore = {0};
	struct reader entry;
	const char *id;

	reader_open(&entry, at, value);
	if (entry.object == NULL)
		return;
	id = reader_id(&entry, "id");
	bore.bore_mm = reader_number(&entry, "bore_mm", NEEDED, enquiry_fields[F_bore_mm].lo, enquiry_fields[F_bore_mm].hi, 1);
	bore.roughness_mm = reader_number(&entry, "roughness_mm", NEEDED, 0, 5, 0);
	reader_name(b, &entry, "item", NEEDED, NAME_ITEM, &bore.item);
	bore.text = reader_text(b, &entry, id, TEXT_BIT(title), 0);
	for (uint32_t i = 0; i < rows_count(&b->bores); i++) {
		const struct bore *other = ROW(b->bores, struct bore, i);

		if (other->bore_mm == bore.bore_mm && other->roughness_mm == bore.roughness_mm)
			place_fault(at, "there is another bore of this width and roughness");
	}
	reader_close(&entry);
	name_add(b, NAME_BORE, at, id, rows_add(&b->bores, &bore));
}

/* In the catalogue bores rise, however they are written. */
static void read_bores(struct builder *b, struct document *document)
{
	json_t *list = reader_list(&document->top, "bores", NEEDED, 1, BORES_MOST);
	struct place at = place_member(&document->top.at, "bores");
	struct bore_entry order[BORES_MOST];
	size_t n = json_array_size(list);

	for (size_t i = 0; i < n; i++) {
		json_t *bore_mm = json_object_get(json_array_get(list, i), "bore_mm");

		order[i] = (struct bore_entry){json_is_number(bore_mm) ? json_number_value(bore_mm) : 0.0, i};
	}
	qsort(order, n, sizeof *order, by_bore);
	for (size_t i = 0; i < n; i++) {
		struct place place = place_entry(&at, order[i].index);

		read_bore(b, &place, json_array_get(list, order[i].index));
	}
}

static void read_fitting(struct builder *b, struct reader *entry)
{
	const char *id = reader_id(entry, "id");
	struct fitting fitting;

	fitting.k = reader_number(entry, "k", NEEDED, 0, 100, 0);
	fitting.usual = reader_whole(entry, "usual", MAY_MISS, 0, 100, 0);
	fitting.text = reader_text(b, entry, id, TEXT_BIT(title), 0);
	name_add(b, NAME_FITTING, &entry->at, id, rows_add(&b->fittings, &fitting));
}

static void read_pipes(struct builder *b)
{
	struct document document;

	if (!document_open(b, "pipes.json", &document)) {
		b->names[NAME_BORE].incomplete = true;
		b->names[NAME_FITTING].incomplete = true;
		return;
	}
	read_bores(b, &document);
	read_list(b, &document, "fittings", 1, FITTINGS_MOST, read_fitting);
	document_close(&document);
}

/* ---- styles ---- */

static void read_equipment(struct reader *entry, const char *key, double most, double numbers[8])
{
	json_t *value = reader_value(entry, key, MAY_MISS);
	struct place at = place_member(&entry->at, key);
	struct reader inner;

	reader_open(&inner, &at, value);
	for (size_t i = 0; i < 8; i++)
		numbers[i] = reader_number(&inner, equipment_words[i], MAY_MISS, 0, most, 0);
	if (inner.object != NULL)
		reader_close(&inner);
}

static void read_style(struct builder *b, struct reader *styles, uint32_t index, const char *word)
{
	struct style *style = &b->config.catalogue.styles[index];
	struct place at = place_member(&styles->at, word);
	struct reader entry;

	reader_open(&entry, &at, reader_value(styles, word, NEEDED));
	if (entry.object == NULL)
		return;
	style->turnover_h = reader_number(&entry, "turnover_h", MAY_MISS, 0, 1000, 0);
	style->hours_per_day = reader_number(&entry, "hours_per_day", NEEDED, 0, 24, 24);
	style->fish = reader_flag(&entry, "fish", MAY_MISS, false);
	read_equipment(&entry, "equipment", 50, style->equipment);
	read_equipment(&entry, "per_m3", 1e6, style->per_m3);
	b->config.style_texts[index] = reader_text(b, &entry, word, 0, TEXT_BIT(title));
	reader_close(&entry);
}

static void read_styles(struct builder *b)
{
	uint32_t count;
	const char *const *words = words_of_list(LIST_style, &count);
	struct document document;
	struct reader styles;
	struct place at;

	if (!document_open(b, "styles.json", &document))
		return;
	at = place_member(&document.top.at, "styles");
	reader_open(&styles, &at, reader_value(&document.top, "styles", NEEDED));
	for (uint32_t i = 0; styles.object != NULL && i < count; i++)
		read_style(b, &styles, i, words[i]);
	if (styles.object != NULL)
		reader_close(&styles);
	document_close(&document);
}

void compile_water(struct builder *b)
{
	read_list_file(b, "pumps.json", "pumps", 1, PUMPS_MOST, NAME_PUMP, read_pump);
	read_pipes(b);
	read_styles(b);
}
