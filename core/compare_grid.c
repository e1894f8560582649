#include "compare_parts.h"

#include <math.h>

#include "quote_parts.h"

/* The customer's pond at other sizes and depths, to see where another shell becomes the cheaper one. */

static void give(struct enquiry *enquiry, enum field_id id, double number)
{
	enquiry->v[id] = (struct value){.number = number, .origin = GIVEN};
}

/* A new pond on the same site: no old pond, no stream, the same ground, way in, planting and edge. */
static void as_new(const struct comparing *with, const struct enquiry *enquiry, struct enquiry *settled)
{
	struct quote *quote = &with->scratch->renewal;

	quote_begin(with->catalogue, with->edition, enquiry, &with->scratch->job, quote);
	compare_settle(enquiry, &quote->resolved, settled);
	for (uint32_t id = F_old_pond; id < F_roots; id++)
		settled->v[id] = (struct value){.origin = LEFT_OUT};
	for (uint32_t id = F_stream; id < F_water; id++)
		settled->v[id] = (struct value){.origin = LEFT_OUT};
	give(settled, F_work, WORK_NEW);
}

/* What was given in metres along the rim or across the bed goes with the size, what was given in depth with the depth. */
static void resize(const struct enquiry *settled, double scale, double depth_m, struct enquiry *changed)
{
	static const enum field_id lengths[] = {F_coping_m, F_beach_m, F_turf_m};
	double deeper = depth_m / settled->v[F_depth_m].number;
	struct value *v = changed->v;

	enquiry_copy(changed, settled);
	give(changed, F_depth_m, depth_m);
	for (uint32_t i = 0; i < sizeof lengths / sizeof lengths[0]; i++)
		v[lengths[i]].number *= scale;
	for (uint32_t i = 0; i < (uint32_t)v[F_pond_steps].number; i++) {
		changed->pond_steps[i].inset_m *= scale;
		changed->pond_steps[i].depth_m *= deeper;
	}
	if (v[F_pond_shelf_depth_m].number >= depth_m)
		v[F_pond_shelf_width_m].number = v[F_pond_shelf_depth_m].number = 0;
	if (v[F_water_above_ground_m].number >= depth_m)
		v[F_water_above_ground_m].number = depth_m / 2;
}

/* A shell that can't be priced at this size is not built. */
static void price_cell(const struct comparing *with, struct grid_cell *cell)
{
	struct option *trial = &with->scratch->trial;
	int64_t now_minor = 0, later_minor = 0;

	*cell = (struct grid_cell){.cheapest_now = NO_INDEX, .cheapest_over_years = NO_INDEX};
	for (uint16_t shell = 0; shell < with->catalogue->n_shells; shell++) {
		struct grid_price *price = &cell->prices[shell];

		if (compare_price(with, &with->scratch->changed, shell, trial) != ST_OK)
			continue;
		cell->depth_reached_m = trial->quote.q[Q_depth_reached_m];
		*price = (struct grid_price){.built = trial->quote.n_cannots == 0, .fits = option_counts(trial, false),
			.now_minor = trial->quote.gross_minor};
		if (price->fits)
			compare_years(with, &with->scratch->changed, trial);
		price->years_known = price->fits && trial->years_known;
		price->over_years_minor = price->years_known ? trial->over_years_minor : 0;
		if (price->fits && (cell->cheapest_now == NO_INDEX || price->now_minor < now_minor)) {
			cell->cheapest_now = shell;
			now_minor = price->now_minor;
		}
		if (price->fits && price->years_known &&
		    (cell->cheapest_over_years == NO_INDEX || price->over_years_minor < later_minor)) {
			cell->cheapest_over_years = shell;
			later_minor = price->over_years_minor;
		}
	}
}

static void price_cells(const struct comparing *with, const struct enquiry *settled, struct grid *grid)
{
	struct job *job = &with->scratch->job;

	for (uint32_t i = 0; i < GRID_SIZES; i++) {
		double scale = sqrt(grid_surface_m2[i] / job->shore.drawn.area_m2);

		shore_rescale(&job->shore, scale);
		for (uint32_t k = 0; k < GRID_DEPTHS; k++) {
			resize(settled, scale, grid_depth_m[k], &with->scratch->changed);
			price_cell(with, &grid->cells[i][k]);
		}
	}
}

void compare_grid(const struct catalogue *catalogue, const struct edition *edition, const struct enquiry *enquiry,
	void *scratch, struct grid *grid)
{
	struct comparing with = {catalogue, edition, scratch, 0, 1, 1};
	struct enquiry *settled = &with.scratch->settled;

	as_new(&with, enquiry, settled);
	grid->years = with.years = (uint32_t)with.scratch->renewal.resolved.v[F_service_years].number;
	for (uint32_t i = 0; i < GRID_SIZES; i++)
		for (uint32_t k = 0; k < GRID_DEPTHS; k++)
			grid->cells[i][k] = (struct grid_cell){.cheapest_now = NO_INDEX, .cheapest_over_years = NO_INDEX};
	if (!quote_lays_shell(enquiry))
		return;
	with.scratch->job.has_old_pond = false;
	price_cells(&with, settled, grid);
}
