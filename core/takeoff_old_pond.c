#include "takeoff.h"

#include <math.h>

#include "drain.h"
#include "pump.h"
#include "water.h"

/* Emptying, rescue, silt and strip-out of the pond that is there. */

enum { DRAIN_LEVELS = 5, DRAIN_TEMPERATURE_C = 10 };

/* Head of the emptying pump falls with the square of its flow: what a centrifugal pump does near enough, and all that two
 * figures say. 0.5 mm is the roughness of a lay-flat hose that has been used, 1.5 velocity heads go at its ends and in a bend:
 * common practice, no source. Its least head is more than the deepest pond and the highest lift. */
static double drain_h(const struct job *job)
{
	double head_m = job_practice(job, P_drain_pump_head_m), most_l_per_h = job_practice(job, P_drain_pump_l_per_h);
	double points[3][2] = {{0, head_m}, {most_l_per_h / 2, head_m * 3 / 4}, {most_l_per_h, 0}}, area_m2[DRAIN_LEVELS];
	double depth_m = job->old_basin.depth_reached_m, hours = 0;
	struct pipe_system full = {.static_m = job_practice(job, P_drain_lift_m), .bore_mm = job_practice(job, P_drain_hose_bore_mm),
	                           .roughness_mm = 0.5, .length_m = job_practice(job, P_drain_hose_m), .sum_k = 1.5,
	                           .density_kg_m3 = water_density_kg_m3(DRAIN_TEMPERATURE_C),
	                           .viscosity_m2_s = water_viscosity_m2_s(DRAIN_TEMPERATURE_C)};
	struct pump_curve curve;

	for (uint32_t i = 0; i < DRAIN_LEVELS; i++)
		area_m2[i] = basin_area_at_m2(job->old_shore, &job->old_profile, job->old_depth_m, depth_m * i / (DRAIN_LEVELS - 1));
	if (pump_curve_prepare(points, 3, &curve) == ST_OK)
		drain_time_h(&curve, &full, area_m2, DRAIN_LEVELS, depth_m, &hours);
	return hours;
}

/* Told by the shape alone: the pond of a renewal is pumped empty as often as it has shells. */
static double known_drain_h(struct job *job)
{
	struct known_shape *known = job->old_is_same ? &job->known : &job->old_known;

	if (!known->drain_known)
		known->drain_h = drain_h(job);
	known->drain_known = true;
	return known->drain_h;
}

static void emptying(struct job *job)
{
	double *q = job->q;

	if (!job->scope->empties)
		return;
	q[Q_drain_ponds] = 1;
	q[Q_drain_m3] = job->old_basin.water_volume_m3;
	q[Q_drain_h] = known_drain_h(job);
	q[Q_rescue_m2] = job->old_basin.surface_m2;
	q[Q_plants_kept_m2] = job_number(job, F_plants_kept_share) * job->old_basin.surface_m2;
	q[Q_holding_tanks] = ceil(job->old_basin.surface_m2 / job_practice(job, P_holding_m2_per_tank));
	q[Q_stone_lift_t] = job_number(job, F_stone_kept_t);
}

static bool silt_leaves(const struct job *job)
{
	uint32_t disposal = job_word(job, F_fact_silt_disposal);

	if (field_given(job->asked, F_fact_silt_disposal))
		return disposal == SILT_OFF_SITE;
	return job_word(job, F_spoil) == SPOIL_TAKE_AWAY;
}

/* Silt lies over the old bed as seen from above. */
static void silt(struct job *job)
{
	double *q = job->q;

	if (!job->scope->desilts)
		return;
	q[Q_silt_depth_m] = job_number(job, F_silt_depth_m);
	q[Q_silt_m3] = q[Q_silt_depth_m] * job->old_basin.surface_m2;
	q[Q_silt_drained_m3] = q[Q_silt_m3] * job_practice(job, P_silt_drained_share);
	if (silt_leaves(job))
		q[Q_silt_away_t] = q[Q_silt_drained_m3] * job_practice(job, P_silt_wet_t_m3);
	else
		q[Q_silt_kept_m3] = q[Q_silt_drained_m3];
}

/* An old shell of thickness t: excavation less basin, so that its corners count. */
static double old_shell_m3(struct job *job, double thickness_m)
{
	return takeoff_old_hole_m3(job, thickness_m) - job->old_basin.water_volume_m3;
}

static void strip_out(struct job *job)
{
	double *q = job->q, flaps_m2 = 2 * job_practice(job, P_sheet_flap_m) * job->old_basin.perimeter_m;

	if (!job->scope->strips)
		return;
	q[Q_old_shell_m2] = job->old_basin.wetted_area_m2;
	switch ((enum old_shell_word)job_word(job, F_old_shell)) {
	case OLD_LINER:
		q[Q_old_liner_m2] = job->old_basin.wetted_area_m2 + flaps_m2;
		q[Q_old_liner_t] = q[Q_old_liner_m2] * job_practice(job, P_usual_old_liner_kg_m2) / 1000;
		break;
	case OLD_PREFORMED:
		q[Q_old_liner_m2] = job->old_basin.wetted_area_m2;
		q[Q_old_liner_t] = q[Q_old_liner_m2] * job_practice(job, P_old_preformed_kg_m2) / 1000;
		break;
	case OLD_CONCRETE:
		q[Q_old_concrete_m3] = old_shell_m3(job, job_practice(job, P_old_concrete_m));
		break;
	case OLD_CLAY: /* clay is dug again with the ground that it lies in */
	case OLD_NONE:
	case old_shell_COUNT:
		break;
	}
}

static void collar(struct job *job)
{
	double *q = job->q;
	uint32_t kind = job_word(job, F_collar);

	if (kind == COLLAR_BREAK_OUT && job->scope->strips)
		q[Q_collar_break_m] = job->old_basin.perimeter_m;
	if (kind == COLLAR_KEEP && (job->scope->strips || job->scope->repairs))
		q[Q_collar_keep_m] = job->old_basin.perimeter_m;
}

static void rubble(struct job *job)
{
	double *q = job->q;

	q[Q_rubble_m3] = q[Q_old_concrete_m3] + q[Q_collar_break_m] * job_practice(job, P_collar_section_m2);
	q[Q_rubble_loose_m3] = q[Q_rubble_m3] * job_practice(job, P_rubble_swell);
	q[Q_rubble_t] = q[Q_rubble_m3] * job_practice(job, P_concrete_t_m3);
}

/* The hole that is left when the old shell is out: clay and concrete leave their own thickness too. */
static double old_void_m3(struct job *job)
{
	switch ((enum old_shell_word)job_word(job, F_old_shell)) {
	case OLD_CONCRETE:
		return takeoff_old_hole_m3(job, job_practice(job, P_old_concrete_m));
	case OLD_CLAY:
		return takeoff_old_hole_m3(job, job_practice(job, P_old_clay_m));
	case OLD_LINER:
	case OLD_PREFORMED:
	case OLD_NONE:
	case old_shell_COUNT:
		break;
	}
	return job->old_basin.water_volume_m3;
}

void takeoff_old_pond(struct job *job)
{
	if (!job->has_old_pond)
		return;
	emptying(job);
	silt(job);
	strip_out(job);
	collar(job);
	rubble(job);
	if (job->scope->repairs)
		job->q[Q_repair_m2] = job->old_basin.wetted_area_m2;
	job->q[Q_old_void_m3] = old_void_m3(job);
}
