#include "compile.h"

#include <stdio.h>
#include <string.h>

enum { NESTED_MOST = 64, PATH_SIZE = 256 };

/* The parser and what walks its tree call themselves for every bracket, so brackets are counted before. */
static bool nested_too_deep(const char *bytes, size_t size)
{
	bool in_string = false;
	int depth = 0;

	for (size_t i = 0; i < size; i++) {
		char c = bytes[i];

		if (in_string && c == '\\')
			i++;
		else if (c == '"')
			in_string = !in_string;
		else if (!in_string && (c == '{' || c == '[') && ++depth > NESTED_MOST)
			return true;
		else if (!in_string && (c == '}' || c == ']'))
			depth--;
	}
	return false;
}

static json_t *parse(const struct config_file *file, struct faults *faults)
{
	json_error_t error;
	json_t *root;

	if (nested_too_deep(file->bytes, file->size)) {
		faults_add(faults, false, file->path, "", "brackets are nested more than %d deep", NESTED_MOST);
		return NULL;
	}
	root = json_loadb(file->bytes, file->size, JSON_REJECT_DUPLICATES, &error);
	if (root == NULL) {
		faults_add(faults, false, file->path, "", "line %d, column %d: %s", error.line, error.column, error.text);
	} else if (!json_is_object(root)) {
		faults_add(faults, false, file->path, "", "must be an object");
		json_decref(root);
		root = NULL;
	}
	return root;
}

bool document_open(struct builder *b, const char *path, struct document *document)
{
	struct config_file *file = config_files_find(b->files, path);
	struct place top;

	*document = (struct document){0};
	if (file == NULL) {
		faults_add(b->faults, false, path, "", "is missing");
		return false;
	}
	file->read = true;
	top = place_top(b->faults, file->path);
	if (!json_arena_open(&document->arena, file->size)) {
		b->out_of_memory = true;
		return false;
	}
	document->root = file->failed ? NULL : parse(file, b->faults);
	json_arena_close();
	file->failed = document->root == NULL;
	if (file->failed) {
		json_arena_free(&document->arena);
		return false;
	}
	reader_open(&document->top, &top, document->root);
	return true;
}

void document_forget(struct document *document)
{
	json_decref(document->root);
	json_arena_free(&document->arena);
}

void document_close(struct document *document)
{
	static const char *const free_members[] = {"source", "as_of", "because", "verified", "note"};

	for (size_t i = 0; i < sizeof free_members / sizeof free_members[0]; i++)
		reader_string(&document->top, free_members[i], MAY_MISS);
	reader_close(&document->top);
	document_forget(document);
}

void read_list(struct builder *b, struct document *document, const char *list, uint32_t least, uint32_t most,
	entry_reader *read_entry)
{
	json_t *entries = reader_list(&document->top, list, NEEDED, least, most);
	struct place at = place_member(&document->top.at, list);

	for (size_t i = 0; i < json_array_size(entries); i++) {
		struct place place = place_entry(&at, i);
		struct reader entry;

		reader_open(&entry, &place, json_array_get(entries, i));
		if (entry.object == NULL)
			continue;
		read_entry(b, &entry);
		reader_close(&entry);
	}
}

void read_list_file(struct builder *b, const char *path, const char *list, uint32_t least, uint32_t most,
	enum name_kind kind, entry_reader *read_entry)
{
	struct document document;

	if (!document_open(b, path, &document)) {
		if (kind != NAME_KIND_COUNT)
			b->names[kind].incomplete = true;
		return;
	}
	read_list(b, &document, list, least, most, read_entry);
	document_close(&document);
}

uint32_t each_file(struct builder *b, const char *folder, void (*read_file)(struct builder *b, const char *path))
{
	size_t length = strlen(folder);
	uint32_t count = 0;

	for (size_t i = 0; i < b->files->count; i++) {
		const char *path = b->files->list[i].path;

		if (strncmp(path, folder, length) != 0 || strchr(path + length, '/') != NULL)
			continue;
		read_file(b, path);
		count++;
	}
	return count;
}
