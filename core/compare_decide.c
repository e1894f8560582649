#include "compare_parts.h"

#include "assumption.h"

/* Whether the cheapest shell stays the cheapest whatever the unknown turns out to be. Two shells share most of what is
 * unknown of a job, so they are always priced in pairs: a range of each alone would say far too often that nothing is
 * known. */

enum verdict { STANDS, TURNED, RULED_OUT };

static bool is_near(const struct option *options, const struct race *race)
{
	const struct option *cheapest = &options[race->cheapest];
	int64_t cost_minor = race->years == 0 ? cheapest->quote.gross_minor : cheapest->over_years_minor;

	return (double)race->gap_minor <= NEAR_SHARE * (double)cost_minor;
}

/* Whether what makes a shell unsuitable reads a field by name. */
static bool rules_out_by(const struct catalogue *catalogue, const struct shell *shell, uint32_t field)
{
	for (uint32_t i = shell->unsuitable.first; i < shell->unsuitable.first + shell->unsuitable.count; i++) {
		struct span when = catalogue->shell_reasons[i].when;

		for (uint32_t op = when.first; op < when.first + when.count; op++)
			if (!catalogue->ops[op].is_quantity && catalogue->ops[op].subject == field)
				return true;
	}
	return false;
}

/* ---- one value ---- */

/* Over the years or now, of the shell that was tried last. */
static int64_t trial_minor(const struct comparing *with, const struct race *race)
{
	const struct option *trial = &with->scratch->trial;

	return race->years == 0 ? trial->quote.gross_minor : trial->over_years_minor;
}

static enum status price_trial(const struct comparing *with, const struct race *race, uint16_t shell)
{
	struct option *trial = &with->scratch->trial;
	enum status status = compare_price(with, &with->scratch->changed, shell, trial);

	if (status == ST_OK && race->years > 0)
		compare_years(with, &with->scratch->changed, trial);
	return status;
}

static enum verdict try_value(const struct comparing *with, const struct race *race, bool near)
{
	struct option *trial = &with->scratch->trial;
	int64_t cheapest_minor;

	if (price_trial(with, race, race->cheapest) != ST_OK)
		return STANDS;
	if (!option_counts(trial, race->years > 0))
		return RULED_OUT;
	cheapest_minor = trial_minor(with, race);
	if (!near || price_trial(with, race, race->rival) != ST_OK)
		return STANDS;
	return option_counts(trial, race->years > 0) && trial_minor(with, race) < cheapest_minor ? TURNED : STANDS;
}

/* A shelf at or below the floor is none. */
static bool can_be(const struct option *option, uint32_t field, double number)
{
	return field != F_pond_shelf_depth_m || number < option->quote.resolved.v[F_depth_m].number;
}

static bool note_verdict(struct race *race, const struct catalogue *catalogue, const struct unknown *unknown, double number,
	enum verdict verdict)
{
	if (verdict == STANDS)
		return false;
	if (race->n_deciders < DECIDERS_MOST)
		race->deciders[race->n_deciders++] = (struct decider){(uint16_t)(unknown - catalogue->unknowns), number,
			verdict == RULED_OUT};
	return true;
}

/* ---- one field ---- */

static bool try_number(const struct comparing *with, const struct option *options, struct race *race,
	const struct unknown *unknown, double number, bool near)
{
	struct value *value = &with->scratch->changed.v[unknown->subject];
	struct value before = *value;
	enum verdict verdict;

	if (number == unknown->likely || !can_be(&options[race->cheapest], unknown->subject, number))
		return false;
	*value = (struct value){.number = number, .origin = GIVEN};
	verdict = try_value(with, race, near);
	*value = before;
	return note_verdict(race, with->catalogue, unknown, number, verdict);
}

static void try_field(const struct comparing *with, const struct option *options, struct race *race,
	const struct unknown *unknown, bool near)
{
	if (unknown->spread != SPREAD_WORDS) {
		if (!try_number(with, options, race, unknown, unknown->low, near))
			try_number(with, options, race, unknown, unknown->high, near);
		return;
	}
	for (uint32_t i = unknown->words.first; i < unknown->words.first + unknown->words.count; i++)
		if (with->catalogue->weighteds[i].weight > 0 &&
		    try_number(with, options, race, unknown, with->catalogue->weighteds[i].number, near))
			return;
}

static void try_fields(const struct comparing *with, const struct enquiry *enquiry, const struct option *options,
	struct race *race, bool near)
{
	const struct quote *quote = &options[race->cheapest].quote;
	const struct shell *shell = &with->catalogue->shells[race->cheapest];

	enquiry_copy(&with->scratch->changed, enquiry);
	for (uint32_t field = F_issued_on; field < F_facts; field++) {
		const struct unknown *unknown;

		if (quote->resolved.v[field].origin != BY_ASSUMPTION || !(near || rules_out_by(with->catalogue, shell, field)))
			continue;
		unknown = assumption_of(with->catalogue, with->edition->region, quote->resolved.v, quote->q, field);
		if (unknown != NULL)
			try_field(with, options, race, unknown, near);
	}
}

/* ---- our own output and prices ---- */

static void try_own(const struct comparing *with, const struct enquiry *enquiry, const struct option *options,
	struct race *race, uint32_t subject)
{
	const struct quote *quote = &options[race->cheapest].quote;
	const struct unknown *unknown =
		assumption_of(with->catalogue, with->edition->region, quote->resolved.v, quote->q, subject);
	struct comparing scaled = *with;

	enquiry_copy(&with->scratch->changed, enquiry);
	for (int high = 0; unknown != NULL && high < 2; high++) {
		double factor = high ? unknown->high : unknown->low;

		*(subject == FACTOR_LABOUR_OUTPUT ? &scaled.labour_scale : &scaled.price_scale) = factor;
		if (note_verdict(race, with->catalogue, unknown, factor, try_value(&scaled, race, true)))
			return;
	}
}

void compare_decide(const struct comparing *with, const struct enquiry *enquiry, const struct option *options, struct race *race)
{
	bool near;

	if (race->rival == NO_INDEX)
		return;
	near = is_near(options, race);
	try_fields(with, enquiry, options, race, near);
	if (!near)
		return;
	try_own(with, enquiry, options, race, FACTOR_LABOUR_OUTPUT);
	try_own(with, enquiry, options, race, FACTOR_PRICE_DRIFT);
}
