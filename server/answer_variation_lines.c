#include "variation_view.h"

#define PPM 1e6

/* ---- lines ---- */

enum column { OMISSION, ADDITION, KEPT, BOUGHT };

static int64_t amount_of(const struct variation_line *line, enum column column)
{
	switch (column) {
	case OMISSION:
		return line->omission_minor;
	case ADDITION:
		return line->addition_minor;
	case KEPT:
		return line->kept_minor;
	case BOUGHT:
		return line->bought_minor;
	}
	return 0;
}

static const struct line *line_at(const struct view *view, uint16_t index)
{
	return index == NO_INDEX ? NULL : &view->quote->lines[index];
}

/* Both quantities are said, since a price may change where the quantity does not: another method, another soil. */
static void quantities(struct writer *out, const struct variation_view *view, const struct variation_line *line)
{
	const struct line *agreed = line_at(&view->agreed, line->agreed), *now = line_at(&view->now, line->now);
	const struct line *any = now != NULL ? now : agreed;
	bool measured = any->special == LINE_BUILD_UP;
	double from = agreed == NULL ? 0 : measured ? agreed->quantity : 1, to = now == NULL ? 0 : measured ? now->quantity : 1;
	const struct catalogue *catalogue = view_catalogue(&view->now);

	writer_member_number(out, "quantity", to - from);
	writer_member_string(out, "unit",
		measured ? quantity_table[catalogue->build_ups[any->build_up].measured_by].unit : "each");
	writer_member_number(out, "agreed_quantity", from);
	writer_member_number(out, "now_quantity", to);
}

static void write_line(struct writer *out, const struct variation_view *view, const struct variation_line *line,
	enum column column)
{
	bool as_now = line->now != NO_INDEX && (column == ADDITION || line->agreed == NO_INDEX);
	const struct view *named = as_now ? &view->now : &view->agreed;

	writer_object_open(out);
	answer_line_names(out, named, line_at(named, as_now ? line->now : line->agreed));
	quantities(out, view, line);
	writer_member_int(out, "amount_minor", amount_of(line, column));
	if (column == KEPT || column == BOUGHT)
		writer_member_string(out, "because", column == KEPT ? "done" : "bought");
	writer_object_close(out);
}

/* ---- sections ---- */

static bool in_columns(const struct variation_line *line, enum column first, enum column last)
{
	for (enum column column = first; column <= last; column++)
		if (amount_of(line, column) != 0)
			return true;
	return false;
}

static void section_lines(struct writer *out, const struct variation_view *view, uint32_t section, enum column first,
	enum column last)
{
	writer_key(out, "lines");
	writer_array_open(out);
	for (uint32_t i = 0; i < view->variation->n_lines && view->now.detail == DETAIL_LINES; i++)
		for (enum column column = first; column <= last; column++)
			if (view->variation->lines[i].section == section && amount_of(&view->variation->lines[i], column) != 0)
				write_line(out, view, &view->variation->lines[i], column);
	writer_array_close(out);
}

static void write_section(struct writer *out, const struct variation_view *view, uint32_t section, enum column first,
	enum column last)
{
	const struct text *text = view_text(&view->now, view_catalogue(&view->now)->sections[section].text);
	int64_t amount_minor = 0;
	bool any = false;

	for (uint32_t i = 0; i < view->variation->n_lines; i++) {
		const struct variation_line *line = &view->variation->lines[i];

		if (line->section != section || !in_columns(line, first, last))
			continue;
		any = true;
		for (enum column column = first; column <= last; column++)
			amount_minor += amount_of(line, column);
	}
	if (!any)
		return;
	writer_object_open(out);
	writer_member_string(out, "id", text->id);
	writer_member_string(out, "title", text->title);
	writer_member_int(out, "amount_minor", amount_minor);
	section_lines(out, view, section, first, last);
	writer_object_close(out);
}

/* Work that is done stands in the agreed price already: it is shown at its price and taken off again, so that the
 * sections add up to what is charged. */
static void already_in_price(struct writer *out, int64_t kept_minor)
{
	static const char id[] = "in-the-agreed-price", title[] = "Done already, and within the agreed price";

	if (kept_minor == 0)
		return;
	writer_object_open(out);
	writer_member_string(out, "id", id);
	writer_member_string(out, "title", title);
	writer_member_int(out, "amount_minor", -kept_minor);
	writer_key(out, "lines");
	writer_array_open(out);
	writer_array_close(out);
	writer_object_close(out);
}

static void sections(struct writer *out, const struct variation_view *view, const char *key, enum column first,
	enum column last)
{
	bool shown = view->priced && view->now.detail != DETAIL_HEADLINE;

	writer_key(out, key);
	writer_array_open(out);
	for (uint32_t i = 0; i < view_catalogue(&view->now)->n_sections && shown; i++)
		write_section(out, view, i, first, last);
	if (shown && last == BOUGHT)
		already_in_price(out, view->variation->kept_minor);
	writer_array_close(out);
}

void variation_sections(struct writer *out, const struct variation_view *view)
{
	sections(out, view, "omissions", OMISSION, OMISSION);
	sections(out, view, "additions", ADDITION, ADDITION);
	sections(out, view, "abortive", KEPT, BOUGHT);
}

/* ---- money ---- */

static void tax_class(struct writer *out, const struct variation_view *view, uint32_t index)
{
	const struct edition *edition = view->now.edition;
	const struct tax_class *row = &view_catalogue(&view->now)->tax_classes[edition->tax_classes.first + index];
	const struct class_total *agreed = &view->agreed.quote->classes[index], *final = &view->variation->classes[index];
	const struct text *text = view_text(&view->now, row->text);

	if (agreed->net_minor == 0 && final->net_minor == 0)
		return;
	writer_object_open(out);
	writer_member_string(out, "class", text->id);
	writer_member_string(out, "title", text->title);
	writer_member_number(out, "rate", (double)row->rate_ppm / PPM);
	writer_member_int(out, "net_minor", final->net_minor - agreed->net_minor);
	writer_member_int(out, "tax_minor", final->tax_minor - agreed->tax_minor);
	writer_member_int(out, "agreed_net_minor", agreed->net_minor);
	writer_member_int(out, "agreed_tax_minor", agreed->tax_minor);
	writer_member_int(out, "final_net_minor", final->net_minor);
	writer_member_int(out, "final_tax_minor", final->tax_minor);
	writer_object_close(out);
}

static void taxes(struct writer *out, const struct variation_view *view)
{
	bool shown = view->priced && view->now.detail != DETAIL_HEADLINE && view->now.edition->registered;

	writer_key(out, "taxes");
	writer_array_open(out);
	for (uint32_t i = 0; i < view->now.edition->tax_classes.count && shown; i++)
		tax_class(out, view, i);
	writer_array_close(out);
	writer_member_string(out, "tax_rule",
		"Tax is worked out class by class on the whole new price; what the agreed price bore is taken off. Where the edition "
		"lets one class hold for everything beyond a share of materials, the new price decides.");
}

static void sums(struct writer *out, const struct variation_view *view)
{
	const struct variation *variation = view->variation;
	const struct quote *agreed = view->agreed.quote, *now = view->now.quote;

	writer_key(out, "sums");
	if (!view->priced || view->now.detail == DETAIL_HEADLINE) {
		writer_null(out);
		return;
	}
	writer_object_open(out);
	writer_member_int(out, "agreed_net_minor", agreed->net_minor);
	writer_member_int(out, "omissions_minor", variation->omissions_minor);
	writer_member_int(out, "additions_minor", variation->additions_minor);
	writer_member_int(out, "abortive_minor", variation->bought_minor);
	writer_member_int(out, "final_net_minor", variation->final_minor);
	writer_member_int(out, "now_net_minor", now->net_minor);
	writer_member_int(out, "done_and_not_wanted_minor", variation->kept_minor);
	writer_member_int(out, "agreed_tax_minor", agreed->tax_minor);
	writer_member_int(out, "final_tax_minor", variation->final_tax_minor);
	writer_member_int(out, "agreed_gross_minor", agreed->gross_minor);
	writer_member_int(out, "final_gross_minor", variation->final_minor + variation->final_tax_minor);
	writer_member_string(out, "rule",
		"agreed + omissions + additions + abortive = final = now + done and not wanted + abortive, before tax");
	writer_object_close(out);
}

static void money_or_null(struct writer *out, const char *key, bool shown, int64_t amount_minor)
{
	if (shown)
		writer_member_int(out, key, amount_minor);
	else
		writer_member_null(out, key);
}

void variation_money(struct writer *out, const struct variation_view *view)
{
	const struct variation *variation = view->variation;
	bool shown = view->priced && view->now.detail != DETAIL_HEADLINE;

	money_or_null(out, "net_minor", shown, variation->net_minor);
	money_or_null(out, "tax_minor", shown, variation->tax_minor);
	money_or_null(out, "gross_minor", shown, variation->net_minor + variation->tax_minor);
	taxes(out, view);
	sums(out, view);
}
