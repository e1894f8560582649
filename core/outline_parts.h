#ifndef PONDWRIGHT_OUTLINE_PARTS_H
#define PONDWRIGHT_OUTLINE_PARTS_H

#include "outline.h"

/* Shared between outline.c, the files outline*.c; not for others. */

#define OUTLINE_PI 3.14159265358979323846

/* Points and edges that come this close are the same, or touch: decimal coordinates seldom lie exactly on a
 * line. */
#define OUTLINE_SAME_M 1e-9

/* A polygon made canonical: counter-clockwise, measured from its own first vertex, without repeated points
 * and points on a straight run. Edge i runs from at[i] along the unit vector along[i] for run_m[i]; its
 * interior is on the left. */
struct ring {
	uint32_t n;
	struct point at[OUTLINE_POINTS_MAX];
	struct point along[OUTLINE_POINTS_MAX];
	double run_m[OUTLINE_POINTS_MAX];
	bool reflex[OUTLINE_POINTS_MAX]; /* corner i points inward */
};

enum piece_kind {
	PIECE_LINE,      /* edge to edge: R straight over a run of scale_m */
	PIECE_PARABOLA,  /* edge to corner at height h: R = h/2 (1 + t^2), position h t */
	PIECE_FAN_LINE,  /* fan to edge at distance h: R = h/2 (1 + t^2), angle 2 atan t */
	PIECE_FAN_CORNER /* fan to corner at distance d: R = d/2 sqrt(1 + t^2), angle atan t */
};

/* fmin and fmax are calls into libm, and the rolling ball asks for little else. No NaN gets this far. */
static inline double least_of(double a, double b)
{
	return a < b ? a : b;
}

static inline double greatest_of(double a, double b)
{
	return a > b ? a : b;
}

static inline double point_cross(struct point a, struct point b)
{
	return a.x_m * b.y_m - a.y_m * b.x_m;
}

static inline double point_dot(struct point a, struct point b)
{
	return a.x_m * b.x_m + a.y_m * b.y_m;
}

static inline struct point point_minus(struct point a, struct point b)
{
	return (struct point){a.x_m - b.x_m, a.y_m - b.y_m};
}

static inline struct point point_plus(struct point a, struct point b)
{
	return (struct point){a.x_m + b.x_m, a.y_m + b.y_m};
}

/* Left normal. */
static inline struct point point_left(struct point a)
{
	return (struct point){-a.y_m, a.x_m};
}

/* Twice the signed area of a list of points, taken from the first of them: grid coordinates of 1e6 m would
 * otherwise cost six digits. */
double points_twice_area_m2(const struct point *points, uint32_t n);

/* Distinct points of a polygon in order, the closing point and immediate repeats left out; from[k] is the index
 * in the outline of the k-th. Returns how many. */
uint32_t outline_distinct_points(const struct outline *outline, struct point *points, uint32_t *from);

/* The ring of a checked polygon. */
void ring_draw(const struct outline *outline, struct ring *ring);

/* Bounding rectangle and longest chord of a ring, into the shore. */
void ring_bounds(const struct ring *ring, struct shore *shore);

/* Perimeter of an ellipse of semi-axes a_m >= b_m > 0 by the arithmetic-geometric mean, good to the last
 * digits. */
double ellipse_perimeter_m(double a_m, double b_m);

/* J(0) of the same ellipse. */
double ellipse_integral_m3(double a_m, double b_m);

/* A, P and J of a prepared ellipse, inset below the inradius. */
struct shore_level ellipse_level(const struct shore *shore, double inset_m);

/* Perimeter of a polygon, points on a straight run and repeats aside. */
double polygon_perimeter_m(const struct outline *outline);

/* Fill a shore for a polygon; statuses as for outline_prepare. */
enum status polygon_prepare(const struct outline *outline, struct shore *shore);

/* A, P and J of a prepared polygon, inset below the inradius. */
struct shore_level polygon_level(const struct shore *shore, double inset_m);

/* Cut the edges of a ring, and the fans of normals at its reflex corners, into pieces along which the rolled
 * ball meets one and the same thing. cap_m is above every R. Returns how many, SHORE_PIECES_MAX + 1 if they
 * do not fit. */
uint32_t ring_roll(const struct ring *ring, double cap_m, struct shore_piece *pieces);

/* Add the moments of that part of a piece where R is above inset_m. */
void piece_add_moments(const struct shore_piece *piece, double inset_m, struct shore_moments *sum);

#endif
