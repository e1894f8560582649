#include "backtest.h"

#include <math.h>

/* What a whole job came to by one measure; NaN where a section that the service names was not booked. */
static double came_to(const struct past_job *job, enum measure measure)
{
	double sum = 0;

	for (uint32_t section = 0; section < SECTIONS_MOST; section++) {
		if (isnan(job->actual[section][measure]) && job->said[section][measure] > 0)
			return (double)NAN;
		if (!isnan(job->actual[section][measure]))
			sum += job->actual[section][measure];
	}
	return sum;
}

static enum place_in_band place(double value, double low, double high)
{
	if (isnan(value))
		return PLACE_NOT_KNOWN;
	return value < low ? PLACE_BELOW : value > high ? PLACE_ABOVE : PLACE_INSIDE;
}

static double net_came_to(const struct past_job *job, const struct quote *quote)
{
	double direct = (double)quote->direct_minor;
	double with_shares = (double)(quote->direct_minor + quote->overhead_minor + quote->risk_minor + quote->margin_minor);

	if (!(direct > 0))
		return (double)NAN;
	return (double)quote->net_minor + (came_to(job, MEASURE_COST) - direct) * with_shares / direct;
}

void backtest_place(struct past_job *job, const struct quote *quote, const struct range *range)
{
	if (!range->any)
		return;
	job->net = place(net_came_to(job, quote), (double)range->net.low_minor, (double)range->net.high_minor);
	job->days = place(came_to(job, MEASURE_DAYS), range->on_site_days.low, range->on_site_days.high);
}
