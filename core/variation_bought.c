#include "variation_parts.h"

#include <math.h>

#include "money.h"
#include "orders.h"

/* Material that was bought in vain. */

#define PPM 1e6

static int64_t need_micro(const struct quote *quote, const struct line *line, uint16_t item)
{
	int64_t micro = 0;

	for (uint32_t i = 0; line != NULL && i < line->needs.count; i++)
		if (quote->needs[line->needs.first + i].item == item)
			micro += quote->needs[line->needs.first + i].micro;
	return micro;
}

/* What an omitted line needed of an item and needs no longer. */
static int64_t saved_micro(const struct account *account, const struct variation_line *line, uint16_t item)
{
	int64_t saved;

	if (line->omission_minor == 0)
		return 0;
	saved = need_micro(account->agreed, variation_agreed(account, line), item) -
		need_micro(account->now, variation_now(account, line), item);
	return saved > 0 ? saved : 0;
}

static double spare_share(const struct account *account, uint16_t item)
{
	int64_t spare = 0, saved = 0;

	for (uint32_t i = 0; i < account->out->n_lines; i++) {
		const struct variation_line *line = &account->out->lines[i];

		spare += need_micro(account->agreed, variation_agreed(account, line), item) -
			need_micro(account->now, variation_now(account, line), item);
		saved += saved_micro(account, line, item);
	}
	return spare > 0 && saved > 0 ? fmin(1, (double)spare / (double)saved) : 0;
}

void variation_find_spare(struct account *account, uint16_t stage)
{
	int32_t last_day = INT32_MIN;
	struct order_list list;

	for (uint32_t item = 0; item < ITEMS_MOST; item++)
		account->spare[item] = 0;
	for (uint32_t task = 0; stage != STAGE_NOTHING && task <= stage; task++)
		if (account->agreed->programme.tasks[task].active && account->agreed->programme.tasks[task].to_day > last_day)
			last_day = account->agreed->programme.tasks[task].to_day;
	order_list(account->catalogue, account->edition, account->agreed, &list);
	for (uint32_t i = 0; i < list.n_orders; i++) {
		const struct order *order = &list.orders[i];

		if (account->catalogue->items[order->item].component == MATERIAL && !order->returnable &&
			order->order_by_day <= last_day)
			account->spare[order->item] = spare_share(account, order->item);
	}
}

/* Less is bought at a worse price, so what a line saves may be less than the part of its price that went. */
static int64_t material_saved_minor(const struct account *account, const struct variation_line *line)
{
	const struct line *a = variation_agreed(account, line), *b = variation_now(account, line);
	int64_t saved = (a ? a->price_minor[MATERIAL] : 0) - (b ? b->price_minor[MATERIAL] : 0);

	return saved > 0 ? saved : 0;
}

/* An item may stand in a line more than once; each need carries its part of the saving. */
enum status variation_charge(const struct account *account, struct variation_line *line)
{
	const struct line *a = variation_agreed(account, line);
	enum status status = ST_OK;

	for (uint32_t i = 0; a != NULL && line->omission_minor < 0 && i < a->needs.count && status == ST_OK; i++) {
		const struct need *need = &account->agreed->needs[a->needs.first + i];
		int64_t needed = need_micro(account->agreed, a, need->item), part;
		double share;

		if (!(account->spare[need->item] > 0) || a->cost_minor[MATERIAL] <= 0)
			continue;
		share = account->spare[need->item] * (double)saved_micro(account, line, need->item) / (double)needed *
			((double)a->price_minor[MATERIAL] / (double)a->cost_minor[MATERIAL]);
		status = money_share(need->minor, llround(share * PPM), &part);
		if (status == ST_OK)
			status = money_add(&line->bought_minor, part);
	}
	if (line->bought_minor > material_saved_minor(account, line))
		line->bought_minor = material_saved_minor(account, line);
	return status;
}
