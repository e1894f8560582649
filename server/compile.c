#include "compile.h"

#include <stdlib.h>
#include <string.h>

static bool names_init(struct builder *b)
{
	bool made = true;

	for (uint32_t kind = 0; kind < NAME_KIND_COUNT; kind++) {
		struct names *names = &b->names[kind];

		made = rows_init(&names->sorted, sizeof(struct name), &b->out_of_memory) && made;
		made = rows_init(&names->origins, sizeof(struct written), &b->out_of_memory) && made;
	}
	return made;
}

static bool said_init(struct said_rows *said, bool *out_of_memory)
{
	bool made = true;

#define A(type, member) made = rows_init(&said->member, sizeof(type), out_of_memory) && made;
	SAID_ARRAYS(A)
#undef A
	return made;
}

static void said_free(struct said_rows *said)
{
#define A(type, member) rows_free(&said->member);
	SAID_ARRAYS(A)
#undef A
}

bool language_init(struct language *language, bool *out_of_memory)
{
	bool made = said_init(&language->said, out_of_memory);

	made = rows_init(&language->texts, sizeof(struct text), out_of_memory) && made;
	made = rows_init(&language->helps, sizeof(const char *), out_of_memory) && made;
	return rows_init(&language->word_titles, sizeof(const char *), out_of_memory) && made;
}

void language_free(struct language *language)
{
	rows_free(&language->texts);
	rows_free(&language->helps);
	rows_free(&language->word_titles);
	said_free(&language->said);
}

static void add_phrases(struct builder *b)
{
#define P(id, words) \
	rows_add(&b->texts, &(struct text){.text = text_pool_add(&b->pool, words)});
	PHRASES(P)
#undef P
}

bool builder_init(struct builder *b, const struct config_files *files, struct faults *faults)
{
	const struct text no_text = {0};
	bool made;

	*b = (struct builder){.files = files, .faults = faults};
	text_pool_init(&b->pool, &b->out_of_memory);
	made = names_init(b);
	made = said_init(&b->said, &b->out_of_memory) && made;
#define A(type, member) made = rows_init(&b->member, sizeof(type), &b->out_of_memory) && made;
	ALL_ARRAYS(A)
#undef A
	if (made) {
		rows_add(&b->texts, &no_text);
		add_phrases(b);
	}
	return made;
}

void builder_free(struct builder *b)
{
	for (uint32_t kind = 0; kind < NAME_KIND_COUNT; kind++) {
		rows_free(&b->names[kind].sorted);
		rows_free(&b->names[kind].origins);
	}
#define A(type, member) rows_free(&b->member);
	ALL_ARRAYS(A)
#undef A
	for (uint32_t i = 0; i < b->n_languages; i++)
		language_free(&b->languages[i]);
	said_free(&b->said);
	text_pool_free(&b->pool);
}

/* A file that nothing asked for is most likely one with a slip in its name. */
static void check_files(struct builder *b)
{
	static const char *const known[] = {"service.json", "sections.json", "tasks.json", "grades.json", "factors.json",
		"pumps.json", "pipes.json", "soils.json", "styles.json", "roots.json", "edges.json", "plants.json",
		"practice.json", "unknowns.json", "notes.json", "sums.json", "terms.json",
		"survey.json"};
	char hint[NEAREST_HINT_SIZE];

	for (size_t i = 0; i < b->files->count; i++) {
		struct nearest nearest = nearest_to(b->files->list[i].path);

		if (b->files->list[i].read)
			continue;
		for (size_t k = 0; k < sizeof known / sizeof known[0]; k++)
			nearest_offer(&nearest, known[k]);
		faults_add(b->faults, false, b->files->list[i].path, "", "is a file that nothing reads%s",
			nearest_hint(&nearest, hint));
	}
}

static void compile_all(struct builder *b)
{
	fields_parents(b->config.catalogue.parent);
	compile_names(b);
	compile_service(b);
	compile_lists(b);
	compile_tasks(b);
	compile_items(b);
	compile_water(b);
	compile_ground(b);
	compile_plants(b);
	compile_factors(b);
	compile_build_ups(b);
	compile_shells(b);
	compile_unknowns(b);
	compile_notes(b);
	compile_terms(b);
	compile_survey(b);
	compile_rules(b);
	compile_regions(b);
	compile_languages(b);
	compile_said(b);
	check_unused(b);
	check_files(b);
}

struct config *config_compile(const struct config_files *files, struct faults *faults)
{
	struct builder *b = malloc(sizeof *b);
	struct config *config = NULL;
	bool refused = true;

	for (size_t i = 0; i < files->count; i++)
		files->list[i].read = files->list[i].failed = false;
	if (b != NULL && builder_init(b, files, faults)) {
		compile_all(b);
		config_digest(files, b->config.digest);
		refused = faults->n_faults > 0;
		if (!refused && !b->out_of_memory)
			config = builder_pack(b);
		if (config != NULL)
			atomic_init(&config->references, 1);
	}
	if (config == NULL && (!refused || faults->n_faults == 0))
		faults_add(faults, false, ".", "", "there is no memory to load it");
	if (b != NULL)
		builder_free(b);
	free(b);
	return config;
}
