#include "bill.h"

#include <string.h>

#include "money.h"

/* Money. Every line's cost first, then what is spread over the lines, then lines of their own, then tax. */

/* ---- needs and packs ---- */

static enum status need_micro(struct job *job, const struct line *line, uint32_t index, int64_t *micro)
{
	const struct cost *cost = &job->catalogue->costs[index];

	*micro = job->last->bill.need_micro[index];
	return bill_by_time(cost) ? quantity_micro(bill_need(job, cost, line->quantity), micro) : ST_OK;
}

static enum status add_need(struct job *job, uint32_t line, uint16_t item, int64_t micro)
{
	struct quote *quote = job->quote;

	if (micro == 0)
		return ST_OK;
	if (quote->n_needs == NEEDS_MOST)
		return ST_SCRATCH;
	quote->needs[quote->n_needs++] = (struct need){.line = (uint16_t)line, .item = item, .micro = micro};
	return ST_OK;
}

static enum status needs_of_line(struct job *job, uint32_t index)
{
	struct line *line = &job->quote->lines[index];
	const struct build_up *build_up = &job->catalogue->build_ups[line->build_up];
	enum status status = ST_OK;

	line->needs.first = job->quote->n_needs;
	for (uint32_t i = build_up->costs.first; i < build_up->costs.first + build_up->costs.count && status == ST_OK; i++) {
		uint16_t item = bill_item(job, &job->catalogue->costs[i]);
		int64_t micro;

		if (item == NO_INDEX)
			continue;
		status = need_micro(job, line, i, &micro);
		if (status == ST_OK)
			status = add_need(job, index, item, micro);
	}
	line->needs.count = job->quote->n_needs - line->needs.first;
	return status;
}

/* As bill_item_minor; what is bought as last time costs what it cost. */
static enum status buy(struct job *job, uint16_t index, int64_t total_micro)
{
	const struct item *item = &job->catalogue->items[index];
	struct purchase *last = &job->last->bill.purchases[index];
	uint32_t *bought = &job->last->bill.bought[item->packs.first];
	double t_per_unit = item->density == Q_none ? 0 : job->q[item->density];
	enum status status = ST_OK;

	if (last->need_micro != total_micro || last->t_per_unit != t_per_unit || last->price_scale != job->price_scale) {
		*last = (struct purchase){total_micro, t_per_unit, job->price_scale, 0};
		status = bill_item_minor(job, index, total_micro, &last->minor, bought);
		if (status != ST_OK)
			last->need_micro = -1;
	}
	job->quote->item_minor[index] = last->minor;
	memcpy(&job->quote->bought[item->packs.first], bought, item->packs.count * sizeof *bought);
	return status;
}

/* Buys one item for the whole job and shares its cost by need. */
static enum status pool_item(struct job *job, uint16_t item, uint16_t first)
{
	struct quote *quote = job->quote;
	int64_t total_micro = 0;
	uint32_t n = 0;
	enum status status;

	for (uint16_t i = first; i != NO_INDEX; i = job->next_need[i]) {
		job->need_weights[n] = quote->needs[i].micro;
		job->need_places[n++] = i;
		total_micro += quote->needs[i].micro;
	}
	quote->item_total[item] = (double)total_micro / 1e6;
	status = buy(job, item, total_micro);
	if (status == ST_OK)
		status = money_split(quote->item_minor[item], job->need_weights, n, job->need_shares, job->remainders);
	for (uint32_t i = 0; i < n && status == ST_OK; i++) {
		struct need *need = &quote->needs[job->need_places[i]];

		need->minor = job->need_shares[i];
		status = money_add(&quote->lines[need->line].cost_minor[job->catalogue->items[item].component], need->minor);
	}
	return status;
}

/* Needs of one item are chained, the first line's first. */
static enum status pool_items(struct job *job)
{
	uint16_t first[ITEMS_MOST];
	enum status status = ST_OK;

	for (uint32_t item = 0; item < job->catalogue->n_items; item++)
		first[item] = NO_INDEX;
	for (uint32_t i = job->quote->n_needs; i-- > 0;) {
		uint16_t item = job->quote->needs[i].item;

		job->next_need[i] = first[item];
		first[item] = (uint16_t)i;
	}
	for (uint32_t item = 0; item < job->catalogue->n_items && status == ST_OK; item++)
		if (first[item] != NO_INDEX)
			status = pool_item(job, (uint16_t)item, first[item]);
	return status;
}

/* ---- half-days ---- */

static struct line *add_special(struct job *job, enum special_line special, uint16_t section)
{
	struct line *line = &job->quote->lines[job->quote->n_lines++];

	*line = (struct line){.special = (uint8_t)special, .build_up = NO_INDEX, .section = section};
	line->needs.first = job->quote->n_needs;
	return line;
}

/* The crew comes for half-days: what is paid beyond the work itself. The first grade is the crew's. */
static enum status half_days_line(struct job *job)
{
	double paid_hours = job->q[Q_crew_half_days] / 2 * job->edition->crew_people * job->edition->productive_h;
	double over = quantity_fixed(paid_hours - job->q[Q_work_hours]);
	struct line *line;

	if (!(over > 0))
		return ST_OK;
	line = add_special(job, LINE_HALF_DAYS, job->catalogue->preliminaries);
	line->quantity = over;
	line->hours[0] = over;
	return money_for(over, job->hour_milliminor[0], &line->cost_minor[LABOUR]);
}

/* ---- overhead, risk, margin ---- */

static enum status direct_cost(struct job *job)
{
	struct quote *quote = job->quote;

	quote->direct_minor = 0;
	for (uint32_t i = 0; i < quote->n_lines; i++)
		for (uint32_t c = 0; c < COMPONENT_COUNT; c++)
			if (money_add(&quote->direct_minor, quote->lines[i].cost_minor[c]) != ST_OK)
				return ST_MONEY_RANGE;
	return ST_OK;
}

/* Each on what stands before it. */
static enum status add_shares(struct job *job)
{
	struct quote *quote = job->quote;
	int64_t so_far = quote->direct_minor;
	enum status status = money_share(so_far, job->edition->overhead_ppm, &quote->overhead_minor);

	so_far += quote->overhead_minor;
	if (status == ST_OK)
		status = money_share(so_far, job->edition->risk_ppm, &quote->risk_minor);
	so_far += quote->risk_minor;
	if (status == ST_OK)
		status = money_share(so_far, job->edition->margin_ppm, &quote->margin_minor);
	return status;
}

/* Spreads them over every cost by largest remainder, so that the client's lines add up. */
static enum status spread_shares(struct job *job)
{
	struct quote *quote = job->quote;
	int64_t over = quote->overhead_minor + quote->risk_minor + quote->margin_minor;
	uint32_t n = 0;
	enum status status;

	for (uint32_t i = 0; i < quote->n_lines; i++)
		for (uint32_t c = 0; c < COMPONENT_COUNT; c++)
			if (quote->lines[i].cost_minor[c] > 0)
				job->cells[n++] = quote->lines[i].cost_minor[c];
	status = money_split(over, job->cells, n, job->cell_shares, job->remainders);
	n = 0;
	for (uint32_t i = 0; i < quote->n_lines && status == ST_OK; i++) {
		struct line *line = &quote->lines[i];

		for (uint32_t c = 0; c < COMPONENT_COUNT; c++) {
			if (line->cost_minor[c] > 0)
				line->price_minor[c] = line->cost_minor[c] + job->cell_shares[n++];
			line->amount_minor += line->price_minor[c];
		}
	}
	quote->net_minor = quote->direct_minor + over;
	return status;
}

/* ---- lines of their own ---- */

static void put_amount(struct job *job, struct line *line, int64_t minor)
{
	line->price_minor[SERVICE] = minor;
	line->amount_minor = minor;
	job->quote->net_minor += minor;
}

static void sums_lines(struct job *job)
{
	for (uint32_t sum = 0; sum < job->catalogue->n_sums; sum++) {
		struct line *line;

		if (!job->quote->sum_in_price[sum])
			continue;
		line = add_special(job, LINE_SUM, job->catalogue->provisional_sums);
		line->build_up = (uint16_t)sum;
		line->quantity = 1;
		put_amount(job, line, job->edition->sum_minor[sum]);
	}
}

static void minimum_and_rounding(struct job *job)
{
	struct quote *quote = job->quote;
	int64_t rounded;

	if (quote->net_minor < job->edition->minimum_charge_minor)
		put_amount(job, add_special(job, LINE_MINIMUM, job->catalogue->adjustments),
		           job->edition->minimum_charge_minor - quote->net_minor);
	rounded = money_to_step(quote->net_minor, job->edition->round_net_minor);
	if (rounded != quote->net_minor)
		put_amount(job, add_special(job, LINE_ROUNDING, job->catalogue->adjustments), rounded - quote->net_minor);
}

/* ---- tax ---- */

static uint32_t class_of(const struct job *job, const struct line *line, uint32_t component)
{
	if (job->quote->share_rule_used)
		return job->edition->share_rule_over;
	return line->special == LINE_SUM ? job->edition->tax_of_sums : job->edition->tax_of[component];
}

/* Where materials are more than a set share of the net, one class holds for everything. */
static bool share_rule_holds(const struct job *job)
{
	int64_t materials = 0, limit;

	if (job->edition->share_rule_ppm == 0)
		return false;
	for (uint32_t i = 0; i < job->quote->n_lines; i++)
		materials += job->quote->lines[i].price_minor[MATERIAL];
	return money_share(job->quote->net_minor, job->edition->share_rule_ppm, &limit) == ST_OK && materials > limit;
}

static enum status tax(struct job *job)
{
	struct quote *quote = job->quote;
	const struct tax_class *classes = &job->catalogue->tax_classes[job->edition->tax_classes.first];

	quote->share_rule_used = share_rule_holds(job);
	for (uint32_t i = 0; i < quote->n_lines; i++)
		for (uint32_t c = 0; c < COMPONENT_COUNT; c++)
			quote->classes[class_of(job, &quote->lines[i], c)].net_minor += quote->lines[i].price_minor[c];
	for (uint32_t i = 0; i < job->edition->tax_classes.count && job->edition->registered; i++) {
		struct class_total *total = &quote->classes[i];

		if (money_share(total->net_minor, classes[i].rate_ppm, &total->tax_minor) != ST_OK)
			return ST_MONEY_RANGE;
		quote->tax_minor += total->tax_minor;
	}
	quote->gross_minor = quote->net_minor + quote->tax_minor;
	quote->headline_minor = money_to_step(quote->gross_minor, job->edition->headline_minor);
	return quote->gross_minor > MONEY_MOST ? ST_MONEY_RANGE : ST_OK;
}

enum status bill_price(struct job *job)
{
	struct quote *quote = job->quote;
	uint32_t n_work_lines = quote->n_lines;
	enum status status = ST_OK;

	for (uint32_t i = 0; i < n_work_lines && status == ST_OK; i++)
		status = needs_of_line(job, i);
	if (status == ST_OK)
		status = pool_items(job);
	if (status == ST_OK)
		status = half_days_line(job);
	if (status == ST_OK)
		status = direct_cost(job);
	if (status == ST_OK)
		status = add_shares(job);
	if (status == ST_OK)
		status = spread_shares(job);
	if (status != ST_OK)
		return status;
	sums_lines(job);
	minimum_and_rounding(job);
	return tax(job);
}
