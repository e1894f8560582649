#include "bill.h"

#include <math.h>

#include "money.h"

/* What a job costs at least, known before its days are counted and its packs are chosen. */

void bill_least_prices(struct job *job)
{
	for (uint32_t item = 0; item < job->catalogue->n_items; item++) {
		struct span packs = job->catalogue->items[item].packs;
		double least = (double)INFINITY;

		for (uint32_t i = packs.first; i < packs.first + packs.count; i++)
			least = fmin(least, (double)job->edition->pack_milliminor[i] / job->catalogue->packs[i].size);
		job->least_milliminor[item] = least;
	}
}

/* Whole packs hold at least the need, and none holds more for its price than its size says. What goes by time is left out, and
 * so are deliveries, short loads and half-days. A unit of the coin for each need is more than rounding can take. */
static double least_direct_minor(const struct job *job)
{
	double milliminor = 0;
	int64_t minor = 0;

	for (uint32_t i = 0; i < job->quote->n_lines; i++) {
		const struct line *line = &job->quote->lines[i];
		struct span costs = {0, 0};

		if (line->special == LINE_BUILD_UP)
			costs = job->catalogue->build_ups[line->build_up].costs;
		minor += line->cost_minor[LABOUR];
		for (uint32_t k = costs.first; k < costs.first + costs.count; k++) {
			uint16_t item = bill_item(job, &job->catalogue->costs[k]);

			if (item != NO_INDEX && job->last->bill.need_micro[k] > 0) {
				milliminor += (double)job->last->bill.need_micro[k] / 1e6 * job->least_milliminor[item];
				minor--;
			}
		}
	}
	return floor(milliminor / 1000) + (double)minor;
}

/* Overhead, risk and margin as bill_price adds them, each on what stands before it. */
int64_t bill_least_net_minor(const struct job *job)
{
	const struct edition *edition = job->edition;
	double direct = least_direct_minor(job);
	int64_t shares[] = {edition->overhead_ppm, edition->risk_ppm, edition->margin_ppm}, net, share;

	if (!(direct > 0 && direct < (double)MONEY_MOST))
		return 0;
	net = (int64_t)direct;
	for (uint32_t i = 0; i < sizeof shares / sizeof shares[0]; i++) {
		if (money_share(net, shares[i], &share) != ST_OK)
			return 0;
		net += share;
	}
	for (uint32_t sum = 0; sum < job->catalogue->n_sums; sum++)
		if (job->quote->sum_in_price[sum])
			net += edition->sum_minor[sum];
	return money_to_step(net, edition->round_net_minor);
}
