#include "backtest.h"

#include <math.h>
#include <stdlib.h>

/* Actual over said: bias, spread and quantiles. */

static const struct past_job *job_at(const struct backtest *test, uint32_t index)
{
	return ROW(test->jobs, struct past_job, index);
}

static int rising(const void *left, const void *right)
{
	double a = *(const double *)left, b = *(const double *)right;

	return (a > b) - (a < b);
}

/* Between two neighbours by straight line, as spreadsheets do. */
static double quantile(const double *sorted, uint32_t n, double share)
{
	double at = share * (n - 1);
	uint32_t low = (uint32_t)at;

	return low + 1 < n ? sorted[low] + (at - low) * (sorted[low + 1] - sorted[low]) : sorted[n - 1];
}

static void summarise(struct ratio_stats *stats, double *ratios)
{
	double mean = 0, square = 0;
	uint32_t n = stats->jobs;

	if (n == 0)
		return;
	for (uint32_t i = 0; i < n; i++)
		mean += ratios[i] / n;
	for (uint32_t i = 0; i < n; i++)
		square += (ratios[i] - mean) * (ratios[i] - mean);
	qsort(ratios, n, sizeof *ratios, rising);
	stats->bias = stats->actual / stats->said - 1;
	stats->spread = n > 1 ? sqrt(square / (n - 1)) : 0;
	stats->low = quantile(ratios, n, 0.1);
	stats->median = quantile(ratios, n, 0.5);
	stats->high = quantile(ratios, n, 0.9);
}

static void add_ratio(struct ratio_stats *stats, double *ratios, double said, double actual)
{
	if (!(said > 0) || isnan(actual))
		return;
	ratios[stats->jobs++] = actual / said;
	stats->said += said;
	stats->actual += actual;
}

static void section_ratios(struct backtest *test, double *ratios)
{
	for (uint32_t section = 0; section < test->config->catalogue.n_sections; section++)
		for (uint32_t m = 0; m < MEASURE_COUNT; m++) {
			struct ratio_stats *stats = &test->sections[section][m];

			for (uint32_t i = 0; i < rows_count(&test->jobs); i++)
				add_ratio(stats, ratios, job_at(test, i)->said[section][m], job_at(test, i)->actual[section][m]);
			summarise(stats, ratios);
		}
}

/* The whole of each job, over the sections of which something was booked. */
static void whole_ratios(struct backtest *test, double *ratios)
{
	for (uint32_t m = 0; m < MEASURE_COUNT; m++) {
		for (uint32_t i = 0; i < rows_count(&test->jobs); i++) {
			const struct past_job *job = job_at(test, i);
			double said = 0, actual = 0;

			for (uint32_t section = 0; section < SECTIONS_MOST; section++)
				if (!isnan(job->actual[section][m])) {
					said += job->said[section][m];
					actual += job->actual[section][m];
				}
			add_ratio(&test->all[m], ratios, said, actual);
		}
		summarise(&test->all[m], ratios);
	}
}

static void count_places(struct backtest *test)
{
	for (uint32_t i = 0; i < rows_count(&test->jobs); i++) {
		test->net_places[job_at(test, i)->net]++;
		test->days_places[job_at(test, i)->days]++;
	}
}

bool backtest_ratios(struct backtest *test)
{
	double *ratios = malloc((rows_count(&test->jobs) + 1) * sizeof *ratios);

	if (ratios == NULL)
		return false;
	section_ratios(test, ratios);
	whole_ratios(test, ratios);
	count_places(test);
	free(ratios);
	return true;
}
