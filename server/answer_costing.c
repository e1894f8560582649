#include "answer_view.h"

static const char *const component_keys[COMPONENT_COUNT] = {
	[MATERIAL] = "material_minor", [LABOUR] = "labour_minor", [HIRE] = "hire_minor", [DISPOSAL] = "disposal_minor",
	[SERVICE] = "service_minor",
};

static void hours_by_grade(struct writer *out, const struct view *view, const struct line *line)
{
	const struct catalogue *catalogue = view_catalogue(view);

	writer_key(out, "hours");
	writer_object_open(out);
	for (uint32_t i = 0; i < catalogue->n_grades; i++)
		if (line->hours[i] > 0)
			writer_member_number(out, view_text(view, catalogue->grades[i].text)->id, line->hours[i]);
	writer_object_close(out);
}

static void items_of_line(struct writer *out, const struct view *view, const struct line *line)
{
	writer_key(out, "items");
	writer_array_open(out);
	for (uint32_t i = line->needs.first; i < line->needs.first + line->needs.count; i++) {
		const struct need *need = &view->quote->needs[i];
		const struct text *text = view_text(view, view_catalogue(view)->items[need->item].text);

		writer_object_open(out);
		writer_member_string(out, "item", text->id);
		writer_member_number(out, "quantity", (double)need->micro / 1e6);
		writer_member_string(out, "unit", text->unit);
		writer_member_int(out, "cost_minor", need->minor);
		writer_object_close(out);
	}
	writer_array_close(out);
}

static const char *id_of_line(const struct view *view, const struct line *line)
{
	const struct catalogue *catalogue = view_catalogue(view);

	switch ((enum special_line)line->special) {
	case LINE_BUILD_UP:
		return view_text(view, catalogue->build_ups[line->build_up].text)->id;
	case LINE_SUM:
		return view_text(view, catalogue->sums[line->build_up].text)->id;
	case LINE_HALF_DAYS:
		return "half-days";
	case LINE_MINIMUM:
		return "minimum-charge";
	case LINE_ROUNDING:
		return "rounding";
	}
	return NULL;
}

static void costing_line(struct writer *out, const struct view *view, const struct line *line)
{
	int64_t cost_minor = 0;

	writer_object_open(out);
	writer_member_string(out, "build_up", id_of_line(view, line));
	writer_member_string(out, "section", view_text(view, view_catalogue(view)->sections[line->section].text)->id);
	for (int i = 0; i < COMPONENT_COUNT; i++) {
		writer_member_int(out, component_keys[i], line->cost_minor[i]);
		cost_minor += line->cost_minor[i];
	}
	writer_member_int(out, "cost_minor", cost_minor);
	writer_member_int(out, "amount_minor", line->amount_minor);
	hours_by_grade(out, view, line);
	items_of_line(out, view, line);
	writer_object_close(out);
}

static void packs_of_item(struct writer *out, const struct view *view, uint32_t index)
{
	const struct item *item = &view_catalogue(view)->items[index];

	writer_key(out, "packs");
	writer_array_open(out);
	for (uint32_t i = item->packs.first; i < item->packs.first + item->packs.count; i++) {
		if (view->quote->bought[i] == 0)
			continue;
		writer_object_open(out);
		writer_member_string(out, "pack", view_text(view, view_catalogue(view)->packs[i].text)->id);
		writer_member_int(out, "count", view->quote->bought[i]);
		writer_member_number(out, "size", view_catalogue(view)->packs[i].size);
		writer_object_close(out);
	}
	writer_array_close(out);
}

static void bought_items(struct writer *out, const struct view *view)
{
	writer_key(out, "bought");
	writer_array_open(out);
	for (uint32_t i = 0; i < view_catalogue(view)->n_items; i++) {
		const struct text *text = view_text(view, view_catalogue(view)->items[i].text);

		if (!(view->quote->item_total[i] > 0))
			continue;
		writer_object_open(out);
		writer_member_string(out, "item", text->id);
		writer_member_string(out, "title", text->title);
		writer_member_number(out, "quantity", view->quote->item_total[i]);
		writer_member_string(out, "unit", text->unit);
		writer_member_int(out, "cost_minor", view->quote->item_minor[i]);
		packs_of_item(out, view, i);
		writer_object_close(out);
	}
	writer_array_close(out);
}

static void total_hours(struct writer *out, const struct view *view)
{
	const struct catalogue *catalogue = view_catalogue(view);

	writer_key(out, "hours");
	writer_object_open(out);
	for (uint32_t grade = 0; grade < catalogue->n_grades; grade++) {
		double hours = 0;

		for (uint32_t i = 0; i < view->quote->n_lines; i++)
			hours += view->quote->lines[i].hours[grade];
		writer_member_number(out, view_text(view, catalogue->grades[grade].text)->id, hours);
	}
	writer_object_close(out);
}

void answer_costing(struct writer *out, const struct view *view)
{
	const struct quote *quote = view->quote;

	writer_key(out, "costing");
	writer_object_open(out);
	writer_member_int(out, "direct_minor", quote->direct_minor);
	writer_member_int(out, "overhead_minor", quote->overhead_minor);
	writer_member_int(out, "risk_minor", quote->risk_minor);
	writer_member_int(out, "margin_minor", quote->margin_minor);
	writer_member_number(out, "crew_half_days", quote->programme.crew_half_days);
	total_hours(out, view);
	writer_key(out, "lines");
	writer_array_open(out);
	for (uint32_t i = 0; i < quote->n_lines; i++)
		costing_line(out, view, &quote->lines[i]);
	writer_array_close(out);
	bought_items(out, view);
	answer_orders(out, view);
	writer_object_close(out);
}
