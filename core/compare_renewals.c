#include "compare_parts.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "bill.h"
#include "calendar.h"
#include "programme.h"
#include "quote_parts.h"
#include "takeoff.h"

/* Renewals: the new pond taken off as if it were an old one, and of everything that relining or repairing it would take
 * only what the renewal names. */

static const struct work_scope renewal_scope = {.empties = true, .rescues = true, .strips = true, .shells = true,
	.repairs = true, .edges = true, .fills = true};

/* Emptying, rescue and filling are for all of the pond, whatever share of it is renewed. */
static const uint16_t whole_pond[] = {Q_drain_ponds, Q_drain_m3, Q_rescue_m2, Q_holding_tanks, Q_fill_m3, Q_water_volume_m3,
	Q_plants_kept_m2, Q_plants_salvaged};

/* ---- the pond as it will be ---- */

void compare_settle(const struct enquiry *asked, const struct enquiry *resolved, struct enquiry *settled)
{
	enquiry_copy(settled, asked);
	for (uint32_t id = 0; id < F_COUNT; id++) {
		uint8_t origin = resolved->v[id].origin;

		if (asked->v[id].origin == LEFT_OUT && (origin == BY_ASSUMPTION || origin == BY_DEFAULT))
			settled->v[id] = resolved->v[id];
	}
}

static void give(struct enquiry *enquiry, enum field_id id, double number)
{
	enquiry->v[id] = (struct value){.number = number, .origin = GIVEN};
}

static void leave_out(struct enquiry *enquiry, enum field_id first, enum field_id end)
{
	for (uint32_t id = first; id < end; id++)
		enquiry->v[id] = (struct value){.origin = LEFT_OUT};
}

static enum old_shell_word old_shell_of(const struct catalogue *catalogue, const struct shell *shell)
{
	if (shell->sheet)
		return OLD_LINER;
	for (uint32_t i = shell->layers.first; i < shell->layers.first + shell->layers.count; i++)
		if (catalogue->layers[i].kind == LAYER_CONCRETE)
			return OLD_CONCRETE;
	return OLD_CLAY;
}

/* A day of the month in which the weather takes least, for renewals can wait for it. */
static double fine_day(const struct region *region, double from_day)
{
	int32_t day = (int32_t)from_day;
	uint32_t best = 1;

	for (uint32_t month = 2; month <= 12; month++)
		if (region->weather_lost[month - 1] < region->weather_lost[best - 1])
			best = month;
	for (uint32_t i = 0; i < 12 && day_month(day) != best; i++)
		day = day_next_month(day);
	return day;
}

/* Stone and plants that a new shell has to get out of the way: the coping, the beach, what was planted. */
static void as_built(const struct comparing *with, const struct enquiry *asked, const struct quote *quote,
	struct enquiry *later)
{
	const struct shell *shell = &with->catalogue->shells[quote->shell];
	const double *practice = with->catalogue->practice, *q = quote->q;
	bool planted = quote->resolved.v[F_style].number != STYLE_NONE;

	compare_settle(asked, &quote->resolved, later);
	leave_out(later, F_old_pond, F_roots);
	leave_out(later, F_stream, F_water);
	leave_out(later, F_kept_pump, F_equipment);
	give(later, F_work, WORK_RELINE);
	give(later, F_shell, quote->shell);
	give(later, F_start_on, fine_day(&with->catalogue->regions[with->edition->region], asked->v[F_issued_on].number));
	give(later, F_old_pond, 1);
	give(later, F_old_shell, old_shell_of(with->catalogue, shell));
	give(later, F_silt_depth_m, 0);
	give(later, F_plants_kept_share, planted ? quote->resolved.v[F_cover_share].number : 0);
	give(later, F_stone_kept_t, q[Q_coping_m2] * practice[P_coping_t_m2] + q[Q_beach_t]);
	give(later, F_roots_extent, ROOTS_NONE);
}

/* For whoever renews it the new pond is the old one, shape for shape. */
static enum status take_off_later(const struct comparing *with, uint16_t shell)
{
	struct job *job = &with->scratch->job;
	bool has_old_pond = job->has_old_pond;
	enum status status;

	quote_begin(with->catalogue, with->edition, &with->scratch->later, job, &with->scratch->renewal);
	job->labour_scale = with->labour_scale;
	job->price_scale = with->price_scale;
	job->scope = &renewal_scope;
	job->last = &job->kept[PRICING_RENEWAL];
	job->has_old_pond = job->has_pond;
	quote_take_shell(job, shell);
	status = takeoff_all(job);
	job->has_old_pond = has_old_pond;
	if (status == ST_OK)
		facts_from_quantities(&with->scratch->later, &with->scratch->renewal.resolved, job->q, AT_TAKEOFF);
	return status;
}

/* ---- one renewal ---- */

static bool names(const struct catalogue *catalogue, const struct renewal *renewal, uint32_t build_up)
{
	uint16_t group = catalogue->build_ups[build_up].group;

	for (uint32_t i = renewal->build_ups.first; i < renewal->build_ups.first + renewal->build_ups.count; i++) {
		uint16_t named = catalogue->build_up_refs[i];

		if (named == build_up || (group != GROUP_NONE && catalogue->build_ups[named].group == group))
			return true;
	}
	return false;
}

static bool names_group(const struct catalogue *catalogue, const struct renewal *renewal, uint16_t group)
{
	for (uint32_t i = renewal->build_ups.first; i < renewal->build_ups.first + renewal->build_ups.count; i++)
		if (catalogue->build_ups[catalogue->build_up_refs[i]].group == group)
			return true;
	return false;
}

static bool is_of_whole_pond(uint32_t quantity)
{
	for (uint32_t i = 0; i < sizeof whole_pond / sizeof whole_pond[0]; i++)
		if (whole_pond[i] == quantity)
			return true;
	return quantity >= Q_COUNT;
}

/* Every quantity that a build-up of the renewal is measured by, or that multiplies one of its costs or hours. */
static void mark_quantities(const struct catalogue *catalogue, const struct build_up *build_up, bool marked[Q_COUNT])
{
	if (is_of_whole_pond(build_up->measured_by))
		return;
	marked[build_up->measured_by] = true;
	for (uint32_t i = build_up->costs.first; i < build_up->costs.first + build_up->costs.count; i++)
		if (catalogue->costs[i].times_quantity && !is_of_whole_pond(catalogue->costs[i].times))
			marked[catalogue->costs[i].times] = true;
	for (uint32_t i = build_up->labour.first; i < build_up->labour.first + build_up->labour.count; i++)
		if (catalogue->labours[i].times_quantity && !is_of_whole_pond(catalogue->labours[i].times))
			marked[catalogue->labours[i].times] = true;
}

static void take_share(const struct catalogue *catalogue, const struct renewal *renewal, double *q)
{
	bool marked[Q_COUNT] = {false};

	if (renewal->share == 1)
		return;
	for (uint32_t i = 0; i < catalogue->n_build_ups; i++)
		if (names(catalogue, renewal, i))
			mark_quantities(catalogue, &catalogue->build_ups[i], marked);
	for (uint32_t id = 0; id < Q_COUNT; id++)
		if (marked[id])
			q[id] = quantity_fixed(q[id] * renewal->share);
}

/* Keeps the lines that the renewal names and those that every job has; false where none is its own. */
static bool keep_lines(const struct catalogue *catalogue, const struct renewal *renewal, struct quote *quote,
	struct renewed *renewed)
{
	uint32_t kept = 0;
	bool any = false;

	for (uint32_t i = 0; i < quote->n_lines; i++) {
		uint16_t index = quote->lines[i].build_up;
		bool own = names(catalogue, renewal, index);

		if (!own && catalogue->build_ups[index].measured_by != Q_job)
			continue;
		if (own)
			set_bit(renewed->disturbs, index);
		any = any || (own && !is_of_whole_pond(catalogue->build_ups[index].measured_by));
		quote->lines[kept++] = quote->lines[i];
	}
	quote->n_lines = kept;
	return any;
}

static bool is_possible(const struct catalogue *catalogue, const struct renewal *renewal, const struct quote *quote)
{
	for (uint32_t i = 0; i < quote->n_cannots; i++)
		if (quote->cannots[i].kind == CANNOT_GROUP && names_group(catalogue, renewal, quote->cannots[i].group))
			return false;
	return true;
}

static enum status price(const struct comparing *with, const struct renewal *renewal, const double q[Q_COUNT],
	struct option *option, struct renewed *renewed)
{
	struct job *job = &with->scratch->job;
	struct quote *quote = &with->scratch->renewal;
	enum status status;

	memset(quote, 0, offsetof(struct quote, resolved));
	memcpy(quote->q, q, sizeof quote->q);
	quote->shell = option->quote.shell;
	quote->water.pump = quote->water.bore = NO_INDEX;
	bill_begin(job);
	take_share(with->catalogue, renewal, job->q);
	status = bill_lines(job);
	if (status != ST_OK)
		return status;
	renewed->possible = is_possible(with->catalogue, renewal, quote);
	renewed->needed = keep_lines(with->catalogue, renewal, quote, renewed) || !renewed->possible;
	if (!renewed->needed || !renewed->possible)
		return ST_OK;
	programme_undisturbed(job);
	status = bill_price(job);
	renewed->each_minor = quote->gross_minor;
	renewed->kgco2e = compare_kgco2e(with->catalogue, quote, renewal_times(renewal, with->years) > 0, option);
	return status;
}

/* A renewal beyond what can be kept exactly is one that nobody can price, not one for nothing. */
void compare_renewals(const struct comparing *with, const struct enquiry *enquiry, struct option *option)
{
	struct span renewals = with->catalogue->shells[option->quote.shell].renewals;
	double q[Q_COUNT];
	enum status status;

	option->n_renewals = 0;
	if (renewals.count == 0)
		return;
	as_built(with, enquiry, &option->quote, &with->scratch->later);
	status = take_off_later(with, option->quote.shell);
	memcpy(q, with->scratch->renewal.q, sizeof q);
	for (uint32_t i = renewals.first; i < renewals.first + renewals.count; i++) {
		struct renewed *renewed = &option->renewals[option->n_renewals++];

		*renewed = (struct renewed){.renewal = (uint16_t)i};
		if (status != ST_OK || price(with, &with->catalogue->renewals[i], q, option, renewed) != ST_OK)
			*renewed = (struct renewed){.renewal = (uint16_t)i, .needed = true};
	}
}
