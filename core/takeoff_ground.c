#include "takeoff.h"

#include <math.h>


/* Digging, filling, spoil and groundwater. Volumes are in the ground unless their name says loose. */

/* What of the hole's shape stands above the ground: the water there, widened by the shell around it. */
static double above_ground_m3(const struct job *job)
{
	double above_m = job_number(job, F_water_above_ground_m), above_m3 = job->basin.water_volume_m3, around_m2;

	if (above_m <= 0)
		return 0;
	around_m2 = shore_area_m2(&job->shore, -job->q[Q_shell_thickness_m]);
	if (above_m < job->basin.depth_reached_m)
		above_m3 -= basin_volume_below_m3(&job->shore, &job->profile, job->depth_m, above_m);
	return above_m3 * around_m2 / job->basin.surface_m2;
}

/* Ground that slopes evenly across the pond, cut on the high side and made up on the low: the wedge above the middle
 * level is an eighth of surface times fall. */
static double slope_cut_m3(const struct job *job)
{
	return job->q[Q_water_surface_m2] * job_number(job, F_ground_fall_m) / 8;
}

/* Room behind a wall to work in. */
static double working_space_m3(const struct job *job)
{
	double deep_m = fmax(0, job->basin.depth_reached_m - job_number(job, F_water_above_ground_m));

	return job->q[Q_wall_height_m] > 0 ? job->q[Q_wall_length_m] * job_practice(job, P_working_space_m) * deep_m : 0;
}

/* Sides at which a sheet would hang free: what stands so steeply gets a wall behind it. */
static void backing_wall(struct job *job)
{
	double *q = job->q;

	if (job->shell && job->shell->sheet && !(q[Q_wall_height_m] > 0) &&
	    q[Q_steepest_side_deg] > job_practice(job, P_formwork_steeper_deg))
		q[Q_backing_wall_m2] = takeoff_steep_face_m2(job);
}

/* Nobody works in a deep hole between sides that are steeper than the ground stands at. */
static void sides(struct job *job)
{
	double *q = job->q;

	q[Q_side_over_safe_deg] = fmax(0, q[Q_steepest_side_deg] - job_soil(job)->safe_deg);
	if (q[Q_side_over_safe_deg] > 0 && q[Q_excavation_depth_m] > job_practice(job, P_support_deeper_m))
		q[Q_support_m] = q[Q_perimeter_m];
}

static void hole(struct job *job)
{
	double *q = job->q;

	q[Q_dig_gross_m3] = fmax(0, takeoff_hole_m3(job, q[Q_shell_thickness_m]) -
	                                    above_ground_m3(job));
	q[Q_excavation_depth_m] = fmax(0, job->basin.depth_reached_m - job_number(job, F_water_above_ground_m) +
	                                          q[Q_shell_thickness_m]);
	backing_wall(job);
	sides(job);
	q[Q_dig_gross_m3] += slope_cut_m3(job) + working_space_m3(job) +
	                     q[Q_backing_wall_m2] * job_practice(job, P_backing_wall_m);
	q[Q_ground_make_up_m2] = q[Q_perimeter_m] / 2 * job_number(job, F_ground_fall_m) / 2;
	q[Q_trim_m2] = q[Q_wetted_area_m2];
}

static void dig_and_fill(struct job *job)
{
	double *q = job->q, there_m3;

	if (job->scope->infills) {
		q[Q_backfill_m3] = q[Q_old_void_m3];
		return;
	}
	if (!job->scope->digs) {
		q[Q_dig_gross_m3] = q[Q_old_void_m3];
		return;
	}
	hole(job);
	there_m3 = job_number(job, F_old_elsewhere) > 0 ? 0 : fmin(q[Q_old_void_m3], q[Q_dig_gross_m3]);
	q[Q_dig_m3] = q[Q_dig_gross_m3] - there_m3;
	q[Q_backfill_m3] = q[Q_old_void_m3] - there_m3 + working_space_m3(job);
}

/* Puddled clay comes out of the hole where that yields enough of it. */
static void clay(struct job *job)
{
	const struct soil *soil = job_soil(job);
	double *q = job->q;
	bool own = job_word(job, F_soil) == SOIL_CLAY && q[Q_dig_m3] * soil->refill_share >= q[Q_clay_m3];

	q[Q_clay_bought_m3] = own ? 0 : q[Q_clay_m3];
}

/* Clean soil that comes out first fills what the site needs: filling, banks, mounds, cover and clay of the shell, and rooted
 * ground replaced, which never goes back into the hole. What is over is kept or leaves; what is short is brought in. */
static void spoil(struct job *job)
{
	const struct soil *soil = job_soil(job);
	double *q = job->q;
	double rooted_m3 = q[Q_root_spoil_loose_m3] > 0 ? 0 : q[Q_root_dig_m3]; /* else it leaves at its own rate */
	double clean_m3 = q[Q_dig_m3] + q[Q_stream_dig_m3] + q[Q_footing_m3];
	double firm_m3 = q[Q_backfill_m3] + q[Q_bank_m3] + q[Q_mound_m3] + q[Q_root_dig_m3] + q[Q_cover_m3] + q[Q_clay_m3] -
	                 q[Q_clay_bought_m3];
	double used_m3 = fmin(clean_m3, firm_m3 / soil->refill_share);
	double over_loose_m3 = (clean_m3 - used_m3 + rooted_m3) * soil->swell;

	q[Q_spoil_loose_t_per_m3] = soil->bank_t_m3 / soil->swell;
	q[Q_spoil_loose_m3] = (clean_m3 + q[Q_root_dig_m3]) * soil->swell;
	q[Q_spoil_t] = q[Q_spoil_loose_m3] * q[Q_spoil_loose_t_per_m3];
	q[Q_infill_import_m3] = (firm_m3 - used_m3 * soil->refill_share) / soil->refill_share * soil->swell;
	if (job_word(job, F_spoil) == SPOIL_KEEP)
		q[Q_spoil_kept_m3] = over_loose_m3;
	else
		q[Q_spoil_away_loose_m3] = over_loose_m3;
	q[Q_spoil_away_t] = q[Q_spoil_away_loose_m3] * q[Q_spoil_loose_t_per_m3];
	q[Q_spoil_off_site_m3] = q[Q_spoil_away_loose_m3] + q[Q_root_spoil_loose_m3] + q[Q_rubble_loose_m3] +
	                         (q[Q_silt_away_t] > 0 ? q[Q_silt_drained_m3] : 0);
	q[Q_barrow_m3] = q[Q_spoil_loose_m3] + q[Q_rubble_loose_m3] + q[Q_silt_drained_m3] + q[Q_infill_import_m3];
	if (q[Q_spoil_kept_m3] > 0)
		q[Q_ground_raise_m] = job_practice(job, P_kept_spread_m);
	if (q[Q_bank_m3] > 0)
		q[Q_ground_raise_m] = fmax(q[Q_ground_raise_m],
		                           job_number(job, F_water_above_ground_m) + job_number(job, F_freeboard_m));
	q[Q_ground_raise_m] = fmax(q[Q_ground_raise_m], q[Q_feature_height_m]);
}

static double thickness_of_all_layers_m(const struct job *job)
{
	double total_m = 0;

	for (uint32_t i = 0; i < job->shell->layers.count; i++)
		total_m += job->catalogue->layers[job->shell->layers.first + i].thickness_m;
	return total_m;
}

/* Head at the underside, with every layer that the shell may have: whether a drain is laid depends on it. */
void takeoff_groundwater_head(struct job *job)
{
	double *q = job->q, deep_m;

	if (!job->has_pond || !job->shell || !job->scope->shells)
		return;
	deep_m = job->basin.depth_reached_m - job_number(job, F_water_above_ground_m) + thickness_of_all_layers_m(job);
	q[Q_groundwater_head_m] = fmax(0, deep_m - job_number(job, F_water_table_depth_m));
}

/* Water outside presses an empty shell up by its own weight over the head at the underside. */
static void groundwater(struct job *job)
{
	double *q = job->q;

	if (!job->scope->digs && job->scope->shells)
		q[Q_excavation_depth_m] = job->basin.depth_reached_m;
	q[Q_dewater_m3_day] = job_practice(job, P_seepage_m3_day_m2_m) * job_soil(job)->seepage * q[Q_water_surface_m2] *
	                      q[Q_groundwater_head_m];
	q[Q_uplift_kg_m2] = 1000 * q[Q_groundwater_head_m];
	q[Q_shell_floats] = job->shell && job->shell->rigid && q[Q_uplift_kg_m2] > q[Q_shell_kg_m2];
}

void takeoff_ground(struct job *job)
{
	double *q = job->q;

	if (job->has_pond) {
		dig_and_fill(job);
		clay(job);
		groundwater(job);
	}
	spoil(job);
	q[Q_dewatering] = q[Q_drain_m3] > 0 || q[Q_dewater_m3_day] > 0;
}
