#include "takeoff.h"

#include <math.h>

#include "units.h"

/* What carries water above the ground. */

/* An earth bank, whose inner side is the pond's own: crest and outer side, along the middle of the crest. */
static void bank(struct job *job, double high_m)
{
	double crest_m = job_practice(job, P_bank_crest_m), slope = job_practice(job, P_mound_side_slope);

	job->q[Q_bank_m3] = (job->q[Q_perimeter_m] + PI * crest_m) * high_m * (crest_m + slope * high_m / 2);
}

/* A wall stands outside the shell, so its middle runs half its thickness out from the water line: P + 2 pi (t/2) for an
 * outline that is smooth, and as good for one with corners. */
static void wall(struct job *job, double thickness_m)
{
	double *q = job->q;

	q[Q_wall_length_m] = q[Q_perimeter_m] + PI * thickness_m;
	q[Q_wall_m2] = (q[Q_perimeter_m] + 2 * PI * thickness_m) * q[Q_wall_height_m];
	q[Q_wall_cap_m] = q[Q_wall_length_m];
	q[Q_footing_m3] = q[Q_wall_length_m] * job_practice(job, P_footing_width_m) * job_practice(job, P_footing_depth_m);
}

/* A pond that is only lined anew keeps its wall or bank. */
void takeoff_wall(struct job *job)
{
	double above_m = job_number(job, F_water_above_ground_m), *q = job->q;
	double high_m = above_m + job_number(job, F_freeboard_m);
	uint32_t kind = job_word(job, F_wall);

	if (!job->has_pond || !job->scope->shells || above_m <= 0)
		return;
	q[Q_raised_storage_m3] = q[Q_water_surface_m2] * above_m;
	if (kind != WALL_NONE)
		q[Q_wall_height_m] = high_m;
	if (!job->scope->digs)
		return;
	if (kind == WALL_NONE)
		bank(job, high_m);
	else
		wall(job, job_practice(job, kind == WALL_BLOCK ? P_wall_block_m : P_wall_concrete_m));
}
