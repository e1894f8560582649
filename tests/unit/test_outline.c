#include <check.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "outline.h"

/* Tolerances: CLOSED where both sides are closed forms, DIGIT for figures printed to five decimals, FINE for
 * invariances (the coordinates themselves are rounded to 1e-10 m once they are shifted by 1e6 m). */
#define CLOSED 1e-12
#define DIGIT 0.51e-5
#define FINE 1e-9

#define assert_close(got, want, share) ck_assert_double_eq_tol(got, want, (share)*fmax(1.0, fabs(want)))

static const double pi = 3.14159265358979323846;

static struct shore shore, other; /* too large to be comfortable on the stack of a sanitized test */

static struct outline polygon_of(const double (*xy)[2], uint32_t n)
{
	struct outline outline = {.kind = OUTLINE_POLYGON, .n_points = n};

	for (uint32_t i = 0; i < n; i++)
		outline.points[i] = (struct point){xy[i][0], xy[i][1]};
	return outline;
}

static void prepare(const struct outline *outline, struct shore *result)
{
	struct outline_fault fault;

	ck_assert_int_eq(outline_check(outline, &fault), ST_OK);
	ck_assert_int_eq(outline_prepare(outline, result), ST_OK);
}

static const double ell[][2] = {{0, 0}, {6, 0}, {6, 3}, {3, 3}, {3, 6}, {0, 6}};
static const double cross[][2] = {
	{2, 0}, {4, 0}, {4, 2}, {6, 2}, {6, 4}, {4, 4}, {4, 6}, {2, 6}, {2, 4}, {0, 4}, {0, 2}, {2, 2}};

static const struct {
	struct outline outline;
	double area_m2, perimeter_m, inradius_m;
} shapes[] = {
	{{.kind = OUTLINE_RECTANGLE, .length_m = 8, .width_m = 5}, 40, 26, 2.5},
	{{.kind = OUTLINE_RECTANGLE, .length_m = 5, .width_m = 8}, 40, 26, 2.5},
	{{.kind = OUTLINE_RECTANGLE, .length_m = 6, .width_m = 4, .corner_radius_m = 0.8}, 23.45062, 18.62655, 2},
	{{.kind = OUTLINE_CIRCLE, .diameter_m = 5}, 19.63495, 15.70796, 2.5},
	{{.kind = OUTLINE_ELLIPSE, .length_m = 6, .width_m = 4}, 18.84956, 15.86544, 2},
	{{.kind = OUTLINE_ELLIPSE, .length_m = 3, .width_m = 8}, 18.84956, 18.18343, 1.5},
	{{.kind = OUTLINE_STADIUM, .length_m = 7, .width_m = 3}, 19.06858, 17.42478, 1.5},
	{{.kind = OUTLINE_STADIUM, .length_m = 3, .width_m = 7}, 19.06858, 17.42478, 1.5},
};

START_TEST(areas_perimeters_and_inradii_are_the_textbook_ones)
{
	prepare(&shapes[_i].outline, &shore);
	ck_assert_double_eq_tol(shore.surface_m2, shapes[_i].area_m2, DIGIT);
	ck_assert_double_eq_tol(shore.perimeter_m, shapes[_i].perimeter_m, DIGIT);
	assert_close(outline_perimeter_m(&shapes[_i].outline), shore.perimeter_m, CLOSED);
	assert_close(shore.inradius_m, shapes[_i].inradius_m, CLOSED);
	ck_assert_double_ge(shore.bound_length_m, shore.bound_width_m);
	ck_assert_double_ge(shore.longest_m, shore.bound_length_m);
}
END_TEST

/* P/b of an ellipse, against 30-digit arithmetic; the last is the flat limit 4a/b. */
static const double flatness[][2] = {
	{1.5, 7.93271979}, {2, 9.68844822}, {5, 21.0100445}, {10, 40.6397418}, {20, 80.3885124}, {1e6, 4e6}};

START_TEST(an_ellipse_has_its_exact_perimeter)
{
	struct outline outline = {.kind = OUTLINE_ELLIPSE, .length_m = 2.0 * flatness[_i][0], .width_m = 2.0};

	ck_assert_int_eq(outline_prepare(&outline, &shore), ST_OK);
	ck_assert_double_eq_tol(shore.perimeter_m / flatness[_i][1], 1.0, 2e-9);
}
END_TEST

/* P = 4 a E(k) by the arithmetic-geometric mean (Abramowitz and Stegun, 17.6.3 and 17.6.4). */
START_TEST(perimeters_of_ellipses_agree_with_the_mean)
{
	for (int i = 1; i <= 200; i++) {
		double width_m = i / 200.0, a = 1.0, b = width_m, c2 = 1.0 - width_m * width_m, power = 0.5, sum = 0.5 * c2;
		struct outline outline = {.kind = OUTLINE_ELLIPSE, .length_m = 10.0, .width_m = 10.0 * width_m};

		for (int turn = 0; turn < 8; turn++) {
			double mean = (a + b) / 2.0;

			c2 = (a - b) * (a - b) / 4.0;
			b = sqrt(a * b);
			a = mean;
			power *= 2.0;
			sum += power * c2;
		}
		ck_assert_int_eq(outline_prepare(&outline, &shore), ST_OK);
		ck_assert_double_eq_tol(shore.perimeter_m / (20.0 * pi / (2.0 * a) * (1.0 - sum)), 1.0, 2e-14);
	}
}
END_TEST

/* A and P of an ellipse past b^2/a, by brute force: points of the outline whose mirror image on the long
 * axis is farther than s, in a million steps. */
START_TEST(an_ellipse_is_trimmed_on_its_long_axis)
{
	static const double insets[] = {0.2, 0.5625, 0.57, 1.0, 1.49};
	struct outline outline = {.kind = OUTLINE_ELLIPSE, .length_m = 8, .width_m = 3};
	double a = 4, b = 1.5, s = insets[_i], area = 0, perimeter = 0, integral = 0;
	struct shore_level level;
	const int steps = 1000000;

	for (int i = 0; i < steps; i++) {
		double t = (i + 0.5) * pi / 2 / steps, v = hypot(a * sin(t), b * cos(t)), r = b / a * v;
		double bend = a * b / (v * v * v), step = v * pi / 2 / steps * 4;

		if (r <= s)
			continue;
		perimeter += step * (1 - bend * s);
		area += step * (r - s - bend * (r * r - s * s) / 2);
		integral += step * ((r - s) * (r - s) / 2 - bend * (r * r * r / 3 - r * r * s / 2 + s * s * s / 6));
	}
	prepare(&outline, &shore);
	level = shore_level(&shore, s);
	/* the midpoint sum counts the last step wholly or not at all */
	ck_assert_double_eq_tol(level.perimeter_m, perimeter, 1e-4);
	ck_assert_double_eq_tol(level.area_m2, area, 1e-8);
	ck_assert_double_eq_tol(level.integral_m3, integral, 1e-8);
}
END_TEST

/* Length, width, inset; A, P and J there, by quadrature of the same integrals in 40 digits (mpmath 1.3). */
static const double trimmed[][6] = {
	{8, 3, 1.2, 1.83203958541194546, 9.01296761770489609, 0.221359087384388994},
	{3.18, 2, 0.8, 0.41607321736033097, 3.12027961747505059, 0.0332963982730019605}};

START_TEST(a_trimmed_ellipse_is_exact)
{
	struct outline outline = {.kind = OUTLINE_ELLIPSE, .length_m = trimmed[_i][0], .width_m = trimmed[_i][1]};
	struct shore_level level;

	prepare(&outline, &shore);
	level = shore_level(&shore, trimmed[_i][2]);
	assert_close(level.area_m2, trimmed[_i][3], CLOSED);
	assert_close(level.perimeter_m, trimmed[_i][4], CLOSED);
	assert_close(level.integral_m3, trimmed[_i][5], CLOSED);
}
END_TEST

START_TEST(polygons_agree_with_the_closed_forms)
{
	static const double sides[][2] = {{0, 0}, {0, 5}, {8, 5}, {8, 0}};
	static const double triangle[][2] = {{0, 0}, {4, 0}, {0, 3}};
	struct outline outline = polygon_of(sides, 4), rectangle = shapes[0].outline;

	prepare(&outline, &shore);
	prepare(&rectangle, &other);
	assert_close(outline_perimeter_m(&outline), shore.perimeter_m, CLOSED);
	for (double s = -1.0; s < 3.0; s += 0.07) {
		struct shore_level one = shore_level(&shore, s), two = shore_level(&other, s);

		assert_close(one.area_m2, two.area_m2, CLOSED);
		assert_close(one.perimeter_m, two.perimeter_m, CLOSED);
		assert_close(one.integral_m3, two.integral_m3, CLOSED);
	}
	outline = polygon_of(triangle, 3);
	prepare(&outline, &shore);
	for (double s = 0.0; s < 1.0; s += 0.1) { /* shrinks about the centre of its inscribed circle, r 1 */
		assert_close(shore_area_m2(&shore, s), 6.0 * (1.0 - s) * (1.0 - s), CLOSED);
		assert_close(shore_perimeter_m(&shore, s), 12.0 * (1.0 - s), CLOSED);
		assert_close(shore_level(&shore, s).integral_m3, 2.0 * pow(1.0 - s, 3.0), CLOSED);
	}
	assert_close(shore.inradius_m, 1.0, CLOSED);
}
END_TEST

/* An L of 3 m arms: until the arms' middle is reached A = 27 - 24 s + (5 - pi/4) s^2; its largest ball
 * touches two outer walls and the reflex corner, r (1 + 1/sqrt 2) = 3. The cross: four reflex corners 1 m
 * from where the arms end. */
START_TEST(reflex_corners_become_arcs)
{
	struct outline outline = polygon_of(ell, 6);

	prepare(&outline, &shore);
	for (double s = 0.0; s < 1.5; s += 0.1) {
		assert_close(shore_area_m2(&shore, s), 27.0 - 24.0 * s + (5.0 - pi / 4.0) * s * s, CLOSED);
		assert_close(shore_perimeter_m(&shore, s), 24.0 - 2.0 * (5.0 - pi / 4.0) * s, CLOSED);
	}
	assert_close(shore.inradius_m, 3.0 / (1.0 + sqrt(0.5)), CLOSED);
	outline = polygon_of(cross, 12);
	prepare(&outline, &shore);
	ck_assert_double_eq_tol(shore_area_m2(&shore, 0.5), 9.21460, DIGIT);
	ck_assert_double_eq_tol(shore_area_m2(&shore, 1.2), 0.19636, DIGIT);
	assert_close(shore.inradius_m, sqrt(2.0), CLOSED);
}
END_TEST

START_TEST(outlines_grow_outward)
{
	static const double sharp[][2] = {{0, 0}, {10, -1}, {10, 1}};
	struct outline outline = polygon_of(ell, 6);
	double x = 0.3;

	prepare(&shapes[0].outline, &shore);
	assert_close(shore_area_m2(&shore, -x), 8.6 * 5.6, CLOSED);
	assert_close(shore_area_integral_m3(&shore, -x, 0.0), 40 * x + 13 * x * x + 4 * x * x * x / 3, CLOSED);
	for (int i = 2; i < 8; i++) { /* the rounded ones: Steiner's formula */
		prepare(&shapes[i].outline, &shore);
		assert_close(shore_area_m2(&shore, -x), shore.surface_m2 + shore.perimeter_m * x + pi * x * x, CLOSED);
		assert_close(shore_perimeter_m(&shore, -x), shore.perimeter_m + 2 * pi * x, CLOSED);
	}
	prepare(&outline, &shore); /* five corners of 90 degrees out, one in */
	assert_close(shore_area_m2(&shore, -x), 27 + 24 * x + 4 * x * x, CLOSED);
	ck_assert_double_ge(shore_perimeter_m(&shore, -50.0), 0.0);

	/* a corner of 11.4 degrees is cut off square at 2 x: two half-kites of x by tan(half turn) x, less
	 * the tip */
	outline = polygon_of(sharp, 3);
	prepare(&outline, &shore);
	double half = pi / 2 - atan(0.1), blunt = tan((pi - (pi / 2 - atan(0.1))) / 2);
	double tip = 1 / cos(half) - 2, kites = tan(half) - tip * tip / tan(half) + 2 * blunt;
	assert_close(shore_area_m2(&shore, -x), shore.surface_m2 + shore.perimeter_m * x + kites * x * x, CLOSED);
}
END_TEST

/* Corners in three columns, named so that those of a column stand in no order. */
START_TEST(corners_in_columns_have_their_bounds)
{
	static const double comb[][2] = {{6, 0}, {6, 5}, {3, 1}, {3, 4}, {0, 5}, {0, 2}, {0, 4}, {0, 0}, {3, 0.5}};
	static const uint32_t order[] = {7, 8, 0, 1, 3, 2, 4, 6, 5};
	double xy[9][2];
	struct outline outline;

	for (uint32_t i = 0; i < 9; i++)
		memcpy(xy[i], comb[order[i]], sizeof xy[i]);
	for (uint32_t turn = 0; turn < 9; turn++) {
		double turned[9][2];

		for (uint32_t i = 0; i < 9; i++)
			memcpy(turned[i], xy[(i + turn) % 9], sizeof turned[i]);
		outline = polygon_of(turned, 9);
		prepare(&outline, &shore);
		assert_close(shore.bound_length_m, 6.0, CLOSED);
		assert_close(shore.bound_width_m, 5.0, CLOSED);
		assert_close(shore.longest_m, hypot(6.0, 5.0), CLOSED);
	}
}
END_TEST

START_TEST(bounding_rectangles_have_the_least_area)
{
	static const double tilted[][2] = {{0, 0}, {4, 3}, {2.5, 5}, {-1.5, 2}};
	static const double right[][2] = {{0, 0}, {4, 0}, {0, 3}};
	struct outline outline = polygon_of(tilted, 4);

	prepare(&outline, &shore);
	assert_close(shore.bound_length_m, 5.0, CLOSED);
	assert_close(shore.bound_width_m, 2.5, CLOSED);
	assert_close(shore.longest_m, hypot(5.0, 2.5), CLOSED);
	outline = polygon_of(right, 3); /* 4 x 3 and 5 x 2.4 tie: the lesser perimeter is taken */
	prepare(&outline, &shore);
	assert_close(shore.bound_length_m, 4.0, CLOSED);
	assert_close(shore.bound_width_m, 3.0, CLOSED);
	assert_close(shore.longest_m, 5.0, CLOSED);
}
END_TEST

/* -- refusals -- */

#define POINTS(...) .n_points = sizeof((double[][2])__VA_ARGS__) / 16, .xy = (const double[][2])__VA_ARGS__

static const struct {
	uint32_t n_points;
	const double (*xy)[2];
	enum status status;
	uint32_t first_edge, second_edge;
} polygons[] = {
	/* a bow-tie with a positive shoelace; a pentagram that turns one way throughout */
	{POINTS({{0, 0}, {4, 0}, {0, 3}, {5, 3}}), ST_OUTLINE_CROSSES, 1, 3},
	{POINTS({{0, 3}, {1.8, -2.4}, {-2.9, 0.9}, {2.9, 0.9}, {-1.8, -2.4}}), ST_OUTLINE_CROSSES, 0, 2},
	/* a corner on an edge, a corner on a corner, two edges along each other */
	{POINTS({{0, 0}, {4, 0}, {4, 4}, {2, 0}, {0, 4}}), ST_OUTLINE_CROSSES, 0, 2},
	{POINTS({{0, 0}, {2, 2}, {4, 0}, {4, 4}, {2, 2}, {0, 4}}), ST_OUTLINE_CROSSES, 0, 3},
	{POINTS({{0, 0}, {9, 0}, {9, 3}, {6, 3}, {6, 0}, {3, 0}, {3, 3}, {0, 3}}), ST_OUTLINE_CROSSES, 0, 3},
	/* decimals that lie on the line but not in binary; a gap of 1e-12 m, and one of 1e-6 m */
	{POINTS({{0, 0}, {0.3, 0.9}, {-2, 0.9}, {0.1, 0.3}, {-2, 0}}), ST_OUTLINE_CROSSES, 0, 2},
	{POINTS({{0, 0}, {9, 0}, {9, 3}, {4, 1e-12}, {0, 3}}), ST_OUTLINE_CROSSES, 0, 2},
	{POINTS({{0, 0}, {9, 0}, {9, 3}, {4, 1e-6}, {0, 3}}), ST_OK, 0, 0},
	{POINTS({{0, 0}, {9, 0}, {9, 3}, {4, -1e-6}, {0, 3}}), ST_OUTLINE_CROSSES, 0, 2},
	/* a crossing at coordinates whose products would lose it */
	{POINTS({{4e8, 3e8}, {4e8 + 3, 3e8 + 1}, {4e8 + 3, 3e8}, {4e8, 3e8 + 1}}), ST_OUTLINE_CROSSES, 0, 2},
	/* spikes, with indices of the points as given */
	{POINTS({{0, 0}, {4, 0}, {7, 0}, {4, 0}, {4, 3}}), ST_OUTLINE_FOLDS, 1, 2},
	{POINTS({{0, 0}, {0.3, 0.9}, {0.1, 0.3}, {-3, 3}}), ST_OUTLINE_FOLDS, 0, 1},
	{POINTS({{0, 0}, {0, 0}, {4, 0}, {4, 0}, {4, 3}, {0, 5}, {0, -1}}), ST_OUTLINE_FOLDS, 5, 6},
	{POINTS({{0, 0}, {1, 1}, {2, 2}}), ST_OUTLINE_FOLDS, 0, 2},
	/* too few, too small, too large, no number */
	{POINTS({{0, 0}, {4, 0}, {4, 0}, {0, 0}}), ST_OUTLINE_POINTS, 0, 0},
	{POINTS({{0, 0}, {0.2, 0}, {0, 0.2}}), ST_OUTLINE_AREA, 0, 0},
	{POINTS({{0, 0}, {400, 0}, {0, 400}}), ST_OUTLINE_AREA, 0, 0},
	{POINTS({{0, 0}, {4, 0}, {0, (double)INFINITY}}), ST_OUTLINE_NUMBER, 0, 0},
	{POINTS({{0, 0}, {(double)NAN, 0}, {0, 4}}), ST_OUTLINE_NUMBER, 0, 0},
	/* a corner half a metre past the end of an edge, in line with it */
	{POINTS({{0, 0}, {10, 0}, {10, -3}, {20, -3}, {20, 3}, {12, 3}, {10.5, 0}, {9, 3}, {0, 3}}), ST_OK, 0, 0},
	/* points just 1e-9 m apart are one: as two they would make an edge that runs back */
	{POINTS({{0, 0}, {0, 1e-9}, {4, 0}, {4, 3}, {0, 3}}), ST_OK, 0, 0},
	{POINTS({{0, 0}, {-1e-9, 0}, {4, 0}, {4, 3}, {0, 3}}), ST_OK, 0, 0},
	/* fine: closing point, repeated point, points on a straight run, clockwise */
	{POINTS({{0, 0}, {4, 0}, {4, 0}, {4, 1}, {4, 3}, {0, 3}, {1e-16, 0}}), ST_OK, 0, 0},
	{POINTS({{0, 0}, {0, 3}, {2, 3}, {4, 3}, {4, 0}}), ST_OK, 0, 0},
	/* and on a run so short that the product of its parts is less than 1 */
	{POINTS({{0, 0}, {0.5, 0}, {1, 0}, {1, 0.5}, {1, 1}, {0, 1}}), ST_OK, 0, 0},
};

START_TEST(only_simple_polygons_pass)
{
	struct outline outline = polygon_of(polygons[_i].xy, polygons[_i].n_points);
	struct outline_fault fault = {0, 0};

	ck_assert_int_eq(outline_check(&outline, &fault), polygons[_i].status);
	ck_assert_uint_eq(fault.first_edge, polygons[_i].first_edge);
	ck_assert_uint_eq(fault.second_edge, polygons[_i].second_edge);
}
END_TEST

static const struct {
	struct outline outline;
	enum status status;
} refused[] = {
	{{.kind = OUTLINE_RECTANGLE, .length_m = 0, .width_m = 5}, ST_OUTLINE_NUMBER},
	{{.kind = OUTLINE_RECTANGLE, .length_m = 8, .width_m = (double)NAN}, ST_OUTLINE_NUMBER},
	{{.kind = OUTLINE_RECTANGLE, .length_m = 8, .width_m = 5, .corner_radius_m = -0.1}, ST_OUTLINE_CORNER},
	{{.kind = OUTLINE_RECTANGLE, .length_m = 8, .width_m = 5, .corner_radius_m = 2.6}, ST_OUTLINE_CORNER},
	{{.kind = OUTLINE_RECTANGLE, .length_m = 8, .width_m = 5, .corner_radius_m = 2.5}, ST_OK},
	{{.kind = OUTLINE_RECTANGLE, .length_m = 0.2, .width_m = 0.2}, ST_OUTLINE_AREA},
	{{.kind = OUTLINE_CIRCLE, .diameter_m = -1}, ST_OUTLINE_NUMBER},
	{{.kind = OUTLINE_CIRCLE, .diameter_m = 253}, ST_OUTLINE_AREA},
	{{.kind = OUTLINE_ELLIPSE, .length_m = (double)INFINITY, .width_m = 2}, ST_OUTLINE_NUMBER},
	{{.kind = OUTLINE_ELLIPSE, .length_m = 300, .width_m = 300}, ST_OUTLINE_AREA},
	{{.kind = OUTLINE_STADIUM, .length_m = 4, .width_m = 0}, ST_OUTLINE_NUMBER},
	{{.kind = OUTLINE_STADIUM, .length_m = 3, .width_m = 4}, ST_OK},
	{{.kind = OUTLINE_POLYGON, .n_points = OUTLINE_POINTS_MAX + 1}, ST_OUTLINE_POINTS},
};

START_TEST(numbers_that_make_no_outline_are_refused)
{
	struct outline_fault fault;

	ck_assert_int_eq(outline_check(&refused[_i].outline, &fault), refused[_i].status);
}
END_TEST

/* -- laws, on random outlines -- */

static uint64_t random_state;

static double random_share(void)
{
	random_state = random_state * 6364136223846793005u + 1442695040888963407u; /* D. E. Knuth, MMIX */
	return (double)(random_state >> 11) / 9007199254740992.0;
}

/* Radii about a centre, so never crossing: from smooth to very spiky, with reflex corners of every kind. */
static struct outline random_polygon(uint64_t seed)
{
	struct outline outline = {.kind = OUTLINE_POLYGON};
	double spiky;

	random_state = seed * 2654435761u + 1;
	spiky = random_share();
	outline.n_points = 3 + (uint32_t)(random_share() * (seed % 10 == 0 ? 197 : 37));
	for (uint32_t i = 0; i < outline.n_points; i++) {
		double turn = 2 * pi * (i + 0.8 * random_share()) / outline.n_points;
		double radius_m = 4.0 * (1.0 - 0.9 * spiky * random_share());

		outline.points[i] = (struct point){1.5 * radius_m * cos(turn), radius_m * sin(turn)};
	}
	return outline;
}

enum { SEEDS = 60 };

static struct outline moved(const struct outline *from, double turn, int mirror, uint32_t shift, double away_m)
{
	struct outline to = *from;

	for (uint32_t i = 0; i < from->n_points; i++) {
		struct point p = from->points[(i + shift) % from->n_points];

		if (mirror)
			p.x_m = -p.x_m;
		to.points[i].x_m = p.x_m * cos(turn) - p.y_m * sin(turn) + away_m;
		to.points[i].y_m = p.x_m * sin(turn) + p.y_m * cos(turn) - away_m / 2;
	}
	return to;
}

static void assert_same_shore(double tolerance)
{
	assert_close(other.surface_m2, shore.surface_m2, tolerance);
	assert_close(other.perimeter_m, shore.perimeter_m, tolerance);
	assert_close(other.inradius_m, shore.inradius_m, tolerance);
	assert_close(other.bound_length_m, shore.bound_length_m, tolerance);
	assert_close(other.bound_width_m, shore.bound_width_m, tolerance);
	assert_close(other.longest_m, shore.longest_m, tolerance);
	for (double share = -0.2; share < 1.0; share += 0.09) {
		struct shore_level one = shore_level(&shore, share * shore.inradius_m);
		struct shore_level two = shore_level(&other, share * shore.inradius_m);

		assert_close(two.area_m2, one.area_m2, tolerance);
		assert_close(two.perimeter_m, one.perimeter_m, 1e3 * tolerance); /* has corners, and jumps by nature */
		assert_close(two.integral_m3, one.integral_m3, tolerance);
	}
}

START_TEST(turning_mirroring_relisting_and_shifting_change_nothing)
{
	struct outline outline = random_polygon((uint64_t)_i), another = moved(&outline, 1.0 + _i, _i % 2, 2, 0.0);

	prepare(&outline, &shore);
	prepare(&another, &other);
	assert_same_shore(1e-11);
	another = moved(&outline, 0.0, 0, 1, 1e6);
	prepare(&another, &other);
	assert_same_shore(FINE);
}
END_TEST

START_TEST(points_on_an_edge_change_nothing)
{
	struct outline outline = random_polygon((uint64_t)_i + 1000), another = outline;
	uint32_t n = 0, room = OUTLINE_POINTS_MAX - outline.n_points;

	for (uint32_t i = 0; i < outline.n_points; i++) {
		struct point a = outline.points[i], b = outline.points[(i + 1) % outline.n_points];

		another.points[n++] = a;
		if (i < room)
			another.points[n++] = (struct point){(2 * a.x_m + b.x_m) / 3, (2 * a.y_m + b.y_m) / 3};
	}
	another.n_points = n;
	prepare(&outline, &shore);
	prepare(&another, &other);
	assert_same_shore(1e-11);
}
END_TEST

static struct outline law_outline(int i)
{
	return i < 8 ? shapes[i].outline : random_polygon((uint64_t)i);
}

/* J' = -A and A' = -P by Gauss's two-point rule over 400 steps: 1e-4 leaves room for P's corners, and for
 * its jumps where two edges face each other. */
START_TEST(area_falls_by_the_perimeter_and_the_integral_by_the_area)
{
	struct outline outline = law_outline(_i);
	const int steps = 400;
	double area_m2 = 0, integral_m3 = 0;

	prepare(&outline, &shore);
	for (int i = steps - 1; i >= -steps / 10; i--) {
		double step_m = shore.inradius_m / steps, middle_m = (i + 0.5) * step_m, off_m = step_m / sqrt(12.0);
		struct shore_level one = shore_level(&shore, middle_m - off_m),
				   two = shore_level(&shore, middle_m + off_m);
		struct shore_level level = shore_level(&shore, i * step_m);

		area_m2 += (one.perimeter_m + two.perimeter_m) / 2 * step_m;
		integral_m3 += (one.area_m2 + two.area_m2) / 2 * step_m;
		ck_assert_double_eq_tol(level.area_m2, area_m2, 1e-4 * shore.surface_m2);
		ck_assert_double_eq_tol(level.integral_m3, integral_m3, 1e-6 * shore.integral_m3);
	}
}
END_TEST

START_TEST(going_inward_everything_falls_to_nothing)
{
	struct outline outline = law_outline(_i);
	struct shore_level last;

	prepare(&outline, &shore);
	last = shore_level(&shore, 0.0);
	assert_close(last.area_m2, shore.surface_m2, CLOSED);
	assert_close(last.perimeter_m, shore.perimeter_m, CLOSED);
	/* from the pieces, not from the shoelace */
	assert_close(shore_area_m2(&shore, 1e-13), shore.surface_m2, 1e-11);
	for (double share = 0.01; share < 1.2; share += 0.01) {
		struct shore_level level = shore_level(&shore, share * shore.inradius_m);

		ck_assert_double_le(level.area_m2, last.area_m2);
		ck_assert_double_le(level.integral_m3, last.integral_m3);
		ck_assert(level.perimeter_m >= 0.0 && level.area_m2 >= 0.0 && level.integral_m3 >= 0.0);
		last = level;
	}
	ck_assert(last.area_m2 == 0.0 && last.perimeter_m == 0.0 && last.integral_m3 == 0.0);
	ck_assert_double_gt(shore_area_m2(&shore, 0.999 * shore.inradius_m), 0.0);
}
END_TEST

/* A(s) counted on a grid of points: the plain definition, distance to the nearest edge. */
static double distance_in_m(const struct outline *outline, double x, double y)
{
	double nearest = HUGE_VAL;
	int inside = 0;

	for (uint32_t i = 0; i < outline->n_points; i++) {
		struct point a = outline->points[i], b = outline->points[(i + 1) % outline->n_points];
		double ex = b.x_m - a.x_m, ey = b.y_m - a.y_m, px = x - a.x_m, py = y - a.y_m;
		double t = fmin(1.0, fmax(0.0, (px * ex + py * ey) / (ex * ex + ey * ey)));

		nearest = fmin(nearest, hypot(px - t * ex, py - t * ey));
		if ((a.y_m > y) != (b.y_m > y) && x < a.x_m + (y - a.y_m) / ey * ex)
			inside = !inside;
	}
	return inside ? nearest : -nearest;
}

START_TEST(areas_agree_with_counting_points)
{
	struct outline outline = random_polygon((uint64_t)_i + 3);
	double counted[5] = {0}, cell_m = 0.03;

	prepare(&outline, &shore);
	for (double x = -6.0; x < 6.0; x += cell_m)
		for (double y = -4.0; y < 4.0; y += cell_m) {
			double in_m = distance_in_m(&outline, x + 0.01, y + 0.01);

			for (int k = 0; k < 5; k++)
				counted[k] += in_m > k * 0.2 * shore.inradius_m ? cell_m * cell_m : 0.0;
		}
	/* a grid is wrong by about cell^1.5 x sqrt(perimeter) */
	for (int k = 0; k < 5; k++)
		ck_assert_double_eq_tol(shore_area_m2(&shore, k * 0.2 * shore.inradius_m), counted[k],
			3.0 * pow(cell_m, 1.5) * sqrt(shore.perimeter_m));
}
END_TEST

/* 200 equal sides: every ball from every edge meets at one point. Against n r^2 tan(pi/n). */
START_TEST(a_fine_regular_polygon_is_nearly_a_circle)
{
	struct outline outline = {.kind = OUTLINE_POLYGON, .n_points = OUTLINE_POINTS_MAX};

	for (uint32_t i = 0; i < OUTLINE_POINTS_MAX; i++) {
		double turn = 2 * pi * i / OUTLINE_POINTS_MAX;

		outline.points[i] = (struct point){3.0 * cos(turn), 3.0 * sin(turn)};
	}
	prepare(&outline, &shore);
	assert_close(shore.inradius_m, 3.0 * cos(pi / 200), 1e-11);
	for (double s = 0.0; s < 2.9; s += 0.3) {
		double r = 3.0 * cos(pi / 200) - s;

		assert_close(shore_area_m2(&shore, s), 200 * r * r * tan(pi / 200), 1e-11);
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("outline");
	TCase *forms = tcase_create("forms"), *checks = tcase_create("checks"), *laws = tcase_create("laws");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_set_timeout(forms, 0);
	tcase_set_timeout(laws, 0);
	tcase_add_loop_test(forms, areas_perimeters_and_inradii_are_the_textbook_ones, 0, 8);
	tcase_add_loop_test(forms, an_ellipse_has_its_exact_perimeter, 0, 6);
	tcase_add_loop_test(forms, an_ellipse_is_trimmed_on_its_long_axis, 0, 5);
	tcase_add_loop_test(forms, a_trimmed_ellipse_is_exact, 0, 2);
	tcase_add_test(forms, polygons_agree_with_the_closed_forms);
	tcase_add_test(forms, reflex_corners_become_arcs);
	tcase_add_test(forms, outlines_grow_outward);
	tcase_add_test(forms, bounding_rectangles_have_the_least_area);
	tcase_add_test(forms, corners_in_columns_have_their_bounds);
	tcase_add_test(forms, perimeters_of_ellipses_agree_with_the_mean);
	tcase_add_loop_test(checks, only_simple_polygons_pass, 0, sizeof polygons / sizeof polygons[0]);
	tcase_add_loop_test(checks, numbers_that_make_no_outline_are_refused, 0, sizeof refused / sizeof refused[0]);
	tcase_add_loop_test(laws, turning_mirroring_relisting_and_shifting_change_nothing, 0, SEEDS);
	tcase_add_loop_test(laws, points_on_an_edge_change_nothing, 0, SEEDS);
	tcase_add_loop_test(laws, area_falls_by_the_perimeter_and_the_integral_by_the_area, 0, SEEDS);
	tcase_add_loop_test(laws, going_inward_everything_falls_to_nothing, 0, SEEDS);
	tcase_add_loop_test(laws, areas_agree_with_counting_points, 0, 6);
	tcase_add_test(laws, a_fine_regular_polygon_is_nearly_a_circle);
	suite_add_tcase(suite, forms);
	suite_add_tcase(suite, checks);
	suite_add_tcase(suite, laws);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
