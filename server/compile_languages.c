#include "compile.h"

#include <stdlib.h>
#include <string.h>

/* languages/<tag>.json: what people read, in another language. The texts of all other files are its keys, so a file can't
 * name a text that is not there; what it leaves out stays English. Both are warnings, for an owner who puts a word
 * right in English must not be refused. */

enum { TAG_SIZE = 4, PAGE_WORDS_MOST = 1000, NAME_SIZE = 24 };

/* For people; the others name or prove something. */
static const enum text_part parts[] = {TEXT_title, TEXT_text, TEXT_because, TEXT_why, TEXT_why_not, TEXT_act, TEXT_authority,
	TEXT_season, TEXT_ask, TEXT_question, TEXT_mix, TEXT_photograph};
enum { PARTS = sizeof parts / sizeof parts[0] };

static const char *const list_names[] = {
#define L(name) [LIST_##name] = #name,
	WORD_LISTS(L)
#undef L
};

/* ---- every text once ---- */

static int by_text(const void *a, const void *b)
{
	return strcmp(*(const char *const *)a, *(const char *const *)b);
}

static bool collect_texts(struct builder *b, struct rows *english)
{
	const char **list;
	uint32_t kept = 0;

	if (!rows_init(english, sizeof *list, &b->out_of_memory)) {
		b->out_of_memory = true;
		return false;
	}
	for (uint32_t i = 0; i < rows_count(&b->texts); i++)
		for (uint32_t p = 0; p < PARTS; p++) {
			const char *text = text_part(ROW(b->texts, struct text, i), parts[p]);

			if (text != NULL)
				rows_add(english, &text);
		}
	list = (const char **)(void *)english->bytes;
	qsort(list, english->count, sizeof *list, by_text);
	for (uint32_t i = 0; i < english->count; i++)
		if (kept == 0 || strcmp(list[i], list[kept - 1]) != 0)
			list[kept++] = list[i];
	english->count = kept;
	return true;
}

/* ---- one member: an object of strings ---- */

/* The object, empty after a fault or where it is missing. */
static json_t *read_object(struct reader *top, const char *key)
{
	json_t *object = reader_value(top, key, NEEDED);
	struct place at = place_member(&top->at, key);

	if (object != NULL && !json_is_object(object))
		place_fault(&at, "must be an object");
	return json_is_object(object) ? object : NULL;
}

static const char *read_words(struct builder *b, struct reader *top)
{
	json_t *page = read_object(top, "page"), *value;
	struct place at = place_member(&top->at, "page");
	const char *key, *kept;
	char *text;

	if (json_object_size(page) > PAGE_WORDS_MOST)
		place_fault(&at, "has more than %d members", PAGE_WORDS_MOST);
	json_object_foreach(page, key, value) {
		struct place place = place_member(&at, key);

		value_string(&place, value);
	}
	if (page == NULL)
		return NULL;
	text = json_dumps(page, JSON_COMPACT);
	b->out_of_memory = b->out_of_memory || text == NULL;
	kept = text_pool_add(&b->pool, text);
	json_memory_release(text);
	return kept;
}

static void fill(struct rows *rows, uint32_t count)
{
	const char *nothing = NULL;

	for (uint32_t i = 0; i < count; i++)
		rows_add(rows, &nothing);
}

static void put(struct builder *b, struct rows *rows, uint32_t at, const struct place *place, json_t *value)
{
	const char *text = text_pool_add(&b->pool, value_string(place, value));

	if (!b->out_of_memory)
		*ROW(*rows, const char *, at) = text;
}

static void read_helps(struct builder *b, struct reader *top, struct language *language)
{
	json_t *fields = read_object(top, "fields"), *value;
	struct place at = place_member(&top->at, "fields");
	const char *key, *first = NULL;
	uint32_t missing = 0;
	enum field_id id;

	fill(&language->helps, F_COUNT);
	json_object_foreach(fields, key, value) {
		struct place place = place_member(&at, key);

		if (field_named(&place, key, &id))
			put(b, &language->helps, id, &place, value);
	}
	for (uint32_t i = 0; i < F_COUNT; i++)
		if (enquiry_fields[i].kind != FIELD_OBJECT && json_object_get(fields, enquiry_fields[i].pointer) == NULL &&
			missing++ == 0)
			first = enquiry_fields[i].pointer;
	if (missing > 0)
		place_warning(&at, "has no words for %u fields, %s among them; they stay English", missing, first);
}

/* One list; first is the place of its first word among all. */
static void read_list_titles(struct builder *b, const struct place *at, json_t *words, enum word_list list, uint32_t first,
	struct language *language)
{
	uint32_t count, index;
	const char *const *known = words_of_list(list, &count);
	const char *key;
	json_t *value;

	json_object_foreach(words, key, value) {
		struct place place = place_member(at, key);

		if (word_index(&place, key, known, count, &index))
			put(b, &language->word_titles, first + index, &place, value);
	}
}

static uint32_t count_words(enum word_list before)
{
	uint32_t all = 0, count;

	for (uint32_t list = 0; list < (uint32_t)before; list++) {
		words_of_list((enum word_list)list, &count);
		all += count;
	}
	return all;
}

static void read_titles(struct builder *b, struct reader *top, struct language *language)
{
	json_t *lists = read_object(top, "words"), *value;
	struct place at = place_member(&top->at, "words");
	const uint32_t n_lists = sizeof list_names / sizeof list_names[0];
	const char *key;
	uint32_t list;

	fill(&language->word_titles, count_words(LIST_FIXED_COUNT));
	json_object_foreach(lists, key, value) {
		struct place place = place_member(&at, key);

		if (!word_index(&place, key, list_names + 1, n_lists - 1, &list))
			continue;
		list++;
		if (json_is_object(value))
			read_list_titles(b, &place, value, (enum word_list)list, count_words((enum word_list)list), language);
		else
			place_fault(&place, "must be an object");
	}
}

/* ---- the texts ---- */

static void translate(struct builder *b, json_t *texts, struct language *language)
{
	for (uint32_t i = 0; i < rows_count(&b->texts); i++) {
		struct text text = *ROW(b->texts, struct text, i);

		for (uint32_t p = 0; p < PARTS; p++) {
			const char *english = text_part(&text, parts[p]);
			const char *words = english != NULL ? json_string_value(json_object_get(texts, english)) : NULL;

			if (words != NULL)
				text_set(&text, parts[p], text_pool_add(&b->pool, words));
		}
		rows_add(&language->texts, &text);
	}
}

static void compare_texts(const struct place *at, json_t *texts, const struct rows *english)
{
	const char *key, *missing = NULL, *idle = NULL;
	uint32_t n_missing = 0, n_idle = 0;
	json_t *value;

	for (uint32_t i = 0; i < rows_count(english); i++)
		if (json_object_get(texts, *ROW(*english, const char *, i)) == NULL && n_missing++ == 0)
			missing = *ROW(*english, const char *, i);
	json_object_foreach(texts, key, value)
		if (bsearch(&key, english->bytes, english->count, english->row_size, by_text) == NULL && n_idle++ == 0)
			idle = key;
	if (n_missing > 0)
		place_warning(at, "has no words for %u texts, such as \"%.80s\"; they stay English", n_missing, missing);
	if (n_idle > 0)
		place_warning(at, "has words for %u texts that no file says, such as \"%.80s\"", n_idle, idle);
}

/* Each {name} of a translation must stand in what it translates, or nothing would ever be put there. */
static void check_names(const struct place *at, const char *english, const char *words)
{
	for (const char *name = strchr(words, '{'); name != NULL; name = strchr(name + 1, '{')) {
		size_t length = strcspn(name, "}") + 1;
		char known[NAME_SIZE];

		if (length > sizeof known - 1 || name[length - 1] != '}')
			continue;
		memcpy(known, name, length);
		known[length] = '\0';
		if (strstr(english, known) == NULL)
			place_fault(at, "says %s, which the English does not", known);
	}
}

static void read_texts(struct builder *b, struct reader *top, struct language *language, const struct rows *english)
{
	json_t *texts = read_object(top, "texts"), *value;
	struct place at = place_member(&top->at, "texts");
	const char *key;

	json_object_foreach(texts, key, value) {
		struct place place = place_member(&at, key);

		if (value_string(&place, value) != NULL)
			check_names(&place, key, json_string_value(value));
	}
	translate(b, texts, language);
	if (texts != NULL)
		compare_texts(&at, texts, english);
}

/* ---- a file ---- */

/* The language tag (RFC 5646) that a file is named by: two or three letters. */
static bool read_tag(struct builder *b, const char *path, char tag[TAG_SIZE])
{
	const char *name = strrchr(path, '/') + 1;
	size_t length = strspn(name, "abcdefghijklmnopqrstuvwxyz");

	if (length < 2 || length >= TAG_SIZE || strcmp(name + length, ".json") != 0) {
		faults_add(b->faults, false, path, "", "must be named by a language in two or three letters, such as fr.json");
		return false;
	}
	memcpy(tag, name, length);
	tag[length] = '\0';
	if (strcmp(tag, "en") == 0)
		faults_add(b->faults, false, path, "", "is not wanted: the other files are in English");
	return true;
}

static void read_language(struct builder *b, const char *path)
{
	struct language *language = &b->languages[b->n_languages];
	struct document document;
	struct rows english;
	char tag[TAG_SIZE];

	if (b->n_languages == LANGUAGES_MOST) {
		faults_add(b->faults, false, path, "", "is one language more than %d", LANGUAGES_MOST);
		return;
	}
	if (!read_tag(b, path, tag) || !document_open(b, path, &document))
		return;
	b->n_languages++;
	if (language_init(language, &b->out_of_memory) && collect_texts(b, &english)) {
		language->tag = text_pool_add(&b->pool, tag);
		language->title = text_pool_add(&b->pool, reader_string(&document.top, "title", NEEDED));
		language->page_words = read_words(b, &document.top);
		read_helps(b, &document.top, language);
		read_titles(b, &document.top, language);
		read_texts(b, &document.top, language, &english);
		rows_free(&english);
		document_close(&document);
	} else {
		b->out_of_memory = true;
		document_forget(&document);
	}
}

void compile_languages(struct builder *b)
{
	each_file(b, "languages/", read_language);
}
