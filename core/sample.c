#include "sample.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "assumption.h"
#include "quote_parts.h"
#include "resolve.h"

/* ---- distributions ---- */

/* Of a triangle: the square root of the share of its area, from the nearer end. */
static double triangle_number(double low, double likely, double high, double u)
{
	double width = high - low, rise = likely - low;

	if (u * width < rise)
		return low + sqrt(u * width * rise);
	return high - sqrt((1 - u) * width * (high - likely));
}

static double word_number(const struct catalogue *catalogue, struct span words, double u)
{
	uint32_t last = words.first + words.count - 1;

	for (uint32_t i = words.first; i < last; i++) {
		u -= catalogue->weighteds[i].weight;
		if (u < 0)
			return catalogue->weighteds[i].number;
	}
	return catalogue->weighteds[last].number;
}

double spread_number(const struct catalogue *catalogue, const struct unknown *row, double u)
{
	switch ((enum spread)row->spread) {
	case SPREAD_UNIFORM: return row->low + u * (row->high - row->low);
	case SPREAD_TRIANGLE: return triangle_number(row->low, row->likely, row->high, u);
	case SPREAD_WORDS: return word_number(catalogue, row->words, u);
	case SPREAD_NONE: break;
	}
	return row->likely;
}

double measured_factor(double share, double u)
{
	return 1 + share * (2 * u - 1);
}

/* ---- axes ---- */

static void add_axis(struct sampler *sampler, enum axis_kind kind, uint16_t field, double share)
{
	assert(sampler->n_axes < AXES_MOST); /* more than there are fields of the kinds that get one */
	sampler->axes[sampler->n_axes++] = (struct axis){(uint8_t)kind, field, share};
}

static bool has_spread(const struct sampler *sampler, uint32_t subject)
{
	struct span rows = sampler->catalogue->unknowns_of[subject];

	for (uint32_t i = rows.first; i < rows.first + rows.count; i++) {
		const struct unknown *row = &sampler->catalogue->unknowns[i];

		if (row->spread != SPREAD_NONE && (row->region == REGION_ANY || row->region == sampler->region))
			return true;
	}
	return false;
}

/* Assumed now, or assumed if the word that decides whether it belongs falls out otherwise. */
static bool may_be_assumed(const struct sampler *sampler, uint32_t id)
{
	const struct value *v = sampler->v;
	uint16_t parent = sampler->catalogue->parent[id], kind = enquiry_fields[id].variant;

	if (v[id].origin == BY_ASSUMPTION)
		return true;
	return v[id].origin == NOT_APPLICABLE && (parent == F_NONE || v[parent].number > 0) && kind != F_NONE &&
	       v[kind].origin == BY_ASSUMPTION;
}

static void add_questions(struct sampler *sampler)
{
	for (uint32_t id = F_issued_on; id < F_facts; id++) {
		if (enquiry_fields[id].presence != ASSUMED || !may_be_assumed(sampler, id) || !has_spread(sampler, id))
			continue;
		sampler->fields[sampler->n_axes] = (uint16_t)id;
		add_axis(sampler, AXIS_QUESTION, (uint16_t)id, 0);
	}
	sampler->n_questions = sampler->n_axes;
}

static bool is_within(const struct sampler *sampler, uint32_t id, enum field_id holder)
{
	return sampler->catalogue->parent[id] == holder;
}

/* A length of what is there, or of the water line as it was drawn. */
static bool is_taped(const struct sampler *sampler, uint32_t id)
{
	static const enum field_id ordered[] = {F_pond_profile, F_old_profile, F_water, F_roots, F_edge};

	if (strcmp(enquiry_fields[id].unit, "m") != 0 || id == F_freeboard_m)
		return false;
	for (uint32_t i = 0; i < sizeof ordered / sizeof ordered[0]; i++)
		if (is_within(sampler, id, ordered[i]))
			return false;
	return true;
}

/* Error of a given number: said for it, or for all. */
static double share_of(const struct sampler *sampler, uint32_t id, double for_all)
{
	const struct enquiry *asked = sampler->asked;

	if (asked->v[id].origin != GIVEN || !(asked->v[id].number > 0))
		return 0;
	for (uint32_t i = 0; i < asked->n_measured; i++)
		if (asked->measured[i].field == id)
			return asked->measured[i].share;
	return asked->n_measured == 0 && is_taped(sampler, id) ? for_all : 0;
}

/* Points of a polygon are no fields: they have the error that is said for all. */
static double outline_share(const struct sampler *sampler, enum field_id holder, double for_all)
{
	const struct enquiry *asked = sampler->asked;
	double most = 0;

	if (asked->v[holder].origin != GIVEN)
		return 0;
	for (uint32_t id = holder + 1u; id < F_facts; id++)
		if (is_within(sampler, id, holder))
			most = fmax(most, share_of(sampler, id, for_all));
	if (asked->n_measured == 0 && asked->v[holder == F_pond_outline ? F_pond_points_m : F_old_points_m].number > 0)
		most = fmax(most, for_all);
	return most;
}

static void add_measured(struct sampler *sampler)
{
	const struct enquiry *asked = sampler->asked;
	double for_all = asked->measured_given ? asked->measured_share
	                                       : sampler->catalogue->regions[sampler->region].measured_within;
	double own = outline_share(sampler, F_pond_outline, for_all), old = outline_share(sampler, F_old_outline, for_all);

	if (own > 0)
		add_axis(sampler, AXIS_OUTLINE, F_pond_outline, own);
	if (old > 0)
		add_axis(sampler, AXIS_OLD_OUTLINE, F_old_outline, old);
	for (uint32_t id = F_issued_on; id < F_facts; id++) {
		double share = share_of(sampler, id, for_all);

		if (share > 0 && enquiry_fields[id].kind == FIELD_NUMBER && !is_within(sampler, id, F_pond_outline) &&
		    !is_within(sampler, id, F_old_outline))
			add_axis(sampler, AXIS_MEASURED, (uint16_t)id, share);
	}
	/* the depth of steps is that of the last one, and no number of its own */
	if (asked->v[F_depth_m].origin != GIVEN && asked->v[F_pond_steps].number > 0 && asked->n_measured == 0 && for_all > 0)
		add_axis(sampler, AXIS_MEASURED, F_depth_m, for_all);
}

void sampler_prepare(struct sampler *sampler, const struct job *job)
{
	sampler->catalogue = job->catalogue;
	sampler->asked = job->asked;
	sampler->region = job->edition->region;
	sampler->n_axes = 0;
	memcpy(sampler->v, job->v, sizeof sampler->v);
	memcpy(sampler->q, job->q, sizeof sampler->q);
	add_questions(sampler);
	if (has_spread(sampler, FACTOR_LABOUR_OUTPUT))
		add_axis(sampler, AXIS_LABOUR, F_NONE, 0);
	if (has_spread(sampler, FACTOR_PRICE_DRIFT))
		add_axis(sampler, AXIS_PRICE, F_NONE, 0);
	add_measured(sampler);
}

/* ---- one sample ---- */

struct draw {
	const struct sampler *sampler;
	const double *u;
	uint8_t *cells;
};

static double choose(void *with, uint32_t place, const struct unknown *row)
{
	const struct draw *draw = with;
	double number = spread_number(draw->sampler->catalogue, row, draw->u[place]);
	uint8_t kind = enquiry_fields[row->subject].kind;

	if (kind == FIELD_WHOLE || kind == FIELD_COUNT)
		number = round(number);
	if (draw->cells && row->spread == SPREAD_WORDS)
		draw->cells[place] = (uint8_t)((uint32_t)number % CELLS_MOST);
	return number;
}

static double factor_of(const struct sampler *sampler, uint32_t subject, double u)
{
	const struct unknown *row = assumption_of(sampler->catalogue, sampler->region, sampler->v, sampler->q, subject);

	return row ? spread_number(sampler->catalogue, row, u) : 1;
}

static void scale_steps(struct profile_step *steps, const struct profile_step *drawn, double n, double factor)
{
	for (uint32_t i = 0; i < (uint32_t)n; i++)
		steps[i].depth_m = drawn[i].depth_m * factor;
}

static void measure(const struct sampler *sampler, const struct axis *axis, double u, struct job *job)
{
	struct enquiry *resolved = &job->quote->resolved;
	const struct enquiry *asked = sampler->asked;
	double factor = measured_factor(axis->share, u);

	resolved->v[axis->field].number *= factor;
	if (axis->field == F_depth_m)
		scale_steps(resolved->pond_steps, asked->pond_steps, asked->v[F_pond_steps].number, factor);
	if (axis->field == F_old_depth_m)
		scale_steps(resolved->old_steps, asked->old_steps, asked->v[F_old_steps].number, factor);
}

static void apply(const struct sampler *sampler, const struct axis *axis, double u, struct job *job)
{
	switch ((enum axis_kind)axis->kind) {
	case AXIS_QUESTION: break;
	case AXIS_LABOUR: job->labour_scale = factor_of(sampler, FACTOR_LABOUR_OUTPUT, u); break;
	case AXIS_PRICE: job->price_scale = factor_of(sampler, FACTOR_PRICE_DRIFT, u); break;
	case AXIS_OUTLINE: shore_rescale(&job->shore, measured_factor(axis->share, u)); break;
	case AXIS_OLD_OUTLINE: shore_rescale(&job->own_old_shore, measured_factor(axis->share, u)); break;
	case AXIS_MEASURED: measure(sampler, axis, u, job); break;
	}
}

/* A given shelf stays above a floor that was measured less deep. */
static void fit_given_shelf(struct value *width, struct value *shelf, double depth_m)
{
	if (shelf->origin == GIVEN && width->number > 0 && shelf->number >= depth_m)
		shelf->number = 0.99 * depth_m;
}

void sampler_draw(const struct sampler *sampler, const double *u, struct job *job, uint8_t *cells)
{
	struct enquiry *resolved = &job->quote->resolved;
	struct draw draw = {sampler, u, cells};
	struct value *v = resolved->v;

	quote_begin_again(job, sampler->v, sampler->q);
	for (uint32_t i = sampler->n_questions; i < sampler->n_axes; i++)
		apply(sampler, &sampler->axes[i], u[i], job);
	enquiry_assume_again(sampler->catalogue, sampler->region, resolved, job->q, sampler->fields, sampler->n_questions, choose,
	                     &draw);
	fit_given_shelf(&v[F_pond_shelf_width_m], &v[F_pond_shelf_depth_m], v[F_depth_m].number);
	fit_given_shelf(&v[F_old_shelf_width_m], &v[F_old_shelf_depth_m],
	                v[F_old_depth_m].number > 0 ? v[F_old_depth_m].number : v[F_depth_m].number);
}
