#include "compile.h"

#include <stdlib.h>
#include <string.h>

#include "conditions.h"
#include "readers.h"

/* One block for everything: laid out once to measure it, once to fill it. */
struct arena {
	char *base; /* NULL while it is measured */
	size_t used;
};

enum { ALIGNMENT = 16 };

static void *arena_take(struct arena *arena, size_t size)
{
	char *at = arena->base != NULL ? arena->base + arena->used : NULL;

	arena->used += (size + ALIGNMENT - 1) / ALIGNMENT * ALIGNMENT;
	return at;
}

static void *arena_rows(struct arena *arena, const struct rows *rows)
{
	void *at = arena_take(arena, rows->count * rows->row_size);

	if (at != NULL && rows->count > 0)
		memcpy(at, rows->bytes, rows->count * rows->row_size);
	return at;
}

static void move_text(struct text *text, const char *block)
{
#define T(part, member) text->part = text_pool_moved(text->part, block);
	TEXT_PARTS(T)
#undef T
}

/* ---- words ---- */

/* Words of a kind of names by index, and their indexes by the alphabet. */
static struct word_table name_table(struct arena *arena, const struct names *names, const char *block)
{
	uint32_t count = rows_count(&names->sorted);
	const char **words = arena_take(arena, count * sizeof *words);
	uint32_t *sorted = arena_take(arena, count * sizeof *sorted);

	for (uint32_t i = 0; words != NULL && i < count; i++) {
		const struct name *name = ROW(names->sorted, struct name, i);

		words[name->index] = text_pool_moved(name->word, block);
		sorted[i] = name->index;
	}
	return (struct word_table){words, sorted, count};
}

static struct word_table edition_table(struct arena *arena, struct builder *b, const char *block)
{
	uint32_t count = rows_count(&b->editions);
	const char **words = arena_take(arena, count * sizeof *words);

	for (uint32_t i = 0; words != NULL && i < count; i++) {
		const struct text *text = ROW(b->texts, struct text, ROW(b->editions, struct edition, i)->text);

		words[i] = text_pool_moved(text->id, block);
	}
	return (struct word_table){words, NULL, count};
}

static void pack_words(struct arena *arena, struct builder *b, struct word_table words[LIST_COUNT], const char *block)
{
	static const struct {
		enum word_list list;
		enum name_kind kind;
	} lists[] = {{LIST_regions, NAME_REGION}, {LIST_shells, NAME_SHELL}, {LIST_pumps, NAME_PUMP}, {LIST_edges, NAME_EDGE},
		{LIST_root_plants, NAME_ROOT_PLANT}, {LIST_fittings, NAME_FITTING}, {LIST_bores, NAME_BORE}};

	for (uint32_t list = 0; list < LIST_FIXED_COUNT; list++)
		words[list].words = words_of_list((enum word_list)list, &words[list].count);
	for (size_t i = 0; i < sizeof lists / sizeof lists[0]; i++)
		words[lists[i].list] = name_table(arena, &b->names[lists[i].kind], block);
	words[LIST_editions] = edition_table(arena, b, block);
}

/* ---- the block ---- */

static void pack_catalogue(struct arena *arena, struct builder *b, struct catalogue *catalogue)
{
#define COUNTED(type, member) \
	catalogue->member = arena_rows(arena, &b->member); \
	catalogue->n_##member = rows_count(&b->member);
	COUNTED_ARRAYS(COUNTED)
#undef COUNTED
#define PLAIN(type, member) catalogue->member = arena_rows(arena, &b->member);
	PLAIN_ARRAYS(PLAIN)
#undef PLAIN
}

/* Last of the catalogue: everything that a build-up looks at stands in its place. */
static void pack_readers(struct arena *arena, struct catalogue *catalogue)
{
	struct build_up_set *readers = arena_take(arena, READ_SUBJECTS * sizeof *readers);

	if (readers != NULL)
		readers_list(catalogue, readers);
	catalogue->readers = readers;
}

/* In the builder's own rows, before they are copied: an edition's prices are where they will stand. */
static void link_prices(struct builder *b, const int64_t *prices)
{
	uint32_t n_packs = rows_count(&b->packs), n_items = rows_count(&b->items);

	for (uint32_t i = 0; prices != NULL && i < rows_count(&b->editions); i++) {
		struct edition *edition = ROW(b->editions, struct edition, i);

		edition->pack_milliminor = prices + i * (n_packs + 2 * (size_t)n_items);
		edition->item_fixed_milliminor = edition->pack_milliminor + n_packs;
		edition->item_short_milliminor = edition->item_fixed_milliminor + n_items;
	}
}

static const struct text *pack_texts(struct arena *arena, const struct rows *rows, const char *block)
{
	struct text *texts = arena_rows(arena, rows);

	for (uint32_t i = 0; texts != NULL && i < rows_count(rows); i++)
		move_text(&texts[i], block);
	return texts;
}

static const char *const *pack_strings(struct arena *arena, const struct rows *rows, const char *block)
{
	const char **strings = arena_rows(arena, rows);

	for (uint32_t i = 0; strings != NULL && i < rows_count(rows); i++)
		strings[i] = text_pool_moved(strings[i], block);
	return strings;
}

static const struct said *pack_said(struct arena *arena, const struct rows *rows, const char *block)
{
	struct said *said = arena_rows(arena, rows);

	for (uint32_t i = 0; said != NULL && i < rows_count(rows); i++)
		said[i].json = text_pool_moved(said[i].json, block);
	return said;
}

static void move_service(struct service *service, const char *block)
{
	service->firm = text_pool_moved(service->firm, block);
	service->disclaimer = text_pool_moved(service->disclaimer, block);
	service->colour_light = text_pool_moved(service->colour_light, block);
	service->colour_dark = text_pool_moved(service->colour_dark, block);
	service->owner_token_file = text_pool_moved(service->owner_token_file, block);
	service->frame_ancestors = text_pool_moved(service->frame_ancestors, block);
}

static void pack_all_said(struct arena *arena, const struct said_rows *rows, struct config *config, const char *block)
{
#define A(type, member) config->member = pack_said(arena, &rows->member, block);
	SAID_ARRAYS(A)
#undef A
}

/* Each language is a copy of the whole that has words of its own. */
static void pack_languages(struct arena *arena, struct builder *b, struct config *config, const char *block)
{
	struct config *others = arena_take(arena, b->n_languages * sizeof *others), measured;
	const char **tags = arena_take(arena, (b->n_languages + 1) * sizeof *tags);
	const char **titles = arena_take(arena, (b->n_languages + 1) * sizeof *titles);

	config->tags = tags;
	config->language_titles = titles;
	config->others = others;
	config->n_languages = b->n_languages + 1;
	if (block != NULL) {
		tags[0] = "en";
		titles[0] = "English";
	}
	for (uint32_t i = 0; i < b->n_languages; i++) {
		const struct language *language = &b->languages[i];
		struct config *other = block != NULL ? &others[i] : &measured;

		*other = *config;
		other->language = i + 1;
		other->texts = pack_texts(arena, &language->texts, block);
		other->helps = pack_strings(arena, &language->helps, block);
		other->word_titles = pack_strings(arena, &language->word_titles, block);
		pack_all_said(arena, &language->said, other, block);
		if (block == NULL)
			continue;
		other->page_words = text_pool_moved(language->page_words, block);
		tags[i + 1] = text_pool_moved(language->tag, block);
		titles[i + 1] = text_pool_moved(language->title, block);
	}
}

/* Takes the room of everything, and fills it where there is a base. */
static struct config *lay_out(struct arena *arena, struct builder *b)
{
	struct config measured = b->config, *placed = arena_take(arena, sizeof measured);
	struct config *config = placed != NULL ? placed : &measured;
	char *block = arena_take(arena, b->pool.bytes);

	if (placed != NULL) {
		*placed = b->config;
		text_pool_copy(&b->pool, block);
		move_service(&placed->service, block);
	}
	link_prices(b, arena_rows(arena, &b->prices));
	pack_catalogue(arena, b, &config->catalogue);
	pack_readers(arena, &config->catalogue);
	config->page_words = "{}";
	config->texts = pack_texts(arena, &b->texts, block);
	config->n_texts = rows_count(&b->texts);
	config->strings = pack_strings(arena, &b->strings, block);
	pack_all_said(arena, &b->said, config, block);
	config->region_cards = arena_rows(arena, &b->region_cards);
	config->edition_cards = arena_rows(arena, &b->edition_cards);
	config->plants = arena_rows(arena, &b->plants);
	config->n_plants = rows_count(&b->plants);
	config->clauses = arena_rows(arena, &b->clauses);
	config->n_clauses = rows_count(&b->clauses);
	config->survey_stops = arena_rows(arena, &b->survey_stops);
	config->n_survey_stops = rows_count(&b->survey_stops);
	config->survey_fields = arena_rows(arena, &b->survey_fields);
	config->banned = arena_rows(arena, &b->banned);
	config->n_banned = rows_count(&b->banned);
	config->terms = arena_rows(arena, &b->terms);
	pack_words(arena, b, config->words, block);
	pack_languages(arena, b, config, block);
	return placed;
}

struct config *builder_pack(struct builder *b)
{
	struct arena arena = {0};

	if (rows_count(&b->ops) > 0)
		conditions_measure(ROW(b->ops, struct op, 0), rows_count(&b->ops));
	lay_out(&arena, b);
	b->config.bytes = arena.used;
	b->config.n_files = (uint32_t)b->files->count;
	arena = (struct arena){.base = malloc(arena.used)};
	return arena.base != NULL ? lay_out(&arena, b) : NULL;
}
