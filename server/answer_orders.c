#include "answer_view.h"

#include "dates.h"
#include "orders.h"

/* Days of a job that a flag stops are not promised, so nothing is to be ordered by a day either. */
static void day_member(struct writer *out, const char *key, bool promised, int32_t day)
{
	char text[DATE_TEXT_SIZE];

	if (!promised || day < DAY_FIRST || day > DAY_LAST_TEXT) {
		writer_member_null(out, key);
		return;
	}
	date_text(day, text);
	writer_member_string(out, key, text);
}

static void kg_member(struct writer *out, const char *key, double kg)
{
	if (kg > 0)
		writer_member_number(out, key, kg);
	else
		writer_member_null(out, key);
}

static void packs(struct writer *out, const struct view *view, const struct item *item)
{
	writer_key(out, "packs");
	writer_array_open(out);
	for (uint32_t i = item->packs.first; i < item->packs.first + item->packs.count; i++) {
		const struct pack *pack = &view_catalogue(view)->packs[i];

		if (view->quote->bought[i] == 0)
			continue;
		writer_object_open(out);
		writer_member_string(out, "pack", view_text(view, pack->text)->id);
		writer_member_string(out, "title", view_text(view, pack->text)->title);
		writer_member_int(out, "count", view->quote->bought[i]);
		writer_member_number(out, "size", pack->size);
		writer_member_bool(out, "returnable", pack->returnable);
		writer_object_close(out);
	}
	writer_array_close(out);
}

static void write_order(struct writer *out, const struct view *view, const struct order *order, bool promised)
{
	const struct item *item = &view_catalogue(view)->items[order->item];
	const struct text *text = view_text(view, item->text);

	writer_object_open(out);
	writer_member_string(out, "item", text->id);
	writer_member_string(out, "title", text->title);
	writer_member_string(out, "for", view_text(view, view_catalogue(view)->tasks[order->task].text)->id);
	day_member(out, "needed_on", promised, order->needed_day);
	day_member(out, "order_by", promised, order->order_by_day);
	writer_member_int(out, "lead_days", item->lead_days);
	writer_member_number(out, "quantity", view->quote->item_total[order->item]);
	writer_member_number(out, "bought", order->bought);
	writer_member_string(out, "unit", text->unit);
	packs(out, view, item);
	kg_member(out, "weight_kg", order->weight_kg);
	kg_member(out, "heaviest_lift_kg", order->heaviest_lift_kg);
	writer_member_bool(out, "returnable", order->returnable);
	writer_member_int(out, "cost_minor", view->quote->item_minor[order->item]);
	writer_object_close(out);
}

static void write_delivery(struct writer *out, const struct view *view, const struct order_list *list,
	const struct delivery *delivery, bool promised)
{
	int32_t issued_day = (int32_t)view->asked->v[F_issued_on].number;

	writer_object_open(out);
	writer_member_string(out, "supplier", view_text(view, delivery->supplier)->title);
	day_member(out, "needed_on", promised, delivery->needed_day);
	day_member(out, "order_by", promised, delivery->order_by_day);
	writer_member_bool(out, "late", promised && delivery->order_by_day < issued_day);
	kg_member(out, "weight_kg", delivery->weight_kg);
	kg_member(out, "heaviest_lift_kg", delivery->heaviest_lift_kg);
	writer_key(out, "orders");
	writer_array_open(out);
	for (uint32_t i = 0; i < delivery->orders.count; i++)
		write_order(out, view, &list->orders[delivery->orders.first + i], promised);
	writer_array_close(out);
	writer_object_close(out);
}

void answer_orders(struct writer *out, const struct view *view)
{
	struct order_list list;
	bool promised = true;

	for (uint32_t i = 0; i < view->quote->n_flags; i++)
		promised = promised && view->quote->flags[i].level != LEVEL_STOP;
	order_list(view_catalogue(view), view->edition, view->quote, &list);
	writer_key(out, "orders");
	writer_array_open(out);
	for (uint32_t i = 0; i < list.n_deliveries; i++)
		write_delivery(out, view, &list, &list.deliveries[i], promised);
	writer_array_close(out);
}
