#include "takeoff.h"

#include <math.h>

#include "money.h"

/* Equipment, and what the place and the people on it bring. */

static const enum field_id equipment_fields[8] = {F_filter, F_uv, F_bottom_drains, F_skimmers, F_air, F_lights, F_overflow, F_top_up};
static const enum quantity_id equipment_counts[8] = {
	Q_filter_count, Q_uv_count, Q_drain_count, Q_skimmer_count, Q_air_count, Q_light_count, Q_overflow_count, Q_top_up_count};

/* What the caller asks for, else what the style brings for this much water. */
void takeoff_equipment(struct job *job)
{
	const struct style *style = &job->catalogue->styles[job_word(job, F_style)];
	double *q = job->q;

	q[Q_fish_pond] = job->has_pond && style->fish;
	for (uint32_t i = 0; i < 8; i++) {
		enum field_id field = equipment_fields[i];
		double usual = style->equipment[i];

		if (usual > 0 && style->per_m3[i] > 0)
			usual = fmax(usual, ceil(q[Q_water_volume_m3] / style->per_m3[i]));
		if (job_has(job, field))
			q[equipment_counts[i]] = job_number(job, field);
		else if (job->has_pond && job->scope->digs)
			q[equipment_counts[i]] = usual;
	}
	q[Q_mains_top_up] = q[Q_top_up_count] > 0;
}

static void fill(struct job *job)
{
	double *q = job->q, rinses = 0;

	if (!job->has_pond || !job->scope->fills)
		return;
	if (job->shell && job->scope->shells && job->shell->bare_cement)
		rinses = job_practice(job, P_lime_rinses);
	q[Q_fill_m3] = q[Q_water_volume_m3] * (1 + rinses);
	q[Q_fill_h] = q[Q_fill_m3] * 1000 / job_practice(job, P_tap_l_per_min) / 60;
	if (money_for(quantity_fixed(q[Q_fill_m3]), job->edition->water_milliminor_m3, &job->quote->fill_water_minor) != ST_OK)
		job->quote->fill_water_minor = 0; /* can't be: the volume is bounded */
}

static void supply(struct job *job)
{
	double *q = job->q;
	bool needs_power = q[Q_pump_new] + q[Q_uv_count] + q[Q_air_count] + q[Q_light_count] > 0;
	bool there = job_number(job, F_existing_supply) > 0 || q[Q_pump_kept] > 0;

	if (needs_power && !there) {
		q[Q_supply_new] = 1;
		q[Q_supply_new_m] = job_number(job, F_supply_run_m);
		q[Q_electrical_kind] = ELECTRICAL_NEW_CIRCUIT;
	} else if (needs_power || q[Q_pump_kept] > 0) {
		q[Q_electrical_kind] = ELECTRICAL_FIXED_EXISTING_CIRCUIT;
	}
}

static void people(struct job *job)
{
	double *q = job->q;
	bool battered = q[Q_steepest_side_deg] <= job_soil(job)->safe_deg;

	q[Q_people_in_excavation] = q[Q_work_opens_ground] > 0 && q[Q_excavation_depth_m] > 0;
	q[Q_excavation_support] = SUPPORT_NONE;
	if (q[Q_people_in_excavation] > 0)
		q[Q_excavation_support] = q[Q_support_m] > 0 ? SUPPORT_SUPPORTED : battered ? SUPPORT_BATTERED : SUPPORT_NONE;
	q[Q_people_enter_silt] = q[Q_silt_m3] > 0;
	q[Q_skip_on_highway] = job_word(job, F_skip_place) == SKIP_ROAD && q[Q_spoil_off_site_m3] > 0;
}

/* Raised walls and, by its thickness, the wall behind a sheet. */
static double blocks_t(const struct job *job)
{
	double thinner = job_practice(job, P_backing_wall_m) / job_practice(job, P_wall_block_m);

	return (job->q[Q_wall_m2] + thinner * job->q[Q_backing_wall_m2]) * job_practice(job, P_wall_t_m2);
}

static void place(struct job *job)
{
	double *q = job->q;

	q[Q_carry_in_t] = q[Q_beach_t] + q[Q_rockwork_new_t] + q[Q_stream_gravel_t] + q[Q_sheet_kg] / 1000 +
	                  q[Q_coping_m2] * job_practice(job, P_coping_t_m2) + blocks_t(job) +
	                  (q[Q_bed_m3] + q[Q_substrate_m3] + q[Q_clay_bought_m3]) * job_practice(job, P_stone_t_m3);
	q[Q_access_boards_m] = job_number(job, F_carry_m);
	if (!job->scope->infills || job->has_pond)
		q[Q_reinstate_m2] = job_number(job, F_reinstate_m2);
	if (job->has_pond)
		q[Q_construction_area_m2] = shore_area_m2(&job->shore, -job_practice(job, P_disturbed_margin_m));
	q[Q_construction_area_m2] += job_number(job, F_stream_length_m) * job_number(job, F_stream_width_m);
}

static void forget(struct job *job, enum field_id id)
{
	struct value *value = &job->quote->resolved.v[id];

	if (value->origin == BY_ASSUMPTION)
		value->origin = BY_DEFAULT;
}

static void forget_electricity(struct job *job)
{
	if (job->q[Q_electrical_kind] == 0)
		forget(job, F_existing_supply);
	if (job->q[Q_electrical_kind] == 0 || (field_given(job->asked, F_existing_supply) && job->q[Q_supply_new] == 0))
		forget(job, F_supply_run_m);
}

/* What nothing was assumed for need not be told: without a pump nobody asks how far its pipe runs. Only what was asked
 * counts here, since another value of something assumed might bring the thing back. */
static void forget_unused(struct job *job)
{
	bool lays = job->has_pond && job->scope->shells, fills_in = job->has_pond && job->scope->infills;

	if (job->quote->water.choice == PUMP_NOT_NEEDED)
		forget(job, F_run_m);
	forget_electricity(job);
	if (!lays && !fills_in)
		forget(job, F_roots_extent);
	if (!lays)
		forget(job, F_water_table_depth_m);
	if (!(job->has_pond && job->scope->digs) && !(job->q[Q_stream_present] > 0 && job->scope->streams))
		forget(job, F_ground_fall_m);
	if (job->q[Q_spoil_off_site_m3] == 0 && field_given(job->asked, F_spoil))
		forget(job, F_skip_place);
}

void takeoff_site(struct job *job)
{
	fill(job);
	supply(job);
	people(job);
	place(job);
	forget_unused(job);
}
