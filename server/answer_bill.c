#include "answer_view.h"

#include <stdio.h>
#include <string.h>


#define PPM 1e6

static void money_or_null(struct writer *out, const char *key, bool shown, int64_t amount_minor)
{
	if (shown)
		writer_member_int(out, key, amount_minor);
	else
		writer_member_null(out, key);
}

void answer_price(struct writer *out, const struct view *view)
{
	const struct quote *quote = view->quote;
	bool whole = view->detail != DETAIL_HEADLINE;

	writer_key(out, "price");
	if (!view_has_price(view)) {
		writer_null(out);
		return;
	}
	writer_object_open(out);
	money_or_null(out, "net_minor", whole, quote->net_minor);
	money_or_null(out, "tax_minor", whole, quote->tax_minor);
	money_or_null(out, "gross_minor", whole, quote->gross_minor);
	writer_member_int(out, "headline_minor", quote->headline_minor);
	writer_object_close(out);
}

static void tax_class(struct writer *out, const struct view *view, uint32_t index)
{
	const struct tax_class *row = &view_catalogue(view)->tax_classes[view->edition->tax_classes.first + index];
	const struct class_total *total = &view->quote->classes[index];
	const struct text *text = view_text(view, row->text);

	if (total->net_minor == 0 && total->tax_minor == 0)
		return;
	writer_object_open(out);
	writer_member_string(out, "class", text->id);
	writer_member_string(out, "title", text->title);
	writer_member_number(out, "rate", (double)row->rate_ppm / PPM);
	writer_member_int(out, "net_minor", total->net_minor);
	writer_member_int(out, "tax_minor", total->tax_minor);
	writer_object_close(out);
}

void answer_taxes(struct writer *out, const struct view *view)
{
	writer_key(out, "taxes");
	writer_array_open(out);
	if (view_has_price(view) && view->detail != DETAIL_HEADLINE && view->edition->registered)
		for (uint32_t i = 0; i < view->edition->tax_classes.count; i++)
			tax_class(out, view, i);
	writer_array_close(out);
}

/* ---- lines ---- */

/* What a line that is neither a build-up nor a sum is called. */
static const struct {
	const char *id;
	enum phrase title;
} special_lines[] = {
	[LINE_HALF_DAYS] = {"half-days", PHRASE_half_days},
	[LINE_MINIMUM] = {"minimum-charge", PHRASE_minimum_charge},
	[LINE_ROUNDING] = {"rounding", PHRASE_rounding},
};

struct line_name view_line_name(const struct view *view, const struct line *line)
{
	const struct catalogue *catalogue = view_catalogue(view);
	const struct text *text;

	if (line->special != LINE_BUILD_UP && line->special != LINE_SUM)
		return (struct line_name){special_lines[line->special].id,
			config_phrase(view->config, special_lines[line->special].title)};
	text = view_text(view, line->special == LINE_SUM ? catalogue->sums[line->build_up].text
							  : catalogue->build_ups[line->build_up].text);
	return (struct line_name){text->id, text->title};
}

void answer_line_names(struct writer *out, const struct view *view, const struct line *line)
{
	struct line_name name;

	if (line->special == LINE_BUILD_UP) {
		write_said(out, &view->config->said_of_build_ups[line->build_up]);
		return;
	}
	name = view_line_name(view, line);
	writer_member_string(out, "build_up", name.id);
	writer_member_string(out, "title", name.title);
}

static void write_line(struct writer *out, const struct view *view, const struct line *line)
{
	bool measured = line->special == LINE_BUILD_UP;

	writer_object_open(out);
	answer_line_names(out, view, line);
	if (measured) {
		uint16_t measured_by = view_catalogue(view)->build_ups[line->build_up].measured_by;

		writer_member_number(out, "quantity", line->quantity);
		writer_member_string(out, "unit", quantity_table[measured_by].unit);
	} else {
		writer_member_int(out, "quantity", 1); /* hours of half-days are the owner's to know */
		writer_member_string(out, "unit", "each");
	}
	writer_member_int(out, "amount_minor", line->amount_minor);
	writer_member_bool(out, "cheapest_method", line->was_cheapest_of_many);
	writer_object_close(out);
}

/* False where no line belongs to the section. */
static bool section_amount(const struct view *view, uint32_t section, int64_t *amount_minor)
{
	bool any = false;

	*amount_minor = 0;
	for (uint32_t i = 0; i < view->quote->n_lines; i++) {
		if (view->quote->lines[i].section != section)
			continue;
		any = true;
		*amount_minor += view->quote->lines[i].amount_minor;
	}
	return any;
}

static void write_section(struct writer *out, const struct view *view, uint32_t section, int64_t amount_minor)
{
	const struct text *text = view_text(view, view_catalogue(view)->sections[section].text);

	writer_object_open(out);
	writer_member_string(out, "id", text->id);
	writer_member_string(out, "title", text->title);
	writer_member_int(out, "amount_minor", amount_minor);
	writer_key(out, "lines");
	writer_array_open(out);
	for (uint32_t i = 0; i < view->quote->n_lines && view->detail == DETAIL_LINES; i++)
		if (view->quote->lines[i].section == section)
			write_line(out, view, &view->quote->lines[i]);
	writer_array_close(out);
	writer_object_close(out);
}

void answer_sections(struct writer *out, const struct view *view)
{
	int64_t amount_minor;

	writer_key(out, "sections");
	writer_array_open(out);
	for (uint32_t i = 0; i < view_catalogue(view)->n_sections && view->detail != DETAIL_HEADLINE; i++)
		if (section_amount(view, i, &amount_minor))
			write_section(out, view, i, amount_minor);
	writer_array_close(out);
}

/* ---- provisional sums ---- */

/* The rule that brings the sum where something unknown turns out that way, or NO_INDEX. */
static uint16_t rule_that_may_bring(const struct view *view, uint32_t sum)
{
	for (uint32_t i = 0; i < view->quote->n_flags; i++) {
		const struct flag *flag = &view->quote->flags[i];

		if (view_catalogue(view)->rules[flag->rule].sum == sum)
			return flag->rule;
	}
	return NO_INDEX;
}

static void write_sum(struct writer *out, const struct view *view, uint32_t sum)
{
	const struct text *text = view_text(view, view_catalogue(view)->sums[sum].text);
	bool in_price = view->quote->sum_in_price[sum];
	uint16_t rule = in_price ? view->quote->sum_because[sum] : rule_that_may_bring(view, sum);

	if (rule == NO_INDEX && !in_price)
		return;
	writer_object_open(out);
	writer_member_string(out, "id", text->id);
	writer_member_string(out, "title", text->title);
	money_or_null(out, "amount_minor", view->detail != DETAIL_HEADLINE, view->edition->sum_minor[sum]);
	writer_member_bool(out, "in_price", in_price);
	writer_member_string(out, "because",
		rule == NO_INDEX ? text->because : view_text(view, view_catalogue(view)->rules[rule].text)->title);
	writer_member_string(out, "rule", rule == NO_INDEX ? NULL : view_text(view, view_catalogue(view)->rules[rule].text)->id);
	writer_object_close(out);
}

void answer_provisional_sums(struct writer *out, const struct view *view)
{
	writer_key(out, "provisional_sums");
	writer_array_open(out);
	for (uint32_t sum = 0; sum < view_catalogue(view)->n_sums; sum++)
		write_sum(out, view, sum);
	writer_array_close(out);
}

/* ---- what can't be built ---- */

#define WHY_SIZE 2000
#define NUMBER_SIZE 32

static void add_why(char why[WHY_SIZE], const char *joint, const char *text)
{
	size_t length = strlen(why);

	if (text != NULL && strstr(why, text) == NULL)
		snprintf(why + length, WHY_SIZE - length, "%s%s", length > 0 ? joint : "", text);
}

static void group_that_cannot(struct writer *out, const struct view *view, const struct cannot *cannot)
{
	const struct catalogue *catalogue = view_catalogue(view);
	const struct group *group = &catalogue->groups[cannot->group];
	const struct text *text = view_text(view, group->text);
	char why[WHY_SIZE] = "";

	add_why(why, "", text->title);
	for (uint32_t i = 0; i < cannot->n_methods; i++) {
		const struct build_up *method = &catalogue->build_ups[cannot->methods[i]];

		add_why(why, i == 0 ? ": " : "; ", method->why_not == 0 ? NULL : view_text(view, method->why_not)->why_not);
	}
	writer_member_string(out, "section", view_text(view, catalogue->sections[group->section].text)->id);
	writer_member_string(out, "id", text->id);
	writer_member_string(out, "why", why);
}

static void pump_that_cannot(struct writer *out, const struct view *view)
{
	const struct water_result *water = &view->quote->water;
	char flow[NUMBER_SIZE], lift[NUMBER_SIZE], run[NUMBER_SIZE];
	struct writer why;

	snprintf(flow, sizeof flow, "%.0f", water->demand_l_per_h);
	snprintf(lift, sizeof lift, "%.2f", water->static_m);
	snprintf(run, sizeof run, "%.1f", water->run_m);
	writer_member_string(out, "section", "water");
	writer_member_string(out, "id", "pump-and-pipe");
	writer_init(&why);
	phrase_write(&why, config_phrase(view->config, PHRASE_no_pump),
		(struct phrase_value[]){{"flow", flow}, {"lift", lift}, {"run", run}}, 3);
	writer_key(out, "why");
	writer_string_of(out, &why);
}

void answer_cannot(struct writer *out, const struct view *view)
{
	writer_key(out, "cannot");
	writer_array_open(out);
	for (uint32_t i = 0; i < view->quote->n_cannots; i++) {
		const struct cannot *cannot = &view->quote->cannots[i];

		writer_object_open(out);
		if (cannot->kind == CANNOT_GROUP)
			group_that_cannot(out, view, cannot);
		else
			pump_that_cannot(out, view);
		writer_object_close(out);
	}
	writer_array_close(out);
}
