#include "backtest.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PRIOR_DEVIATION 0.3  /* factors within 0.7 and 1.3 are what two owners of three would expect; own figure */
#define LEAST_OFF 0.03       /* a smaller slip is no reason to change a build-up; own figure */
#define ERRORS_OFF 3.0       /* of fifty build-ups one is blamed by chance in seven reports; with two errors two in each report */
enum { ITERATIONS = 8, UNKNOWNS_MOST = 64, LEAST_JOBS = 5 };

bool backtest_init(struct backtest *test, const struct config *config, uint32_t samples)
{
	*test = (struct backtest){.config = config, .samples = samples};
	return rows_init(&test->jobs, sizeof(struct past_job), &test->out_of_memory);
}

void backtest_free(struct backtest *test)
{
	rows_free(&test->jobs);
}

static const struct past_job *job_at(const struct backtest *test, uint32_t index)
{
	return ROW(test->jobs, struct past_job, index);
}

/* ---- hours booked on build-ups ---- */

static struct mended *add_mended(struct backtest *test, uint32_t build_up)
{
	struct mended *row = &test->mended[test->n_mended++];

	*row = (struct mended){.build_up = (uint16_t)build_up, .factor = 1};
	return row;
}

static bool is_booked(const struct past_job *job, uint32_t build_up)
{
	return job->build_up_hours[build_up] > 0 && !isnan(job->actual_build_up_hours[build_up]);
}

static bool mend_booked(struct backtest *test, uint32_t build_up)
{
	double said = 0, actual = 0, square = 0;
	struct mended *row;
	uint32_t n = 0;

	for (uint32_t i = 0; i < rows_count(&test->jobs); i++) {
		const struct past_job *job = job_at(test, i);

		if (!is_booked(job, build_up))
			continue;
		n++;
		said += job->build_up_hours[build_up];
		actual += job->actual_build_up_hours[build_up];
	}
	if (n < LEAST_JOBS)
		return false;
	row = add_mended(test, build_up);
	row->jobs = n;
	row->hours = said;
	row->factor = actual / said;
	row->booked = true;
	for (uint32_t i = 0; i < rows_count(&test->jobs); i++) {
		const struct past_job *job = job_at(test, i);

		if (is_booked(job, build_up))
			square += pow(job->actual_build_up_hours[build_up] - row->factor * job->build_up_hours[build_up], 2);
	}
	row->error = sqrt(square * n / (n - 1)) / said; /* of a ratio of sums: Cochran, "Sampling Techniques", 1977, 6.4 */
	return true;
}

/* ---- hours booked on sections ---- */

struct fit {
	uint32_t section, n; /* unknowns */
	uint16_t build_ups[UNKNOWNS_MOST];
	double square[UNKNOWNS_MOST][UNKNOWNS_MOST], product[UNKNOWNS_MOST]; /* XtX and Xty */
	double inverse[UNKNOWNS_MOST][UNKNOWNS_MOST], solution[UNKNOWNS_MOST];
	double target_square; /* yty */
	uint32_t jobs;
};

/* Inverse of XtX + strength, which is positive definite, by Gauss and Jordan without pivoting. */
static void invert(struct fit *fit, double strength)
{
	double work[UNKNOWNS_MOST][UNKNOWNS_MOST];

	for (uint32_t i = 0; i < fit->n; i++)
		for (uint32_t k = 0; k < fit->n; k++) {
			work[i][k] = fit->square[i][k] + (i == k ? strength : 0);
			fit->inverse[i][k] = i == k ? 1.0 : 0;
		}
	for (uint32_t i = 0; i < fit->n; i++) {
		double pivot = work[i][i];

		for (uint32_t k = 0; k < fit->n; k++) {
			work[i][k] /= pivot;
			fit->inverse[i][k] /= pivot;
		}
		for (uint32_t row = 0; row < fit->n; row++) {
			double times = row == i ? 0 : work[row][i];

			for (uint32_t k = 0; k < fit->n && times != 0; k++) {
				work[row][k] -= times * work[i][k];
				fit->inverse[row][k] -= times * fit->inverse[i][k];
			}
		}
	}
}

/* Solves with the error variance of the round before; returns that of this one. */
static double solve(struct fit *fit, double variance)
{
	double residual = fit->target_square;

	invert(fit, variance / (PRIOR_DEVIATION * PRIOR_DEVIATION));
	for (uint32_t i = 0; i < fit->n; i++) {
		fit->solution[i] = 0;
		for (uint32_t k = 0; k < fit->n; k++)
			fit->solution[i] += fit->inverse[i][k] * fit->product[k];
	}
	for (uint32_t i = 0; i < fit->n; i++) {
		residual -= 2 * fit->solution[i] * fit->product[i];
		for (uint32_t k = 0; k < fit->n; k++)
			residual += fit->solution[i] * fit->square[i][k] * fit->solution[k];
	}
	return fmax(residual, 1e-12) / fit->jobs;
}

static void gather_job(struct fit *fit, const struct past_job *job)
{
	double said = job->said[fit->section][MEASURE_HOURS], actual = job->actual[fit->section][MEASURE_HOURS], y;

	if (!(said > 0) || isnan(actual))
		return;
	y = actual / said - 1;
	fit->jobs++;
	fit->target_square += y * y;
	for (uint32_t i = 0; i < fit->n; i++) {
		double x = job->build_up_hours[fit->build_ups[i]] / said;

		fit->product[i] += x * y;
		for (uint32_t k = 0; k < fit->n; k++)
			fit->square[i][k] += x * job->build_up_hours[fit->build_ups[k]] / said;
	}
}

static void keep_fit(struct backtest *test, const struct fit *fit, double variance)
{
	for (uint32_t i = 0; i < fit->n; i++) {
		struct mended *row = add_mended(test, fit->build_ups[i]);

		row->factor = 1 + fit->solution[i];
		row->error = sqrt(variance * fit->inverse[i][i]);
		for (uint32_t k = 0; k < rows_count(&test->jobs); k++) {
			double hours = job_at(test, k)->build_up_hours[row->build_up];

			row->hours += hours;
			row->jobs += hours > 0;
		}
	}
}

static double hours_of(const struct backtest *test, uint32_t build_up)
{
	double hours = 0;

	for (uint32_t i = 0; i < rows_count(&test->jobs); i++)
		hours += job_at(test, i)->build_up_hours[build_up];
	return hours;
}

static void mend_section(struct backtest *test, uint32_t section, const bool *booked, struct fit *fit)
{
	const struct catalogue *catalogue = &test->config->catalogue;
	double variance;

	memset(fit, 0, sizeof *fit);
	fit->section = section;
	for (uint32_t i = 0; i < catalogue->n_build_ups && fit->n < UNKNOWNS_MOST; i++)
		if (catalogue->build_ups[i].section == section && !booked[i] && hours_of(test, i) > 0)
			fit->build_ups[fit->n++] = (uint16_t)i;
	for (uint32_t i = 0; i < rows_count(&test->jobs); i++)
		gather_job(fit, job_at(test, i));
	if (fit->jobs < LEAST_JOBS || fit->n == 0)
		return;
	variance = fmax(fit->target_square / fit->jobs, 1e-12);
	for (int i = 0; i < ITERATIONS; i++)
		variance = solve(fit, variance);
	solve(fit, variance);
	keep_fit(test, fit, variance);
}

/* ---- all ---- */

static int by_hours_off(const void *left, const void *right)
{
	const struct mended *a = left, *b = right;
	double off_a = fabs(a->factor - 1) * a->hours, off_b = fabs(b->factor - 1) * b->hours;

	if (a->off != b->off)
		return a->off ? -1 : 1;
	return off_a != off_b ? (off_a < off_b) - (off_a > off_b) : a->build_up - b->build_up;
}

void backtest_fit(struct backtest *test)
{
	const struct catalogue *catalogue = &test->config->catalogue;
	struct fit *fit = malloc(sizeof *fit);
	bool booked[BUILD_UPS_MOST];

	test->out_of_memory = !backtest_ratios(test) || fit == NULL || test->out_of_memory;
	if (!test->out_of_memory) {
		for (uint32_t i = 0; i < catalogue->n_build_ups; i++)
			booked[i] = mend_booked(test, i);
		for (uint32_t section = 0; section < catalogue->n_sections; section++)
			mend_section(test, section, booked, fit);
		for (uint32_t i = 0; i < test->n_mended; i++) {
			struct mended *row = &test->mended[i];
			double off = fabs(row->factor - 1);

			row->off = off > ERRORS_OFF * row->error && off > LEAST_OFF;
		}
		qsort(test->mended, test->n_mended, sizeof *test->mended, by_hours_off);
	}
	free(fit);
}
