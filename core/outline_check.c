#include <math.h>
#include <stdbool.h>

#include "outline_parts.h"

#define LARGEST_M 1e9 /* keeps every product below far from overflow */
#define AREA_MIN_M2 0.05
#define AREA_MAX_M2 50000.0

/* Twice the area of a triangle, positive where it turns left. Taken from c, it is rounded by no more than
 * 4e-16 of the two products: less than 1e-10 m off the line for edges to 100 km, so its sign is right
 * wherever nothing touches. */
static double turn_m2(struct point a, struct point b, struct point c)
{
	return point_cross(point_minus(a, c), point_minus(b, c));
}

static bool ranges_meet(double a1, double a2, double b1, double b2)
{
	return greatest_of(least_of(a1, a2), least_of(b1, b2)) <=
		least_of(greatest_of(a1, a2), greatest_of(b1, b2)) + OUTLINE_SAME_M;
}

static bool boxes_meet(struct point a, struct point b, struct point c, struct point d)
{
	return ranges_meet(a.x_m, b.x_m, c.x_m, d.x_m) && ranges_meet(a.y_m, b.y_m, c.y_m, d.y_m);
}

static double distance_m(struct point p, struct point a, struct point b)
{
	struct point ab = point_minus(b, a), ap = point_minus(p, a);
	double share = least_of(1.0, greatest_of(0.0, point_dot(ap, ab) / point_dot(ab, ab)));

	return hypot(ap.x_m - share * ab.x_m, ap.y_m - share * ab.y_m);
}

static bool on_one_side(double one_m2, double other_m2)
{
	return (one_m2 > 0.0 && other_m2 > 0.0) || (one_m2 < 0.0 && other_m2 < 0.0);
}

static bool segments_cross(struct point a, struct point b, struct point c, struct point d)
{
	return !on_one_side(turn_m2(a, b, c), turn_m2(a, b, d)) && !on_one_side(turn_m2(c, d, a), turn_m2(c, d, b));
}

static bool segments_touch(struct point a, struct point b, struct point c, struct point d)
{
	return distance_m(a, c, d) <= OUTLINE_SAME_M || distance_m(b, c, d) <= OUTLINE_SAME_M ||
		distance_m(c, a, b) <= OUTLINE_SAME_M || distance_m(d, a, b) <= OUTLINE_SAME_M;
}

static bool segments_meet(struct point a, struct point b, struct point c, struct point d)
{
	return boxes_meet(a, b, c, d) && (segments_cross(a, b, c, d) || segments_touch(a, b, c, d));
}

static bool folds_back(struct point a, struct point b, struct point c)
{
	return point_dot(point_minus(b, a), point_minus(c, b)) < 0.0 &&
		(distance_m(a, b, c) <= OUTLINE_SAME_M || distance_m(c, a, b) <= OUTLINE_SAME_M);
}

double points_twice_area_m2(const struct point *points, uint32_t n)
{
	double twice = 0.0;

	for (uint32_t i = 1; i + 1 < n; i++)
		twice += point_cross(point_minus(points[i], points[0]), point_minus(points[i + 1], points[0]));
	return twice;
}

static bool is_same(struct point a, struct point b)
{
	return fabs(a.x_m - b.x_m) <= OUTLINE_SAME_M && fabs(a.y_m - b.y_m) <= OUTLINE_SAME_M;
}

uint32_t outline_distinct_points(const struct outline *outline, struct point *points, uint32_t *from)
{
	uint32_t n = 0;

	for (uint32_t i = 0; i < outline->n_points; i++) {
		if (n > 0 && is_same(outline->points[i], points[n - 1]))
			continue;
		points[n] = outline->points[i];
		from[n++] = i;
	}
	while (n > 1 && is_same(points[n - 1], points[0]))
		n--;
	return n;
}

static bool find_fold(const struct point *points, uint32_t n, uint32_t *first, uint32_t *second)
{
	for (uint32_t i = 0; i < n; i++) {
		uint32_t before = (i + n - 1) % n;

		if (folds_back(points[before], points[i], points[(i + 1) % n])) {
			*first = before < i ? before : i;
			*second = before < i ? i : before;
			return true;
		}
	}
	return false;
}

static bool find_crossing(const struct point *points, uint32_t n, uint32_t *first, uint32_t *second)
{
	for (uint32_t i = 0; i < n; i++)
		for (uint32_t k = i + 2; k < n; k++) {
			if (i == 0 && k == n - 1)
				continue;
			if (segments_meet(points[i], points[i + 1], points[k], points[(k + 1) % n])) {
				*first = i;
				*second = k;
				return true;
			}
		}
	return false;
}

static enum status check_area(double area_m2)
{
	return area_m2 >= AREA_MIN_M2 && area_m2 <= AREA_MAX_M2 ? ST_OK : ST_OUTLINE_AREA;
}

static enum status check_polygon(const struct outline *outline, struct outline_fault *fault)
{
	struct point points[OUTLINE_POINTS_MAX];
	uint32_t from[OUTLINE_POINTS_MAX], n, first, second;

	if (outline->n_points > OUTLINE_POINTS_MAX)
		return ST_OUTLINE_POINTS;
	for (uint32_t i = 0; i < outline->n_points; i++)
		if (!(fabs(outline->points[i].x_m) <= LARGEST_M && fabs(outline->points[i].y_m) <= LARGEST_M))
			return ST_OUTLINE_NUMBER;
	n = outline_distinct_points(outline, points, from);
	if (n < 3)
		return ST_OUTLINE_POINTS;

	bool folds = find_fold(points, n, &first, &second);

	if (folds || find_crossing(points, n, &first, &second)) {
		*fault = (struct outline_fault){from[first], from[second]};
		return folds ? ST_OUTLINE_FOLDS : ST_OUTLINE_CROSSES;
	}
	return check_area(fabs(points_twice_area_m2(points, n)) / 2.0);
}

static bool is_length(double value_m)
{
	return value_m > 0.0 && value_m <= LARGEST_M;
}

static enum status check_sides(const struct outline *outline, double corner_m)
{
	double length_m = outline->length_m, width_m = outline->width_m;

	if (!is_length(length_m) || !is_length(width_m) || !isfinite(corner_m))
		return ST_OUTLINE_NUMBER;
	if (corner_m < 0.0 || corner_m > fmin(length_m, width_m) / 2.0)
		return ST_OUTLINE_CORNER;
	return check_area(length_m * width_m - (4.0 - OUTLINE_PI) * corner_m * corner_m);
}

enum status outline_check(const struct outline *outline, struct outline_fault *fault)
{
	switch (outline->kind) {
	case OUTLINE_RECTANGLE:
		return check_sides(outline, outline->corner_radius_m);
	case OUTLINE_STADIUM:
		return check_sides(outline, fmin(outline->length_m, outline->width_m) / 2.0);
	case OUTLINE_CIRCLE:
		if (!is_length(outline->diameter_m))
			return ST_OUTLINE_NUMBER;
		return check_area(OUTLINE_PI / 4.0 * outline->diameter_m * outline->diameter_m);
	case OUTLINE_ELLIPSE:
		if (!is_length(outline->length_m) || !is_length(outline->width_m))
			return ST_OUTLINE_NUMBER;
		return check_area(OUTLINE_PI / 4.0 * outline->length_m * outline->width_m);
	case OUTLINE_POLYGON:
		break;
	}
	return check_polygon(outline, fault);
}
