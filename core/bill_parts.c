#include "bill.h"

#include <math.h>
#include <string.h>

#include "conditions.h"
#include "money.h"
#include "packs.h"

/* What one build-up asks for, and what one item costs. */

static double subject(const struct job *job, uint16_t index, bool is_quantity)
{
	return is_quantity ? job->q[index] : job->v[index].number;
}

/* Straight lines between the points, level beyond them. */
static double along_points(const struct job *job, const struct factor *factor)
{
	const struct factor_point *points = &job->catalogue->factor_points[factor->points.first];
	uint32_t n = factor->points.count;
	double x = subject(job, factor->subject, factor->is_quantity);

	if (x <= points[0].x)
		return points[0].y;
	for (uint32_t i = 1; i < n; i++)
		if (x <= points[i].x)
			return points[i - 1].y +
			       (points[i].y - points[i - 1].y) * (x - points[i - 1].x) / (points[i].x - points[i - 1].x);
	return points[n - 1].y;
}

static double one_factor(const struct job *job, const struct factor *factor)
{
	if (factor->points.count)
		return along_points(job, factor);
	for (uint32_t i = factor->cases.first; i < factor->cases.first + factor->cases.count; i++)
		if (conditions_truth(job->catalogue, job->catalogue->factor_cases[i].when, job->v, job->q) == YES)
			return job->catalogue->factor_cases[i].times;
	return factor->otherwise;
}

void bill_begin(struct job *job)
{
	for (uint32_t i = 0; i < job->catalogue->n_factors; i++)
		job->factor[i] = (double)NAN;
	for (uint32_t i = 0; i < job->catalogue->n_grades; i++)
		job->hour_milliminor[i] = llround((double)job->edition->grade_milliminor_h[i] * job->edition->paid_h /
		                                  job->edition->productive_h);
}

double bill_factors(struct job *job, struct span refs)
{
	double product = 1;

	for (uint32_t i = refs.first; i < refs.first + refs.count; i++) {
		uint16_t index = job->catalogue->factor_refs[i];

		if (isnan(job->factor[index]))
			job->factor[index] = one_factor(job, &job->catalogue->factors[index]);
		product *= job->factor[index];
	}
	return product;
}

static double times_of(const struct job *job, uint16_t times, bool is_quantity)
{
	return times == F_NONE ? 1 : subject(job, times, is_quantity);
}

/* How many units, jobs, visits, days or weeks an amount is for. */
static double count_of(const struct job *job, enum per per, double quantity)
{
	switch (per) {
	case PER_UNIT: return quantity;
	case PER_JOB: return 1;
	case PER_VISIT: return job->q[Q_visits];
	case PER_DAY: return job->q[Q_crew_days];
	case PER_WEEK: return job->q[Q_elapsed_weeks];
	}
	return 0;
}

bool bill_by_time(const struct cost *cost)
{
	return cost->per != PER_UNIT && cost->per != PER_JOB;
}

double bill_need(struct job *job, const struct cost *cost, double quantity)
{
	return cost->amount * count_of(job, (enum per)cost->per, quantity) * (1 + cost->waste_share) *
	       times_of(job, cost->times, cost->times_quantity) * bill_factors(job, cost->factors);
}

uint16_t bill_item(const struct job *job, const struct cost *cost)
{
	const struct water_result *water = &job->quote->water;

	if (cost->item == ITEM_CHOSEN_PUMP)
		return water->pump == NO_INDEX ? NO_INDEX : job->catalogue->pumps[water->pump].item;
	if (cost->item == ITEM_CHOSEN_PIPE)
		return water->bore == NO_INDEX ? NO_INDEX : job->catalogue->bores[water->bore].item;
	return cost->item;
}

/* What a pack really takes: a skip is full by volume or by weight, whichever comes first. */
static int64_t pack_size_micro(const struct job *job, const struct item *item, const struct pack *pack)
{
	double size = pack->size, t_per_unit = item->density == Q_none ? 0 : job->q[item->density];

	if (pack->most_t > 0 && t_per_unit > 0)
		size = fmin(size, pack->most_t / t_per_unit);
	return (int64_t)(size * 1e6 + 0.5);
}

enum status bill_item_minor(const struct job *job, uint16_t index, int64_t need_micro, int64_t *minor, uint32_t *bought)
{
	const struct item *item = &job->catalogue->items[index];
	struct pack_offer offers[PACKS_OF_ITEM_MOST];
	struct pack_cover cover;
	enum status status;
	int64_t short_minor = 0;

	*minor = 0;
	if (need_micro <= 0)
		return ST_OK;
	if (need_micro < (int64_t)(item->minimum * 1e6 + 0.5))
		need_micro = (int64_t)(item->minimum * 1e6 + 0.5);
	for (uint32_t i = 0; i < item->packs.count; i++) {
		uint32_t pack = item->packs.first + i;

		offers[i] = (struct pack_offer){pack_size_micro(job, item, &job->catalogue->packs[pack]),
		                                job->edition->pack_milliminor[pack]};
		if (offers[i].size_micro <= 0)
			return ST_QUANTITY_RANGE;
	}
	status = packs_cover(offers, item->packs.count, need_micro, &cover);
	if (status != ST_OK)
		return status;
	if (item->has_fixed)
		cover.milliminor += job->edition->item_fixed_milliminor[index];
	if (item->short_below > 0 && (double)need_micro < item->short_below * 1e6)
		status = money_for(item->short_below - (double)need_micro / 1e6, job->edition->item_short_milliminor[index], &short_minor);
	if (status != ST_OK)
		return status;
	if (job->price_scale != 1)
		cover.milliminor = llround((double)cover.milliminor * job->price_scale);
	if (bought)
		memcpy(bought, cover.bought, item->packs.count * sizeof *bought);
	status = money_for(1, cover.milliminor, minor);
	return status == ST_OK ? money_add(minor, short_minor) : status;
}

void bill_hours(struct job *job, const struct build_up *build_up, double quantity, double hours[GRADES_MOST])
{
	double total = 0;

	uint32_t n = job->catalogue->n_grades;

	memset(hours, 0, GRADES_MOST * sizeof *hours);
	for (uint32_t i = build_up->labour.first; i < build_up->labour.first + build_up->labour.count; i++) {
		const struct labour *labour = &job->catalogue->labours[i];

		hours[labour->grade] += labour->hours * (labour->per == PER_UNIT ? quantity : 1) *
		                        times_of(job, labour->times, labour->times_quantity) * bill_factors(job, labour->factors) *
		                        job->labour_scale;
	}
	for (uint32_t i = 0; i < n; i++)
		total += hours[i];
	for (uint32_t i = 0; i < n; i++) {
		if (total > 0 && total < build_up->minimum_hours)
			hours[i] *= build_up->minimum_hours / total;
		hours[i] = quantity_fixed(hours[i]);
	}
}
