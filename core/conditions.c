#include "conditions.h"

#include <assert.h>
#include <math.h>

#define SET_BELOW 9007199254740992.0 /* 2^53: larger doubles do not hold every bit of a set */

/* A set that is kept as a quantity; 0 where the number is none. */
static uint64_t set_of_number(double number)
{
	return number >= 0.0 && number < SET_BELOW ? (uint64_t)number : 0;
}

static enum truth truth_of(bool holds)
{
	return holds ? YES : NO;
}

static bool word_in(uint64_t mask, double number)
{
	return number >= 0.0 && number < 64.0 && (mask >> (unsigned)number & 1);
}

static enum truth compare_number(const struct op *op, double number)
{
	switch (op->code) {
	case OP_IS:
		return truth_of(number == op->number);
	case OP_IN:
		return truth_of(word_in(op->mask, number));
	case OP_AT_LEAST:
		return truth_of(number >= op->number);
	case OP_AT_MOST:
		return truth_of(number <= op->number);
	case OP_MORE_THAN:
		return truth_of(number > op->number);
	default:
		assert(op->code == OP_LESS_THAN);
		return truth_of(number < op->number);
	}
}

static bool reads_set(const struct op *op)
{
	return op->code == OP_HAS_ANY || op->code == OP_OVERLAPS;
}

static enum truth of_quantity(const struct op *op, double number)
{
	if (op->code == OP_KNOWN)
		return truth_of(!isnan(number) == (op->number != 0.0));
	if (isnan(number))
		return UNSURE;
	return reads_set(op) ? truth_of(set_of_number(number) & op->mask) : compare_number(op, number);
}

static enum truth of_value(const struct op *op, const struct value *value)
{
	bool none = value->origin == NOT_APPLICABLE, known = value_is_known(value);

	if (op->code == OP_KNOWN)
		return truth_of((known && (none || !value->unsure)) == (op->number != 0.0));
	if (!known)
		return UNSURE;
	if (!reads_set(op))
		return compare_number(op, none ? 0.0 : value->number);
	if (none)
		return NO;
	if (value->set & op->mask)
		return YES;
	return value->unsure ? UNSURE : NO;
}

static enum truth opposite(enum truth truth)
{
	return truth == UNSURE ? UNSURE : truth == YES ? NO : YES;
}

/* Postfix, read from its last op: the whole stands behind its parts, the last part right before it. One truth settles an
 * `all` (NO) or an `any` (YES), and what stands before need not be looked at. */
static enum truth truth_at(const struct op *op, const struct value *v, const double *q)
{
	enum truth decides = op->code == OP_ALL ? NO : YES, found = opposite(decides);
	const struct op *part = op - 1;

	if (op->code == OP_TRUE)
		return YES;
	if (op->code == OP_NOT)
		return opposite(truth_at(part, v, q));
	if (op->code != OP_ALL && op->code != OP_ANY)
		return op->is_quantity ? of_quantity(op, q[op->subject]) : of_value(op, &v[op->subject]);
	for (uint32_t left = (uint32_t)op->number; left > 0; left--, part -= part->length) {
		enum truth truth = truth_at(part, v, q);

		if (truth == decides)
			return decides;
		if (truth == UNSURE)
			found = UNSURE;
	}
	return found;
}

static uint32_t parts_of(const struct op *op)
{
	return op->code == OP_NOT ? 1 : op->code == OP_ALL || op->code == OP_ANY ? (uint32_t)op->number : 0;
}

void conditions_measure(struct op *ops, uint32_t n)
{
	for (uint32_t i = 0; i < n; i++) {
		ops[i].length = 1;
		for (uint32_t left = parts_of(&ops[i]); left > 0; left--)
			ops[i].length += ops[i - ops[i].length].length;
	}
}

enum truth conditions_truth(const struct catalogue *catalogue, struct span when, const struct value *v, const double *q)
{
	return when.count == 0 ? YES : truth_at(&catalogue->ops[when.first + when.count - 1], v, q);
}
