#include "json_memory.h"

#include <stdlib.h>

#include <jansson.h>

static _Thread_local bool was_short;

void json_memory_note(void)
{
	was_short = true;
}

void *json_memory_get(size_t size)
{
	void *memory = malloc(size);

	if (memory == NULL)
		json_memory_note();
	return memory;
}

void json_memory_watch(void)
{
	json_set_alloc_funcs(json_memory_get, free);
}

void json_memory_begin(void)
{
	was_short = false;
}

bool json_memory_was_short(void)
{
	return was_short;
}
