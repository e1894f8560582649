#include "compile.h"

#include <string.h>

/* Cautions and exclusions are said last, so they may read everything. */
static const struct reach programme = {.latest = AT_PROGRAMME, .before = F_COUNT};

static void read_note(struct builder *b, struct reader *entry, bool excluded)
{
	const char *id = reader_id(entry, "id");
	struct note note = {.excluded = excluded};

	note.when = reader_condition(b, entry, "when", MAY_MISS, programme);
	note.text = reader_text(b, entry, id, TEXT_BIT(text), 0);
	for (uint32_t i = 0; i < rows_count(&b->notes); i++) {
		const char *other = ROW(b->texts, struct text, ROW(b->notes, struct note, i)->text)->id;

		if (id != NULL && other != NULL && strcmp(other, id) == 0)
			place_fault(&entry->at, "there is another note named %s", id);
	}
	rows_add(&b->notes, &note);
}

static void read_caution(struct builder *b, struct reader *entry)
{
	read_note(b, entry, false);
}

static void read_exclusion(struct builder *b, struct reader *entry)
{
	read_note(b, entry, true);
}

void compile_notes(struct builder *b)
{
	struct document document;

	if (!document_open(b, "notes.json", &document))
		return;
	read_list(b, &document, "cautions", 0, NOTES_MOST, read_caution);
	read_list(b, &document, "excluded", 0, NOTES_MOST, read_exclusion);
	document_close(&document);
	if (rows_count(&b->notes) > NOTES_MOST)
		faults_add(b->faults, false, "notes.json", "", "holds %u notes; a quote has room for %d", rows_count(&b->notes),
			NOTES_MOST);
}
