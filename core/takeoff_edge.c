#include "takeoff.h"

#include <math.h>

#include "units.h"

/* The whole rim is finished: what the caller names, and the rest with the region's usual edge. */

static bool runs_in_curves(const struct job *job)
{
	return job->shore.kind != OUTLINE_RECTANGLE && job->shore.kind != OUTLINE_POLYGON;
}

/* Edging of width w outside an outline covers w along its length and pi w^2 around its turns. */
static double edging_m2(const struct job *job, double length_m, double width_m)
{
	return length_m * width_m + PI * width_m * width_m * length_m / job->q[Q_perimeter_m];
}

/* What is left of the rim: measured to a decimetre, less than a hundredth of it is no edge of its own. */
static double rest_m(const struct job *job, double given_m)
{
	double perimeter_m = job->q[Q_perimeter_m], rest_m = perimeter_m - given_m;

	return rest_m > 0.01 * perimeter_m ? rest_m : 0;
}

void takeoff_edge(struct job *job)
{
	double *q = job->q, given_m, left_m;

	if (!job->has_pond || !job->scope->edges)
		return;
	q[Q_coping_m] = job_number(job, F_coping_m);
	q[Q_beach_m] = job_number(job, F_beach_m);
	q[Q_turf_m] = job_number(job, F_turf_m);
	given_m = q[Q_coping_m] + q[Q_beach_m] + q[Q_turf_m];
	left_m = q[Q_wall_height_m] > 0 ? 0 : rest_m(job, given_m); /* a wall ends in its cap */
	if (job->has_old_pond && job->old_shore == &job->shore && !(job_number(job, F_old_elsewhere) > 0)) /* it lies along this rim */
		q[Q_collar_reused_m] = fmin(left_m, q[Q_collar_keep_m]);
	q[Q_usual_edge_m] = left_m - q[Q_collar_reused_m];
	q[Q_coping_m2] = edging_m2(job, q[Q_coping_m], job_practice(job, P_coping_width_m));
	q[Q_curved_m] = runs_in_curves(job) ? q[Q_coping_m] : 0;
	q[Q_beach_m2] = q[Q_beach_m] * job_number(job, F_beach_width_m);
	q[Q_beach_t] = q[Q_beach_m2] * job_number(job, F_beach_thickness_mm) / 1000 * job_practice(job, P_stone_t_m3);
	q[Q_stone_relay_t] = q[Q_stone_lift_t] - q[Q_rockwork_kept_t];
}
