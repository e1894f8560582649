#include "basin.h"

#include <math.h>

#include "basin_parts.h"

/* Insets and depths that differ by less are equal: 0.1 + 0.2 must be a shelf at 0.3. */
#define SAME_M 1e-9
#define SHORT_RUN_M 1e-4
#define DEG_PER_RAD 57.295779513082320877

bool profile_same(const struct profile *a, const struct profile *b)
{
	if (a->kind != b->kind)
		return false;
	switch (a->kind) {
	case PROFILE_VERTICAL:
	case PROFILE_DISH:
		return true;
	case PROFILE_BATTERED:
		return a->side_slope == b->side_slope && a->shelf_width_m == b->shelf_width_m &&
			(a->shelf_width_m == 0.0 || a->shelf_depth_m == b->shelf_depth_m);
	case PROFILE_STEPPED:
		break;
	}
	for (uint32_t i = 0; i < a->n_steps && i < b->n_steps; i++)
		if (a->steps[i].inset_m != b->steps[i].inset_m || a->steps[i].depth_m != b->steps[i].depth_m)
			return false;
	return a->n_steps == b->n_steps;
}

double profile_depth_m(const struct profile *profile, double depth_m)
{
	return profile->kind == PROFILE_STEPPED ? profile->steps[profile->n_steps - 1].depth_m : depth_m;
}

static enum status check_battered(const struct profile *profile, double depth_m)
{
	if (!(profile->side_slope >= 0.0 && isfinite(profile->side_slope)))
		return ST_PROFILE_SLOPE;
	if (!(profile->shelf_width_m >= 0.0 && isfinite(profile->shelf_width_m)))
		return ST_PROFILE_SHELF;
	if (profile->shelf_width_m > 0.0 && !(profile->shelf_depth_m >= 0.0 && profile->shelf_depth_m < depth_m))
		return ST_PROFILE_SHELF;
	return ST_OK;
}

static enum status check_steps(const struct profile *profile)
{
	struct profile_step last = {0.0, 0.0};

	if (profile->n_steps < 1 || profile->n_steps > PROFILE_STEPS_MAX)
		return ST_PROFILE_STEPS;
	for (uint32_t i = 0; i < profile->n_steps; i++) {
		struct profile_step step = profile->steps[i];

		if (!(step.inset_m >= last.inset_m && step.depth_m >= last.depth_m))
			return ST_PROFILE_STEPS;
		last = step;
	}
	if (!(isfinite(last.inset_m) && isfinite(last.depth_m) && last.depth_m > SAME_M))
		return ST_PROFILE_STEPS;
	return ST_OK;
}

enum status profile_check(const struct profile *profile, double depth_m)
{
	if (profile->kind == PROFILE_STEPPED)
		return check_steps(profile);
	if (!(depth_m > SAME_M && isfinite(depth_m)))
		return ST_PROFILE_DEPTH;
	return profile->kind == PROFILE_BATTERED ? check_battered(profile, depth_m) : ST_OK;
}

static void bed_add(struct bed *bed, double inset_m, double depth_m)
{
	struct profile_step last = bed->at[bed->n - 1];

	if (inset_m - last.inset_m < SAME_M)
		inset_m = last.inset_m;
	if (depth_m - last.depth_m < SAME_M)
		depth_m = last.depth_m;
	if (inset_m > last.inset_m || depth_m > last.depth_m)
		bed->at[bed->n++] = (struct profile_step){inset_m, depth_m};
}

static void bed_lay_battered(const struct profile *profile, double depth_m, struct bed *bed)
{
	double slope = profile->side_slope, width_m = profile->shelf_width_m;

	if (width_m > 0.0) {
		bed_add(bed, slope * profile->shelf_depth_m, profile->shelf_depth_m);
		bed_add(bed, slope * profile->shelf_depth_m + width_m, profile->shelf_depth_m);
	}
	bed_add(bed, slope * depth_m + width_m, depth_m);
}

void bed_lay(const struct profile *profile, double depth_m, struct bed *bed)
{
	bed->n = 1;
	bed->at[0] = (struct profile_step){0.0, 0.0};
	switch (profile->kind) {
	case PROFILE_VERTICAL:
		bed_add(bed, 0.0, depth_m);
		break;
	case PROFILE_BATTERED:
		bed_lay_battered(profile, depth_m, bed);
		break;
	case PROFILE_DISH:
		bed->n = 0;
		break;
	case PROFILE_STEPPED:
		for (uint32_t i = 0; i < profile->n_steps; i++)
			bed_add(bed, profile->steps[i].inset_m, profile->steps[i].depth_m);
		break;
	}
}

static struct slope slope_of(double run_m, double fall_m)
{
	double slant_m = sqrt(run_m * run_m + fall_m * fall_m);

	return (struct slope){fall_m / slant_m, run_m / slant_m};
}

struct slope bed_slope(const struct profile_step *from, const struct profile_step *to)
{
	return slope_of(to->inset_m - from->inset_m, to->depth_m - from->depth_m);
}

struct slope top_slope(const struct shore *shore, const struct bed *bed, double depth_m)
{
	return bed->n == 0 ? slope_of(shore->inradius_m, 2.0 * depth_m) : bed_slope(&bed->at[0], &bed->at[1]);
}

static double slope_deg(struct slope slope)
{
	return atan2(slope.sine, slope.cosine) * DEG_PER_RAD;
}

/* Over a short run the difference of two J is mostly rounding; the mean of the areas is then the better
 * value. */
static double piece_volume_m3(const struct profile_step *from, const struct shore_level *above,
	const struct profile_step *to, const struct shore_level *below)
{
	double run_m = to->inset_m - from->inset_m, fall_m = to->depth_m - from->depth_m;

	if (run_m < SHORT_RUN_M)
		return fall_m * (above->area_m2 + below->area_m2) / 2.0;
	return fall_m / run_m * (above->integral_m3 - below->integral_m3);
}

double bed_volume_m3(const struct shore *shore, const struct bed *bed)
{
	struct shore_level above = shore_level(shore, bed->at[0].inset_m);
	double volume_m3 = 0.0;

	for (uint32_t i = 1; i < bed->n; i++) {
		const struct profile_step *from = &bed->at[i - 1], *to = &bed->at[i];
		struct shore_level below = to->inset_m > from->inset_m ? shore_level(shore, to->inset_m) : above;

		volume_m3 += piece_volume_m3(from, &above, to, &below);
		above = below;
	}
	return volume_m3;
}

/* A bed meets the inradius somewhere along a slope or a tread, or it ends in a floor. */
static double bed_reached_m(const struct bed *bed, double inradius_m)
{
	for (uint32_t i = 1; i < bed->n; i++) {
		const struct profile_step *from = &bed->at[i - 1], *to = &bed->at[i];

		if (to->inset_m > inradius_m + SAME_M) {
			double share = fmax(0.0, inradius_m - from->inset_m) / (to->inset_m - from->inset_m);

			return from->depth_m + share * (to->depth_m - from->depth_m);
		}
		if (to->inset_m >= inradius_m - SAME_M)
			return to->depth_m;
	}
	return bed->at[bed->n - 1].depth_m;
}

static void measure_bed(const struct shore *shore, const struct bed *bed, struct basin *basin)
{
	struct shore_level above = {shore->surface_m2, shore->perimeter_m, shore->integral_m3};

	for (uint32_t i = 1; i < bed->n && bed->at[i - 1].inset_m < shore->inradius_m; i++) {
		const struct profile_step *from = &bed->at[i - 1], *to = &bed->at[i];
		struct shore_level below = to->inset_m > from->inset_m ? shore_level(shore, to->inset_m) : above;
		struct slope slope = bed_slope(from, to);

		basin->water_volume_m3 += piece_volume_m3(from, &above, to, &below);
		if (slope.cosine > 0.0)
			basin->wetted_area_m2 += (above.area_m2 - below.area_m2) / slope.cosine;
		else
			basin->vertical_face_m2 += (to->depth_m - from->depth_m) * above.perimeter_m;
		basin->steepest_deg = fmax(basin->steepest_deg, slope_deg(slope));
		above = below;
	}
	basin->floor_area_m2 = bed->at[bed->n - 1].inset_m < shore->inradius_m ? above.area_m2 : 0.0;
	basin->wetted_area_m2 += basin->vertical_face_m2 + basin->floor_area_m2;
	basin->depth_reached_m = bed_reached_m(bed, shore->inradius_m);
	basin->bottoms_out = basin->depth_reached_m < bed->at[bed->n - 1].depth_m - SAME_M;
}

void basin_measure(const struct shore *shore, const struct profile *profile, double depth_m, struct basin *basin)
{
	struct bed bed;

	bed_lay(profile, depth_m, &bed);
	*basin = (struct basin){.surface_m2 = shore->surface_m2,
		.perimeter_m = shore->perimeter_m,
		.inradius_m = shore->inradius_m,
		.top_deg = slope_deg(top_slope(shore, &bed, depth_m))};
	if (bed.n > 0) {
		measure_bed(shore, &bed, basin);
	} else {
		basin->depth_reached_m = depth_m;
		basin->water_volume_m3 = dish_volume_below_m3(shore, depth_m, 0.0);
		basin->wetted_area_m2 = dish_wetted_m2(shore, depth_m);
		basin->steepest_deg = basin->top_deg;
	}
	basin->mean_depth_m = basin->water_volume_m3 / basin->surface_m2;
}

/* Where a falling piece is as deep as a level. */
static double piece_inset_m(const struct profile_step *from, const struct profile_step *to, double level_m)
{
	double share = (level_m - from->depth_m) / (to->depth_m - from->depth_m);

	return from->inset_m + share * (to->inset_m - from->inset_m);
}

/* Least inset where the bed is at least as deep as a level; endless below the floor. */
static double bed_first_inset_m(const struct bed *bed, double level_m)
{
	if (level_m <= 0.0)
		return 0.0;
	for (uint32_t i = 1; i < bed->n; i++)
		if (bed->at[i].depth_m >= level_m)
			return piece_inset_m(&bed->at[i - 1], &bed->at[i], level_m);
	return HUGE_VAL;
}

/* Greatest inset where the bed is no deeper than a level. */
static double bed_last_inset_m(const struct bed *bed, double level_m)
{
	if (level_m < 0.0)
		return 0.0;
	for (uint32_t i = 1; i < bed->n; i++)
		if (bed->at[i].depth_m > level_m)
			return piece_inset_m(&bed->at[i - 1], &bed->at[i], level_m);
	return HUGE_VAL;
}

double basin_area_between_m2(const struct shore *shore, const struct profile *profile, double depth_m,
	double least_depth_m, double most_depth_m)
{
	double least_m = least_depth_m - SAME_M, most_m = most_depth_m + SAME_M;
	struct bed bed;

	bed_lay(profile, depth_m, &bed);
	if (bed.n == 0)
		return shore_area_m2(shore, dish_inset_m(shore, depth_m, least_m)) -
			shore_area_m2(shore, dish_inset_m(shore, depth_m, most_m));
	return fmax(0.0,
		shore_area_m2(shore, bed_first_inset_m(&bed, least_m)) -
			shore_area_m2(shore, bed_last_inset_m(&bed, most_m)));
}

double basin_area_at_m2(const struct shore *shore, const struct profile *profile, double depth_m, double level_m)
{
	struct bed bed;

	bed_lay(profile, depth_m, &bed);
	return shore_area_m2(
		shore, bed.n == 0 ? dish_inset_m(shore, depth_m, level_m) : bed_first_inset_m(&bed, level_m - SAME_M));
}

double basin_volume_below_m3(const struct shore *shore, const struct profile *profile, double depth_m, double level_m)
{
	struct bed bed, rest = {.n = 1};

	bed_lay(profile, depth_m, &bed);
	if (bed.n == 0)
		return dish_volume_below_m3(shore, depth_m, dish_inset_m(shore, depth_m, level_m));
	rest.at[0] = (struct profile_step){bed_last_inset_m(&bed, level_m), level_m};
	for (uint32_t i = 1; i < bed.n; i++)
		if (bed.at[i].depth_m > level_m)
			rest.at[rest.n++] = bed.at[i];
	return rest.n > 1 ? bed_volume_m3(shore, &rest) : 0.0;
}

double basin_side_extra_m(const struct shore *shore, const struct profile *profile, double depth_m)
{
	struct bed bed;
	double extra_m = 0.0;

	bed_lay(profile, depth_m, &bed);
	if (bed.n == 0)
		return dish_side_extra_m(shore, depth_m);
	for (uint32_t i = 1; i < bed.n && bed.at[i - 1].inset_m < shore->inradius_m; i++) {
		const struct profile_step *from = &bed.at[i - 1], *to = &bed.at[i];
		double run_m = to->inset_m - from->inset_m, fall_m = to->depth_m - from->depth_m;
		double share = run_m > 0.0 ? fmin(1.0, (shore->inradius_m - from->inset_m) / run_m) : 1.0;

		extra_m += share * (sqrt(run_m * run_m + fall_m * fall_m) - run_m);
	}
	return extra_m;
}
