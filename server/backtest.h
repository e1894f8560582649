#ifndef PONDWRIGHT_BACKTEST_H
#define PONDWRIGHT_BACKTEST_H

#include <stdbool.h>
#include <stdio.h>

#include "config.h"
#include "range.h"
#include "rows.h"
#include "writer.h"

/* Past jobs against what the service says of them: how far off it is, section by section, and which build-ups to mend.
 *
 * Two forms of file. JSON lines, one job a line:
 *   {"job": "2026-014", "enquiry": {…}, "sections": {"excavation": {"hours": 41, "cost_minor": 123456, "days": 3}, …},
 *    "build_ups": {"dig-by-hand": 12.5, …}}                     hours of single build-ups, where they were booked
 * CSV, one section of a job a row, the enquiry in the first row of its job:
 *   job,enquiry,section,hours,cost_minor,days
 * Whatever is not known is left out. Hours are person-hours, days those of the whole crew, cost what the firm paid. */

enum measure { MEASURE_HOURS, MEASURE_COST, MEASURE_DAYS, MEASURE_COUNT };
extern const char *const measure_words[MEASURE_COUNT];

/* Where what a job came to lies in the range that the service gives it: P10 to P90. */
enum place_in_band { PLACE_NOT_KNOWN, PLACE_BELOW, PLACE_INSIDE, PLACE_ABOVE, PLACE_COUNT };

struct past_job {
	enum place_in_band net, days;
	double said[SECTIONS_MOST][MEASURE_COUNT];   /* hours; cost in minor units before overhead; crew days */
	double actual[SECTIONS_MOST][MEASURE_COUNT]; /* NaN where nothing was booked */
	double build_up_hours[BUILD_UPS_MOST], actual_build_up_hours[BUILD_UPS_MOST]; /* the latter NaN where not booked */
};

/* Ratios of actual to said, over the jobs in which both are known and something was said. */
struct ratio_stats {
	uint32_t jobs;
	double said, actual;      /* sums */
	double bias;              /* actual / said - 1, of the sums */
	double spread;            /* standard deviation of the jobs' ratios */
	double low, median, high; /* tenth, half and nine tenths of the jobs have a lower ratio */
};

struct mended {
	uint16_t build_up;
	uint32_t jobs;
	double hours;             /* that the service said, over all jobs */
	double factor, error;     /* by which its hours should be multiplied, and the standard error of that */
	bool booked;              /* from hours booked on the build-up itself, not found from its section */
	bool off;                 /* more than three times the error and 3 % beside 1 */
};

struct backtest {
	const struct config *config;
	struct rows jobs;         /* of struct past_job */
	bool out_of_memory;
	uint32_t samples;         /* of each job's range */
	uint32_t net_places[PLACE_COUNT], days_places[PLACE_COUNT]; /* jobs by where they came out */
	uint32_t left_out;        /* jobs that could not be used, each said */
	struct ratio_stats sections[SECTIONS_MOST][MEASURE_COUNT], all[MEASURE_COUNT];
	struct mended mended[BUILD_UPS_MOST]; /* most hours off first */
	uint32_t n_mended;
};

enum { PAST_JOBS_MOST = 5000, PAST_BYTES_MOST = 256 << 20 };

enum { BACKTEST_SAMPLES = 256 };

/* samples: of the range of each job, see range.h. False when memory is short. */
bool backtest_init(struct backtest *test, const struct config *config, uint32_t samples);
void backtest_free(struct backtest *test);

/* backtest_read.c: reads and prices every job of a text; what is wrong is printed as "name:line: what". False when memory
 * is short or there is no job at all. */
bool backtest_read(struct backtest *test, const char *name, const char *text, size_t length, FILE *messages);

/* backtest_band.c: where a job whose cost and days are booked for every section lies in its range. What it came to before
 * tax is what was said of it, and what its cost differed by with overhead, risk and margin on it. */
void backtest_place(struct past_job *job, const struct quote *quote, const struct range *range);

/* backtest_ratios.c: fills sections and all, and counts the places; false when memory is short. */
bool backtest_ratios(struct backtest *test);

/* backtest_fit.c: fills sections, all and mended; out_of_memory tells whether it could.
 *
 * Hours of a build-up that were booked on it give its factor at once: sum of actual over sum of said. Where only the
 * section's hours are known they are shared out by ridge regression: with P what was said of a section in one job and p
 * the part of one build-up, actual / P - 1 = sum of (factor - 1) p / P + error, every factor drawn towards 1 with a
 * standard deviation of 0.3 (A. E. Hoerl, R. W. Kennard, "Ridge regression", Technometrics 12, 1970; the strength is the
 * Bayesian one, error variance over prior variance, found by iteration). */
void backtest_fit(struct backtest *test);

/* backtest_report.c: the report, as text and as one JSON object. Sections in the order of the bill. */
void backtest_write_text(struct writer *out, const struct backtest *test);
void backtest_write_json(struct writer *out, const struct backtest *test);

/* backtest_command.c: what follows "backtest" on the command line: --config DIR [--json] [--samples N] FILE. */
int backtest_command(int count, char **arguments);

#endif
