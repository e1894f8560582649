#include "takeoff.h"

#include <math.h>

#include "units.h"

/* A wall that carries water above the ground. It stands outside the shell, so its middle runs half its thickness out
 * from the water line: P + 2 pi (t/2) for an outline that is smooth, and as good for one with corners. */
void takeoff_wall(struct job *job)
{
	double above_m = job_number(job, F_water_above_ground_m), *q = job->q;
	uint32_t kind = job_word(job, F_wall);
	double thickness_m = job_practice(job, kind == WALL_BLOCK ? P_wall_block_m : P_wall_concrete_m);

	if (!job->has_pond || !job->scope->shells || above_m <= 0)
		return;
	q[Q_raised_storage_m3] = q[Q_water_surface_m2] * above_m;
	if (kind == WALL_NONE)
		return;
	q[Q_wall_height_m] = above_m + job_number(job, F_freeboard_m);
	q[Q_wall_length_m] = q[Q_perimeter_m] + PI * thickness_m;
	q[Q_wall_m2] = (q[Q_perimeter_m] + 2 * PI * thickness_m) * q[Q_wall_height_m];
	q[Q_wall_cap_m] = q[Q_wall_length_m];
	q[Q_footing_m3] = q[Q_wall_length_m] * job_practice(job, P_footing_width_m) * job_practice(job, P_footing_depth_m);
}
