#ifndef PONDWRIGHT_OUTLINE_H
#define PONDWRIGHT_OUTLINE_H

#include <stdbool.h>
#include <stdint.h>

#include "status.h"

/* Plan outlines, and what is left of one after moving in from its edge by a true distance.
 *
 * Omega(s) is the set of points at least s from the outline; A(s) is its area, P(s) = -dA/ds its perimeter
 * (coarea formula), J(s) the integral of A from s to the inradius. Convex corners stay sharp on the way in,
 * reflex (inward pointing) corners become arcs. Nothing is left from the inradius on: A = P = J = 0, never
 * negative.
 *
 * A negative s grows the outline outward by -s. Rounded outlines (circle, stadium, ellipse, rectangle with a
 * corner radius) grow as parallel curves; sharp corners (rectangle without a radius, polygon) stay sharp,
 * but a polygon's corner of under 60 degrees is cut off square at twice the growth from the corner. P is
 * -dA/ds there too. */

enum outline_kind { OUTLINE_RECTANGLE, OUTLINE_CIRCLE, OUTLINE_ELLIPSE, OUTLINE_STADIUM, OUTLINE_POLYGON };

enum {
	OUTLINE_POINTS_MAX = 200,
	/* The medial axis of n corners has at most 2n - 3 arcs (Lee, IEEE PAMI 1982), each seen from both
	 * sides, and each sight is cut at most once where it comes nearest. */
	SHORE_PIECES_MAX = 8 * OUTLINE_POINTS_MAX
};

struct point {
	double x_m, y_m;
};

/* What was drawn. Only the members of its kind are read:
 *   rectangle          length_m, width_m, corner_radius_m (0: sharp)
 *   circle             diameter_m
 *   ellipse, stadium   length_m, width_m overall
 *   polygon            n_points, points; either turning sense, closing point optional
 * Which of length and width is greater does not matter. */
struct outline {
	enum outline_kind kind;
	double length_m, width_m, corner_radius_m, diameter_m;
	uint32_t n_points;
	struct point points[OUTLINE_POINTS_MAX];
};

/* Where a polygon goes wrong: edge i runs from points[i] to the next distinct point. Set only with
 * ST_OUTLINE_CROSSES and ST_OUTLINE_FOLDS, first_edge < second_edge. */
struct outline_fault {
	uint32_t first_edge, second_edge;
};

/* Check an outline that anybody may have typed.
 *   ST_OUTLINE_NUMBER   not finite, not above zero, or a coordinate beyond 1e9 m
 *   ST_OUTLINE_CORNER   corner radius negative or over half of the shorter side
 *   ST_OUTLINE_POINTS   fewer than 3 distinct points, or more than OUTLINE_POINTS_MAX
 *   ST_OUTLINE_FOLDS    an edge runs back over the one before it
 *   ST_OUTLINE_CROSSES  two edges that are not neighbours cross or touch
 *   ST_OUTLINE_AREA     outside 0.05 m2 to 50 000 m2
 * Points within 1e-9 m are one, edges within 1e-9 m touch. */
enum status outline_check(const struct outline *outline, struct outline_fault *fault);

/* A(s), P(s) and J(s) at one inset. */
struct shore_level {
	double area_m2, perimeter_m, integral_m3;
};

/* A stretch of a polygon's edge, or of the fan of normals at a reflex corner, along which R, the radius of
 * the ball rolled from there until it meets the far side, is monotone. Private to outline_polygon.c and
 * outline_roll.c. */
struct shore_piece {
	uint32_t kind;
	double low_m, high_m; /* least and greatest R */
	double scale_m;       /* run (straight pieces) or distance to what the ball meets */
	double t_low, t_high; /* parameter at low_m and high_m */
	double to_high[3];    /* of curves: integrals of 1, R, R^2 (fans: 1, R^2, R^3) from t = 0 to t_high */
};

/* Integrals of 1, R, R^2 along edges, and of 1, R^2, R^3 over fans. */
struct shore_moments {
	double edge[3], fan[3];
};

struct shore_polygon {
	uint32_t n_pieces, n_reflex;
	double convex_growth;                             /* sum over convex corners of P gained per 2 m out */
	double reflex_tangent[OUTLINE_POINTS_MAX];        /* tan(half turn) of each reflex corner */
	double reflex_reach_m[OUTLINE_POINTS_MAX];        /* how much of its edges such a corner can eat */
	struct shore_piece pieces[SHORE_PIECES_MAX];      /* low_m never rising */
	struct shore_moments above[SHORE_PIECES_MAX + 1]; /* sums over the first i pieces */
};

/* An outline made ready for many questions. Owned by the caller, holds no pointer, may be copied; about 196
 * KB, nearly all of it for polygons. Members up to longest_m are for anyone, the rest is private to
 * outline*.c. */
struct shore {
	double surface_m2, perimeter_m, inradius_m;
	double bound_length_m, bound_width_m; /* bounding rectangle of least area, length >= width; of several
	                               * with the same area the one of least perimeter */
	double longest_m;                     /* greatest distance between two points of the outline */

	double scale;             /* against the outline that was prepared: see shore_rescale */
	struct shore_level drawn; /* A(0), P(0), J(0) at scale 1 */
	enum outline_kind kind;
	double length_m, width_m, corner_m; /* all but polygons; length >= width */
	double integral_m3;                 /* J(0) */
	bool dish_ready;                    /* see basin_prepare_dish */
	double dish_integral_m3[16];        /* J at the nodes of a dish, at scale 1 */
	struct shore_polygon polygon;
};

/* Perimeter of a checked outline, without preparing it. */
double outline_perimeter_m(const struct outline *outline);

/* Prepare a checked outline. Time grows with the square of the number of points. Returns ST_OK;
 * ST_OUTLINE_CROSSES if the pieces of a polygon do not add up to its area within 1e-6, which takes an
 * outline that outline_check refuses, or gaps near the rounding of coordinates far beyond 1e6 m. */
enum status outline_prepare(const struct outline *outline, struct shore *shore);

/* The prepared outline drawn larger or smaller: every length times scale, > 0, against the drawing that was prepared, whatever
 * the scale was before. For measuring errors: preparing a polygon again would be a hundred times dearer. */
void shore_rescale(struct shore *shore, double scale);

/* A, P and J at an inset of any sign, together: for the price of one. Pure, cannot fail. */
struct shore_level shore_level(const struct shore *shore, double inset_m);

/* The same of the outline as it was prepared, at scale 1. */
struct shore_level shore_level_as_drawn(const struct shore *shore, double inset_m);

double shore_area_m2(const struct shore *shore, double inset_m);
double shore_perimeter_m(const struct shore *shore, double inset_m);

/* Integral of A from one inset to a greater one. */
double shore_area_integral_m3(const struct shore *shore, double from_inset_m, double to_inset_m);

#endif
