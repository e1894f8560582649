#include "outline_envelope.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

double sight_value(const double c[3], double x)
{
	return c[0] + x * (c[1] + x * c[2]);
}

static double sight_radius_m(const struct sight *sight, bool fan, double x)
{
	double value = sight_value(sight->c, x);

	return fan ? -(1.0 + x * x) / value : value;
}

static uint32_t quadratic_zeros(const double c[3], double zeros[2])
{
	double half = c[1] / 2.0, square = half * half - c[0] * c[2];

	if (square < 0.0)
		return 0;

	double sum = -(half + copysign(sqrt(square), half));
	uint32_t n = 0;

	if (c[2] != 0.0)
		zeros[n++] = sum / c[2];
	if (sum != 0.0)
		zeros[n++] = c[0] / sum;
	return n;
}

/* In a regular polygon everything meets at the centre: a win by a rounding is not worth a cut. */
#define NOISE_SHARE 1e-12

static bool is_below_within(const double c[3], double below, double from, double to)
{
	double least_at = c[2] > 0.0 ? -c[1] / (2.0 * c[2]) : from;

	return sight_value(c, from) < below || sight_value(c, to) < below ||
		(least_at > from && least_at < to && sight_value(c, least_at) < below);
}

static void envelope_append(struct envelope *next, const struct sight *sight, double from, double to)
{
	struct sight *last = next->n > 0 ? &next->spans[next->n - 1] : NULL;

	if (last != NULL && (to - from <= next->tolerance || last->owner == sight->owner)) {
		last->to = to;
	} else if (next->n == SPANS_MAX) {
		next->overflows = true;
	} else {
		next->spans[next->n] = *sight;
		next->spans[next->n].from = last != NULL ? last->to : from;
		next->spans[next->n++].to = to;
	}
}

/* The part of a span that a newcomer covers; empty where from = to. */
static void find_overlap(const struct sight *old, const struct sight *new, double *from, double *to)
{
	*from = least_of(greatest_of(new->from, old->from), old->to);
	*to = greatest_of(least_of(new->to, old->to), *from);
}

static void subtract(const struct sight *new, const struct sight *old, double c[3])
{
	for (int i = 0; i < 3; i++)
		c[i] = new->c[i] - old->c[i];
}

bool envelope_is_above(const struct envelope *envelope, const struct sight *new)
{
	double below = -NOISE_SHARE * (envelope->fan ? 1.0 / envelope->top_m : envelope->top_m);

	for (uint32_t i = 0; i < envelope->n; i++) {
		double from, to, c[3];

		find_overlap(&envelope->spans[i], new, &from, &to);
		subtract(new, &envelope->spans[i], c);
		if (to > from && is_below_within(c, below, from, to))
			return true;
	}
	return false;
}

/* One span against the newcomer, which covers it: cut where they cross, keep the lower of the two. */
static void envelope_duel(
	struct envelope *next, const struct sight *old, const struct sight *new, double from, double to)
{
	double c[3], cuts[4] = {from}, zeros[2];
	uint32_t n_zeros, n = 1;

	subtract(new, old, c);
	n_zeros = quadratic_zeros(c, zeros);
	if (n_zeros == 2 && zeros[0] > zeros[1]) {
		double swap = zeros[0];

		zeros[0] = zeros[1];
		zeros[1] = swap;
	}
	for (uint32_t i = 0; i < n_zeros; i++)
		if (zeros[i] > cuts[n - 1] && zeros[i] < to)
			cuts[n++] = zeros[i];
	cuts[n] = to;
	for (uint32_t i = 0; i < n; i++) {
		bool lower = sight_value(c, (cuts[i] + cuts[i + 1]) / 2.0) < 0.0;

		envelope_append(next, lower ? new : old, cuts[i], cuts[i + 1]);
	}
}

static void envelope_find_top(struct envelope *envelope)
{
	envelope->top_m = 0.0;
	for (uint32_t i = 0; i < envelope->n; i++) {
		const struct sight *span = &envelope->spans[i];
		double first = sight_radius_m(span, envelope->fan, span->from);
		double last = sight_radius_m(span, envelope->fan, span->to);

		envelope->top_m = greatest_of(envelope->top_m, greatest_of(first, last));
	}
	envelope->top_m *= 1.0 - NOISE_SHARE;
}

void envelope_lower(struct envelope *envelope, const struct sight *new)
{
	struct envelope next;

	if (!envelope_is_above(envelope, new))
		return;
	next.overflows = envelope->overflows;
	next.tolerance = envelope->tolerance;
	next.n = 0;
	for (uint32_t i = 0; i < envelope->n; i++) {
		const struct sight *old = &envelope->spans[i];
		double from, to;

		find_overlap(old, new, &from, &to);
		if (from > old->from)
			envelope_append(&next, old, old->from, from);
		if (to > from)
			envelope_duel(&next, old, new, from, to);
		if (old->to > to)
			envelope_append(&next, old, to, old->to);
	}
	envelope->overflows = next.overflows;
	envelope->n = next.n;
	memcpy(envelope->spans, next.spans, next.n * sizeof next.spans[0]);
	envelope_find_top(envelope);
}

void envelope_start(struct envelope *envelope, bool fan, double from, double to, double cap_m)
{
	double flat = fan ? -1.0 / cap_m : cap_m;

	envelope->fan = fan;
	envelope->overflows = false;
	envelope->tolerance = 1e-11 * (to - from);
	envelope->top_m = cap_m;
	envelope->n = 1;
	envelope->spans[0] = (struct sight){
		.kind = PIECE_LINE, .owner = OWNER_NONE, .from = from, .to = to, .c = {flat, 0.0, fan ? flat : 0.0}};
}
