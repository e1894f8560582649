#include "conditions.h"

#include <assert.h>
#include <math.h>

#define SET_BELOW 9007199254740992.0 /* 2^53: larger doubles do not hold every bit of a set */

struct operand {
	double number;
	uint64_t set;
	bool known, unsure;
};

/* A set that is kept as a quantity; 0 where the number is none. */
static uint64_t set_of_number(double number)
{
	return number >= 0.0 && number < SET_BELOW ? (uint64_t)number : 0;
}

static struct operand operand_of(const struct op *op, const struct value *v, const double *q)
{
	const struct value *value = &v[op->subject];
	double number;

	if (op->is_quantity) {
		number = q[op->subject];
		return (struct operand){.number = number, .set = set_of_number(number), .known = !isnan(number)};
	}
	if (value->origin == NOT_APPLICABLE)
		return (struct operand){.known = true};
	return (struct operand){
		.number = value->number, .set = value->set, .known = value_is_known(value), .unsure = value->unsure};
}

static bool word_in(uint64_t mask, double number)
{
	return number >= 0.0 && number < 64.0 && (mask >> (unsigned)number & 1);
}

static enum truth truth_of(bool holds)
{
	return holds ? YES : NO;
}

static enum truth compare(const struct op *op, const struct operand *operand)
{
	switch (op->code) {
	case OP_IS:
		return truth_of(operand->number == op->number);
	case OP_IN:
		return truth_of(word_in(op->mask, operand->number));
	case OP_AT_LEAST:
		return truth_of(operand->number >= op->number);
	case OP_AT_MOST:
		return truth_of(operand->number <= op->number);
	case OP_MORE_THAN:
		return truth_of(operand->number > op->number);
	case OP_LESS_THAN:
		return truth_of(operand->number < op->number);
	default:
		assert(op->code == OP_HAS_ANY || op->code == OP_OVERLAPS);
		if (operand->set & op->mask)
			return YES;
		return operand->unsure ? UNSURE : NO;
	}
}

static enum truth leaf(const struct op *op, const struct value *v, const double *q)
{
	struct operand operand;

	if (op->code == OP_TRUE)
		return YES;
	operand = operand_of(op, v, q);
	if (op->code == OP_KNOWN)
		return truth_of((operand.known && !operand.unsure) == (op->number != 0.0));
	return operand.known ? compare(op, &operand) : UNSURE;
}

/* `decides` settles the whole at once; else one UNSURE makes it UNSURE. */
static enum truth junction(const uint8_t *truths, size_t n, enum truth decides, enum truth otherwise)
{
	enum truth found = otherwise;

	for (size_t i = 0; i < n; i++) {
		if (truths[i] == decides)
			return decides;
		if (truths[i] == UNSURE)
			found = UNSURE;
	}
	return found;
}

static enum truth opposite(uint8_t truth)
{
	return truth == UNSURE ? UNSURE : truth == YES ? NO : YES;
}

enum truth conditions_truth(const struct catalogue *catalogue, struct span when, const struct value *v, const double *q)
{
	uint8_t open[CONDITION_TRUTHS_MOST];
	size_t n = 0;

	if (when.count == 0)
		return YES;
	for (const struct op *op = catalogue->ops + when.first, *end = op + when.count; op < end; op++) {
		if (op->code == OP_NOT) {
			open[n - 1] = (uint8_t)opposite(open[n - 1]);
		} else if (op->code == OP_ALL || op->code == OP_ANY) {
			size_t takes = (size_t)op->number;

			assert(takes >= 1 && takes <= n);
			n -= takes;
			open[n] = (uint8_t)(op->code == OP_ALL ? junction(open + n, takes, NO, YES)
							       : junction(open + n, takes, YES, NO));
			n++;
		} else {
			assert(n < CONDITION_TRUTHS_MOST);
			open[n++] = (uint8_t)leaf(op, v, q);
		}
	}
	assert(n == 1);
	return (enum truth)open[0];
}
