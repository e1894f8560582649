#include <string.h>

#include "answer_parts.h"
#include "csv.h"
#include "dates.h"
#include "money_text.h"
#include "number.h"
#include "orders.h"
#include "variation_view.h"

/* A quote for a spreadsheet (RFC 4180), one table with a header. For the public what is paid:
 *   kind      line, or section where the public sees no lines; net, tax, gross and headline; cannot
 *   section, section_title, id, title, quantity, unit, amount, currency
 * For the owner what is ordered, one row for each kind of pack, by delivery:
 *   delivery  counted from 1; supplier, order_by, needed_on
 *   item, title, pack, pack_title, count, size, unit
 *   cost      of all packs of the item, in its first row, so that the column adds up
 *   weight_kg, heaviest_lift_kg   of the item, in its first row; returnable */

/* ---- what is paid ---- */

struct row {
	const char *kind, *section, *section_title, *id, *title, *unit;
	const double *quantity;        /* NULL: none */
	const int64_t *amount_minor;   /* NULL: none */
};

static void amount_field(struct writer *out, const struct view *view, const int64_t *amount_minor)
{
	char text[MONEY_TEXT_SIZE] = "";

	if (amount_minor != NULL)
		money_plain_text(*amount_minor, view->config->region_cards[view->edition->region].minor_digits, text);
	csv_field(out, false, text);
}

static void number_field(struct writer *out, bool known, double number)
{
	char text[NUMBER_TEXT_SIZE] = "";

	if (known)
		number_text(number, text);
	csv_field(out, false, text);
}

static void write_row(struct writer *out, const struct view *view, const struct row *row)
{
	const struct text *region = view_text(view, view_catalogue(view)->regions[view->edition->region].text);

	csv_field(out, true, row->kind);
	csv_field(out, false, row->section);
	csv_field(out, false, row->section_title);
	csv_field(out, false, row->id);
	csv_field(out, false, row->title);
	number_field(out, row->quantity != NULL, row->quantity != NULL ? *row->quantity : 0);
	csv_field(out, false, row->unit);
	amount_field(out, view, row->amount_minor);
	csv_field(out, false, region->currency);
	csv_end(out);
}

static const struct text *section_text(const struct view *view, uint32_t section)
{
	return view_text(view, view_catalogue(view)->sections[section].text);
}

static void line_row(struct writer *out, const struct view *view, const struct line *line)
{
	struct line_name name = view_line_name(view, line);
	const struct text *section = section_text(view, line->section);
	bool measured = line->special == LINE_BUILD_UP;
	double one = 1;

	write_row(out, view, &(struct row){"line", section->id, section->title, name.id, name.title,
		measured ? quantity_table[view_catalogue(view)->build_ups[line->build_up].measured_by].unit : "each",
		measured ? &line->quantity : &one, &line->amount_minor});
}

static void section_row(struct writer *out, const struct view *view, uint32_t section)
{
	const struct text *text = section_text(view, section);
	int64_t amount_minor = 0;
	bool any = false;

	for (uint32_t i = 0; i < view->quote->n_lines; i++)
		if (view->quote->lines[i].section == section) {
			amount_minor += view->quote->lines[i].amount_minor;
			any = true;
		}
	if (any)
		write_row(out, view, &(struct row){.kind = "section", .section = text->id, .section_title = text->title,
			.amount_minor = &amount_minor});
}

static void section_rows(struct writer *out, const struct view *view, uint32_t section)
{
	if (view->detail == DETAIL_SECTIONS)
		section_row(out, view, section);
	for (uint32_t i = 0; i < view->quote->n_lines && view->detail == DETAIL_LINES; i++)
		if (view->quote->lines[i].section == section)
			line_row(out, view, &view->quote->lines[i]);
}

static void total_rows(struct writer *out, const struct view *view)
{
	const struct quote *quote = view->quote;

	if (!view_has_price(view))
		return;
	if (view->detail != DETAIL_HEADLINE) {
		write_row(out, view, &(struct row){.kind = "net", .title = "Without tax", .amount_minor = &quote->net_minor});
		write_row(out, view, &(struct row){.kind = "tax", .title = "Tax", .amount_minor = &quote->tax_minor});
		write_row(out, view, &(struct row){.kind = "gross", .title = "With tax", .amount_minor = &quote->gross_minor});
	}
	write_row(out, view, &(struct row){.kind = "headline", .title = "About", .amount_minor = &quote->headline_minor});
}

static void cannot_rows(struct writer *out, const struct view *view)
{
	for (uint32_t i = 0; i < view->quote->n_cannots; i++) {
		const struct cannot *cannot = &view->quote->cannots[i];
		const struct group *group = &view_catalogue(view)->groups[cannot->group];

		if (cannot->kind == CANNOT_GROUP)
			write_row(out, view, &(struct row){.kind = "cannot", .section = section_text(view, group->section)->id,
				.section_title = section_text(view, group->section)->title, .id = view_text(view, group->text)->id,
				.title = view_text(view, group->text)->title});
		else
			write_row(out, view, &(struct row){.kind = "cannot", .section = "water", .id = "pump-and-pipe",
				.title = "Pump and pipe"});
	}
}

static void write_prices(struct writer *out, const struct view *view)
{
	static const char header[] = "kind,section,section_title,id,title,quantity,unit,amount,currency\r\n";

	writer_text(out, header, strlen(header));
	for (uint32_t i = 0; i < view_catalogue(view)->n_sections; i++)
		section_rows(out, view, i);
	total_rows(out, view);
	cannot_rows(out, view);
}

/* ---- what is ordered ---- */

static void day_field(struct writer *out, bool promised, int32_t day)
{
	char text[DATE_TEXT_SIZE] = "";

	if (promised && day >= DAY_FIRST && day <= DAY_LAST_TEXT)
		date_text(day, text);
	csv_field(out, false, text);
}

static void delivery_fields(struct writer *out, const struct view *view, const struct delivery *delivery,
	const struct order *order, uint32_t number)
{
	char text[NUMBER_TEXT_SIZE];
	bool promised = view_is_promised(view);

	integer_text(number, text);
	csv_field(out, true, text);
	csv_field(out, false, view_text(view, delivery->supplier)->title);
	day_field(out, promised, order->order_by_day);
	day_field(out, promised, order->needed_day);
}

static void pack_row(struct writer *out, const struct view *view, const struct order *order, uint32_t pack, bool first)
{
	const struct text *item = view_text(view, view_catalogue(view)->items[order->item].text);
	const struct text *text = view_text(view, view_catalogue(view)->packs[pack].text);

	csv_field(out, false, item->id);
	csv_field(out, false, item->title);
	csv_field(out, false, text->id);
	csv_field(out, false, text->title);
	number_field(out, true, view->quote->bought[pack]);
	number_field(out, true, view_catalogue(view)->packs[pack].size);
	csv_field(out, false, item->unit);
	amount_field(out, view, first ? &view->quote->item_minor[order->item] : NULL);
	number_field(out, first && order->weight_kg > 0, order->weight_kg);
	number_field(out, first && order->heaviest_lift_kg > 0, order->heaviest_lift_kg);
	csv_field(out, false, view_catalogue(view)->packs[pack].returnable ? "yes" : "no");
	csv_end(out);
}

static void order_rows(struct writer *out, const struct view *view, const struct delivery *delivery,
	const struct order *order, uint32_t number)
{
	struct span packs = view_catalogue(view)->items[order->item].packs;
	bool first = true;

	for (uint32_t pack = packs.first; pack < packs.first + packs.count; pack++) {
		if (view->quote->bought[pack] == 0)
			continue;
		delivery_fields(out, view, delivery, order, number);
		pack_row(out, view, order, pack, first);
		first = false;
	}
}

static void write_orders(struct writer *out, const struct view *view)
{
	static const char header[] = "delivery,supplier,order_by,needed_on,item,title,pack,pack_title,count,size,unit,cost,"
		"weight_kg,heaviest_lift_kg,returnable\r\n";
	struct order_list list;

	order_list(view_catalogue(view), view->edition, view->quote, &list);
	writer_text(out, header, strlen(header));
	for (uint32_t d = 0; d < list.n_deliveries; d++)
		for (uint32_t i = 0; i < list.deliveries[d].orders.count; i++)
			order_rows(out, view, &list.deliveries[d], &list.orders[list.deliveries[d].orders.first + i], d + 1);
}

static enum status price(const struct catalogue *catalogue, const struct edition *edition, const struct enquiry *enquiry,
	void *scratch, struct quote *quote)
{
	return quote_price(catalogue, edition, enquiry, NO_INDEX, scratch, quote);
}

struct answer answer_csv(const struct ask *ask, struct writer *out)
{
	struct answer answer;
	struct view view;

	if (!ask_work_out(ask, NEED_QUOTE, price, out, &view, &answer))
		return answer;
	if (view.costing)
		write_orders(out, &view);
	else
		write_prices(out, &view);
	return answer_done(out, view_has_price(&view) ? OUTCOME_PRICED : OUTCOME_CANNOT);
}
