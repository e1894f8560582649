#include <math.h>
#include <string.h>

#include "outline_parts.h"

/* A corner that stands off the line between its neighbours by less than this share of the outline's size is
 * none: grid coordinates of 1e6 m are rounded to more than that. */
#define FLAT_SHARE 1e-12

static double ring_size_m(const struct ring *ring)
{
	double size_m = 0.0;

	for (uint32_t i = 1; i < ring->n; i++)
		size_m = greatest_of(size_m, greatest_of(fabs(ring->at[i].x_m), fabs(ring->at[i].y_m)));
	return size_m;
}

static void drop_flat_corners(struct ring *ring)
{
	double flat_m = FLAT_SHARE * ring_size_m(ring);

	for (uint32_t i = 0; i < ring->n && ring->n > 3;) {
		struct point a = ring->at[(i + ring->n - 1) % ring->n], b = ring->at[i];
		struct point c = ring->at[(i + 1) % ring->n];
		struct point ab = point_minus(b, a), bc = point_minus(c, b), ac = point_minus(c, a);

		if (point_dot(ab, bc) <= 0.0 || fabs(point_cross(ab, ac)) > flat_m * hypot(ac.x_m, ac.y_m)) {
			i++;
			continue;
		}
		ring->n--;
		memmove(&ring->at[i], &ring->at[i + 1], (ring->n - i) * sizeof ring->at[0]);
	}
}

void ring_draw(const struct outline *outline, struct ring *ring)
{
	struct point points[OUTLINE_POINTS_MAX];
	uint32_t from[OUTLINE_POINTS_MAX], n = outline_distinct_points(outline, points, from);
	int clockwise = points_twice_area_m2(points, n) < 0.0;

	ring->n = n;
	for (uint32_t i = 0; i < n; i++)
		ring->at[i] = point_minus(points[clockwise ? n - 1 - i : i], points[0]);
	drop_flat_corners(ring);
	for (uint32_t i = 0; i < ring->n; i++) {
		struct point edge = point_minus(ring->at[(i + 1) % ring->n], ring->at[i]);

		ring->run_m[i] = hypot(edge.x_m, edge.y_m);
		ring->along[i] = (struct point){edge.x_m / ring->run_m[i], edge.y_m / ring->run_m[i]};
	}
	for (uint32_t i = 0; i < ring->n; i++)
		ring->reflex[i] = point_cross(ring->along[(i + ring->n - 1) % ring->n], ring->along[i]) < 0.0;
}

/* Points in order of x, then y, for the hull. */
static void sort_points(struct point *points, uint32_t n)
{
	for (uint32_t i = 1; i < n; i++) {
		struct point moved = points[i];
		uint32_t k = i;

		for (; k > 0 &&
			(points[k - 1].x_m > moved.x_m ||
				(points[k - 1].x_m == moved.x_m && points[k - 1].y_m > moved.y_m));
			k--)
			points[k] = points[k - 1];
		points[k] = moved;
	}
}

/* Convex hull by monotone chains, counter-clockwise. hull has room for n + 1 points. Returns how many. */
static uint32_t find_hull(const struct ring *ring, struct point *hull)
{
	struct point sorted[OUTLINE_POINTS_MAX];
	uint32_t n = 0;

	memcpy(sorted, ring->at, ring->n * sizeof sorted[0]);
	sort_points(sorted, ring->n);
	for (int side = 0; side < 2; side++) {
		uint32_t start = n;

		for (uint32_t i = 0; i < ring->n; i++) {
			struct point p = sorted[side == 0 ? i : ring->n - 1 - i];

			while (n >= start + 2 &&
				point_cross(point_minus(hull[n - 1], hull[n - 2]), point_minus(p, hull[n - 1])) <= 0.0)
				n--;
			hull[n++] = p;
		}
		n--; /* the last point begins the other chain */
	}
	return n;
}

static double extent_m(const struct point *hull, uint32_t n, struct point direction)
{
	double least = 0.0, greatest = 0.0;

	for (uint32_t i = 1; i < n; i++) {
		double along_m = point_dot(point_minus(hull[i], hull[0]), direction);

		least = least_of(least, along_m);
		greatest = greatest_of(greatest, along_m);
	}
	return greatest - least;
}

/* A rectangle of least area has a side along an edge of the hull. Areas often tie (every acute triangle has
 * three): within 1e-9 the least perimeter decides, so that turning the drawing does not change the sheet. */
void ring_bounds(const struct ring *ring, struct shore *shore)
{
	struct point hull[OUTLINE_POINTS_MAX + 1];
	uint32_t n = find_hull(ring, hull);
	double best_area_m2 = HUGE_VAL, best_half_m = HUGE_VAL;

	shore->longest_m = 0.0;
	for (uint32_t i = 0; i < n; i++) {
		struct point edge = point_minus(hull[(i + 1) % n], hull[i]);
		double run_m = hypot(edge.x_m, edge.y_m);
		struct point e = {edge.x_m / run_m, edge.y_m / run_m};
		double a_m = extent_m(hull, n, e), b_m = extent_m(hull, n, point_left(e)), area_m2 = a_m * b_m;

		if (area_m2 < best_area_m2 * (1.0 - 1e-9) ||
			(area_m2 <= best_area_m2 * (1.0 + 1e-9) && a_m + b_m < best_half_m)) {
			best_area_m2 = area_m2;
			best_half_m = a_m + b_m;
			shore->bound_length_m = greatest_of(a_m, b_m);
			shore->bound_width_m = least_of(a_m, b_m);
		}
		for (uint32_t k = 0; k < i; k++) {
			struct point chord = point_minus(hull[i], hull[k]);

			shore->longest_m = greatest_of(shore->longest_m, hypot(chord.x_m, chord.y_m));
		}
	}
}
