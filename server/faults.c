#include "faults.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#define REASON_SIZE 1024

void faults_init(struct faults *faults)
{
	*faults = (struct faults){0};
}

void faults_free(struct faults *faults)
{
	for (size_t i = 0; i < faults->n_kept; i++) {
		free(faults->list[i].file);
		free(faults->list[i].pointer);
		free(faults->list[i].reason);
	}
	free(faults->list);
	faults_init(faults);
}

static char *clean_copy(const char *text)
{
	size_t length = strlen(text);
	char *copy = malloc(length + 1);

	for (size_t i = 0; copy != NULL && i <= length; i++)
		copy[i] = (unsigned char)text[i] < ' ' && i < length ? '?' : text[i] == 0x7f ? '?' : text[i];
	return copy;
}

static bool has_room(struct faults *faults)
{
	size_t capacity = faults->capacity ? 2 * faults->capacity : 16;
	struct fault *list;

	if (faults->n_kept == FAULTS_KEPT_MOST)
		return false;
	if (faults->n_kept < faults->capacity)
		return true;
	list = realloc(faults->list, capacity * sizeof *list);
	if (list == NULL)
		return false;
	faults->list = list;
	faults->capacity = capacity;
	return true;
}

static void keep(struct faults *faults, bool warning, const char *file, const char *pointer, const char *reason)
{
	struct fault fault = {clean_copy(file), clean_copy(pointer), clean_copy(reason), warning};

	if (fault.file == NULL || fault.pointer == NULL || fault.reason == NULL) {
		free(fault.file);
		free(fault.pointer);
		free(fault.reason);
		return;
	}
	faults->list[faults->n_kept++] = fault;
}

void faults_add(struct faults *faults, bool warning, const char *file, const char *pointer, const char *format, ...)
{
	char reason[REASON_SIZE];
	va_list arguments;

	if (warning)
		faults->n_warnings++;
	else
		faults->n_faults++;
	va_start(arguments, format);
	vsnprintf(reason, sizeof reason, format, arguments);
	va_end(arguments);
	if (has_room(faults))
		keep(faults, warning, file, pointer, reason);
}

void faults_print(const struct faults *faults, FILE *out)
{
	size_t beyond = faults->n_faults + faults->n_warnings - faults->n_kept;

	for (size_t i = 0; i < faults->n_kept; i++) {
		const struct fault *fault = &faults->list[i];

		fprintf(out, "%s%s: %s%s%s\n", fault->warning ? "warning: " : "", fault->file, fault->pointer,
			fault->pointer[0] != '\0' ? ": " : "", fault->reason);
	}
	if (beyond > 0)
		fprintf(out, "and %zu more\n", beyond);
}
