#ifndef PONDWRIGHT_SURVEY_H
#define PONDWRIGHT_SURVEY_H

#include "answer_view.h"

/* What is still to be found out about a job: assumed values, and facts that a rule's question waits for. */
struct survey_line {
	uint16_t field;
	bool on_visit;            /* else a telephone call may settle it */
	const char *question, *why;
	bool assumed;             /* a value was assumed meanwhile */
};

struct survey {
	uint32_t n_lines;
	struct survey_line lines[F_COUNT];
	struct span stops[32];    /* of lines, for each stop of config->survey_stops, then those of no stop */
};

/* Lines by stop in walking order; within a stop as survey.json lists fields, at the end as the field table does. */
void survey_gather(const struct view *view, struct survey *survey);

/* survey_page.c: the sheet as one page of HTML without a script, to be printed and filled in by hand. */
void survey_write_page(struct writer *out, const struct view *view, const struct survey *survey, const char *canonical,
	size_t length);

#endif
