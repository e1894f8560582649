#include "compile.h"

#include <string.h>

/* Flags come last and may read the programme. A rule that brings money or waiting is settled before the bill. */
static const struct reach programme = {.latest = AT_PROGRAMME, .before = F_COUNT};
static const struct reach take_off = {.latest = AT_TAKEOFF, .before = F_COUNT};

static const char *const level_words[] = {"stop", "check", "ask", "note", "none"}; /* enum level */
static const char *const verified_words[] = {"read", "secondary", "from-memory", "own-figure"};
enum { ALL_NATIONS = (1 << nation_COUNT) - 1 };

/* rules/common.json says nations row by row; any other file is named after its one nation. */
static uint32_t read_nations(struct builder *b, struct reader *entry, uint32_t file_nations)
{
	json_t *list = file_nations == 0 ? reader_list(entry, "nations", MAY_MISS, 1, nation_COUNT) : NULL;
	struct place at = place_member(&entry->at, "nations");
	uint32_t nations = 0;

	if (file_nations != 0 || list == NULL)
		return file_nations != 0 ? file_nations : ALL_NATIONS;
	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);
		const char *word = value_string(&place, json_array_get(list, i));
		uint32_t nation;

		if (word != NULL && value_word(b, &place, LIST_nation, word, &nation))
			nations |= UINT32_C(1) << nation;
	}
	return nations;
}

static enum level read_level(struct reader *entry)
{
	uint32_t level = reader_word(entry, "level", NEEDED, level_words, LEVEL_NONE, LEVEL_NOTE);
	struct place at = place_member(&entry->at, "level");

	if (level == LEVEL_ASK)
		place_fault(&at, "must be stop, check or note; ask is what an unknown gives");
	return (enum level)level;
}

static enum level read_unknown_level(struct reader *entry, enum level level)
{
	enum level usual = level == LEVEL_NOTE ? LEVEL_NONE : LEVEL_ASK;
	uint32_t unknown = reader_word(entry, "unknown", MAY_MISS, level_words, LEVEL_NONE + 1, usual);
	struct place at = place_member(&entry->at, "unknown");

	if (unknown != LEVEL_ASK && unknown != LEVEL_CHECK && unknown != LEVEL_NONE)
		place_fault(&at, "must be ask, check or none");
	return (enum level)unknown;
}

static void check_text(struct builder *b, struct reader *entry, const struct rule *rule)
{
	struct place season_at = place_member(&entry->at, "season"), verified_at = place_member(&entry->at, "verified");
	struct place date_at = place_member(&entry->at, "verified_on");
	const struct text *text = ROW(b->texts, struct text, rule->text);
	uint32_t index;
	int32_t day;

	if (text->season != NULL && strcmp(text->season, "any") == 0)
		place_fault(&season_at, "is left out where any season will do");
	if (text->verified != NULL)
		word_index(&verified_at, text->verified, verified_words, sizeof verified_words / sizeof *verified_words, &index);
	if (text->verified_on != NULL)
		value_day(&date_at, json_object_get(entry->object, "verified_on"), &day);
}

static void check_rule_id(struct builder *b, const struct place *at, const char *id, uint32_t nations)
{
	for (uint32_t i = 0; id != NULL && i < rows_count(&b->rules); i++) {
		const struct rule *rule = ROW(b->rules, struct rule, i);
		const char *other = ROW(b->texts, struct text, rule->text)->id;

		if ((rule->nations & nations) != 0 && other != NULL && strcmp(other, id) == 0)
			place_fault(at, "there is another rule named %s for the same nation", id);
	}
}

static void read_rule(struct builder *b, struct reader *entry, uint32_t file_nations)
{
	const uint32_t parts = TEXT_BIT(title) | TEXT_BIT(why) | TEXT_BIT(act) | TEXT_BIT(authority) | TEXT_BIT(source) |
			       TEXT_BIT(verified) | TEXT_BIT(verified_on);
	const char *id = reader_id(entry, "id");
	struct rule rule = {.sum = SUM_NONE};
	bool costs;

	rule.nations = read_nations(b, entry, file_nations);
	rule.level = (uint8_t)read_level(entry);
	rule.unknown = (uint8_t)read_unknown_level(entry, (enum level)rule.level);
	reader_name(b, entry, "sum", MAY_MISS, NAME_SUM, &rule.sum);
	rule.wait_days = reader_number(entry, "wait_days", MAY_MISS, 0, 3660, 0);
	costs = json_object_get(entry->object, "sum") != NULL || rule.wait_days > 0;
	rule.when = reader_condition(b, entry, "when", NEEDED, costs ? take_off : programme);
	rule.text = reader_text(b, entry, id, parts | (rule.unknown == LEVEL_ASK ? TEXT_BIT(ask) : 0),
		TEXT_BIT(season) | TEXT_BIT(ask));
	check_text(b, entry, &rule);
	check_rule_id(b, &entry->at, id, rule.nations);
	rows_add(&b->rules, &rule);
}

static void read_rule_list(struct builder *b, struct document *document, uint32_t nations)
{
	json_t *list = reader_list(&document->top, "rules", NEEDED, 0, RULES_MOST);
	struct place at = place_member(&document->top.at, "rules");

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);
		struct reader entry;

		reader_open(&entry, &place, json_array_get(list, i));
		if (entry.object == NULL)
			continue;
		read_rule(b, &entry, nations);
		reader_close(&entry);
	}
}

/* The nation of "rules/wales.json"; 0 for common.json; false after a fault. */
static bool nations_of_file(struct builder *b, const char *path, uint32_t *nations)
{
	const char *name = strrchr(path, '/') + 1;
	struct place top = place_top(b->faults, path);
	size_t length = strlen(name) - strlen(".json");
	uint32_t nation;
	char word[64];

	*nations = 0;
	if (strcmp(name, "common.json") == 0)
		return true;
	if (length >= sizeof word)
		length = sizeof word - 1;
	memcpy(word, name, length);
	word[length] = '\0';
	if (!value_word(b, &top, LIST_nation, word, &nation))
		return false;
	*nations = UINT32_C(1) << nation;
	return true;
}

static void read_rules(struct builder *b, const char *path)
{
	struct document document;
	uint32_t nations;

	if (!nations_of_file(b, path, &nations)) {
		config_files_find(b->files, path)->read = true;
		return;
	}
	if (!document_open(b, path, &document)) {
		b->names[NAME_SUM].incomplete = true;
		return;
	}
	read_rule_list(b, &document, nations);
	document_close(&document);
}

/* Rules of each nation, those with money or a wait once more by themselves: the core looks at no others. */
static struct span list_rules(struct builder *b, uint32_t nation, bool only_sums)
{
	struct span span = {rows_count(&b->rule_refs), 0};

	for (uint32_t i = 0; i < rows_count(&b->rules); i++) {
		const struct rule *rule = ROW(b->rules, struct rule, i);
		uint16_t ref = (uint16_t)i;

		if (!(rule->nations >> nation & 1) || (only_sums && rule->sum == SUM_NONE && rule->wait_days <= 0))
			continue;
		rows_add(&b->rule_refs, &ref);
		span.count++;
	}
	return span;
}

void compile_rules(struct builder *b)
{
	if (each_file(b, "rules/", read_rules) == 0)
		faults_add(b->faults, false, "rules", "", "holds no file; at least common.json belongs there");
	if (rows_count(&b->rules) > RULES_MOST)
		faults_add(b->faults, false, "rules", "", "hold %u rules; a quote has room for %d", rows_count(&b->rules),
			RULES_MOST);
	for (uint32_t nation = 0; nation < nation_COUNT; nation++) {
		b->config.catalogue.rules_of[nation] = list_rules(b, nation, false);
		b->config.catalogue.sum_rules_of[nation] = list_rules(b, nation, true);
	}
}
