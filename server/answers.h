#ifndef PONDWRIGHT_ANSWERS_H
#define PONDWRIGHT_ANSWERS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "config.h"
#include "enquiry_faults.h"
#include "json_memory.h"
#include "quote.h"
#include "writer.h"

/* The service's questions and answers, the same for HTTP and for the command line. */

/* Room that one answer needs at a time, one for each thread. */
struct room {
	struct enquiry asked;
	struct quote quote;
	struct enquiry_faults faults; /* of the last body */
	void *scratch;                /* quote_scratch_size() bytes */
	struct json_arena arena;      /* for the body as a document */
};

/* NULL when memory is short. */
struct room *room_new(void);
void room_free(struct room *room);

/* One question. Everything is the caller's. */
struct ask {
	const struct config *config;
	struct room *room;
	const char *body;
	size_t body_length;
	int32_t today_day;    /* issued_on where the body does not say */
	bool owner;           /* the owner's view */
	const char *instance; /* names the request in a problem, or NULL */
};

/* How it went, for the metrics. */
enum outcome { OUTCOME_PRICED, OUTCOME_CANNOT, OUTCOME_ANSWERED, OUTCOME_REFUSED, OUTCOME_NO_MEMORY };
const char *outcome_word(enum outcome outcome);

/* Writes the whole answer into an empty writer and returns its HTTP status: 200 with the answer, 400 or 422 with a
 * problem, 503 with nothing where memory was short. */
struct answer {
	unsigned status;
	enum outcome outcome;
};
typedef struct answer answer_function(const struct ask *ask, struct writer *out);

answer_function answer_quote;  /* POST /v1/quote */
answer_function answer_water;  /* POST /v1/water */
answer_function answer_screen; /* POST /v1/screen */
answer_function answer_calendar; /* the programme of a quote as text/calendar; what it refuses is a problem in JSON */
answer_function answer_csv;      /* its prices, or for the owner its orders, as text/csv; the same */
answer_function answer_range; /* POST /v1/range: an enquiry, and "samples" */
answer_function answer_long_range; /* the same for the command line, where more samples are allowed */
answer_function answer_compare; /* POST /v1/compare: an enquiry, and "grid": true for other sizes and depths */
answer_function answer_survey; /* POST /v1/survey */
answer_function answer_survey_page; /* the same as text/html; what it refuses is a problem in JSON */
answer_function answer_variation; /* POST /v1/variation: {"agreed": enquiry, "now": enquiry, "stage": task or null} */

#endif
