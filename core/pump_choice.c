#include "pump_choice.h"

#include <math.h>

#include "friction.h"
#include "pump.h"
#include "units.h"

enum { PAIRS_MOST = PUMPS_MOST * BORES_MOST };

/* What the pump has to push through, size and wall of the pipe still open. */
static struct pipe_system system_of(const struct water_result *water)
{
	return (struct pipe_system){.static_m = water->static_m, .length_m = water->run_m, .sum_k = water->sum_k,
	                            .density_kg_m3 = water->density_kg_m3, .viscosity_m2_s = water->viscosity_m2_s};
}

static void put_bore(const struct water_result *water, const struct bore *bore, struct pipe_system *system)
{
	system->bore_mm = bore->bore_mm;
	system->roughness_mm = water->roughness_given ? water->roughness_mm : bore->roughness_mm;
}

/* The caller's bore keeps its own size; wall and price are those of the nearest one of the catalogue. */
static void put_job_bore(const struct job *job, uint32_t bore, struct pipe_system *system)
{
	put_bore(&job->quote->water, &job->catalogue->bores[bore], system);
	if (job_has(job, F_bore_mm))
		system->bore_mm = job_number(job, F_bore_mm);
}

static uint32_t nearest_bore(const struct job *job)
{
	const struct bore *bores = job->catalogue->bores;
	double given_mm = job_number(job, F_bore_mm);
	uint32_t best = 0;

	for (uint32_t i = 1; i < job->catalogue->n_bores; i++)
		if (fabs(bores[i].bore_mm - given_mm) < fabs(bores[best].bore_mm - given_mm))
			best = i;
	return best;
}

static double velocity_m_s(double flow_l_per_h, double bore_mm)
{
	double radius_m = mm_to_m(bore_mm) / 2;

	return l_per_h_to_m3_per_s(flow_l_per_h) / (PI * radius_m * radius_m);
}

/* ---- what a choice goes by, in milliminor ---- */

static double first_pack_price(const struct job *job, uint16_t item)
{
	const struct item *bought = &job->catalogue->items[item];

	return (double)job->edition->pack_milliminor[bought->packs.first] / job->catalogue->packs[bought->packs.first].size;
}

static double pump_cost(const struct job *job, uint32_t pump)
{
	const struct pump *candidate = &job->catalogue->pumps[pump];
	double kwh = energy_kwh_per_year(candidate->power_w, job->q[Q_pump_hours_per_day]) * job_practice(job, P_pump_years);

	return first_pack_price(job, candidate->item) + kwh * (double)job->edition->energy_milliminor_kwh;
}

static double pipe_cost(const struct job *job, uint32_t bore)
{
	return first_pack_price(job, job->catalogue->bores[bore].item) * job->quote->water.run_m;
}

/* ---- pairs ---- */

struct pair {
	uint16_t pump, bore;
	double cost;
	bool fast; /* known to run faster than is aimed at */
};

/* Every pair that brings what is wanted, cheaply found: the pump must hold the system's head at that flow. What runs too
 * fast at that flow runs too fast at its duty point as well. */
static uint32_t pairs_that_deliver(const struct job *job, struct pair *pairs)
{
	const struct catalogue *catalogue = job->catalogue;
	const struct water_result *water = &job->quote->water;
	struct pipe_system system = system_of(water);
	bool bore_given = job_has(job, F_bore_mm);
	uint32_t only = bore_given ? nearest_bore(job) : 0, n = 0;
	double cost[PUMPS_MOST];

	for (uint32_t pump = 0; pump < catalogue->n_pumps; pump++)
		cost[pump] = pump_cost(job, pump);
	for (uint32_t bore = 0; bore < catalogue->n_bores; bore++) {
		double head_m, speed, pipe;

		if (bore_given && bore != only)
			continue;
		put_job_bore(job, bore, &system);
		speed = velocity_m_s(water->wanted_l_per_h, system.bore_mm);
		if (speed > job_practice(job, P_velocity_most_m_s))
			continue;
		head_m = system_head_m(&system, water->wanted_l_per_h);
		pipe = pipe_cost(job, bore);
		for (uint32_t pump = 0; pump < catalogue->n_pumps; pump++) {
			const struct pump_curve *curve = &catalogue->pumps[pump].curve;

			if (pump_last_flow_l_per_h(curve) >= water->wanted_l_per_h &&
			    pump_head_m(curve, water->wanted_l_per_h) >= head_m)
				pairs[n++] = (struct pair){(uint16_t)pump, (uint16_t)bore, cost[pump] + pipe,
				                           speed > job_practice(job, P_velocity_aim_m_s)};
		}
	}
	return n;
}

/* What a pump would hold at a flow through a bore, beyond what the system asks there: above 0 the duty point lies at a greater
 * flow, below at a lesser. Far cheaper than that point, and all that a choice mostly needs. */
static double surplus_m(const struct job *job, uint32_t pump, uint32_t bore, double flow_l_per_h)
{
	struct pipe_system system = system_of(&job->quote->water);

	put_job_bore(job, bore, &system);
	return pump_head_m(&job->catalogue->pumps[pump].curve, flow_l_per_h) - system_head_m(&system, flow_l_per_h);
}

static double last_flow_l_per_h(const struct job *job, uint32_t pump)
{
	return pump_last_flow_l_per_h(&job->catalogue->pumps[pump].curve);
}

static bool runs_faster(const struct job *job, const struct pair *pair, double limit_m_s)
{
	struct pipe_system system;
	double limit_l_per_h;

	put_job_bore(job, pair->bore, &system);
	limit_l_per_h = limit_m_s / velocity_m_s(1, system.bore_mm);
	return last_flow_l_per_h(job, pair->pump) > limit_l_per_h && surplus_m(job, pair->pump, pair->bore, limit_l_per_h) > 0;
}

/* The cheapest pair left in the list with the given mark, taken out of it; false where there is none. */
static bool take_cheapest(struct pair *pairs, uint32_t *n, bool fast, struct pair *taken)
{
	uint32_t best = *n;

	for (uint32_t i = 0; i < *n; i++)
		if (pairs[i].fast == fast && (best == *n || pairs[i].cost < pairs[best].cost))
			best = i;
	if (best == *n)
		return false;
	*taken = pairs[best];
	for (uint32_t i = best + 1; i < *n; i++) /* order is kept: ties go to the earlier pair */
		pairs[i - 1] = pairs[i];
	--*n;
	return true;
}

/* Cheapest first; a pair that turns out to be fast waits until no slow one is left. */
static bool cheapest_pair(const struct job *job, struct pair *chosen)
{
	struct pair pairs[PAIRS_MOST], fast = {.cost = (double)INFINITY};
	uint32_t n = pairs_that_deliver(job, pairs);

	while (take_cheapest(pairs, &n, false, chosen)) {
		if (!runs_faster(job, chosen, job_practice(job, P_velocity_aim_m_s)))
			return true;
		if (chosen->cost < fast.cost && !runs_faster(job, chosen, job_practice(job, P_velocity_most_m_s)))
			fast = *chosen;
	}
	while (take_cheapest(pairs, &n, true, chosen) && chosen->cost < fast.cost)
		if (!runs_faster(job, chosen, job_practice(job, P_velocity_most_m_s)))
			fast = *chosen;
	*chosen = fast;
	return fast.cost < (double)INFINITY;
}

/* The pair that brings most, the earlier one of equals. From the widest bore and the last pump, which are mostly the strongest:
 * a pump that can't hold what the bore asks at the most so far brings less, and most pairs are left at that. */
static struct pair strongest_pair(const struct job *job)
{
	static const double rounding_m = 1e-9;
	bool bore_given = job_has(job, F_bore_mm);
	uint32_t only = bore_given ? nearest_bore(job) : 0;
	struct pipe_system system = system_of(&job->quote->water);
	struct pair best = {.bore = (uint16_t)only};
	double most = 0;
	struct duty duty;

	for (uint32_t bore = job->catalogue->n_bores; bore-- > 0;) {
		double asked_m;

		if (bore_given && bore != only)
			continue;
		put_job_bore(job, bore, &system);
		asked_m = system_head_m(&system, most) - rounding_m;
		for (uint32_t pump = job->catalogue->n_pumps; pump-- > 0;) {
			const struct pump_curve *curve = &job->catalogue->pumps[pump].curve;

			if (pump_last_flow_l_per_h(curve) < most || pump_head_m(curve, most) < asked_m)
				continue;
			duty_point(curve, &system, &duty);
			if (duty.flow_l_per_h < most || duty.flow_l_per_h <= 0)
				continue;
			best = (struct pair){.pump = (uint16_t)pump, .bore = (uint16_t)bore};
			most = duty.flow_l_per_h;
			asked_m = system_head_m(&system, most) - rounding_m;
		}
	}
	return best;
}

/* Duty of what was chosen. */
static void settle(struct job *job, uint32_t bore)
{
	struct water_result *water = &job->quote->water;
	struct pipe_system system = system_of(water);

	put_job_bore(job, bore, &system);
	water->bore = (uint16_t)bore;
	water->bore_mm = system.bore_mm;
	water->roughness_mm = system.roughness_mm;
	duty_point(&water->curve, &system, &water->duty);
	water->enough_known = water->wanted_l_per_h > 0;
	water->enough = water->enough_known && water->duty.flow_l_per_h >= water->wanted_l_per_h;
}

void choose_pump(struct job *job)
{
	struct water_result *water = &job->quote->water;
	struct pair pair;
	bool found = cheapest_pair(job, &pair);

	if (!found)
		pair = strongest_pair(job);
	water->choice = found ? PUMP_CHOSEN : PUMP_NONE_DELIVERS;
	water->pump = pair.pump;
	water->curve = job->catalogue->pumps[pair.pump].curve;
	water->power_w = job->catalogue->pumps[pair.pump].power_w;
	settle(job, pair.bore);
}

/* Of bores that bring nearly as much as the best one the cheapest: the last few per cent are not worth a wider pipe. */
static uint32_t worthwhile_bore(const struct job *job, const double *flows_l_per_h, double least_l_per_h)
{
	double best_cost = (double)INFINITY;
	uint32_t best = 0;

	for (uint32_t bore = 0; bore < job->catalogue->n_bores; bore++) {
		if (flows_l_per_h[bore] < least_l_per_h || pipe_cost(job, bore) >= best_cost)
			continue;
		best = bore;
		best_cost = pipe_cost(job, bore);
	}
	return best;
}

static uint32_t bore_for_kept_pump(const struct job *job)
{
	static const double nearly = 0.95; /* common practice, no source */
	const struct water_result *water = &job->quote->water;
	struct pipe_system system = system_of(water);
	struct duty duty[BORES_MOST];
	double flows_l_per_h[BORES_MOST], most = 0, slowest_m_s = (double)INFINITY, limit_m_s;

	if (job_has(job, F_bore_mm))
		return nearest_bore(job);
	for (uint32_t bore = 0; bore < job->catalogue->n_bores; bore++) {
		put_bore(water, &job->catalogue->bores[bore], &system);
		duty_point(&water->curve, &system, &duty[bore]);
		slowest_m_s = fmin(slowest_m_s, duty[bore].velocity_m_s);
	}
	limit_m_s = fmax(slowest_m_s, job_practice(job, P_velocity_aim_m_s));
	for (uint32_t bore = 0; bore < job->catalogue->n_bores; bore++) {
		flows_l_per_h[bore] = duty[bore].velocity_m_s <= limit_m_s ? duty[bore].flow_l_per_h : 0;
		most = fmax(most, flows_l_per_h[bore]);
	}
	return worthwhile_bore(job, flows_l_per_h,
	                       water->wanted_l_per_h > 0 && most >= water->wanted_l_per_h ? water->wanted_l_per_h : nearly * most);
}

void keep_pump(struct job *job)
{
	struct water_result *water = &job->quote->water;
	const struct enquiry *enquiry = &job->quote->resolved;

	water->choice = PUMP_KEPT;
	if (job_has(job, F_kept_pump_id)) {
		water->pump = (uint16_t)job_word(job, F_kept_pump_id);
		water->curve = job->catalogue->pumps[water->pump].curve;
		water->power_w = job->catalogue->pumps[water->pump].power_w;
	} else {
		/* enquiry_check has been through these points */
		pump_curve_prepare(enquiry->kept_curve, (size_t)enquiry->v[F_kept_pump_curve].number, &water->curve);
	}
	if (job_has(job, F_kept_pump_w))
		water->power_w = job_number(job, F_kept_pump_w);
	settle(job, bore_for_kept_pump(job));
}

void quote_other_bores(const struct catalogue *catalogue, const struct quote *quote, struct bore_result *results)
{
	const struct water_result *water = &quote->water;
	struct pipe_system system = system_of(water);
	struct duty duty;

	for (uint32_t bore = 0; bore < catalogue->n_bores; bore++) {
		put_bore(water, &catalogue->bores[bore], &system);
		duty_point(&water->curve, &system, &duty);
		results[bore] = (struct bore_result){duty.flow_l_per_h, duty.velocity_m_s, (uint8_t)duty.state,
		                                     duty.flow_l_per_h >= water->wanted_l_per_h};
	}
}
