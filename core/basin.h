#ifndef PONDWRIGHT_BASIN_H
#define PONDWRIGHT_BASIN_H

#include <stdbool.h>
#include <stdint.h>

#include "outline.h"
#include "status.h"

/* An outline and a profile make a basin: a point that lies t inside the water line is z(t) deep. One profile
 * on every side. All functions take a prepared shore, a profile that profile_check has passed, and the
 * depth; pure, cannot fail.
 *
 * Between two breakpoints of the profile, with A, P and J as in outline.h:
 *   volume        slope dz/ds x (J(s1) - J(s2)); a vertical wall dz x A(s)
 *   wetted area   slope sqrt(1 + (dz/ds)^2) x (A(s1) - A(s2)), exact for every outline; a wall dz x P(s)
 * Past the inradius nothing is left: the basin bottoms out in a V. */

enum profile_kind { PROFILE_VERTICAL, PROFILE_BATTERED, PROFILE_DISH, PROFILE_STEPPED };

enum { PROFILE_STEPS_MAX = 16 };

struct profile_step {
	double inset_m, depth_m;
};

/* Depth z against inset t from the water line, D the depth. Only the members of its kind are read:
 *   vertical   (0, 0) (0, D)
 *   battered   side_slope is horizontal per vertical, >= 0: (0, 0) (s D, D); with a shelf of width w at depth d:
 *              (0, 0) (s d, d) (s d + w, d) (s D + w, D). shelf_width_m 0: no shelf
 *   dish       D (1 - (1 - t/T)^2), T the inradius
 *   stepped    (0, 0), then the steps, joined by straight lines; equal insets are a wall, equal depths a tread. Its
 *              depth is the last step's, whatever depth_m says. A first step (0, 0) is allowed
 * Whatever lies inside the last breakpoint is a level floor. */
struct profile {
	enum profile_kind kind;
	double side_slope, shelf_width_m, shelf_depth_m;
	uint32_t n_steps;
	struct profile_step steps[PROFILE_STEPS_MAX];
};

/* ST_PROFILE_DEPTH, ST_PROFILE_SLOPE, ST_PROFILE_SHELF (a shelf's depth is at least 0 and less than D),
 * ST_PROFILE_STEPS (1 to 16 steps, finite, neither member ever falling, not all of them at depth 0). */
enum status profile_check(const struct profile *profile, double depth_m);

/* Whether two profiles that profile_check has passed are the same, whatever their unread members hold. */
bool profile_same(const struct profile *a, const struct profile *b);

/* The depth that was asked for: depth_m, or the last step's. */
double profile_depth_m(const struct profile *profile, double depth_m);

struct basin {
	double surface_m2, perimeter_m, inradius_m; /* at the water line */
	double depth_reached_m;
	bool bottoms_out; /* there is less inset than asked for, and the depth is not reached */
	double water_volume_m3;
	double wetted_area_m2;
	double floor_area_m2;    /* level floor inside the last breakpoint */
	double vertical_face_m2; /* part of the wetted area: walls */
	double mean_depth_m;
	double steepest_deg, top_deg; /* from level: the steepest piece reached, the piece at the water line */
};

/* Optional: what every dish of the outline looks up, whatever its depth and scale, so that measuring many is cheap. Keeps the
 * answers as they are but for their last digits. */
void basin_prepare_dish(struct shore *shore);

void basin_measure(const struct shore *shore, const struct profile *profile, double depth_m, struct basin *basin);

/* Plan area of the bed that lies at least least_depth_m and at most most_depth_m below the water, in m2.
 * Both ends count: a tread at exactly either depth (to 1e-9 m) is in; walls have no plan area. */
double basin_area_between_m2(const struct shore *shore, const struct profile *profile, double depth_m,
	double least_depth_m, double most_depth_m);

/* Plan area at a level below the water line: of the bed as deep as that or deeper, a tread at exactly that
 * level included. 0 below the floor. */
double basin_area_at_m2(const struct shore *shore, const struct profile *profile, double depth_m, double level_m);

/* Water below a level: what stays when the pond is drawn down to it. level_m >= 0; 0 gives all of it. */
double basin_volume_below_m3(const struct shore *shore, const struct profile *profile, double depth_m, double level_m);

/* What is dug below the water line for a shell of a thickness measured square to the faces, >= 0. Every face
 * moves out by it: at the water line by thickness / sin(top slope), the floor down by thickness. Where that
 * is more than six times the thickness (flatter than 9.6 degrees) the shell's edge is cut off upright there
 * instead. Equals the water at 0, never falls with thickness. */
double basin_dig_m3(const struct shore *shore, const struct profile *profile, double depth_m, double thickness_m);

/* Dry rim of the shell above the water, freeboard_m high. The face goes on outward with the top slope, but
 * by no more than six times the freeboard, from there upright. */
double basin_rim_m2(const struct shore *shore, const struct profile *profile, double depth_m, double freeboard_m);

/* Across the same rim, from the water line to the top of the freeboard along the face. */
double basin_rim_slant_m(const struct shore *shore, const struct profile *profile, double depth_m, double freeboard_m);

/* How much longer than its plan length one side of the bed is, from the water line to the floor or to the
 * inradius: the sum of sqrt(ds^2 + dz^2) - ds. */
double basin_side_extra_m(const struct shore *shore, const struct profile *profile, double depth_m);

#endif
