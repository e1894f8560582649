#ifndef PONDWRIGHT_BACKTEST_READER_H
#define PONDWRIGHT_BACKTEST_READER_H

#include <jansson.h>

#include "backtest.h"
#include "csv.h"

/* Private to server/backtest_*.c: what the two forms of a file of past jobs share. */

struct past_reader {
	struct backtest *test;
	const char *name;
	FILE *messages;
	uint32_t line;
	struct past_job job;
	struct enquiry enquiry;
	struct quote quote;
	struct range range;
	void *scratch;            /* for a range of test->samples */
};

/* Says what is wrong and counts the job as left out; always false. */
bool past_refuse(struct past_reader *in, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* The next job, of which nothing is known yet. */
void past_begin(struct past_reader *in);
/* What the service says of its enquiry; false after past_refuse. */
bool past_price(struct past_reader *in, json_t *enquiry);
/* Index of a section by its id. */
bool past_section(const struct past_reader *in, const char *id, uint32_t *index);
/* Keeps a figure of 0 or more; false for any other. */
bool past_keep(double *to, double value);
/* The job is whole. */
void past_add(struct past_reader *in);

/* backtest_csv.c: all jobs of a table. */
void past_read_csv(struct past_reader *in, struct csv_reader *csv);

#endif
