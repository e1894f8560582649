#include "orders.h"

#include <math.h>

#include "calendar.h"

/* ---- one item ---- */

static bool is_ordered(const struct item *item)
{
	return item->supplier != 0 && !(item->component == SERVICE && item->lead_days == 0);
}

/* The day on which a line's work begins. */
static int32_t begins(const struct quote *quote, uint16_t task)
{
	const struct task_result *result = &quote->programme.tasks[task];

	return result->active ? result->from_day : quote->programme.finish_day + 1;
}

/* The task that needs each item first; the earlier task of the catalogue where two begin on one day. */
static void find_tasks(const struct catalogue *catalogue, const struct quote *quote, uint16_t task_of[ITEMS_MOST])
{
	for (uint32_t item = 0; item < catalogue->n_items; item++)
		task_of[item] = NO_INDEX;
	for (uint32_t i = 0; i < quote->n_needs; i++) {
		const struct need *need = &quote->needs[i];
		uint16_t task = catalogue->build_ups[quote->lines[need->line].build_up].task, best = task_of[need->item];

		if (best == NO_INDEX || begins(quote, task) < begins(quote, best) ||
			(begins(quote, task) == begins(quote, best) && task < best))
			task_of[need->item] = task;
	}
}

static int32_t order_by(const struct catalogue *catalogue, const struct region *region, int32_t needed_day,
	uint16_t lead_days)
{
	enum { LONGEST_BREAK_DAYS = 60 };
	int32_t day = needed_day - lead_days;

	for (int32_t earlier = day; earlier > day - LONGEST_BREAK_DAYS; earlier--)
		if (day_capacity(catalogue, region, earlier) > 0)
			return earlier;
	return day;
}

static void add_packs(const struct catalogue *catalogue, const struct quote *quote, struct order *order)
{
	const struct item *item = &catalogue->items[order->item];
	double heaviest_kg = 0;

	order->returnable = item->component == MATERIAL;
	for (uint32_t i = item->packs.first; i < item->packs.first + item->packs.count; i++) {
		const struct pack *pack = &catalogue->packs[i];

		if (quote->bought[i] == 0)
			continue;
		order->bought += pack->size * quote->bought[i];
		order->returnable = order->returnable && pack->returnable;
		if (!pack->loose)
			heaviest_kg = fmax(heaviest_kg, pack->size * item->kg);
	}
	if (item->component != MATERIAL)
		return;
	order->weight_kg = order->bought * item->kg;
	order->heaviest_lift_kg = item->one_piece ? order->weight_kg : heaviest_kg;
}

/* ---- deliveries ---- */

static bool goes_before(const struct catalogue *catalogue, const struct order *a, const struct order *b)
{
	uint16_t from_a = catalogue->items[a->item].supplier, from_b = catalogue->items[b->item].supplier;

	if (from_a != from_b)
		return from_a < from_b;
	return a->needed_day < b->needed_day;
}

/* Keeps the orders by supplier and day; items come in the order of the catalogue, so ties keep it. */
static void insert(const struct catalogue *catalogue, struct order_list *list, struct order order)
{
	uint32_t at = list->n_orders++;

	for (; at > 0 && goes_before(catalogue, &order, &list->orders[at - 1]); at--)
		list->orders[at] = list->orders[at - 1];
	list->orders[at] = order;
}

static void add_to_delivery(struct delivery *delivery, const struct order *order)
{
	if (order->order_by_day < delivery->order_by_day)
		delivery->order_by_day = order->order_by_day;
	delivery->weight_kg += order->weight_kg;
	delivery->heaviest_lift_kg = fmax(delivery->heaviest_lift_kg, order->heaviest_lift_kg);
	delivery->orders.count++;
}

static bool is_earlier(const struct delivery *a, const struct delivery *b)
{
	if (a->order_by_day != b->order_by_day)
		return a->order_by_day < b->order_by_day;
	return a->needed_day < b->needed_day;
}

static void place(struct order_list *list, struct delivery delivery)
{
	uint32_t at = list->n_deliveries++;

	for (; at > 0 && is_earlier(&delivery, &list->deliveries[at - 1]); at--)
		list->deliveries[at] = list->deliveries[at - 1];
	list->deliveries[at] = delivery;
}

static void group(const struct catalogue *catalogue, struct order_list *list)
{
	double gap_days = catalogue->practice[P_visit_gap_days];
	struct delivery delivery;

	for (uint32_t i = 0; i < list->n_orders; i += delivery.orders.count) {
		const struct order *first = &list->orders[i];

		delivery = (struct delivery){.supplier = catalogue->items[first->item].supplier, .needed_day = first->needed_day,
			.order_by_day = first->order_by_day, .orders = {i, 0}};
		for (const struct order *order = first; order < &list->orders[list->n_orders]; order++) {
			if (catalogue->items[order->item].supplier != delivery.supplier ||
				order->needed_day - first->needed_day > gap_days)
				break;
			add_to_delivery(&delivery, order);
		}
		place(list, delivery);
	}
}

/* The orders in the order of their deliveries. */
static void rearrange(struct order_list *list)
{
	struct order sorted[ITEMS_MOST];
	uint32_t n = 0;

	for (uint32_t i = 0; i < list->n_deliveries; i++) {
		struct span *span = &list->deliveries[i].orders;
		uint32_t first = n;

		for (uint32_t k = 0; k < span->count; k++)
			sorted[n++] = list->orders[span->first + k];
		span->first = first;
	}
	for (uint32_t i = 0; i < n; i++)
		list->orders[i] = sorted[i];
}

void order_list(const struct catalogue *catalogue, const struct edition *edition, const struct quote *quote,
	struct order_list *list)
{
	const struct region *region = &catalogue->regions[edition->region];
	uint16_t task_of[ITEMS_MOST];

	list->n_deliveries = list->n_orders = 0;
	find_tasks(catalogue, quote, task_of);
	for (uint32_t i = 0; i < catalogue->n_items; i++) {
		struct order order = {.item = (uint16_t)i, .task = task_of[i]};

		if (order.task == NO_INDEX || !is_ordered(&catalogue->items[i]))
			continue;
		order.needed_day = begins(quote, order.task);
		order.order_by_day = order_by(catalogue, region, order.needed_day, catalogue->items[i].lead_days);
		add_packs(catalogue, quote, &order);
		insert(catalogue, list, order);
	}
	group(catalogue, list);
	rearrange(list);
}
