#include "takeoff.h"

#include <string.h>

#include "money.h"
#include "readers.h"

/* All parts in their order. Those that no shell changes come first and are kept: one enquiry is priced with every shell. */

static bool is_same_shore(const struct shore *shore, double surface_m2)
{
	return shore->surface_m2 == surface_m2;
}

static bool are_same_steps(const struct profile_step *a, const struct profile_step *b, double n)
{
	return memcmp(a, b, (size_t)n * sizeof *a) == 0;
}

/* Shores are prepared once for an enquiry and at most rescaled; lists but the steps never change within one. */
static bool is_as_last(const struct job *job)
{
	const struct last_takeoff *last = &job->last->takeoff;
	const struct enquiry *resolved = &job->quote->resolved;

	return last->stands && last->asked == job->asked && last->scope == job->scope && last->edition == job->edition &&
	       last->has_old_pond == job->has_old_pond &&
	       (!job->has_pond || is_same_shore(&job->shore, last->surface_m2)) &&
	       (!takeoff_old_outline_is_own(job) || is_same_shore(&job->own_old_shore, last->old_surface_m2)) &&
	       values_same_but_shell(job->v, last->v) && memcmp(job->q, last->given_q, sizeof last->given_q) == 0 &&
	       are_same_steps(resolved->pond_steps, last->pond_steps, resolved->v[F_pond_steps].number) &&
	       are_same_steps(resolved->old_steps, last->old_steps, resolved->v[F_old_steps].number);
}

static void keep_inputs(struct job *job)
{
	struct last_takeoff *last = &job->last->takeoff;
	const struct enquiry *resolved = &job->quote->resolved;

	last->asked = job->asked;
	last->scope = job->scope;
	last->edition = job->edition;
	last->has_old_pond = job->has_old_pond;
	last->surface_m2 = job->shore.surface_m2;
	last->old_surface_m2 = job->own_old_shore.surface_m2;
	memcpy(last->v, job->v, sizeof last->v);
	memcpy(last->given_q, job->q, sizeof last->given_q);
	memcpy(last->pond_steps, resolved->pond_steps, (size_t)resolved->v[F_pond_steps].number * sizeof last->pond_steps[0]);
	memcpy(last->old_steps, resolved->old_steps, (size_t)resolved->v[F_old_steps].number * sizeof last->old_steps[0]);
}

static enum status common_parts(struct job *job)
{
	struct last_takeoff *last = &job->last->takeoff;
	enum status status;

	if (job->shapes_ready && is_as_last(job)) {
		memcpy(job->q, last->q, sizeof last->q);
		job->quote->water = last->water;
		return ST_OK;
	}
	last->stands = false;
	status = takeoff_shapes(job);
	if (status != ST_OK)
		return status;
	keep_inputs(job);
	takeoff_basin(job);
	takeoff_old_pond(job);
	takeoff_wall(job);
	takeoff_roots(job);
	takeoff_stream(job);
	takeoff_edge(job);
	takeoff_planting(job);
	takeoff_equipment(job);
	takeoff_water(job);
	memcpy(last->q, job->q, sizeof last->q);
	last->water = job->quote->water;
	last->stands = true;
	return ST_OK;
}

enum status takeoff_all(struct job *job)
{
	enum status status = common_parts(job);

	if (status != ST_OK)
		return status;
	takeoff_groundwater_head(job);
	takeoff_shell(job);
	takeoff_ground(job);
	takeoff_site(job);
	for (uint32_t i = 0; i < Q_COUNT; i++) {
		if (job->q[i] == 0)
			continue;
		job->q[i] = quantity_fixed(job->q[i]);
		if (!(job->q[i] >= 0)) /* also NaN: beyond what is kept exactly */
			return ST_QUANTITY_RANGE;
	}
	return ST_OK;
}

enum status takeoff_for_water(struct job *job)
{
	enum status status = takeoff_shapes(job);

	if (status != ST_OK)
		return status;
	takeoff_basin(job);
	takeoff_stream(job);
	takeoff_equipment(job);
	takeoff_water(job);
	return ST_OK;
}
