#include "compile.h"

/* Factors on hours and amounts, by case or by a curve. They act before the bill, so they read the take-off at most. */
static const struct reach take_off = {.latest = AT_TAKEOFF, .before = F_COUNT};
enum { CASES_MOST = 24, POINTS_OF_FACTOR_MOST = 24 };

static struct span read_cases(struct builder *b, struct reader *entry)
{
	json_t *list = reader_list(entry, "cases", MAY_MISS, 1, CASES_MOST);
	struct place at = place_member(&entry->at, "cases");
	uint32_t first = rows_count(&b->factor_cases);

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);
		struct factor_case row;
		struct reader inner;

		reader_open(&inner, &place, json_array_get(list, i));
		row.when = reader_condition(b, &inner, "when", NEEDED, take_off);
		row.times = reader_number(&inner, "times", NEEDED, 0.05, 20, 1);
		reader_string(&inner, "note", MAY_MISS);
		reader_close(&inner);
		rows_add(&b->factor_cases, &row);
	}
	return span_since(&b->factor_cases, first);
}

static struct span read_points(struct builder *b, struct reader *entry)
{
	json_t *list = reader_list(entry, "points", MAY_MISS, 2, POINTS_OF_FACTOR_MOST);
	struct place at = place_member(&entry->at, "points");
	uint32_t first = rows_count(&b->factor_points);

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);
		json_t *pair = json_array_get(list, i);
		struct factor_point row;

		if (!json_is_array(pair) || json_array_size(pair) != 2) {
			place_fault(&place, "must be two numbers, [x, y]");
			continue;
		}
		if (!value_number(&place, json_array_get(pair, 0), -1e9, 1e9, &row.x) ||
			!value_number(&place, json_array_get(pair, 1), 0.01, 100, &row.y))
			continue;
		if (rows_count(&b->factor_points) > first &&
			row.x <= ROW(b->factor_points, struct factor_point, rows_count(&b->factor_points) - 1)->x)
			place_fault(&place, "x must rise from point to point");
		rows_add(&b->factor_points, &row);
	}
	return span_since(&b->factor_points, first);
}

static void read_factor(struct builder *b, struct reader *entry)
{
	const char *id = reader_id(entry, "id");
	struct factor factor = {.subject = F_NONE};
	bool by = reader_multiplier(entry, "by", MAY_MISS, take_off, &factor.subject, &factor.is_quantity);
	bool has_by = json_object_get(entry->object, "by") != NULL;
	bool has_points = json_object_get(entry->object, "points") != NULL;
	bool has_cases = json_object_get(entry->object, "cases") != NULL;

	factor.points = read_points(b, entry);
	factor.cases = read_cases(b, entry);
	factor.otherwise = reader_number(entry, "otherwise", MAY_MISS, 0.05, 20, 1);
	factor.text = reader_text(b, entry, id, TEXT_BIT(title), 0);
	if (has_cases == has_points || has_points != has_by)
		place_fault(&entry->at, "must have cases, or by and points");
	if (!by)
		factor.points.count = 0;
	name_add(b, NAME_FACTOR, &entry->at, id, rows_add(&b->factors, &factor));
}

struct span read_factors(struct builder *b, struct reader *reader)
{
	json_t *list = reader_list(reader, "factors", MAY_MISS, 0, 8);
	struct place at = place_member(&reader->at, "factors");
	uint32_t first = rows_count(&b->factor_refs);

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);
		uint16_t ref;

		if (!value_name(b, &place, json_array_get(list, i), NAME_FACTOR, &ref))
			continue;
		for (uint32_t k = first; k < rows_count(&b->factor_refs); k++)
			if (*ROW(b->factor_refs, uint16_t, k) == ref)
				place_fault(&place, "counts twice");
		rows_add(&b->factor_refs, &ref);
	}
	return span_since(&b->factor_refs, first);
}

void compile_factors(struct builder *b)
{
	read_list_file(b, "factors.json", "factors", 0, FACTORS_MOST, NAME_FACTOR, read_factor);
}
