#include "compile.h"

#include <string.h>

#include "quote.h"

static const struct reach take_off = {.latest = AT_TAKEOFF, .before = F_COUNT};
static const char *const per_words[] = {"unit", "job", "visit", "day", "week"}; /* enum per */
static const char *const frost_words[FROST_LIMITS] = {"none", "concrete", "render", "coating"};
enum { LABOURS_MOST = 8 };
static const uint32_t methods_most = sizeof((struct cannot *)0)->methods / sizeof((struct cannot *)0)->methods[0];

static void read_group(struct builder *b, struct reader *entry)
{
	const char *id = reader_id(entry, "id");
	struct group group = {.measured_by = reader_quantity(entry, "measured_by", NEEDED)};

	reader_name(b, entry, "section", NEEDED, NAME_SECTION, &group.section);
	group.text = reader_text(b, entry, id, TEXT_BIT(title), 0);
	name_add(b, NAME_GROUP, &entry->at, id, rows_add(&b->groups, &group));
}

static void read_labour(struct builder *b, const struct place *at, json_t *value)
{
	struct labour labour = {.times = F_NONE};
	struct reader entry;

	reader_open(&entry, at, value);
	reader_name(b, &entry, "grade", NEEDED, NAME_GRADE, &labour.grade);
	labour.hours = reader_number(&entry, "hours", NEEDED, 1e-6, 1e3, 1);
	labour.per = (uint8_t)reader_word(&entry, "per", MAY_MISS, per_words, PER_JOB + 1, PER_UNIT);
	reader_multiplier(&entry, "times", MAY_MISS, take_off, &labour.times, &labour.times_quantity);
	labour.factors = read_factors(b, &entry);
	reader_string(&entry, "source", MAY_MISS);
	reader_string(&entry, "note", MAY_MISS);
	reader_close(&entry);
	rows_add(&b->labours, &labour);
}

/* An item by name, or one that stands for what the take-off chose. */
static uint16_t read_cost_item(struct builder *b, struct reader *entry)
{
	const char *word = entry->object != NULL ? json_string_value(json_object_get(entry->object, "item")) : NULL;
	uint16_t item = 0;

	if (word != NULL && strcmp(word, "chosen-pump") == 0)
		item = ITEM_CHOSEN_PUMP;
	else if (word != NULL && strcmp(word, "chosen-pipe") == 0)
		item = ITEM_CHOSEN_PIPE;
	else
		reader_name(b, entry, "item", NEEDED, NAME_ITEM, &item);
	if (item == ITEM_CHOSEN_PUMP || item == ITEM_CHOSEN_PIPE)
		reader_string(entry, "item", NEEDED);
	return item;
}

static void read_cost(struct builder *b, const struct place *at, json_t *value)
{
	struct cost cost = {.times = F_NONE};
	struct reader entry;

	reader_open(&entry, at, value);
	cost.item = read_cost_item(b, &entry);
	cost.amount = reader_number(&entry, "amount", NEEDED, 1e-9, 1e6, 1);
	cost.per = (uint8_t)reader_word(&entry, "per", MAY_MISS, per_words, PER_WEEK + 1, PER_UNIT);
	cost.waste_share = reader_number(&entry, "waste", MAY_MISS, 0, 1, 0);
	reader_multiplier(&entry, "times", MAY_MISS, take_off, &cost.times, &cost.times_quantity);
	cost.factors = read_factors(b, &entry);
	reader_string(&entry, "source", MAY_MISS);
	reader_string(&entry, "note", MAY_MISS);
	reader_close(&entry);
	rows_add(&b->costs, &cost);
}

static struct span read_parts(struct builder *b, struct reader *entry, const char *key, size_t most, struct rows *rows,
	void (*read_part)(struct builder *, const struct place *, json_t *))
{
	json_t *list = reader_list(entry, key, MAY_MISS, 0, most);
	struct place at = place_member(&entry->at, key);
	uint32_t first = rows_count(rows);

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);

		read_part(b, &place, json_array_get(list, i));
	}
	return span_since(rows, first);
}

/* A method stands in the section of its group, where the bill says what can't be done. */
static void read_choice(struct builder *b, struct reader *entry, struct build_up *build_up)
{
	struct place at = place_member(&entry->at, "section"), why_at = place_member(&entry->at, "why_not");
	bool has_choice = json_object_get(entry->object, "choose") != NULL;
	bool has_why = json_object_get(entry->object, "why_not") != NULL;

	build_up->group = GROUP_NONE;
	if (reader_name(b, entry, "choose", MAY_MISS, NAME_GROUP, &build_up->group) &&
		ROW(b->groups, struct group, build_up->group)->section != build_up->section)
		place_fault(&at, "differs from the section of its group");
	if (has_choice && !has_why)
		place_fault(&why_at, "is missing: a method of a group says why it can't be done");
	if (!has_choice && has_why)
		place_fault(&why_at, "belongs to a method of a group");
}

static uint16_t reader_hours(struct reader *entry)
{
	uint16_t quantity = reader_quantity(entry, "wait_hours", MAY_MISS);
	struct place at = place_member(&entry->at, "wait_hours");

	if (quantity != Q_none && strcmp(quantity_table[quantity].unit, "h") != 0)
		place_fault(&at, "must be a quantity in hours");
	return quantity;
}

static void read_build_up(struct builder *b, struct reader *entry)
{
	const char *id = reader_id(entry, "id");
	struct build_up build_up = {.measured_by = reader_quantity(entry, "measured_by", NEEDED)};

	reader_name(b, entry, "section", NEEDED, NAME_SECTION, &build_up.section);
	reader_name(b, entry, "task", NEEDED, NAME_TASK, &build_up.task);
	read_choice(b, entry, &build_up);
	build_up.applies = reader_condition(b, entry, "applies", MAY_MISS, take_off);
	build_up.labour = read_parts(b, entry, "labour", LABOURS_MOST, &b->labours, read_labour);
	build_up.costs = read_parts(b, entry, "costs", COSTS_OF_BUILD_UP_MOST, &b->costs, read_cost);
	build_up.minimum_hours = reader_number(entry, "minimum_hours", MAY_MISS, 0, 1e3, 0);
	build_up.wait_hours = reader_hours(entry);
	build_up.rounds = reader_quantity(entry, "rounds", MAY_MISS);
	build_up.between_days = reader_number(entry, "between_days", MAY_MISS, 0, 366, 0);
	build_up.wait_days = reader_number(entry, "wait_days", MAY_MISS, 0, 366, 0);
	build_up.crew_most = reader_number(entry, "crew_most", MAY_MISS, 1, 50, 0);
	build_up.frost = (uint8_t)reader_word(entry, "frost", MAY_MISS, frost_words, FROST_LIMITS, FROST_NONE);
	build_up.text = reader_text(b, entry, id, TEXT_BIT(title), TEXT_BIT(why_not));
	build_up.why_not = build_up.text;
	if (build_up.labour.count == 0 && build_up.costs.count == 0)
		place_fault(&entry->at, "costs nothing: it has neither labour nor costs");
	name_add(b, NAME_BUILD_UP, &entry->at, id, rows_add(&b->build_ups, &build_up));
}

/* Groups of every file come before build-ups of any. */
static void read_groups_of(struct builder *b, const char *path)
{
	struct document document;

	if (!document_open(b, path, &document)) {
		b->names[NAME_GROUP].incomplete = true;
		b->names[NAME_BUILD_UP].incomplete = true;
		return;
	}
	if (json_object_get(document.root, "groups") != NULL)
		read_list(b, &document, "groups", 0, GROUPS_MOST, read_group);
	document_forget(&document);
}

static void read_build_ups_of(struct builder *b, const char *path)
{
	struct document document;

	if (!document_open(b, path, &document))
		return;
	reader_value(&document.top, "groups", MAY_MISS);
	read_list(b, &document, "build_ups", 0, BUILD_UPS_MOST, read_build_up);
	document_close(&document);
}

static void check_room(struct builder *b, uint32_t count, uint32_t most, const char *what)
{
	if (count > most)
		faults_add(b->faults, false, "build-ups", "", "hold %u %s; a quote has room for %u", count, what, most);
}

static void check_methods(struct builder *b)
{
	for (uint32_t group = 0; group < rows_count(&b->groups); group++) {
		const char *id = ROW(b->texts, struct text, ROW(b->groups, struct group, group)->text)->id;
		uint32_t methods = 0;

		for (uint32_t i = 0; i < rows_count(&b->build_ups); i++)
			methods += ROW(b->build_ups, struct build_up, i)->group == group;
		if (methods > methods_most)
			faults_add(b->faults, false, "build-ups", "", "group %s has %u methods; a quote has room for %u",
				id != NULL ? id : "", methods, methods_most);
	}
}

void compile_build_ups(struct builder *b)
{
	if (each_file(b, "build-ups/", read_groups_of) == 0)
		faults_add(b->faults, false, "build-ups", "", "holds no file: there is nothing to price");
	each_file(b, "build-ups/", read_build_ups_of);
	check_room(b, rows_count(&b->groups), GROUPS_MOST, "groups");
	check_room(b, rows_count(&b->build_ups), BUILD_UPS_MOST, "build-ups");
	check_room(b, rows_count(&b->costs), NEEDS_MOST, "costs");
	check_methods(b);
}
