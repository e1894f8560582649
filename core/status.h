#ifndef PONDWRIGHT_STATUS_H
#define PONDWRIGHT_STATUS_H

/* What the core can report. Only the server turns these into words for people. */
enum status {
#define STATUS(id, slug, sentence) ST_##id,
#include "status.def"
#undef STATUS
	ST_COUNT
};

/* Slug and sentence of a status; both are constants. */
const char *status_slug(enum status status);
const char *status_sentence(enum status status);

#endif
