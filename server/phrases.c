#include "phrases.h"

#include <string.h>

static const struct phrase_value *find(const struct phrase_value *values, size_t count, const char *name, size_t length)
{
	for (size_t i = 0; i < count; i++)
		if (strlen(values[i].name) == length && memcmp(values[i].name, name, length) == 0)
			return &values[i];
	return NULL;
}

void phrase_write(struct writer *text, const char *pattern, const struct phrase_value *values, size_t count)
{
	while (*pattern != '\0') {
		size_t plain = strcspn(pattern, "{"), length = 0;
		const struct phrase_value *value = NULL;

		writer_text(text, pattern, plain);
		pattern += plain;
		if (*pattern == '\0')
			return;
		length = strcspn(pattern, "}");
		if (pattern[length] == '}')
			value = find(values, count, pattern + 1, length - 1);
		if (value != NULL) {
			writer_text(text, value->text, strlen(value->text));
			pattern += length + 1;
		} else {
			writer_text(text, pattern, 1);
			pattern++;
		}
	}
}
