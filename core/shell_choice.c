#include <stddef.h>
#include <string.h>

#include "bill.h"
#include "quote_parts.h"

/* Which shell is the cheapest: each is taken only as far as it may yet beat the best so far. */

/* ---- the quote of the best so far ---- */

static void copy_quote(struct quote *to, const struct quote *from)
{
	memcpy(to, from, offsetof(struct quote, resolved));
	memcpy(to->resolved.v, from->resolved.v, sizeof to->resolved.v); /* its lists are the enquiry's, whatever the shell */
	memcpy(to->lines, from->lines, from->n_lines * sizeof to->lines[0]);
	memcpy(to->needs, from->needs, from->n_needs * sizeof to->needs[0]);
	memcpy(to->cannots, from->cannots, from->n_cannots * sizeof to->cannots[0]);
}

static void keep_best(struct job *job)
{
	copy_quote(&job->best, job->quote);
	memcpy(job->best_work, job->work, sizeof job->best_work);
}

static void put_back_best(struct job *job)
{
	copy_quote(job->quote, &job->best);
	memcpy(job->work, job->best_work, sizeof job->work);
	job->shell = &job->catalogue->shells[job->quote->shell];
}

/* ---- the choice ---- */

/* What a choice of shell goes by. */
struct standing {
	bool fits;
	uint32_t n_cannots;
	int64_t net_minor;
};

/* A shell that can be built and is suitable goes before one that is not; then the one with less that can't be done; then
 * the cheaper; then the earlier. */
static bool beats(struct standing a, struct standing b)
{
	if (a.fits != b.fits)
		return a.fits;
	return a.n_cannots != b.n_cannots ? a.n_cannots < b.n_cannots : a.net_minor < b.net_minor;
}

/* Prices the shell as far as it may yet beat the best; *standing is what came of it, worse than the best where it can't. */
static enum status price_against(struct job *job, struct standing best, struct standing *standing)
{
	struct quote *quote = job->quote;
	enum status status = quote_measure(job);

	*standing = (struct standing){quote->shell_suitable, 0, INT64_MAX};
	if (status != ST_OK || (best.fits && !quote->shell_suitable))
		return status;
	status = bill_lines(job);
	if (status != ST_OK)
		return status;
	standing->fits = quote->shell_suitable && quote->n_cannots == 0;
	standing->n_cannots = quote->n_cannots;
	if (!beats((struct standing){standing->fits, standing->n_cannots, bill_least_net_minor(job)}, best))
		return ST_OK;
	status = quote_price_lines(job);
	standing->net_minor = quote->net_minor;
	return status;
}

/* A shell beyond what can be kept exactly stands back; only where all are is that the answer. */
enum status quote_price_cheapest(struct job *job)
{
	struct standing best = {false, UINT32_MAX, INT64_MAX};
	enum status status = ST_OK;
	uint16_t last = NO_INDEX;

	memcpy(job->begun_v, job->v, sizeof job->begun_v);
	memcpy(job->begun_q, job->q, sizeof job->begun_q);
	bill_least_prices(job);
	for (uint16_t candidate = 0; candidate < job->catalogue->n_shells; candidate++) {
		struct standing standing;
		enum status of_this;

		if (candidate > 0)
			quote_begin_again(job, job->begun_v, job->begun_q);
		quote_take_shell(job, candidate);
		of_this = price_against(job, best, &standing);
		if (of_this != ST_OK)
			status = of_this;
		if (of_this != ST_OK || !beats(standing, best))
			continue;
		best = standing;
		last = candidate;
		if (candidate + 1u < job->catalogue->n_shells)
			keep_best(job);
	}
	if (last == NO_INDEX)
		return status;
	if (last + 1u < job->catalogue->n_shells)
		put_back_best(job);
	return ST_OK;
}
