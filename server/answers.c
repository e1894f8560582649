#include "answers.h"

#include <stdlib.h>

struct room *room_new(void)
{
	struct room *room = malloc(sizeof *room);

	if (room == NULL)
		return NULL;
	room->scratch = malloc(quote_scratch_size());
	if (room->scratch == NULL) {
		free(room);
		return NULL;
	}
	room->arena = (struct json_arena){0};
	enquiry_faults_init(&room->faults);
	return room;
}

void room_free(struct room *room)
{
	if (room == NULL)
		return;
	enquiry_faults_free(&room->faults);
	json_arena_free(&room->arena);
	free(room->scratch);
	free(room);
}

const char *outcome_word(enum outcome outcome)
{
	static const char *const words[] = {
		[OUTCOME_PRICED] = "priced", [OUTCOME_CANNOT] = "cannot", [OUTCOME_ANSWERED] = "answered",
		[OUTCOME_REFUSED] = "refused", [OUTCOME_NO_MEMORY] = "no-memory",
	};

	return words[outcome];
}
