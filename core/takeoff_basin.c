#include "takeoff.h"

#include <string.h>

/* The shapes, and what the new basin measures. */

struct shape_fields {
	enum field_id kind, length, width, corner, diameter, points;
	enum field_id profile_kind, slope, shelf_width, shelf_depth, steps;
};
static const struct shape_fields new_fields = {
	F_pond_outline_kind, F_pond_length_m, F_pond_width_m, F_pond_corner_radius_m, F_pond_diameter_m, F_pond_points_m,
	F_pond_profile_kind, F_pond_side_slope, F_pond_shelf_width_m, F_pond_shelf_depth_m, F_pond_steps,
};
static const struct shape_fields old_fields = {
	F_old_outline_kind, F_old_length_m, F_old_width_m, F_old_corner_radius_m, F_old_diameter_m, F_old_points_m,
	F_old_profile_kind, F_old_side_slope, F_old_shelf_width_m, F_old_shelf_depth_m, F_old_steps,
};

void enquiry_outline(const struct enquiry *enquiry, bool old, struct outline *outline)
{
	const struct shape_fields *fields = old ? &old_fields : &new_fields;
	const struct value *v = enquiry->v;

	outline->kind = (enum outline_kind)(int)v[fields->kind].number;
	outline->length_m = v[fields->length].number;
	outline->width_m = v[fields->width].number;
	outline->corner_radius_m = v[fields->corner].number;
	outline->diameter_m = v[fields->diameter].number;
	outline->n_points = outline->kind == OUTLINE_POLYGON ? (uint32_t)v[fields->points].number : 0;
	memcpy(outline->points, old ? enquiry->old_points : enquiry->pond_points, outline->n_points * sizeof outline->points[0]);
}

void enquiry_profile(const struct enquiry *enquiry, bool old, struct profile *profile)
{
	const struct shape_fields *fields = old ? &old_fields : &new_fields;
	const struct value *v = enquiry->v;

	profile->kind = (enum profile_kind)(int)v[fields->profile_kind].number;
	profile->side_slope = v[fields->slope].number;
	profile->shelf_width_m = v[fields->shelf_width].number;
	profile->shelf_depth_m = v[fields->shelf_depth].number;
	profile->n_steps = profile->kind == PROFILE_STEPPED ? (uint32_t)v[fields->steps].number : 0;
	memcpy(profile->steps, old ? enquiry->old_steps : enquiry->pond_steps, profile->n_steps * sizeof profile->steps[0]);
}

static enum status prepare(const struct enquiry *enquiry, bool old, struct shore *shore)
{
	struct outline outline;

	enquiry_outline(enquiry, old, &outline);
	return outline_prepare(&outline, shore);
}

bool takeoff_old_outline_is_own(const struct job *job)
{
	return job->has_old_pond && job_number(job, F_old_outline) > 0;
}

/* Outlines are prepared once for an enquiry, whatever shell or sample of it comes next. */
static enum status prepare_outlines(struct job *job)
{
	const struct enquiry *enquiry = &job->quote->resolved;

	if (job->shapes_ready)
		return job->shapes;
	job->shapes_ready = true;
	job->shapes = ST_OK;
	job->known.stands = job->old_known.stands = false;
	for (uint32_t i = 0; i < PRICINGS; i++) /* another enquiry, maybe another catalogue in the same place */
		job->kept[i].takeoff.stands = job->kept[i].bill.stands = false;
	job->has_pond = job_number(job, F_pond) > 0;
	job->has_old_pond = job->has_pond && job_number(job, F_old_pond) > 0;
	if (!job->has_pond)
		return ST_OK;
	job->shapes = prepare(enquiry, false, &job->shore);
	if (job->shapes == ST_OK && takeoff_old_outline_is_own(job))
		job->shapes = prepare(enquiry, true, &job->own_old_shore);
	return job->shapes;
}

/* The basin of a shape, measured anew only where it is another one than last time. */
static struct basin measured(struct known_shape *known, const struct shore *shore, const struct profile *profile, double depth_m)
{
	if (known->stands && known->surface_m2 == shore->surface_m2 && known->depth_m == depth_m &&
	    profile_same(&known->profile, profile))
		return known->basin;
	known->stands = true;
	known->surface_m2 = shore->surface_m2;
	known->depth_m = depth_m;
	known->profile = *profile;
	known->n_holes = 0;
	known->drain_known = known->zones_known = false;
	basin_measure(shore, profile, depth_m, &known->basin);
	return known->basin;
}

static double hole_m3(struct known_shape *known, const struct shore *shore, double thickness_m)
{
	double hole_m3;

	for (uint32_t i = 0; i < known->n_holes; i++)
		if (known->holes[i].thickness_m == thickness_m)
			return known->holes[i].hole_m3;
	hole_m3 = basin_dig_m3(shore, &known->profile, known->depth_m, thickness_m);
	if (known->n_holes < HOLES_MOST)
		known->holes[known->n_holes++] = (struct hole){thickness_m, hole_m3};
	return hole_m3;
}

double takeoff_hole_m3(struct job *job, double thickness_m)
{
	return hole_m3(&job->known, &job->shore, thickness_m);
}

double takeoff_old_hole_m3(struct job *job, double thickness_m)
{
	return job->old_is_same ? takeoff_hole_m3(job, thickness_m) : hole_m3(&job->old_known, job->old_shore, thickness_m);
}

/* Whatever the caller does not say of the old pond is as the new one's. */
static void measure_old_pond(struct job *job)
{
	bool own_profile = job_number(job, F_old_profile) > 0;

	job->old_shore = takeoff_old_outline_is_own(job) ? &job->own_old_shore : &job->shore;
	enquiry_profile(&job->quote->resolved, own_profile, &job->old_profile);
	job->old_depth_m = job_has(job, F_old_depth_m) ? job_number(job, F_old_depth_m) : job->depth_m;
	if (!own_profile && job->old_profile.shelf_depth_m >= job->old_depth_m)
		job->old_profile.shelf_width_m = job->old_profile.shelf_depth_m = 0;
	if (job->old_profile.kind == PROFILE_DISH)
		basin_prepare_dish(takeoff_old_outline_is_own(job) ? &job->own_old_shore : &job->shore);
	job->old_is_same = job->old_shore == &job->shore && job->old_depth_m == job->depth_m &&
	                   profile_same(&job->old_profile, &job->profile);
	job->old_basin = job->old_is_same ? job->basin
	                                  : measured(&job->old_known, job->old_shore, &job->old_profile, job->old_depth_m);
}

enum status takeoff_shapes(struct job *job)
{
	enum status status = prepare_outlines(job);

	if (status != ST_OK || !job->has_pond)
		return status;
	enquiry_profile(&job->quote->resolved, false, &job->profile);
	job->depth_m = job_number(job, F_depth_m);
	if (job->profile.kind == PROFILE_DISH)
		basin_prepare_dish(&job->shore);
	job->basin = measured(&job->known, &job->shore, &job->profile, job->depth_m);
	if (job->has_old_pond)
		measure_old_pond(job);
	return ST_OK;
}

void takeoff_basin(struct job *job)
{
	const struct basin *basin = &job->basin;
	double *q = job->q;

	if (!job->has_pond)
		return;
	q[Q_water_surface_m2] = basin->surface_m2;
	q[Q_perimeter_m] = basin->perimeter_m;
	q[Q_inradius_m] = basin->inradius_m;
	q[Q_bound_length_m] = job->shore.bound_length_m;
	q[Q_bound_width_m] = job->shore.bound_width_m;
	q[Q_depth_reached_m] = basin->depth_reached_m;
	q[Q_water_volume_m3] = basin->water_volume_m3;
	q[Q_mean_depth_m] = basin->mean_depth_m;
	q[Q_wetted_area_m2] = basin->wetted_area_m2;
	q[Q_floor_area_m2] = basin->floor_area_m2;
	q[Q_steepest_side_deg] = basin->steepest_deg;
	q[Q_shell_area_m2] = basin->wetted_area_m2 +
	                     basin_rim_m2(&job->shore, &job->profile, job->depth_m, job_number(job, F_freeboard_m));
}
