#include "takeoff.h"

#include <math.h>

#include "units.h"

/* The stream, its cascades, and the ground that carries them. */

static void cascades(struct job *job)
{
	const struct enquiry *enquiry = &job->quote->resolved;
	double *q = job->q;

	q[Q_cascade_count] = enquiry->v[F_cascades].number;
	for (uint32_t i = 0; i < (uint32_t)enquiry->v[F_cascades].number; i++) {
		const struct cascade *cascade = &enquiry->cascades[i];

		q[Q_cascade_drop_m] += cascade->drop_m;
		q[Q_cascade_sill_m] += cascade->width_m;
		q[Q_widest_cascade_m] = fmax(q[Q_widest_cascade_m], cascade->width_m);
	}
}

/* Length along the bed: what the cascades do not drop, the bed falls. */
static void lengths(struct job *job)
{
	double *q = job->q, run_m = job_number(job, F_stream_length_m);
	double fall_m = fmax(0, job_number(job, F_stream_fall_m) - q[Q_cascade_drop_m]);

	q[Q_stream_m] = hypot(run_m, fall_m);
	q[Q_stream_covered_m] = fmin(q[Q_stream_m], job_number(job, F_stream_covered_m));
	q[Q_stream_open_m] = q[Q_stream_m] - q[Q_stream_covered_m];
}

/* Channel with banks at 45 degrees: bed and two sloping sides; the sheet has a flap on each bank, runs down every
 * drop and laps at every step and at the head. */
static void channel(struct job *job)
{
	double *q = job->q, width_m = job_number(job, F_stream_width_m);
	double deep_m = job_number(job, F_stream_depth_m) + job_practice(job, P_stream_freeboard_m);
	double girth_m = width_m + 2 * SQRT_2 * deep_m;
	double laps = q[Q_cascade_count] + 1;

	q[Q_stream_bed_m2] = girth_m * q[Q_stream_m];
	q[Q_stream_liner_m2] = (girth_m + 2 * job_practice(job, P_stream_flap_m)) *
	                       (q[Q_stream_m] + q[Q_cascade_drop_m] + laps * job_practice(job, P_stream_lap_m));
	if (job_word(job, F_stream_bed) == BED_MORTARED)
		q[Q_stream_concrete_m3] = q[Q_stream_bed_m2] * job_practice(job, P_stream_bed_m);
	else
		q[Q_stream_gravel_t] = width_m * q[Q_stream_open_m] * job_practice(job, P_stream_gravel_m) *
		                       job_practice(job, P_stone_t_m3);
}

/* A ramp that rises evenly from nothing to the height that the ground itself lacks, up to what is ever built: crest times
 * mean height, and two sides whose mean square height is a third of the square of the greatest. */
static void mound(struct job *job)
{
	double *q = job->q, run_m = job_number(job, F_stream_length_m);
	double lacks_m = fmax(0, job_number(job, F_stream_fall_m) - job_number(job, F_ground_fall_m));
	double high_m = fmin(lacks_m, job_practice(job, P_mound_most_m));
	double crest_m = job_number(job, F_stream_width_m) + 2 * job_practice(job, P_mound_crest_m);
	double on_ground = job_number(job, F_stream_fall_m) > 0 ? 1 - high_m / job_number(job, F_stream_fall_m) : 1;
	double deep_m = job_number(job, F_stream_depth_m) + job_practice(job, P_stream_freeboard_m) +
	                (job_word(job, F_stream_bed) == BED_MORTARED ? job_practice(job, P_stream_bed_m)
	                                                             : job_practice(job, P_stream_gravel_m));

	q[Q_mound_m3] = job_has(job, F_stream_mound_m3)
	                        ? job_number(job, F_stream_mound_m3)
	                        : run_m * (crest_m * high_m / 2 + job_practice(job, P_mound_side_slope) * high_m * high_m / 3);
	q[Q_stream_dig_m3] = on_ground * run_m * deep_m * (job_number(job, F_stream_width_m) + deep_m);
	q[Q_feature_height_m] = high_m;
}

static void rockwork(struct job *job)
{
	const struct enquiry *enquiry = &job->quote->resolved;
	double *q = job->q, stone_t = 2 * q[Q_stream_open_m] * job_practice(job, P_stream_stone_t_per_m);

	for (uint32_t i = 0; i < (uint32_t)q[Q_cascade_count]; i++)
		stone_t += (enquiry->cascades[i].width_m + 2 * job_practice(job, P_cascade_wing_m)) * enquiry->cascades[i].drop_m *
		           job_practice(job, P_cascade_stone_t_m2);
	q[Q_rockwork_t] = job_has(job, F_stream_rockwork_t) ? job_number(job, F_stream_rockwork_t) : stone_t;
	q[Q_rockwork_kept_t] = fmin(q[Q_rockwork_t], q[Q_stone_lift_t]);
	q[Q_rockwork_new_t] = q[Q_rockwork_t] - q[Q_rockwork_kept_t];
	if (job_word(job, F_stream_bed) == BED_MORTARED)
		q[Q_rock_mortar_m3] = q[Q_rockwork_t] * job_practice(job, P_rock_mortar_m3_t);
	q[Q_largest_stone_kg] = q[Q_rockwork_t] > 0 ? job_number(job, F_stream_largest_stone_kg) : 0;
}

/* Water that is on its way down comes back to the pond when the pump stops. */
static void transit(struct job *job)
{
	double *q = job->q;

	q[Q_transit_m3] = job_number(job, F_stream_width_m) * job_number(job, F_stream_depth_m) * q[Q_stream_m];
	if (q[Q_water_surface_m2] > 0)
		q[Q_transit_rise_m] = q[Q_transit_m3] / q[Q_water_surface_m2];
	if (job->has_pond)
		q[Q_freeboard_short_m] = fmax(0, q[Q_transit_rise_m] - job_number(job, F_freeboard_m));
}

void takeoff_stream(struct job *job)
{
	if (!(job->q[Q_stream_present] > 0) || !job->scope->streams)
		return;
	cascades(job);
	lengths(job);
	channel(job);
	mound(job);
	rockwork(job);
	transit(job);
}
