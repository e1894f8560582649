#include "compare.h"

#include <math.h>

double present_factor(const struct edition *edition, double years)
{
	return pow((1 + edition->price_growth) / (1 + edition->discount_rate), years);
}

/* A renewal that falls due with the end of the years is somebody else's. */
uint32_t renewal_times(const struct renewal *renewal, uint32_t years)
{
	uint32_t times = (uint32_t)(ceil(years / renewal->every_years - 1e-9) - 1);

	return renewal->times_most > 0 && times > renewal->times_most ? renewal->times_most : times;
}

static double present_cost(const struct catalogue *catalogue, const struct edition *edition, const struct renewed *renewed,
	uint32_t years)
{
	const struct renewal *renewal = &catalogue->renewals[renewed->renewal];
	double cost = 0;

	for (uint32_t k = 1; k <= renewal_times(renewal, years); k++)
		cost += (double)renewed->each_minor * present_factor(edition, k * renewal->every_years);
	return cost;
}

int64_t option_over_years_minor(const struct catalogue *catalogue, const struct edition *edition,
	const struct option *option, uint32_t years)
{
	double cost = 0;

	for (uint32_t i = 0; i < option->n_renewals; i++)
		if (option->renewals[i].needed)
			cost += present_cost(catalogue, edition, &option->renewals[i], years);
	return option->quote.gross_minor + llround(cost);
}
