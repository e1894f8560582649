#include <math.h>

#include "outline_parts.h"

/* Integrals from t = 0 on; for a fan the second and third are those of R^2 and R^3. */
static void curve_moments(const struct shore_piece *piece, double t, double sign, double *moments)
{
	double h = piece->scale_m * sign, h2 = h * piece->scale_m, h3 = h2 * piece->scale_m, t2 = t * t, root;

	switch ((enum piece_kind)piece->kind) {
	case PIECE_LINE:
		return;
	case PIECE_FAN_CORNER:
		root = sqrt(1.0 + t2);
		moments[0] += sign * atan(t);
		moments[1] += h2 / 4.0 * t;
		moments[2] += h3 / 16.0 * (t * root + log(t + root)); /* the latter is asinh(t), at half its price */
		return;
	case PIECE_PARABOLA:
		moments[0] += h * t;
		break;
	case PIECE_FAN_LINE:
		moments[0] += 2.0 * sign * atan(t);
		break;
	}
	moments[1] += h2 / 2.0 * t * (1.0 + t2 / 3.0);
	moments[2] += h3 / 4.0 * t * (1.0 + t2 * (2.0 / 3.0 + t2 / 5.0));
}

static void line_moments(const struct shore_piece *piece, double low_m, double *moments)
{
	double high_m = piece->high_m, run_m = piece->scale_m;

	if (low_m > piece->low_m)
		run_m *= (high_m - low_m) / (high_m - piece->low_m);

	moments[0] += run_m;
	moments[1] += run_m * (low_m + high_m) / 2.0;
	moments[2] += run_m * (low_m * low_m + low_m * high_m + high_m * high_m) / 3.0;
}

void piece_add_moments(const struct shore_piece *piece, double inset_m, struct shore_moments *sum)
{
	double t = piece->t_low, ratio = 2.0 * inset_m / piece->scale_m, *moments;

	if (piece->kind == PIECE_LINE) {
		line_moments(piece, greatest_of(inset_m, piece->low_m), sum->edge);
		return;
	}
	if (inset_m > piece->low_m)
		t = sqrt(greatest_of(0.0, (piece->kind == PIECE_FAN_CORNER ? ratio * ratio : ratio) - 1.0));
	moments = piece->kind == PIECE_PARABOLA ? sum->edge : sum->fan;
	for (int i = 0; i < 3; i++)
		moments[i] += piece->to_high[i];
	curve_moments(piece, t, -1.0, moments);
}

static struct shore_level level_of(const struct shore_moments *sum, double s)
{
	const double *e = sum->edge, *f = sum->fan;

	return (struct shore_level){
		.area_m2 = greatest_of(0.0, e[1] - s * e[0] + (f[1] - s * s * f[0]) / 2.0),
		.perimeter_m = greatest_of(0.0, e[0] + s * f[0]),
		.integral_m3 = greatest_of(0.0,
			e[2] / 2.0 - s * (e[1] - s * e[0] / 2.0) + f[2] / 3.0 - s * (f[1] / 2.0 - s * s * f[0] / 6.0)),
	};
}

/* Outward: mitred. Each reflex corner takes tan(half turn) off both of its edges per metre, until it has
 * eaten its half of the shorter one; from there on it takes no more, so that P never turns negative. Exact
 * up to there. */
static struct shore_level polygon_grown(const struct shore *shore, double out_m)
{
	const struct shore_polygon *polygon = &shore->polygon;
	double x = out_m, k = polygon->convex_growth;
	struct shore_level level = {
		.area_m2 = shore->drawn.area_m2 + x * (shore->drawn.perimeter_m + k * x),
		.perimeter_m = shore->drawn.perimeter_m + 2.0 * k * x,
		.integral_m3 =
			shore->drawn.integral_m3 + x * (shore->drawn.area_m2 + x * (shore->drawn.perimeter_m / 2.0 + k * x / 3.0)),
	};

	for (uint32_t i = 0; i < polygon->n_reflex; i++) {
		double tangent = polygon->reflex_tangent[i], reach_m = polygon->reflex_reach_m[i];
		double full = least_of(x, reach_m / tangent), rest = x - full;

		level.perimeter_m -= 2.0 * tangent * full;
		level.area_m2 -= tangent * full * full + 2.0 * reach_m * rest;
		level.integral_m3 -= tangent * full * full * (full / 3.0 + rest) + reach_m * rest * rest;
	}
	return level;
}

/* The number of pieces that lie wholly above an inset. */
static uint32_t pieces_above(const struct shore_polygon *polygon, double inset_m)
{
	uint32_t low = 0, high = polygon->n_pieces;

	while (low < high) {
		uint32_t middle = (low + high) / 2;

		if (polygon->pieces[middle].low_m >= inset_m)
			low = middle + 1;
		else
			high = middle;
	}
	return low;
}

struct shore_level polygon_level(const struct shore *shore, double inset_m)
{
	const struct shore_polygon *polygon = &shore->polygon;

	if (inset_m <= 0.0)
		return polygon_grown(shore, -inset_m);

	uint32_t whole = pieces_above(polygon, inset_m);
	struct shore_moments sum = polygon->above[whole];

	for (uint32_t i = whole; i < polygon->n_pieces; i++)
		if (polygon->pieces[i].high_m > inset_m)
			piece_add_moments(&polygon->pieces[i], inset_m, &sum);
	return level_of(&sum, inset_m);
}

/* Shell sort: the library's qsort may allocate. */
static void sort_pieces(struct shore_piece *pieces, uint32_t n)
{
	static const uint32_t gaps[] = {701, 301, 132, 57, 23, 10, 4, 1}; /* M. Ciura (2001) */

	for (uint32_t g = 0; g < sizeof gaps / sizeof gaps[0]; g++)
		for (uint32_t i = gaps[g]; i < n; i++) {
			struct shore_piece moved = pieces[i];
			uint32_t k = i;

			for (; k >= gaps[g] && pieces[k - gaps[g]].low_m < moved.low_m; k -= gaps[g])
				pieces[k] = pieces[k - gaps[g]];
			pieces[k] = moved;
		}
}

static void sum_pieces(struct shore *shore)
{
	struct shore_polygon *polygon = &shore->polygon;

	polygon->above[0] = (struct shore_moments){{0.0}, {0.0}};
	shore->inradius_m = 0.0;
	for (uint32_t i = 0; i < polygon->n_pieces; i++) {
		struct shore_piece *piece = &polygon->pieces[i];

		piece->to_high[0] = piece->to_high[1] = piece->to_high[2] = 0.0;
		curve_moments(piece, piece->t_high, 1.0, piece->to_high);
		shore->inradius_m = greatest_of(shore->inradius_m, piece->high_m);
		polygon->above[i + 1] = polygon->above[i];
		piece_add_moments(piece, 0.0, &polygon->above[i + 1]);
	}
}

/* A mitre adds tan(half turn) x^2; one sharper than 60 degrees is cut off square at 2x from the corner,
 * which takes (sec - 2)^2 cot of the half turn away again. */
static double convex_growth(double tangent)
{
	double secant = sqrt(1.0 + tangent * tangent), over = greatest_of(0.0, secant - 2.0);

	return tangent - over * over / tangent;
}

static void measure_corners(const struct ring *ring, struct shore_polygon *polygon)
{
	polygon->n_reflex = 0;
	polygon->convex_growth = 0.0;
	for (uint32_t i = 0; i < ring->n; i++) {
		uint32_t before = (i + ring->n - 1) % ring->n;
		struct point e = ring->along[before], f = ring->along[i], sum = point_plus(e, f);
		double sine = point_cross(e, f), tangent = 2.0 * fabs(sine) / point_dot(sum, sum);

		if (sine > 0.0) {
			polygon->convex_growth += convex_growth(tangent);
		} else if (sine < 0.0) {
			double shorter_m = least_of(ring->run_m[before], ring->run_m[i]);

			polygon->reflex_tangent[polygon->n_reflex] = tangent;
			polygon->reflex_reach_m[polygon->n_reflex++] = shorter_m / 2.0;
		}
	}
}

/* What the pieces add up to at the shore must be the shoelace area: a wrong piece would show here. */
static enum status check_sum(struct shore *shore)
{
	struct shore_level whole = level_of(&shore->polygon.above[shore->polygon.n_pieces], 0.0);

	shore->integral_m3 = whole.integral_m3;
	return fabs(whole.area_m2 - shore->surface_m2) <= 1e-6 * shore->surface_m2 ? ST_OK : ST_OUTLINE_CROSSES;
}

static double ring_perimeter_m(const struct ring *ring)
{
	double perimeter_m = 0.0;

	for (uint32_t i = 0; i < ring->n; i++)
		perimeter_m += ring->run_m[i];
	return perimeter_m;
}

double polygon_perimeter_m(const struct outline *outline)
{
	struct ring ring;

	ring_draw(outline, &ring);
	return ring_perimeter_m(&ring);
}

enum status polygon_prepare(const struct outline *outline, struct shore *shore)
{
	struct shore_polygon *polygon = &shore->polygon;
	struct ring ring;

	ring_draw(outline, &ring);
	ring_bounds(&ring, shore);
	shore->surface_m2 = points_twice_area_m2(ring.at, ring.n) / 2.0;
	shore->perimeter_m = ring_perimeter_m(&ring);
	measure_corners(&ring, polygon);
	/* no ball within the outline is wider than its bounding rectangle: twice that leaves no doubt */
	polygon->n_pieces = ring_roll(&ring, shore->bound_width_m, polygon->pieces);
	if (polygon->n_pieces > SHORE_PIECES_MAX)
		return ST_OUTLINE_CROSSES;
	sort_pieces(polygon->pieces, polygon->n_pieces);
	sum_pieces(shore);
	return check_sum(shore);
}
