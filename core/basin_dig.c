#include <math.h>

#include "basin_parts.h"

/* A very flat face would carry the edge of its shell far out. Nobody builds that: the edge is cut off at
 * this multiple of the thickness, and a rim at this multiple of the freeboard (common practice, no source). */
#define EDGE_RUN_MAX 6.0

static double rim_run_m(struct slope top, double freeboard_m)
{
	return freeboard_m * (top.cosine < EDGE_RUN_MAX * top.sine ? top.cosine / top.sine : EDGE_RUN_MAX);
}

/* What is left of the freeboard where the sloping part of the rim ends. */
static double rim_upright_m(struct slope top, double freeboard_m)
{
	if (top.cosine < EDGE_RUN_MAX * top.sine)
		return top.cosine > 0.0 ? 0.0 : freeboard_m;
	return freeboard_m * (1.0 - EDGE_RUN_MAX * top.sine / top.cosine);
}

static double edge_out_m(struct slope top, double thickness_m)
{
	return thickness_m * (1.0 < EDGE_RUN_MAX * top.sine ? 1.0 / top.sine : EDGE_RUN_MAX);
}

/* From the water line down to the outer face, where the shell's edge is cut off. */
static double edge_upright_m(struct slope top, double thickness_m)
{
	return 1.0 < EDGE_RUN_MAX * top.sine ? 0.0 : thickness_m * (1.0 - EDGE_RUN_MAX * top.sine) / top.cosine;
}

/* Where two faces meet, their parallels meet in the mitre. It goes out and down, so a thicker shell is dug
 * for everywhere. */
static struct profile_step move_out(struct profile_step at, struct slope above, struct slope below, double thickness_m)
{
	double share = thickness_m / (1.0 + above.sine * below.sine + above.cosine * below.cosine);

	return (struct profile_step){
		at.inset_m - share * (above.sine + below.sine), at.depth_m + share * (above.cosine + below.cosine)};
}

/* The outer face of the shell. A piece too short for its mitres vanishes: no breakpoint lies before the last
 * one. */
static void bed_thicken(const struct bed *bed, double thickness_m, struct bed *outer)
{
	struct slope top = bed_slope(&bed->at[0], &bed->at[1]), above = top, level = {0.0, 1.0};

	outer->at[0] = (struct profile_step){-edge_out_m(top, thickness_m), 0.0};
	outer->at[1] = (struct profile_step){outer->at[0].inset_m, edge_upright_m(top, thickness_m)};
	outer->n = 2;
	for (uint32_t i = 1; i < bed->n; i++) {
		struct slope below = i + 1 < bed->n ? bed_slope(&bed->at[i], &bed->at[i + 1]) : level;
		struct profile_step at = move_out(bed->at[i], above, below, thickness_m);
		struct profile_step last = outer->at[outer->n - 1];

		outer->at[outer->n++] =
			(struct profile_step){fmax(at.inset_m, last.inset_m), fmax(at.depth_m, last.depth_m)};
		above = below;
	}
}

double basin_dig_m3(const struct shore *shore, const struct profile *profile, double depth_m, double thickness_m)
{
	struct bed bed, outer;

	bed_lay(profile, depth_m, &bed);
	if (bed.n == 0) {
		struct slope top = top_slope(shore, &bed, depth_m);

		return dish_dig_m3(
			shore, depth_m, thickness_m, edge_out_m(top, thickness_m), edge_upright_m(top, thickness_m));
	}
	bed_thicken(&bed, thickness_m, &outer);
	return bed_volume_m3(shore, &outer);
}

double basin_rim_m2(const struct shore *shore, const struct profile *profile, double depth_m, double freeboard_m)
{
	struct bed bed;
	struct slope top;
	struct shore_level rim;
	double run_m, rim_m2;

	bed_lay(profile, depth_m, &bed);
	top = top_slope(shore, &bed, depth_m);
	run_m = rim_run_m(top, freeboard_m);
	rim = shore_level(shore, -run_m);
	rim_m2 = rim_upright_m(top, freeboard_m) * rim.perimeter_m;
	if (run_m > 0.0)
		rim_m2 += (rim.area_m2 - shore->surface_m2) / top.cosine;
	return rim_m2;
}

double basin_rim_slant_m(const struct shore *shore, const struct profile *profile, double depth_m, double freeboard_m)
{
	struct bed bed;
	struct slope top;
	double run_m, upright_m;

	bed_lay(profile, depth_m, &bed);
	top = top_slope(shore, &bed, depth_m);
	run_m = rim_run_m(top, freeboard_m);
	upright_m = rim_upright_m(top, freeboard_m);
	return upright_m + (run_m > 0.0 ? run_m / top.cosine : 0.0);
}
