#include "takeoff.h"

#include <math.h>

/* Planting by depth of water over this pond's own bed. */

static const enum quantity_id plants_of[ZONES] = {Q_plants_margin, Q_plants_emergent, Q_plants_floating, Q_plants_submerged};
static const enum quantity_id zone_of[ZONES] = {Q_zone_margin_m2, Q_zone_emergent_m2, Q_zone_floating_m2, Q_zone_submerged_m2};

/* A tread on the border of two zones belongs to the shallower one. */
static const double past_m = 1e-6;

static double between_m2(const struct job *job, double least_m, double most_m)
{
	double deep_m = job->basin.depth_reached_m;

	if (deep_m <= least_m)
		return 0;
	return basin_area_between_m2(&job->shore, &job->profile, job->depth_m, least_m > 0 ? least_m + past_m : 0,
	                             fmin(deep_m, most_m));
}

/* A zone's area is the shape's, whatever shell it gets. */
static void zones(struct job *job)
{
	struct known_shape *known = &job->known;
	double *q = job->q;

	if (!known->zones_known) {
		known->zones_known = true;
		known->zone_m2[0] = between_m2(job, 0, 0.15);
		known->zone_m2[1] = between_m2(job, 0.15, 0.4);
		known->zone_m2[2] = between_m2(job, 0.4, 0.9);
		known->zone_m2[3] = job->basin.depth_reached_m > 0.3
		                            ? basin_area_at_m2(&job->shore, &job->profile, job->depth_m, 0.3) : 0;
	}
	for (uint32_t i = 0; i < ZONES; i++)
		q[zone_of[i]] = known->zone_m2[i];
	q[Q_zone_bog_m2] = (q[Q_turf_m] + q[Q_usual_edge_m]) * job_practice(job, P_bog_width_m);
}

/* Large ponds are planted thinner beyond a certain surface. */
static double thinned_share(const struct job *job)
{
	double surface_m2 = job->q[Q_water_surface_m2], from_m2 = job_practice(job, P_planting_taper_m2);
	double over_m2 = fmax(0, surface_m2 - from_m2);

	return 1 - job_practice(job, P_planting_taper_share) * over_m2 / surface_m2;
}

/* Plants kept from the old pond stand in for bought ones, from the margin inward. */
static void use_salvaged(struct job *job)
{
	double *q = job->q, left = floor(q[Q_plants_kept_m2] * job_practice(job, P_plants_lifted_per_m2));

	for (uint32_t i = 0; i < ZONES; i++) {
		double used = fmin(left, q[plants_of[i]]);

		q[plants_of[i]] -= used;
		q[Q_plants_salvaged] += used;
		left -= used;
	}
}

void takeoff_planting(struct job *job)
{
	double *q = job->q, share;

	if (!job->has_pond)
		return;
	zones(job);
	if (job_word(job, F_style) == STYLE_NONE || !(job->scope->plants || q[Q_plants_kept_m2] > 0))
		return;
	share = job_number(job, F_cover_share) * thinned_share(job);
	if (job->scope->plants) {
		if (job_word(job, F_style) != STYLE_FISH)
			q[Q_plants_bog] = ceil(q[Q_zone_bog_m2] * share * job_practice(job, P_margin_per_m2));
		q[Q_plants_margin] = ceil(q[Q_zone_margin_m2] * share * job_practice(job, P_margin_per_m2));
		q[Q_plants_emergent] = ceil(q[Q_zone_emergent_m2] * share * job_practice(job, P_emergent_per_m2));
		q[Q_plants_floating] = ceil(q[Q_zone_floating_m2] * share / job_practice(job, P_floating_m2_each));
		q[Q_plants_submerged] = ceil(q[Q_zone_submerged_m2] * share * job_practice(job, P_submerged_per_m2));
		q[Q_substrate_m2] = (q[Q_zone_margin_m2] + q[Q_zone_emergent_m2]) * share;
		q[Q_substrate_m3] = q[Q_substrate_m2] * job_practice(job, P_substrate_m);
		use_salvaged(job);
	} else {
		q[Q_plants_salvaged] = floor(q[Q_plants_kept_m2] * job_practice(job, P_plants_lifted_per_m2));
	}
}
