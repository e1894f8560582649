#include "compare_parts.h"

#include "quote_parts.h"

uint32_t compare_scratch_size(void)
{
	return sizeof(struct compare_scratch);
}

/* ---- races ---- */

enum kind { KIND_SHEET, KIND_CAST, KIND_CLAY };

static enum kind kind_of(const struct shell *shell)
{
	if (shell->sheet)
		return KIND_SHEET;
	return shell->rigid ? KIND_CAST : KIND_CLAY;
}

static int64_t cost_minor(const struct comparing *with, const struct option *option, uint32_t years)
{
	return years == 0 ? option->quote.gross_minor
			  : option_over_years_minor(with->catalogue, with->edition, option, years);
}

/* The cheapest shell, of another kind than `beside` where that is one; ties go to the earlier. */
static uint16_t cheapest(const struct comparing *with, const struct option *options, uint32_t years, uint16_t beside)
{
	const struct shell *shells = with->catalogue->shells;
	uint16_t best = NO_INDEX;
	int64_t best_minor = 0;

	for (uint16_t i = 0; i < with->catalogue->n_shells; i++) {
		int64_t minor;

		if (!option_counts(&options[i], years > 0) ||
		    (beside != NO_INDEX && kind_of(&shells[i]) == kind_of(&shells[beside])))
			continue;
		minor = cost_minor(with, &options[i], years);
		if (best == NO_INDEX || minor < best_minor) {
			best = i;
			best_minor = minor;
		}
	}
	return best;
}

static void run(const struct comparing *with, const struct option *options, uint32_t years, struct race *race)
{
	*race = (struct race){.years = years, .rival = NO_INDEX};
	race->cheapest = cheapest(with, options, years, NO_INDEX);
	if (race->cheapest == NO_INDEX)
		return;
	race->rival = cheapest(with, options, years, race->cheapest);
	if (race->rival != NO_INDEX)
		race->gap_minor = cost_minor(with, &options[race->rival], years) - cost_minor(with, &options[race->cheapest], years);
}

/* Cost up to the end of a year, what falls due in it counted, but nothing that falls due with the end of all years. */
static int64_t by_year_minor(const struct comparing *with, const struct option *option, uint32_t year)
{
	return option_over_years_minor(with->catalogue, with->edition, option, year < with->years ? year + 1 : with->years);
}

/* The first year from which on the dearer one has cost no more, for good. */
static uint32_t paid_back_after(const struct comparing *with, const struct option *cheap_now, const struct option *cheap_later)
{
	uint32_t year = with->years;

	while (year > 1 && by_year_minor(with, cheap_later, year - 1) <= by_year_minor(with, cheap_now, year - 1))
		year--;
	return year;
}

static void judge(const struct comparing *with, const struct option *options, struct comparison *comparison)
{
	uint16_t now, later;

	run(with, options, 0, &comparison->now);
	run(with, options, with->years, &comparison->over_years);
	for (uint32_t i = 0; i < HORIZONS; i++)
		comparison->horizon_cheapest[i] = cheapest(with, options, horizon_years[i], NO_INDEX);
	now = comparison->now.cheapest;
	later = comparison->over_years.cheapest;
	comparison->paid_back_after_years = 0;
	if (now != later && now != NO_INDEX && later != NO_INDEX && options[now].years_known)
		comparison->paid_back_after_years = paid_back_after(with, &options[now], &options[later]);
}

/* ---- the comparison ---- */

static uint32_t service_years(const struct comparing *with, const struct enquiry *enquiry)
{
	struct quote *quote = &with->scratch->renewal;

	quote_begin(with->catalogue, with->edition, enquiry, &with->scratch->job, quote);
	return (uint32_t)quote->resolved.v[F_service_years].number;
}

/* A shell that can't be priced stands aside as one that can't be built. */
static void set_aside(struct option *option, uint16_t shell)
{
	option->quote.shell = shell;
	option->quote.n_cannots = 1;
	option->quote.n_lines = option->quote.n_flags = 0;
	option->n_renewals = 0;
	option->years_known = false;
}

static enum status price_all(const struct comparing *with, const struct enquiry *enquiry, struct option *options)
{
	struct job *job = &with->scratch->job;
	bool any = false;

	job->shapes_ready = false;
	for (uint16_t shell = 0; shell < with->catalogue->n_shells; shell++) {
		struct option *option = &options[shell];

		option->status = compare_price(with, enquiry, shell, option);
		if (option->status == ST_OK) {
			quote_finish(job);
			compare_years(with, enquiry, option);
			any = true;
		} else {
			set_aside(option, shell);
		}
	}
	return any || with->catalogue->n_shells == 0 ? ST_OK : options[0].status;
}

enum status compare_shells(const struct catalogue *catalogue, const struct edition *edition, const struct enquiry *enquiry,
	void *scratch, struct option *options, struct comparison *comparison)
{
	struct comparing with = {catalogue, edition, scratch, 0, 1, 1};
	enum status status;

	*comparison = (struct comparison){.now = {.cheapest = NO_INDEX, .rival = NO_INDEX},
		.over_years = {.cheapest = NO_INDEX, .rival = NO_INDEX}};
	comparison->years = with.years = service_years(&with, enquiry);
	comparison->over_years.years = with.years;
	if (!quote_lays_shell(enquiry)) {
		for (uint32_t i = 0; i < HORIZONS; i++)
			comparison->horizon_cheapest[i] = NO_INDEX;
		return ST_OK;
	}
	comparison->n_options = catalogue->n_shells;
	status = price_all(&with, enquiry, options);
	if (status != ST_OK)
		return status;
	judge(&with, options, comparison);
	compare_decide(&with, enquiry, options, &comparison->now);
	compare_decide(&with, enquiry, options, &comparison->over_years);
	return ST_OK;
}
