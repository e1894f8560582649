#include "rules.h"

#include "conditions.h"

/* An unknown nation is screened as any other place. */
static uint32_t nation_of(const struct job *job)
{
	const struct value *nation = &job->v[F_fact_nation];

	return value_is_known(nation) ? (uint32_t)nation->number : NATION_OTHER;
}

void rules_sums(struct job *job)
{
	struct quote *quote = job->quote;
	struct span refs = job->catalogue->sum_rules_of[nation_of(job)];

	for (uint32_t i = refs.first; i < refs.first + refs.count; i++) {
		uint16_t index = job->catalogue->rule_refs[i];
		const struct rule *rule = &job->catalogue->rules[index];

		if (conditions_truth(job->catalogue, rule->when, job->v, job->q) != YES)
			continue;
		if (rule->sum != SUM_NONE && !quote->sum_in_price[rule->sum]) {
			quote->sum_in_price[rule->sum] = true;
			quote->sum_because[rule->sum] = index;
		}
		if (rule->wait_days > quote->rules_wait_days)
			quote->rules_wait_days = rule->wait_days; /* permissions are sought side by side */
	}
}

static void evaluate(struct job *job, struct flag *flags, uint32_t *n)
{
	struct span refs = job->catalogue->rules_of[nation_of(job)];

	for (uint32_t i = refs.first; i < refs.first + refs.count; i++) {
		uint16_t index = job->catalogue->rule_refs[i];
		const struct rule *rule = &job->catalogue->rules[index];
		enum truth truth = conditions_truth(job->catalogue, rule->when, job->v, job->q);

		if (truth == YES)
			flags[(*n)++] = (struct flag){index, rule->level, RAISED_BY_FACT};
		else if (truth == UNSURE && rule->unknown != LEVEL_NONE)
			flags[(*n)++] = (struct flag){index, rule->unknown, RAISED_BY_UNKNOWN};
	}
}

void rules_flags(struct job *job)
{
	struct flag found[RULES_MOST];
	uint32_t n = 0;

	evaluate(job, found, &n);
	job->quote->n_flags = 0;
	for (uint8_t level = LEVEL_STOP; level <= LEVEL_NOTE; level++)
		for (uint32_t i = 0; i < n; i++)
			if (found[i].level == level)
				job->quote->flags[job->quote->n_flags++] = found[i];
}

void rules_notes(struct job *job)
{
	for (uint32_t i = 0; i < job->catalogue->n_notes; i++)
		job->quote->note_said[i] =
			conditions_truth(job->catalogue, job->catalogue->notes[i].when, job->v, job->q) == YES;
}
