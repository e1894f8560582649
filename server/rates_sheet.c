#include "rates_sheet.h"

#include <math.h>
#include <string.h>

#include "csv.h"
#include "number.h"

const char *const rate_kind_words[] = {"price", "labour", "sum", "setting"};

/* ---- rows ---- */

static bool add(struct rate_rows *rows, struct rate_row row)
{
	if (rows->count == RATE_ROWS_MOST)
		return false;
	rows->list[rows->count] = row;
	if (row.kind == RATE_SETTING)
		rows->list[rows->count].item = rows->list[rows->count].pointer;
	rows->count++;
	return true;
}

/* Values by name: wages and sums. */
static bool add_named(struct rate_rows *rows, enum rate_kind kind, json_t *object)
{
	const char *key;
	json_t *value;
	bool room = true;

	json_object_foreach (object, key, value)
		room = room && add(rows, (struct rate_row){.kind = kind, .item = key, .pack = "", .holder = object, .value = value});
	return room;
}

static bool add_prices(struct rate_rows *rows, json_t *prices)
{
	const char *item, *pack;
	json_t *packs, *value;
	bool room = true;

	json_object_foreach (prices, item, packs)
		json_object_foreach (packs, pack, value)
			room = room &&
				add(rows, (struct rate_row){.kind = RATE_PRICE, .item = item, .pack = pack, .holder = packs, .value = value});
	return room;
}

static bool add_setting(struct rate_rows *rows, json_t *holder, size_t index, const char *pointer, json_t *value)
{
	struct rate_row row = {.kind = RATE_SETTING, .pack = "", .holder = holder, .value = value, .index = index};
	char below[RATE_POINTER_SIZE];
	const char *key;
	json_t *member;
	size_t at;
	bool room = true;

	if (!json_is_object(value) && !json_is_array(value)) {
		snprintf(row.pointer, sizeof row.pointer, "%s", pointer);
		return add(rows, row);
	}
	json_object_foreach (value, key, member) {
		room = room && (size_t)snprintf(below, sizeof below, "%s/%s", pointer, key) < sizeof below;
		room = room && add_setting(rows, value, 0, below, member);
	}
	json_array_foreach (value, at, member) {
		room = room && (size_t)snprintf(below, sizeof below, "%s/%zu", pointer, at) < sizeof below;
		room = room && add_setting(rows, value, at, below, member);
	}
	return room;
}

bool rate_rows_list(struct rate_rows *rows, json_t *edition)
{
	char pointer[RATE_POINTER_SIZE];
	const char *key;
	json_t *value;
	bool room = true;

	rows->edition = edition;
	rows->count = 0;
	json_object_foreach (edition, key, value) {
		if (strcmp(key, "prices") == 0)
			room = room && add_prices(rows, value);
		else if (strcmp(key, "labour") == 0)
			room = room && add_named(rows, RATE_LABOUR, value);
		else if (strcmp(key, "sums") == 0)
			room = room && add_named(rows, RATE_SUM, value);
		else if (strcmp(key, "sources") != 0)
			room = room && (size_t)snprintf(pointer, sizeof pointer, "/%s", key) < sizeof pointer &&
				add_setting(rows, edition, 0, pointer, value);
	}
	return room;
}

void rate_source_key(const struct rate_row *row, char key[RATE_POINTER_SIZE])
{
	snprintf(key, RATE_POINTER_SIZE, "%s/%s", row->item, row->pack);
}

/* ---- the sheet ---- */

/* What the configuration says of a row. */
struct told {
	char title[256];
	const char *unit, *supplier;
};

static const struct text *text_of_word(const struct config *config, uint32_t count, const char *id,
	uint32_t (*text_at)(const struct catalogue *catalogue, uint32_t index), uint32_t *index)
{
	for (*index = 0; *index < count; ++*index) {
		const struct text *text = config_text(config, text_at(&config->catalogue, *index));

		if (strcmp(text->id, id) == 0)
			return text;
	}
	return NULL;
}

static uint32_t item_text(const struct catalogue *catalogue, uint32_t index)
{
	return catalogue->items[index].text;
}

static uint32_t grade_text(const struct catalogue *catalogue, uint32_t index)
{
	return catalogue->grades[index].text;
}

static uint32_t sum_text(const struct catalogue *catalogue, uint32_t index)
{
	return catalogue->sums[index].text;
}

static void tell_item(const struct config *config, const struct rate_row *row, struct told *told)
{
	uint32_t index;
	const struct text *text = text_of_word(config, config->catalogue.n_items, row->item, item_text, &index);
	const struct item *item;
	const char *pack = row->pack;

	if (text == NULL)
		return;
	item = &config->catalogue.items[index];
	for (uint32_t i = item->packs.first; i < item->packs.first + item->packs.count; i++)
		if (strcmp(config_text(config, config->catalogue.packs[i].text)->id, row->pack) == 0)
			pack = config_text(config, config->catalogue.packs[i].text)->title;
	if (strcmp(row->pack, "delivery") == 0)
		pack = "delivery and collection, once for a job";
	else if (strcmp(row->pack, "short") == 0)
		pack = "for each unit that a load falls short";
	snprintf(told->title, sizeof told->title, "%s: %s", text->title, pack);
	told->unit = text->unit;
	told->supplier = config_text(config, item->supplier)->title;
}

static void tell(const struct config *config, const struct rate_row *row, struct told *told)
{
	const struct text *text = NULL;
	uint32_t index;

	*told = (struct told){.unit = NULL};
	if (row->kind == RATE_PRICE) {
		tell_item(config, row, told);
		return;
	}
	if (row->kind == RATE_LABOUR)
		text = text_of_word(config, config->catalogue.n_grades, row->item, grade_text, &index);
	else if (row->kind == RATE_SUM)
		text = text_of_word(config, config->catalogue.n_sums, row->item, sum_text, &index);
	if (text != NULL && text->title != NULL)
		snprintf(told->title, sizeof told->title, "%s", text->title);
	told->unit = row->kind == RATE_LABOUR ? "h" : row->kind == RATE_SUM ? "each" : NULL;
}

/* Money with its usual decimals, or with as many more as it has. */
static void value_text(const struct rate_row *row, uint8_t minor_digits, char text[NUMBER_TEXT_SIZE + 8])
{
	double number = json_number_value(row->value), coins = number * pow(10, minor_digits);

	if (row->kind != RATE_SETTING && fabs(coins - round(coins)) < 1e-6 && number < 1e9)
		snprintf(text, NUMBER_TEXT_SIZE + 8, "%.*f", (int)minor_digits, number);
	else
		number_text(number, text);
}

static void write_row(const struct rate_rows *rows, const struct rate_row *row, const struct config *config,
	uint8_t minor_digits, struct writer *out)
{
	char number[NUMBER_TEXT_SIZE + 8], key[RATE_POINTER_SIZE];
	json_t *source;
	const char *value = json_string_value(row->value);
	struct told told;

	tell(config, row, &told);
	rate_source_key(row, key);
	source = row->kind == RATE_PRICE ? json_object_get(json_object_get(rows->edition, "sources"), key) : NULL;
	if (json_is_boolean(row->value))
		value = json_is_true(row->value) ? "true" : "false";
	if (json_is_number(row->value)) {
		value_text(row, minor_digits, number);
		value = number;
	}
	csv_field(out, true, rate_kind_words[row->kind]);
	csv_field(out, false, row->item);
	csv_field(out, false, row->pack);
	csv_field(out, false, told.title);
	csv_field(out, false, told.unit);
	csv_field(out, false, value);
	csv_field(out, false, told.supplier);
	csv_field(out, false, json_string_value(json_object_get(source, "as_of")));
	csv_field(out, false, json_string_value(json_object_get(source, "source")));
	csv_end(out);
}

void rate_rows_write(const struct rate_rows *rows, const struct config *config, uint32_t region, struct writer *out)
{
	writer_text(out, RATE_COLUMNS "\r\n", strlen(RATE_COLUMNS "\r\n"));
	for (size_t i = 0; i < rows->count; i++)
		write_row(rows, &rows->list[i], config, config->region_cards[region].minor_digits, out);
}

/* ---- a rise ---- */

static bool rises(const struct rate_row *row)
{
	return row->kind != RATE_SETTING || strcmp(row->item, "/energy_per_kwh") == 0 || strcmp(row->item, "/water_per_m3") == 0;
}

/* Energy and water are small sums of money: they keep a thousandth of the smallest coin. */
void rate_rows_rise(struct rate_rows *rows, double percent, uint8_t minor_digits)
{
	for (size_t i = 0; i < rows->count; i++) {
		struct rate_row *row = &rows->list[i];
		double step = pow(10, row->kind == RATE_SETTING ? minor_digits + 3 : minor_digits);
		double raised = round(json_number_value(row->value) * (1 + percent / 100) * step) / step;

		if (!rises(row))
			continue;
		json_object_set_new(row->holder, row->kind == RATE_PRICE ? row->pack : row->kind == RATE_SETTING ? row->item + 1 : row->item,
			json_real(raised));
		row->value = json_object_get(row->holder,
			row->kind == RATE_PRICE ? row->pack : row->kind == RATE_SETTING ? row->item + 1 : row->item);
	}
}
