#include <math.h>
#include <stdbool.h>

#include "outline_envelope.h"
#include "outline_parts.h"

#define SLACK_SHARE 1e-9 /* of an edge, by which it is taken to be longer, so that no ball slips through */

/* Roll a ball along the outline: from boundary point p with inward normal n, R is the radius at which a ball
 * touching the outline at p first meets something else. A(s) is the integral of (R - s)+ along the edges
 * plus that of (R^2 - s^2)+ / 2 over the fans of normals at reflex corners; no offset polygon is needed.
 *
 * The ball meets another edge (straight line) at a radius linear in the position along this edge, and a
 * reflex corner at a radius quadratic in it. From a fan, 1/R is a constant plus a sinusoid of the angle for
 * both. Two such functions cross at most twice, where a quadratic is zero, so the least of all of them, R,
 * is found exactly, as a sequence of spans. Only reflex corners count: a ball inside a convex corner meets
 * its edges first. */

/* A ball in the corner between this edge and a neighbour, at distance x along both. */
static void edge_meets_neighbour(struct envelope *envelope, const struct ring *ring, uint32_t i, bool after)
{
	uint32_t k = after ? (i + 1) % ring->n : (i + ring->n - 1) % ring->n;
	struct point e = ring->along[i], f = ring->along[k], sum = point_plus(e, f);
	double sine = after ? point_cross(e, f) : point_cross(f, e);

	if (sine <= 0.0)
		return;

	/* cot(turn/2) = (1 + cos)/sin, and |e + f|^2 = 2 (1 + cos) keeps its digits in a sharp corner */
	double run = ring->run_m[i], reach = least_of(ring->run_m[k], run), slope = point_dot(sum, sum) / 2.0 / sine;
	struct sight sight = {.kind = PIECE_LINE,
		.owner = k,
		.from = after ? run - reach : 0.0,
		.to = after ? run : reach,
		.c = {after ? run * slope : 0.0, after ? -slope : slope, 0.0}};

	envelope_lower(envelope, &sight);
}

static void edge_meets_edge(struct envelope *envelope, const struct ring *ring, uint32_t i, uint32_t k)
{
	struct point e = ring->along[i], f = ring->along[k], m = point_left(f), apart = point_minus(f, e);
	struct point offset = point_minus(ring->at[i], ring->at[k]);
	double gap = point_dot(apart, apart) / 2.0; /* 1 - cos of the angle between the two */

	if (gap == 0.0)
		return;

	double r0 = point_dot(offset, m) / gap, slope = point_dot(e, m) / gap;
	/* on the other edge the ball touches at foot - x; that far past its end a line is the corner, to the square */
	double foot = point_dot(offset, f) + r0 * point_cross(e, f), slack = SLACK_SHARE * ring->run_m[k];
	double from = greatest_of(0.0, foot - ring->run_m[k] - slack);
	double to = least_of(ring->run_m[i], foot + slack);

	if (slope > 0.0)
		from = greatest_of(from, -r0 / slope);
	else if (slope < 0.0)
		to = least_of(to, -r0 / slope);
	else if (r0 <= 0.0)
		return;
	if (!(from < to) || least_of(r0 + slope * from, r0 + slope * to) >= envelope->top_m)
		return;

	struct sight sight = {.kind = PIECE_LINE, .owner = k, .from = from, .to = to, .c = {r0, slope, 0.0}};

	envelope_lower(envelope, &sight);
}

static void edge_meets_corner(struct envelope *envelope, const struct ring *ring, uint32_t i, uint32_t k)
{
	struct point offset = point_minus(ring->at[k], ring->at[i]);
	double h = point_dot(offset, point_left(ring->along[i])), x = point_dot(offset, ring->along[i]);
	double beside = x - least_of(greatest_of(x, 0.0), ring->run_m[i]);

	if (h <= 0.0 || (beside * beside + h * h) / (2.0 * h) >= envelope->top_m)
		return;

	struct sight sight = {.kind = PIECE_PARABOLA,
		.owner = OUTLINE_POINTS_MAX + k,
		.to = ring->run_m[i],
		.scale_m = h,
		.centre = x,
		.c = {(x * x + h * h) / (2.0 * h), -x / h, 0.5 / h}};

	envelope_lower(envelope, &sight);
}

/* The fan of normals at a reflex corner: unit vectors along its middle, left of that, and out along both
 * ends. */
struct fan {
	struct point middle, left, first, last;
	double half; /* half its angle, under pi/2 */
};

static struct fan fan_open(const struct ring *ring, uint32_t i)
{
	struct point e = ring->along[(i + ring->n - 1) % ring->n], f = ring->along[i];
	struct point inward = point_left(point_plus(e, f)), tip = point_minus(e, f);
	/* both point along the middle; the longer of the two keeps its digits */
	struct point middle = point_dot(inward, inward) > point_dot(tip, tip) ? inward : tip;
	double size = hypot(middle.x_m, middle.y_m);

	middle = (struct point){middle.x_m / size, middle.y_m / size};
	return (struct fan){middle, point_left(middle), point_left(f), point_left(e),
		atan2(hypot(tip.x_m, tip.y_m), hypot(inward.x_m, inward.y_m))};
}

/* Whether a direction lies between the ends of the fan. */
static bool fan_holds(const struct fan *fan, struct point direction)
{
	return point_cross(fan->first, direction) > 0.0 && point_cross(direction, fan->last) > 0.0;
}

/* Lower a fan's envelope over an arc of angles about the sight's centre, wherever the circle brings it into
 * the fan. */
static void fan_lower(
	struct envelope *envelope, const struct fan *fan, struct sight *sight, double before, double after)
{
	double centre = sight->centre;

	for (int round = -1; round <= 1; round++) {
		double from, to;

		sight->centre = centre + round * 2.0 * OUTLINE_PI;
		from = greatest_of(-fan->half, sight->centre + before);
		to = least_of(fan->half, sight->centre + after);
		if (from >= to)
			continue;
		sight->from = tan(from / 2.0);
		sight->to = tan(to / 2.0);
		envelope_lower(envelope, sight);
	}
}

static void fan_meets_edge(
	struct envelope *envelope, const struct ring *ring, const struct fan *fan, uint32_t i, uint32_t k)
{
	struct point f = ring->along[k], m = point_left(f), offset = point_minus(ring->at[i], ring->at[k]);
	double h = point_dot(offset, m), foot = point_dot(offset, f), slack = SLACK_SHARE * ring->run_m[k];
	double nearest = fan_holds(fan, (struct point){-m.x_m, -m.y_m})
		? 2.0
		: 1.0 - least_of(point_dot(fan->first, m), point_dot(fan->last, m));

	if (h <= 0.0 || h >= envelope->top_m * nearest)
		return;

	double across = point_dot(fan->middle, m), along = point_dot(fan->left, m);
	struct sight sight = {.kind = PIECE_FAN_LINE,
		.owner = k,
		.from = -HUGE_VAL,
		.to = HUGE_VAL,
		.scale_m = h,
		.c = {(across - 1.0) / h, 2.0 * along / h, -(across + 1.0) / h}};

	if (!envelope_is_above(envelope, &sight))
		return;
	sight.centre = atan2(-along, -across);
	/* the foot is at foot + h tan(angle/2), within the edge */
	fan_lower(envelope, fan, &sight, 2.0 * atan((-slack - foot) / h),
		2.0 * atan((ring->run_m[k] + slack - foot) / h));
}

static void fan_meets_corner(
	struct envelope *envelope, const struct ring *ring, const struct fan *fan, uint32_t i, uint32_t k)
{
	struct point offset = point_minus(ring->at[k], ring->at[i]);
	double d2 = point_dot(offset, offset), d = sqrt(d2);
	double nearest =
		fan_holds(fan, offset) ? d : greatest_of(point_dot(fan->first, offset), point_dot(fan->last, offset));

	if (d2 >= 2.0 * envelope->top_m * nearest)
		return;

	double across = point_dot(fan->middle, offset), along = point_dot(fan->left, offset);
	struct sight sight = {.kind = PIECE_FAN_CORNER,
		.owner = OUTLINE_POINTS_MAX + k,
		.from = -HUGE_VAL,
		.to = HUGE_VAL,
		.scale_m = d,
		.c = {-2.0 * across / d2, -4.0 * along / d2, 2.0 * across / d2}};

	if (!envelope_is_above(envelope, &sight)) /* asked before the angles, which are dear */
		return;

	double spread = acos(d / (2.0 * envelope->top_m));

	sight.centre = atan2(along, across);
	fan_lower(envelope, fan, &sight, -spread, spread);
}

/* The corner that a ball from this point of the outline, grown along the inward normal, meets first. */
static uint32_t meets_first(const struct ring *ring, struct point at, struct point normal)
{
	uint32_t first = 0;
	double least_m = HUGE_VAL;

	for (uint32_t k = 0; k < ring->n; k++) {
		struct point offset = point_minus(ring->at[k], at);
		double across_m = point_dot(offset, normal), square_m2 = point_dot(offset, offset);

		if (across_m > 0.0 && square_m2 < least_m * across_m) {
			least_m = square_m2 / across_m;
			first = k;
		}
	}
	return first;
}

/* The step-th of n to look at: from the first on to either side in turn. What lies nearest bounds the ball so closely that most
 * of the rest need only be looked at. */
static uint32_t in_turn(uint32_t first, uint32_t step, uint32_t n)
{
	uint32_t k = step % 2 == 1 ? first + (step + 1) / 2 : first + n - step / 2;

	return k < n ? k : k - n;
}

/* The last and the next edge first: they are often all there is to meet. */
static void roll_edge(struct envelope *envelope, const struct ring *ring, uint32_t i, double cap_m)
{
	uint32_t before = (i + ring->n - 1) % ring->n, after = (i + 1) % ring->n;
	struct point half = {ring->along[i].x_m * ring->run_m[i] / 2.0, ring->along[i].y_m * ring->run_m[i] / 2.0};
	uint32_t first = meets_first(ring, point_plus(ring->at[i], half), point_left(ring->along[i]));

	envelope_start(envelope, false, 0.0, ring->run_m[i], cap_m);
	edge_meets_neighbour(envelope, ring, i, false);
	edge_meets_neighbour(envelope, ring, i, true);
	for (uint32_t step = 0; step < ring->n; step++) {
		uint32_t k = in_turn(first, step, ring->n);

		if (k == i || k == after)
			continue;
		if (k != before)
			edge_meets_edge(envelope, ring, i, k);
		if (ring->reflex[k])
			edge_meets_corner(envelope, ring, i, k);
	}
}

static void roll_fan(struct envelope *envelope, const struct ring *ring, uint32_t i, double cap_m)
{
	struct fan fan = fan_open(ring, i);
	uint32_t before = (i + ring->n - 1) % ring->n, first = meets_first(ring, ring->at[i], fan.middle);

	envelope_start(envelope, true, -tan(fan.half / 2.0), tan(fan.half / 2.0), cap_m);
	for (uint32_t step = 0; step < ring->n; step++) {
		uint32_t k = in_turn(first, step, ring->n);

		if (k == i)
			continue;
		if (k != before)
			fan_meets_edge(envelope, ring, &fan, i, k);
		if (ring->reflex[k])
			fan_meets_corner(envelope, ring, &fan, i, k);
	}
}

static double span_parameter(const struct sight *span, double x)
{
	switch (span->kind) {
	case PIECE_LINE:
		break;
	case PIECE_PARABOLA:
		return (x - span->centre) / span->scale_m;
	case PIECE_FAN_LINE:
		return tan(atan(x) - span->centre / 2.0);
	case PIECE_FAN_CORNER:
		return tan(2.0 * atan(x) - span->centre);
	}
	return 0.0;
}

static double piece_radius_m(const struct shore_piece *piece, double t)
{
	double square = 1.0 + t * t;

	return piece->scale_m / 2.0 * (piece->kind == PIECE_FAN_CORNER ? sqrt(square) : square);
}

static struct shore_piece *add_curve(struct shore_piece *piece, const struct sight *span, double t_low, double t_high)
{
	*piece = (struct shore_piece){.kind = span->kind, .scale_m = span->scale_m, .t_low = t_low, .t_high = t_high};
	piece->low_m = piece_radius_m(piece, t_low);
	piece->high_m = piece_radius_m(piece, t_high);
	return piece + 1;
}

/* A span becomes one piece, or two when the ball is least somewhere within it. */
static struct shore_piece *add_pieces(struct shore_piece *piece, const struct sight *span)
{
	double t_from = span_parameter(span, span->from), t_to = span_parameter(span, span->to);

	if (span->kind == PIECE_LINE) {
		double first = greatest_of(0.0, sight_value(span->c, span->from));
		double last = greatest_of(0.0, sight_value(span->c, span->to));

		*piece = (struct shore_piece){.kind = PIECE_LINE,
			.scale_m = span->to - span->from,
			.low_m = least_of(first, last),
			.high_m = greatest_of(first, last)};
		return piece + 1;
	}
	if (t_from >= 0.0)
		return add_curve(piece, span, t_from, t_to);
	if (t_to <= 0.0)
		return add_curve(piece, span, -t_to, -t_from);
	return add_curve(add_curve(piece, span, 0.0, -t_from), span, 0.0, t_to);
}

uint32_t ring_roll(const struct ring *ring, double cap_m, struct shore_piece *pieces)
{
	struct shore_piece *next = pieces;
	struct envelope envelope;

	for (uint32_t turn = 0; turn < 2 * ring->n; turn++) {
		if (turn % 2 == 0)
			roll_edge(&envelope, ring, turn / 2, cap_m);
		else if (ring->reflex[turn / 2])
			roll_fan(&envelope, ring, turn / 2, cap_m);
		else
			continue;
		if (envelope.overflows || (uint32_t)(next - pieces) + 2 * envelope.n > SHORE_PIECES_MAX)
			return SHORE_PIECES_MAX + 1;
		for (uint32_t i = 0; i < envelope.n; i++)
			next = add_pieces(next, &envelope.spans[i]);
	}
	return (uint32_t)(next - pieces);
}
