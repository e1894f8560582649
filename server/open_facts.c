#include "open_facts.h"

static bool is_open(const struct view *view, const struct op *op)
{
	const struct value *value = &view->quote->resolved.v[op->subject];

	return !value_is_known(value) || value->unsure;
}

static bool reads_open_fact(const struct view *view, const struct op *op)
{
	bool compares = op->code != OP_ALL && op->code != OP_ANY && op->code != OP_NOT && op->code != OP_TRUE;

	return compares && !op->is_quantity && is_open(view, op);
}

/* Whether the open facts of a condition are one and the same. */
static bool waits_for_one(const struct view *view, struct span when)
{
	const struct op *ops = &view_catalogue(view)->ops[when.first];
	uint16_t seen = F_NONE;

	for (uint32_t i = 0; i < when.count; i++) {
		if (!reads_open_fact(view, &ops[i]))
			continue;
		if (seen != F_NONE && seen != ops[i].subject)
			return false;
		seen = ops[i].subject;
	}
	return true;
}

static void gather_rule(const struct view *view, uint16_t index, struct open_facts *facts)
{
	struct span when = view_catalogue(view)->rules[index].when;
	bool alone = waits_for_one(view, when);

	for (uint32_t i = when.first; i < when.first + when.count; i++) {
		const struct op *op = &view_catalogue(view)->ops[i];

		if (!reads_open_fact(view, op))
			continue;
		if (facts->rule_of[op->subject] != NO_INDEX && (facts->alone[op->subject] || !alone))
			continue;
		facts->rule_of[op->subject] = index;
		facts->alone[op->subject] = alone;
	}
}

void open_facts_gather(const struct view *view, struct open_facts *facts)
{
	for (uint32_t id = 0; id < F_COUNT; id++) {
		facts->rule_of[id] = NO_INDEX;
		facts->alone[id] = false;
	}
	for (uint32_t i = 0; i < view->quote->n_flags; i++)
		if (view->quote->flags[i].raised_by == RAISED_BY_UNKNOWN)
			gather_rule(view, view->quote->flags[i].rule, facts);
}
