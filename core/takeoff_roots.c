#include "takeoff.h"

/* Roots that pierce liners: what is treated, looked at again, dug out and kept out. */

static const struct root_plant *plant_of(const struct job *job)
{
	uint32_t plant = job_has(job, F_roots_plant) ? job_word(job, F_roots_plant) : 0;

	return &job->catalogue->root_plants[plant];
}

static double rooted_m2(const struct job *job)
{
	double surface_m2 = job->q[Q_water_surface_m2];
	double share = job_word(job, F_roots_extent) == ROOTS_THROUGHOUT ? 1 : job_practice(job, P_rooted_patch_share);
	double margin_m = job_number(job, F_roots_outside_pond) > 0 ? job_practice(job, P_rooted_margin_m) : 0;

	return share * (margin_m > 0 ? shore_area_m2(&job->shore, -margin_m) : surface_m2);
}

void takeoff_roots(struct job *job)
{
	const struct root_plant *plant = plant_of(job);
	bool outside = job_number(job, F_roots_outside_pond) > 0;
	double dig_out_m = job_has(job, F_roots_dig_out_depth_m) ? job_number(job, F_roots_dig_out_depth_m)
	                                                         : plant->dig_out_depth_m;
	double *q = job->q;

	if (!job->has_pond || !(job->scope->shells || job->scope->infills))
		return;
	if (job_has(job, F_roots_barrier_m))
		q[Q_root_barrier_m] = job_number(job, F_roots_barrier_m);
	if (job_word(job, F_roots_extent) == ROOTS_NONE)
		return;
	q[Q_roots_m2] = rooted_m2(job);
	q[Q_herbicide_visits] = plant->visits;
	q[Q_herbicide_m2] = plant->visits > 0 ? q[Q_roots_m2] : 0;
	q[Q_reinspect_visits] = plant->reinspect_visits;
	q[Q_root_dig_m3] = q[Q_roots_m2] * dig_out_m;
	if (!job_has(job, F_roots_barrier_m) && plant->needs_barrier && outside)
		q[Q_root_barrier_m] = q[Q_perimeter_m];
	if (plant->contaminates) {
		q[Q_root_spoil_loose_m3] = q[Q_root_dig_m3] * job_soil(job)->swell;
		q[Q_root_spoil_t] = q[Q_root_dig_m3] * job_soil(job)->bank_t_m3;
	}
}
