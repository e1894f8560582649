#include "takeoff.h"

#include <math.h>
#include <string.h>

#include "money.h"
#include "pump_choice.h"
#include "units.h"
#include "water.h"
#include "weir.h"

/* Demand, lift, and the pump and pipe that will really deliver. */

static double lip_demand_l_per_h(const struct job *job)
{
	const struct enquiry *enquiry = &job->quote->resolved;
	double head_m = job_number(job, F_head_over_lip_mm) / 1000, most = 0;

	for (uint32_t i = 0; i < (uint32_t)job->q[Q_cascade_count]; i++) {
		enum crest crest = enquiry->cascades[i].lip == LIP_FLAT ? CREST_FLAT : CREST_SHARP;

		most = fmax(most, lip_flow_l_per_h(crest, enquiry->cascades[i].width_m, head_m));
	}
	return most;
}

static void demand(struct job *job)
{
	const struct style *style = &job->catalogue->styles[job_word(job, F_style)];
	bool stream = job->q[Q_stream_present] > 0 && job->scope->streams;
	double *q = job->q;

	q[Q_lip_l_per_h] = lip_demand_l_per_h(job);
	if (stream)
		q[Q_stream_l_per_h] = job_number(job, F_stream_width_m) * 100 * job_practice(job, P_stream_l_per_h_per_cm);
	if (job->has_pond && style->turnover_h > 0)
		q[Q_turnover_l_per_h] = q[Q_water_volume_m3] * 1000 / style->turnover_h;
	q[Q_demand_l_per_h] = fmax(fmax(q[Q_lip_l_per_h], q[Q_stream_l_per_h]), q[Q_turnover_l_per_h]);
	if (job_has(job, F_flow_l_per_h))
		q[Q_demand_l_per_h] = job_number(job, F_flow_l_per_h);
	if (job_has(job, F_static_m))
		q[Q_static_m] = job_number(job, F_static_m);
	else
		q[Q_static_m] = stream ? job_number(job, F_stream_fall_m) : job_practice(job, P_lift_without_stream_m);
	q[Q_pump_hours_per_day] = job_has(job, F_hours_per_day) ? job_number(job, F_hours_per_day) : style->hours_per_day;
}

static double minor_losses_k(const struct job *job)
{
	const struct catalogue *catalogue = job->catalogue;
	bool given = job_has(job, F_fittings);
	double sum_k = 0;

	if (job_has(job, F_sum_k))
		return job_number(job, F_sum_k);
	for (uint32_t i = 0; i < catalogue->n_fittings; i++)
		sum_k += catalogue->fittings[i].k * (given ? job->quote->resolved.fittings[i] : catalogue->fittings[i].usual);
	return sum_k;
}

static void running_cost(struct job *job)
{
	struct water_result *water = &job->quote->water;

	water->kwh_per_year = quantity_fixed(energy_kwh_per_year(water->power_w, job->q[Q_pump_hours_per_day]));
	if (money_for(water->kwh_per_year, job->edition->energy_milliminor_kwh, &water->running_cost_minor) != ST_OK)
		water->running_cost_minor = 0; /* can't be: power and hours are bounded */
	job->q[Q_kwh_per_year] = water->kwh_per_year;
	job->q[Q_pump_w] = water->power_w;
	job->q[Q_duty_l_per_h] = water->duty.flow_l_per_h;
	job->q[Q_pipe_m] = water->run_m;
}

static void conditions_of_flow(struct job *job)
{
	struct water_result *water = &job->quote->water;
	double temperature_c = job_number(job, F_temperature_c);

	water->demand_l_per_h = job->q[Q_demand_l_per_h];
	water->static_m = job->q[Q_static_m];
	water->run_m = job_number(job, F_run_m);
	water->sum_k = minor_losses_k(job);
	water->density_kg_m3 = water_density_kg_m3(temperature_c);
	water->viscosity_m2_s = water_viscosity_m2_s(temperature_c);
	water->roughness_given = job_has(job, F_roughness_mm);
	water->roughness_mm = job_number(job, F_roughness_mm);
	water->wanted_l_per_h = water->demand_l_per_h;
}

/* A kept pump is judged by what is asked, a new one must have some over for weed and wear. */
void takeoff_water(struct job *job)
{
	struct water_result *water = &job->quote->water;

	water->pump = water->bore = NO_INDEX;
	if (!job->scope->pumps)
		return;
	demand(job);
	conditions_of_flow(job);
	if (job_number(job, F_kept_pump) > 0) {
		keep_pump(job);
		job->q[Q_pump_kept] = 1;
	} else if (water->demand_l_per_h > 0) {
		water->wanted_l_per_h *= 1 + job_practice(job, P_fouling_share);
		choose_pump(job);
		job->q[Q_pump_new] = water->choice == PUMP_CHOSEN;
	} else {
		return;
	}
	running_cost(job);
}
