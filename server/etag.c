#include "etag.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

void etag_make(const void *bytes, size_t length, char text[ETAG_SIZE])
{
	const unsigned char *byte = bytes;
	uint64_t hash = 14695981039346656037U; /* offset and prime of FNV-1a, 64 bit */

	for (size_t i = 0; i < length; i++)
		hash = (hash ^ byte[i]) * 1099511628211U;
	snprintf(text, ETAG_SIZE, "\"%016" PRIx64 "-%zx\"", hash, length);
}

bool etag_matches(const char *if_none_match, const char *etag)
{
	const char *at = if_none_match;
	size_t length = strlen(etag);

	if (at == NULL)
		return false;
	for (;;) {
		const char *end;

		at += strspn(at, ", \t");
		if (*at == '*')
			return true;
		if (strncmp(at, "W/", 2) == 0)
			at += 2;
		if (*at != '"')
			return false;
		if (strncmp(at, etag, length) == 0)
			return true;
		end = strchr(at + 1, '"');
		if (end == NULL)
			return false;
		at = end + 1;
	}
}
