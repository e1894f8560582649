#include "answer_parts.h"

/* The facts that nobody told, each with the rule whose question is read out for it: the first that waits for this
 * fact alone, else the first that waits for it. */
struct open_facts {
	uint16_t rule_of[F_COUNT]; /* or NO_INDEX */
	bool alone[F_COUNT];
};

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

static void gather(const struct view *view, struct open_facts *facts)
{
	for (uint32_t id = 0; id < F_COUNT; id++) {
		facts->rule_of[id] = NO_INDEX;
		facts->alone[id] = false;
	}
	for (uint32_t i = 0; i < view->quote->n_flags; i++)
		if (view->quote->flags[i].raised_by == RAISED_BY_UNKNOWN)
			gather_rule(view, view->quote->flags[i].rule, facts);
}

/* In the order of the field table. */
static void still_to_ask(struct writer *out, const struct view *view)
{
	struct open_facts facts;

	gather(view, &facts);
	writer_key(out, "still_to_ask");
	writer_array_open(out);
	for (uint32_t id = 0; id < F_COUNT; id++) {
		const struct text *text;

		if (facts.rule_of[id] == NO_INDEX)
			continue;
		text = view_text(view, view_catalogue(view)->rules[facts.rule_of[id]].text);
		writer_object_open(out);
		writer_member_string(out, "pointer", enquiry_fields[id].pointer);
		writer_member_string(out, "question", text->ask != NULL ? text->ask : enquiry_fields[id].help);
		writer_member_string(out, "because", text->title);
		writer_object_close(out);
	}
	writer_array_close(out);
}

struct answer answer_screen(const struct ask *ask, struct writer *out)
{
	struct answer answer;
	struct view view;

	if (!ask_work_out(ask, NEED_SCREEN, quote_screen, out, &view, &answer))
		return answer;
	writer_object_open(out);
	answer_flags(out, &view);
	still_to_ask(out, &view);
	answer_disclaimer(out, ask->config);
	writer_object_close(out);
	return answer_done(out, OUTCOME_ANSWERED);
}
