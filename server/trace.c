#include "trace.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

#include "mix.h"

static const char id_bytes[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.";

bool request_id_is_valid(const char *id)
{
	size_t length = id != NULL ? strlen(id) : 0;

	return length > 0 && length < REQUEST_ID_SIZE && strspn(id, id_bytes) == length;
}

void request_id_make(uint64_t seed, uint64_t turn, char id[REQUEST_ID_SIZE])
{
	snprintf(id, REQUEST_ID_SIZE, "%016" PRIx64, mixed(seed + turn * 0x9e3779b97f4a7c15U));
}

/* Lower-case hexadecimal digits, not all of them zero, then the byte that must follow. */
static bool hex_field(const char *text, size_t digits, char after)
{
	return strspn(text, "0123456789abcdef") == digits && strspn(text, "0") < digits && text[digits] == after;
}

bool trace_id_read(const char *traceparent, char id[TRACE_ID_SIZE])
{
	id[0] = '\0';
	if (traceparent == NULL || strspn(traceparent, "0123456789abcdef") != 2 || traceparent[2] != '-' ||
		strncmp(traceparent, "ff", 2) == 0)
		return false;
	if (!hex_field(traceparent + 3, 32, '-') || !hex_field(traceparent + 36, 16, '-'))
		return false;
	if (strspn(traceparent + 53, "0123456789abcdef") != 2)
		return false;
	if (traceparent[55] != '\0' && (traceparent[55] != '-' || strncmp(traceparent, "00", 2) == 0))
		return false;
	memcpy(id, traceparent + 3, TRACE_ID_SIZE - 1);
	id[TRACE_ID_SIZE - 1] = '\0';
	return true;
}
