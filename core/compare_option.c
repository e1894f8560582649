#include "compare_parts.h"

#include <math.h>
#include <string.h>

#include "quote_parts.h"

double compare_kgco2e(const struct catalogue *catalogue, const struct quote *quote, bool counts,
	struct option *option)
{
	double kg = 0;

	for (uint32_t i = 0; i < catalogue->n_items; i++) {
		if (!(quote->item_total[i] > 0))
			continue;
		if (!isnan(catalogue->items[i].kgco2e)) {
			kg += catalogue->items[i].kgco2e * quote->item_total[i];
		} else if (counts) {
			option->lacks_factor = true;
			set_bit(option->lacking, i);
		}
	}
	return kg;
}

static void renewals_kgco2e(const struct comparing *with, struct option *option)
{
	option->renewals_kgco2e = 0;
	for (uint32_t i = 0; i < option->n_renewals; i++) {
		const struct renewed *renewed = &option->renewals[i];

		if (renewed->needed)
			option->renewals_kgco2e +=
				renewed->kgco2e * renewal_times(&with->catalogue->renewals[renewed->renewal], with->years);
	}
}

static bool all_possible(const struct option *option)
{
	for (uint32_t i = 0; i < option->n_renewals; i++)
		if (option->renewals[i].needed && !option->renewals[i].possible)
			return false;
	return true;
}

/* A renewal that falls due after the end of the years has no part in what they cost. */
static void years(const struct comparing *with, struct option *option)
{
	option->years_known = option->quote.n_cannots == 0 && all_possible(option);
	option->over_years_minor = option_over_years_minor(with->catalogue, with->edition, option, with->years);
	option->per_year_minor = llround((double)option->over_years_minor / with->years);
	renewals_kgco2e(with, option);
}

enum status compare_price(const struct comparing *with, const struct enquiry *enquiry, uint16_t shell, struct option *option)
{
	struct job *job = &with->scratch->job;

	quote_begin(with->catalogue, with->edition, enquiry, job, &option->quote);
	job->labour_scale = with->labour_scale;
	job->price_scale = with->price_scale;
	quote_take_shell(job, shell);
	return quote_price_begun(job);
}

void compare_years(const struct comparing *with, const struct enquiry *enquiry, struct option *option)
{
	option->lacks_factor = false;
	memset(option->lacking, 0, sizeof option->lacking);
	option->kgco2e = compare_kgco2e(with->catalogue, &option->quote, true, option);
	compare_renewals(with, enquiry, option);
	years(with, option);
}
