#include "rules.h"

#include "calendar.h"
#include "conditions.h"
#include "programme.h"

/* Seasons: a rule has one where its condition reads the months of the work. */

enum { STARTS = 13 }; /* the start as it stands, and the first working day of each of the next twelve months */

struct start {
	int32_t day;
	uint32_t months; /* that its work touches */
};

static bool reads_months(const struct catalogue *catalogue, const struct rule *rule)
{
	for (uint32_t i = rule->when.first; i < rule->when.first + rule->when.count; i++)
		if (!catalogue->ops[i].is_quantity && catalogue->ops[i].subject == F_fact_work_months)
			return true;
	return false;
}

static void find_seasons(struct job *job)
{
	struct programme *programme = &job->quote->programme;

	for (uint32_t i = 0; i < job->quote->n_flags && programme->n_seasons < SEASONS_MOST; i++) {
		const struct flag *flag = &job->quote->flags[i];

		if (flag->raised_by == RAISED_BY_FACT && (flag->level == LEVEL_STOP || flag->level == LEVEL_CHECK) &&
		    reads_months(job->catalogue, &job->catalogue->rules[flag->rule]))
			programme->seasons[programme->n_seasons++] = (struct season){flag->rule, DAY_NEVER};
	}
}

static void find_starts(const struct job *job, struct start starts[STARTS])
{
	int32_t day = job->quote->programme.start_day;

	for (uint32_t i = 0; i < STARTS; i++) {
		starts[i].day = day_first_working(job->catalogue, job->region, day);
		starts[i].months = programme_months(job, starts[i].day);
		day = day_next_month(starts[i].day);
	}
}

/* Whether a rule is silent for work of some months. The months of the quote are put back by the caller. */
static bool is_silent(struct job *job, uint16_t rule, uint32_t months)
{
	struct value *value = &job->quote->resolved.v[F_fact_work_months];

	value->set = months;
	value->number = months;
	return conditions_truth(job->catalogue, job->catalogue->rules[rule].when, job->v, job->q) != YES;
}

void rules_seasons(struct job *job)
{
	struct programme *programme = &job->quote->programme;
	struct value months = job->v[F_fact_work_months];
	struct start starts[STARTS];

	programme->free_day = programme->start_day;
	if (months.origin == GIVEN) /* the caller has other months in mind than the programme's */
		return;
	find_seasons(job);
	if (programme->n_seasons == 0)
		return;
	programme->free_day = DAY_NEVER;
	find_starts(job, starts);
	for (uint32_t at = STARTS; at-- > 0;) {
		bool all = true;

		for (uint32_t i = 0; i < programme->n_seasons; i++) {
			bool silent = is_silent(job, programme->seasons[i].rule, starts[at].months);

			all = all && silent;
			if (silent)
				programme->seasons[i].free_from_day = starts[at].day;
		}
		if (all)
			programme->free_day = starts[at].day;
	}
	job->quote->resolved.v[F_fact_work_months] = months;
}
