#include "compile.h"

#include <string.h>

static const char *const about_words[ABOUT_COUNT] = {"validity", "cancellation", "payment", "guarantee", "care"};
enum { CLAUSES_MOST = 96 };

/* Terms are said last, so they may read everything. */
static const struct reach programme = {.latest = AT_PROGRAMME, .before = F_COUNT};

static void read_clause(struct builder *b, struct reader *entry)
{
	const char *id = reader_id(entry, "id");
	struct clause clause = {0};

	clause.about = (enum clause_about)reader_word(entry, "about", NEEDED, about_words, ABOUT_COUNT, 0);
	clause.when = reader_condition(b, entry, "when", MAY_MISS, programme);
	clause.text = reader_text(b, entry, id, TEXT_BIT(text), TEXT_BIT(season));
	for (uint32_t i = 0; i < rows_count(&b->clauses); i++) {
		const char *other = ROW(b->texts, struct text, ROW(b->clauses, struct clause, i)->text)->id;

		if (id != NULL && other != NULL && strcmp(other, id) == 0)
			place_fault(&entry->at, "there is another term named %s", id);
	}
	rows_add(&b->clauses, &clause);
}

void compile_terms(struct builder *b)
{
	if (config_files_find(b->files, "terms.json") != NULL)
		read_list_file(b, "terms.json", "terms", 0, CLAUSES_MOST, NAME_KIND_COUNT, read_clause);
}
