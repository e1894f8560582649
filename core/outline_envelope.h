#ifndef PONDWRIGHT_OUTLINE_ENVELOPE_H
#define PONDWRIGHT_OUTLINE_ENVELOPE_H

#include <stdbool.h>

#include "outline_parts.h"

/* The least of many functions over one edge or one fan of a polygon, as a sequence of spans; private to
 * outline_roll.c. */

/* What the ball may meet, as a quadratic c[0] + c[1] x + c[2] x^2. On an edge x is the position and the
 * value is R. In a fan x is the tangent of half the angle from the fan's middle, and the value is -(1 + x^2)
 * / R: all sinusoids of the angle become quadratics, and the lesser value is the lesser R in both. */
struct sight {
	enum piece_kind kind;
	uint32_t owner; /* equal owners are the same function */
	double from, to;
	double c[3];
	double scale_m, centre; /* h or d, and the position or angle where R is least; not for lines */
};

enum { SPANS_MAX = 2 * OUTLINE_POINTS_MAX + 8, OWNER_NONE = 2 * OUTLINE_POINTS_MAX };

/* The least value so far over [from, to] of the whole domain, span by span without gaps. */
struct envelope {
	bool fan;
	bool overflows;
	double tolerance; /* spans shorter than this are given to their neighbour: R is continuous */
	double top_m;     /* R is nowhere above this, but for rounding */
	uint32_t n;
	struct sight spans[SPANS_MAX];
};

double sight_value(const double c[3], double x);

/* Begin with cap_m all over the domain. */
void envelope_start(struct envelope *envelope, bool fan, double from, double to, double cap_m);

/* Whether a function is below the envelope anywhere, by more than a rounding. */
bool envelope_is_above(const struct envelope *envelope, const struct sight *sight);

/* Take the lesser of the envelope and one more function. */
void envelope_lower(struct envelope *envelope, const struct sight *sight);

#endif
