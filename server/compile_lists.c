#include "compile.h"

/* Lists whose entries hold no more than a name and texts. */

static uint32_t titled(struct builder *b, struct reader *entry, const char *id)
{
	return reader_text(b, entry, id, TEXT_BIT(title), 0);
}

static void read_section(struct builder *b, struct reader *entry)
{
	const char *id = reader_id(entry, "id");
	struct section section = {.text = titled(b, entry, id)};

	name_add(b, NAME_SECTION, &entry->at, id, rows_add(&b->sections, &section));
}

static void read_grade(struct builder *b, struct reader *entry)
{
	const char *id = reader_id(entry, "id");
	struct grade grade = {.text = titled(b, entry, id)};

	name_add(b, NAME_GRADE, &entry->at, id, rows_add(&b->grades, &grade));
}

static void read_sum(struct builder *b, struct reader *entry)
{
	const char *id = reader_id(entry, "id");
	struct sum sum = {.text = reader_text(b, entry, id, TEXT_BIT(title) | TEXT_BIT(because), 0)};

	name_add(b, NAME_SUM, &entry->at, id, rows_add(&b->sums, &sum));
}

static void read_edge(struct builder *b, struct reader *entry)
{
	const char *id = reader_id(entry, "id");
	struct edge edge = {.text = titled(b, entry, id)};

	name_add(b, NAME_EDGE, &entry->at, id, rows_add(&b->edges, &edge));
}

/* Sections of the lines that are no build-up; the bill can't do without them. */
static void find_own_sections(struct builder *b)
{
	struct catalogue *catalogue = &b->config.catalogue;
	const struct {
		const char *id;
		uint16_t *section;
	} own[] = {{"preliminaries", &catalogue->preliminaries}, {"provisional-sums", &catalogue->provisional_sums},
		{"adjustments", &catalogue->adjustments}};

	for (size_t i = 0; i < sizeof own / sizeof own[0]; i++) {
		uint32_t index = 0;

		if (!name_find(b, NAME_SECTION, own[i].id, &index))
			faults_add(b->faults, false, "sections.json", "/sections", "lacks the section %s, which every bill needs",
				own[i].id);
		else
			name_use(b, NAME_SECTION, index);
		*own[i].section = (uint16_t)index;
	}
}

void compile_lists(struct builder *b)
{
	read_list_file(b, "sections.json", "sections", 1, SECTIONS_MOST, NAME_SECTION, read_section);
	find_own_sections(b);
	read_list_file(b, "grades.json", "grades", 1, GRADES_MOST, NAME_GRADE, read_grade);
	read_list_file(b, "sums.json", "sums", 0, SUMS_MOST, NAME_SUM, read_sum);
	read_list_file(b, "edges.json", "edges", 1, EDGES_MOST, NAME_EDGE, read_edge);
}
