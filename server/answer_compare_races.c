#include "compare_view.h"

#include <string.h>

#include "enquiry_write.h"

/* ---- horizons ---- */

static void horizon_option(struct writer *out, const struct view *view, const struct option *option, uint32_t years)
{
	writer_object_open(out);
	compare_shell_member(out, "shell", view, option->quote.shell);
	if (option->years_known)
		writer_member_int(out, "cost_over_years_minor", compare_shown_minor(view,
			option_over_years_minor(view_catalogue(view), view->edition, option, years)));
	else
		writer_member_null(out, "cost_over_years_minor");
	writer_object_close(out);
}

void compare_horizons(struct writer *out, const struct compare_view *view)
{
	writer_key(out, "horizons");
	writer_array_open(out);
	for (uint32_t h = 0; h < HORIZONS; h++) {
		writer_object_open(out);
		writer_member_int(out, "years", horizon_years[h]);
		compare_shell_member(out, "cheapest", &view->view, view->comparison->horizon_cheapest[h]);
		writer_key(out, "options");
		writer_array_open(out);
		for (uint32_t i = 0; i < view->comparison->n_options; i++)
			horizon_option(out, &view->view, &view->options[i], horizon_years[h]);
		writer_array_close(out);
		writer_object_close(out);
	}
	writer_array_close(out);
}

/* ---- differences ---- */

static int64_t section_minor(const struct quote *quote, uint32_t section)
{
	int64_t minor = 0;

	for (uint32_t i = 0; i < quote->n_lines; i++)
		if (quote->lines[i].section == section)
			minor += quote->lines[i].amount_minor;
	return minor;
}

static bool differs(const struct compare_view *view, uint32_t section)
{
	bool any = false;
	int64_t first_minor = 0;

	for (uint32_t i = 0; i < view->comparison->n_options; i++) {
		int64_t minor = section_minor(&view->options[i].quote, section);

		if (view->options[i].quote.n_cannots > 0)
			continue;
		if (any && minor != first_minor)
			return true;
		any = true;
		first_minor = minor;
	}
	return false;
}

static void write_difference(struct writer *out, const struct compare_view *view, uint32_t section)
{
	const struct text *text = view_text(&view->view, view_catalogue(&view->view)->sections[section].text);

	writer_object_open(out);
	writer_member_string(out, "section", text->id);
	writer_member_string(out, "title", text->title);
	writer_key(out, "amounts");
	writer_array_open(out);
	for (uint32_t i = 0; i < view->comparison->n_options; i++) {
		const struct quote *quote = &view->options[i].quote;

		if (quote->n_cannots > 0)
			continue;
		writer_object_open(out);
		compare_shell_member(out, "shell", &view->view, quote->shell);
		writer_member_int(out, "amount_minor", section_minor(quote, section));
		writer_object_close(out);
	}
	writer_array_close(out);
	writer_object_close(out);
}

void compare_differences(struct writer *out, const struct compare_view *view)
{
	writer_key(out, "differences");
	writer_array_open(out);
	for (uint32_t i = 0; i < view_catalogue(&view->view)->n_sections && view->view.detail != DETAIL_HEADLINE; i++)
		if (differs(view, i))
			write_difference(out, view, i);
	writer_array_close(out);
}

/* ---- what can't be told apart ---- */

static void subject(struct writer *out, const struct view *view, const struct unknown *unknown, double number)
{
	if (unknown->subject >= F_COUNT) {
		writer_member_null(out, "pointer");
		writer_member_string(out, "subject",
			unknown->subject == FACTOR_LABOUR_OUTPUT ? "labour-output" : "price-drift");
		writer_member_number(out, "value", number);
		return;
	}
	writer_member_string(out, "pointer", enquiry_fields[unknown->subject].pointer);
	writer_member_null(out, "subject");
	writer_key(out, "value");
	enquiry_write_value(out, view->config, (enum field_id)unknown->subject, &(struct value){.number = number, .origin = GIVEN});
}

static void write_decider(struct writer *out, const struct view *view, const struct decider *decider)
{
	const struct unknown *unknown = &view_catalogue(view)->unknowns[decider->unknown];
	const struct text *text = view_text(view, unknown->text);

	writer_object_open(out);
	subject(out, view, unknown, decider->number);
	writer_member_bool(out, "rules_out", decider->rules_out);
	writer_member_string(out, "question", text->question);
	writer_member_string(out, "why", text->why);
	writer_member_string(out, "where", unknown->on_visit ? "visit" : "phone");
	writer_object_close(out);
}

static void write_race(struct writer *out, const struct view *view, const struct race *race)
{
	if (race->n_deciders == 0)
		return;
	writer_object_open(out);
	writer_member_string(out, "what", race->years == 0 ? "now" : "over-years");
	writer_key(out, "between");
	writer_array_open(out);
	writer_string(out, view_text(view, view_catalogue(view)->shells[race->cheapest].text)->id);
	writer_string(out, view_text(view, view_catalogue(view)->shells[race->rival].text)->id);
	writer_array_close(out);
	writer_member_int(out, "difference_minor", compare_shown_minor(view, race->gap_minor));
	writer_key(out, "decided_by");
	writer_array_open(out);
	for (uint32_t i = 0; i < race->n_deciders; i++)
		write_decider(out, view, &race->deciders[i]);
	writer_array_close(out);
	writer_object_close(out);
}

void compare_undecided(struct writer *out, const struct compare_view *view)
{
	writer_member_number(out, "told_apart_beyond_share", NEAR_SHARE);
	writer_key(out, "undecided");
	writer_array_open(out);
	write_race(out, &view->view, &view->comparison->now);
	write_race(out, &view->view, &view->comparison->over_years);
	writer_array_close(out);
}
