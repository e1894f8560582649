#define _GNU_SOURCE
#include "config_edit.h"

#include <check.h>
#include <jansson.h>
#include <stdlib.h>
#include <string.h>

static const char *fixture(void)
{
	static char path[1000];
	const char *fixtures = getenv("PONDWRIGHT_FIXTURES");

	ck_assert_ptr_nonnull(fixtures);
	snprintf(path, sizeof path, "%s/config-small", fixtures);
	return path;
}

/* practice.json is made here, from the table: a constant more or less is no matter of the loader's tests. */
static void add_practice(struct config_files *files)
{
	json_t *rows = json_object();
	json_t *root = json_pack("{s:o}", "practice", rows);
	char *text;

	for (uint32_t i = 0; i < P_COUNT; i++)
		json_object_set_new(rows, practice_table[i].name,
			json_pack("{s:f,s:s}", "value", practice_table[i].lo, "source", "invented for tests"));
	text = json_dumps(root, 0);
	ck_assert_ptr_nonnull(text);
	ck_assert(config_files_add(files, "practice.json", text, strlen(text)));
	free(text);
	json_decref(root);
}

void small_config(struct config_files *files)
{
	struct faults faults;

	faults_init(&faults);
	config_files_init(files);
	config_files_read(files, fixture(), &faults);
	ck_assert_uint_eq(faults.n_faults, 0);
	ck_assert_uint_gt(files->count, 20);
	faults_free(&faults);
	add_practice(files);
}

struct config_files small_files;
struct faults small_faults;

void open_small(void)
{
	small_config(&small_files);
	faults_init(&small_faults);
}

void close_small(void)
{
	config_files_free(&small_files);
	faults_free(&small_faults);
}

/* The step of a pointer, unescaped; returns what follows it. */
static const char *next_step(const char *pointer, char step[100])
{
	size_t length = 0;

	for (pointer++; *pointer != '\0' && *pointer != '/'; pointer++) {
		ck_assert_uint_lt(length + 1, 100);
		if (*pointer == '~')
			step[length++] = *++pointer == '1' ? '/' : '~';
		else
			step[length++] = *pointer;
	}
	step[length] = '\0';
	return pointer;
}

static json_t *inner(json_t *value, const char *step)
{
	json_t *found = json_is_array(value) ? json_array_get(value, (size_t)atoi(step)) : json_object_get(value, step);

	ck_assert_msg(found != NULL, "the fixture has no %s", step);
	return found;
}

static void set(json_t *holder, const char *step, json_t *value)
{
	if (json_is_array(holder) && strcmp(step, "-") == 0)
		ck_assert_int_eq(json_array_append_new(holder, value), 0);
	else if (json_is_array(holder) && value == NULL)
		ck_assert_int_eq(json_array_remove(holder, (size_t)atoi(step)), 0);
	else if (json_is_array(holder))
		ck_assert_int_eq(json_array_set_new(holder, (size_t)atoi(step), value), 0);
	else if (value == NULL)
		ck_assert_int_eq(json_object_del(holder, step), 0);
	else
		ck_assert_int_eq(json_object_set_new(holder, step, value), 0);
}

void config_edit(struct config_files *files, const char *path, const char *pointer, const char *json)
{
	const struct config_file *file = config_files_find(files, path);
	json_t *root, *holder, *value;
	char step[100];
	char *text;

	ck_assert_msg(file != NULL, "the fixture has no %s", path);
	root = holder = json_loadb(file->bytes, file->size, 0, NULL);
	value = json == NULL ? NULL : json_loads(json, JSON_DECODE_ANY, NULL);
	ck_assert_ptr_nonnull(root);
	ck_assert(json == NULL || value != NULL);
	for (pointer = next_step(pointer, step); *pointer != '\0'; pointer = next_step(pointer, step))
		holder = inner(holder, step);
	set(holder, step, value);
	text = json_dumps(root, 0);
	ck_assert_ptr_nonnull(text);
	ck_assert(config_files_add(files, path, text, strlen(text)));
	free(text);
	json_decref(root);
}

bool has_fault(const struct faults *faults, const char *file, const char *pointer, const char *words)
{
	for (size_t i = 0; i < faults->n_kept; i++) {
		const struct fault *fault = &faults->list[i];

		if (strcmp(fault->file, file) == 0 && strcmp(fault->pointer, pointer) == 0 && strstr(fault->reason, words) != NULL)
			return true;
	}
	return false;
}
