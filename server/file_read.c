#include "file_read.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

bool file_read(const char *path, size_t most, struct writer *text)
{
	FILE *in = strcmp(path, "-") == 0 ? stdin : fopen(path, "rb");
	char block[65536];
	size_t got;
	bool sound;

	if (in == NULL) {
		fprintf(stderr, "pondwright: %s: %s\n", path, strerror(errno));
		return false;
	}
	while ((got = fread(block, 1, sizeof block, in)) > 0 && text->length <= most)
		writer_text(text, block, got);
	sound = !ferror(in) && !text->out_of_memory && text->length <= most;
	if (!sound)
		fprintf(stderr, "pondwright: %s: cannot be read, or has more than %zu bytes\n", path, most);
	if (in != stdin)
		fclose(in);
	return sound;
}
