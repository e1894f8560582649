#include "compile.h"

#include <stdio.h>
#include <string.h>

static const char *const kind_words[NAME_KIND_COUNT] = {
#define N(id, word) word,
	NAME_KINDS(N)
#undef N
};

/* Place of a word among the sorted names, or where it would stand. */
static uint32_t place_of(const struct names *names, const char *word)
{
	uint32_t low = 0, high = rows_count(&names->sorted);

	while (low < high) {
		uint32_t middle = low + (high - low) / 2;

		if (strcmp(ROW(names->sorted, struct name, middle)->word, word) < 0)
			low = middle + 1;
		else
			high = middle;
	}
	return low;
}

static const struct name *name_at(const struct names *names, const char *word)
{
	uint32_t place = place_of(names, word);
	const struct name *name = place < rows_count(&names->sorted) ? ROW(names->sorted, struct name, place) : NULL;

	return name != NULL && strcmp(name->word, word) == 0 ? name : NULL;
}

void name_add(struct builder *b, enum name_kind kind, const struct place *at, const char *word, uint32_t index)
{
	struct names *names = &b->names[kind];
	struct written origin = {.file = at->file, .list = at->up != NULL ? at->up->key : NULL, .index = (uint32_t)at->index};
	struct name name = {.index = index};

	while (rows_count(&names->origins) < index && !b->out_of_memory)
		rows_add(&names->origins, &origin);
	if (rows_count(&names->origins) == index)
		rows_add(&names->origins, &origin);
	else if (!b->out_of_memory)
		*ROW(names->origins, struct written, index) = origin;
	if (word == NULL)
		return;
	if (name_at(names, word) != NULL) {
		place_fault(at, "there is another %s named %s", kind_words[kind], word);
		return;
	}
	name.word = text_pool_add(&b->pool, word);
	if (name.word != NULL)
		rows_insert(&names->sorted, place_of(names, word), &name);
}

bool name_find(const struct builder *b, enum name_kind kind, const char *word, uint32_t *index)
{
	const struct name *name = name_at(&b->names[kind], word);

	if (name == NULL)
		return false;
	*index = name->index;
	return true;
}

void name_use(struct builder *b, enum name_kind kind, uint32_t index)
{
	if (index < rows_count(&b->names[kind].origins))
		ROW(b->names[kind].origins, struct written, index)->used = true;
}

bool value_name(struct builder *b, const struct place *at, json_t *value, enum name_kind kind, uint16_t *index)
{
	const char *word = value_string(at, value);
	const struct names *names = &b->names[kind];
	char hint[NEAREST_HINT_SIZE];
	struct nearest nearest;
	uint32_t found;

	if (word == NULL)
		return false;
	if (name_find(b, kind, word, &found)) {
		name_use(b, kind, found);
		*index = (uint16_t)found;
		return true;
	}
	nearest = nearest_to(word);
	for (uint32_t i = 0; i < rows_count(&names->sorted); i++)
		nearest_offer(&nearest, ROW(names->sorted, struct name, i)->word);
	if (!names->incomplete)
		place_fault(at, "no %s is named %.60s%s", kind_words[kind], word, nearest_hint(&nearest, hint));
	return false;
}

bool reader_name(struct builder *b, struct reader *reader, const char *key, enum requirement need, enum name_kind kind,
	uint16_t *index)
{
	json_t *value = reader_value(reader, key, need);
	struct place at = place_member(&reader->at, key);

	return value != NULL && value_name(b, &at, value, kind, index);
}

static void check_used(struct builder *b, enum name_kind kind, const char *reason)
{
	const struct names *names = &b->names[kind];

	for (uint32_t i = 0; i < rows_count(&names->origins); i++) {
		const struct written *origin = ROW(names->origins, struct written, i);
		struct place top = place_top(b->faults, origin->file);
		struct place list = place_member(&top, origin->list);
		struct place at = place_entry(&list, origin->index);

		if (!origin->used)
			place_fault(&at, "%s", reason);
	}
}

void check_unused(struct builder *b)
{
	check_used(b, NAME_ITEM, "nothing uses it: no build-up, pump or bore names this item");
	check_used(b, NAME_FACTOR, "nothing uses it: no build-up names this factor");
	check_used(b, NAME_GROUP, "nothing uses it: no build-up is a method of this group");
	check_used(b, NAME_TASK, "nothing uses it: no build-up belongs to this task");
	check_used(b, NAME_GRADE, "nothing uses it: no build-up needs hours of this grade");
	check_used(b, NAME_SECTION, "nothing uses it: no build-up stands in this section");
	check_used(b, NAME_SUM, "nothing uses it: no rule brings this sum");
}

/* ---- names that files give ---- */

static void name_of_file(struct builder *b, enum name_kind kind, const char *path, const char *name, size_t length,
	uint32_t index)
{
	struct place top = place_top(b->faults, path);
	char word[64];

	if (length >= sizeof word) {
		place_fault(&top, "the name is too long");
		return;
	}
	memcpy(word, name, length);
	word[length] = '\0';
	if (id_is_well_formed(word))
		name_add(b, kind, &top, word, index);
	else
		place_fault(&top, "\"%s\" must be lower-case letters, digits and single hyphens", word);
}

static void shell_name(struct builder *b, const char *path)
{
	const char *name = strrchr(path, '/') + 1;

	name_of_file(b, NAME_SHELL, path, name, strlen(name) - strlen(".json"), rows_count(&b->names[NAME_SHELL].origins));
}

/* Files come sorted by path, so a region's stand together. */
static void region_names(struct builder *b)
{
	static const char folder[] = "regions/";
	const char *before = "";

	for (size_t i = 0; i < b->files->count; i++) {
		const char *path = b->files->list[i].path, *name = path + strlen(folder), *end;

		if (strncmp(path, folder, strlen(folder)) != 0 || (end = strchr(name, '/')) == NULL)
			continue;
		if (strncmp(before, name, (size_t)(end - name) + 1) != 0)
			name_of_file(b, NAME_REGION, path, name, (size_t)(end - name), rows_count(&b->names[NAME_REGION].origins));
		before = name;
	}
}

void compile_names(struct builder *b)
{
	each_file(b, "shells/", shell_name);
	region_names(b);
}
