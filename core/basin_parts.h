#ifndef PONDWRIGHT_BASIN_PARTS_H
#define PONDWRIGHT_BASIN_PARTS_H

#include "basin.h"

/* Shared between basin.c, basin_dig.c and basin_dish.c; not for others. */

/* A profile as breakpoints from (0, 0) on, no two the same, walls and treads exactly upright and level. The
 * dig's has one more where its edge is cut off. A dish has none: n is 0. */
struct bed {
	uint32_t n;
	struct profile_step at[PROFILE_STEPS_MAX + 2];
};

void bed_lay(const struct profile *profile, double depth_m, struct bed *bed);

/* Direction of a face, from level: sine 1 is a wall, cosine 1 is level. */
struct slope {
	double sine, cosine;
};

struct slope bed_slope(const struct profile_step *from, const struct profile_step *to);

/* Of the piece at the water line. */
struct slope top_slope(const struct shore *shore, const struct bed *bed, double depth_m);

/* Volume under a bed from its first breakpoint on, between the level of that and the floor. */
double bed_volume_m3(const struct shore *shore, const struct bed *bed);

/* The dish z = D (1 - (1 - s/T)^2), T the inradius, has z' falling to 0 at T; integrals over it are taken by
 * parts until they hold J, which is smooth, and a constant or smooth factor. inset_m is where the part asked
 * for begins. */
double dish_inset_m(const struct shore *shore, double depth_m, double level_m);
double dish_volume_below_m3(const struct shore *shore, double depth_m, double inset_m);
double dish_wetted_m2(const struct shore *shore, double depth_m);
double dish_side_extra_m(const struct shore *shore, double depth_m);

/* Volume inside the surface parallel to the dish at a distance, below the water line. out_m is where its
 * edge is cut off, upright_m how high that cut is. */
double dish_dig_m3(const struct shore *shore, double depth_m, double thickness_m, double out_m, double upright_m);

#endif
