#include "quote.h"

#include <stddef.h>
#include <string.h>

#include "bill.h"
#include "calendar.h"
#include "conditions.h"
#include "job.h"
#include "programme.h"
#include "quote_parts.h"
#include "rules.h"
#include "takeoff.h"

uint32_t quote_scratch_size(void)
{
	return sizeof(struct job);
}

void quote_begin(const struct catalogue *catalogue, const struct edition *edition, const struct enquiry *enquiry,
                 struct job *job, struct quote *quote)
{
	struct enquiry *resolved = &quote->resolved;

	memset(quote, 0, offsetof(struct quote, resolved));
	enquiry_copy(resolved, enquiry);
	job->catalogue = catalogue;
	job->edition = edition;
	job->region = &catalogue->regions[edition->region];
	job->asked = enquiry;
	job->quote = quote;
	job->last = &job->kept[PRICING_JOB];
	job->v = resolved->v;
	job->q = quote->q;
	job->shell = NULL;
	job->labour_scale = job->price_scale = 1;
	quote->shell = NO_INDEX;
	if (resolved->v[F_start_on].origin == LEFT_OUT) {
		resolved->v[F_start_on].number = resolved->v[F_issued_on].number + edition->lead_days;
		resolved->v[F_start_on].origin = BY_DERIVATION;
	}
	quote->q[Q_start_month] = day_month((int32_t)resolved->v[F_start_on].number);
	enquiry_resolve(catalogue, edition, resolved, quote->q);
	job->scope = &work_scopes[(uint32_t)resolved->v[F_work].number];
	facts_from_quantities(enquiry, resolved, quote->q, AT_GIVEN);
	bill_begin(job);
}

void quote_begin_again(struct job *job, const struct value *v, const double *q)
{
	struct quote *quote = job->quote;

	memset(quote, 0, offsetof(struct quote, resolved));
	memcpy(quote->resolved.v, v, sizeof quote->resolved.v);
	memcpy(quote->q, q, sizeof quote->q);
	quote->shell = NO_INDEX;
	job->shell = NULL;
	bill_begin(job);
}

/* Words that conditions read must be the shell that is priced, whoever chose it. */
void quote_take_shell(struct job *job, uint16_t shell)
{
	struct value *value = &job->quote->resolved.v[F_shell];

	job->quote->shell = shell;
	job->shell = shell == NO_INDEX ? NULL : &job->catalogue->shells[shell];
	if (shell == NO_INDEX) {
		value->origin = NOT_APPLICABLE;
	} else {
		value->number = shell;
		value->origin = value->origin == GIVEN ? GIVEN : BY_DERIVATION;
	}
}

static bool is_suitable(const struct job *job)
{
	struct span reasons = job->shell ? job->shell->unsuitable : (struct span){0, 0};

	for (uint32_t i = reasons.first; i < reasons.first + reasons.count; i++)
		if (conditions_truth(job->catalogue, job->catalogue->shell_reasons[i].when, job->v, job->q) == YES)
			return false;
	return true;
}

enum status quote_measure(struct job *job)
{
	struct quote *quote = job->quote;
	enum status status = takeoff_all(job);

	if (status != ST_OK)
		return status;
	facts_from_quantities(job->asked, &quote->resolved, quote->q, AT_TAKEOFF);
	quote->shell_suitable = is_suitable(job);
	rules_sums(job);
	return ST_OK;
}

enum status quote_price_lines(struct job *job)
{
	programme_undisturbed(job);
	return bill_price(job);
}

enum status quote_price_begun(struct job *job)
{
	enum status status = quote_measure(job);

	if (status == ST_OK)
		status = bill_lines(job);
	return status == ST_OK ? quote_price_lines(job) : status;
}

void quote_finish(struct job *job)
{
	programme_dates(job);
	facts_from_quantities(job->asked, &job->quote->resolved, job->q, AT_PROGRAMME);
	rules_flags(job);
	rules_notes(job);
}

bool quote_lays_shell(const struct enquiry *enquiry)
{
	uint32_t work = (uint32_t)enquiry->v[F_work].number;

	if (enquiry->v[F_work].origin == LEFT_OUT)
		work = field_given(enquiry, F_old_pond) ? WORK_REBUILD : WORK_NEW;
	return field_given(enquiry, F_pond) && work_scopes[work].shells;
}

enum status quote_price(const struct catalogue *catalogue, const struct edition *edition, const struct enquiry *enquiry,
                        uint16_t shell, void *scratch, struct quote *quote)
{
	struct job *job = scratch;
	bool lays = quote_lays_shell(enquiry), named = shell != NO_INDEX || field_given(enquiry, F_shell);
	enum status status;

	job->shapes_ready = false;
	quote_begin(catalogue, edition, enquiry, job, quote);
	if (lays && !named) {
		status = quote_price_cheapest(job);
	} else {
		if (lays && shell == NO_INDEX)
			shell = (uint16_t)enquiry->v[F_shell].number;
		quote_take_shell(job, lays ? shell : NO_INDEX);
		status = quote_price_begun(job);
	}
	if (status != ST_OK)
		return status;
	quote->shell_chosen = lays && !named;
	quote_finish(job);
	rules_seasons(job);
	return ST_OK;
}

enum status quote_water(const struct catalogue *catalogue, const struct edition *edition, const struct enquiry *enquiry,
                        void *scratch, struct quote *quote)
{
	struct job *job = scratch;

	job->shapes_ready = false;
	job->has_pond = job->has_old_pond = false;
	quote_begin(catalogue, edition, enquiry, job, quote);
	if (!job->scope->pumps) /* asked for water alone, whatever the work */
		job->scope = &work_scopes[WORK_NEW];
	return takeoff_for_water(job);
}

enum status quote_screen(const struct catalogue *catalogue, const struct edition *edition, const struct enquiry *enquiry,
                         void *scratch, struct quote *quote)
{
	struct job *job = scratch;

	if (field_given(enquiry, F_pond) || field_given(enquiry, F_stream))
		return quote_price(catalogue, edition, enquiry, NO_INDEX, scratch, quote);
	quote_begin(catalogue, edition, enquiry, job, quote);
	rules_flags(job);
	return ST_OK;
}
