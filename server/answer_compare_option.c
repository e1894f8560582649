#include "compare_view.h"

#include <math.h>

#include "conditions.h"
#include "dates.h"

static bool is_promised(const struct quote *quote)
{
	for (uint32_t i = 0; i < quote->n_flags; i++)
		if (quote->flags[i].level == LEVEL_STOP)
			return false;
	return true;
}

static void day_member(struct writer *out, const char *key, bool known, int32_t day)
{
	char text[DATE_TEXT_SIZE];

	if (!known || day < DAY_FIRST || day > DAY_LAST_TEXT) {
		writer_member_null(out, key);
		return;
	}
	date_text(day, text);
	writer_member_string(out, key, text);
}

static void dates(struct writer *out, const struct quote *quote)
{
	bool promised = is_promised(quote);

	writer_member_number(out, "on_site_days", quote->q[Q_work_days]);
	writer_member_int(out, "visits", quote->programme.visits);
	day_member(out, "start_on", promised, quote->programme.start_day);
	day_member(out, "water_in_on", promised && quote->programme.has_water_in, quote->programme.water_in_day);
	day_member(out, "finish_on", promised, quote->programme.finish_day);
}

/* ---- renewals ---- */

static void disturbs(struct writer *out, const struct view *view, const struct renewed *renewed)
{
	writer_key(out, "disturbs");
	writer_array_open(out);
	for (uint32_t i = 0; i < view_catalogue(view)->n_build_ups; i++)
		if (renewed->disturbs[i / 64] >> (i % 64) & 1)
			writer_string(out, view_text(view, view_catalogue(view)->build_ups[i].text)->title);
	writer_array_close(out);
}

static void due_years(struct writer *out, const struct renewal *renewal, uint32_t years)
{
	writer_key(out, "in_years");
	writer_array_open(out);
	for (uint32_t k = 1; k <= renewal_times(renewal, years); k++)
		writer_number(out, k * renewal->every_years);
	writer_array_close(out);
}

static void write_renewal(struct writer *out, const struct compare_view *view, const struct renewed *renewed)
{
	const struct renewal *renewal = &view_catalogue(&view->view)->renewals[renewed->renewal];

	writer_object_open(out);
	writer_member_string(out, "title", view_text(&view->view, renewal->text)->title);
	writer_member_number(out, "every_years", renewal->every_years);
	writer_member_number(out, "share", renewal->share);
	due_years(out, renewal, view->comparison->years);
	if (renewed->possible)
		writer_member_int(out, "each_minor", compare_shown_minor(&view->view, renewed->each_minor));
	else
		writer_member_null(out, "each_minor");
	disturbs(out, &view->view, renewed);
	writer_object_close(out);
}

static void renewals(struct writer *out, const struct compare_view *view, const struct option *option)
{
	writer_key(out, "renewals");
	writer_array_open(out);
	for (uint32_t i = 0; i < option->n_renewals; i++)
		if (option->renewals[i].needed)
			write_renewal(out, view, &option->renewals[i]);
	writer_array_close(out);
}

static void years(struct writer *out, const struct compare_view *view, const struct option *option)
{
	if (!option->years_known) {
		writer_member_null(out, "cost_over_years_minor");
		writer_member_null(out, "cost_per_year_minor");
		return;
	}
	writer_member_int(out, "cost_over_years_minor", compare_shown_minor(&view->view, option->over_years_minor));
	writer_member_int(out, "cost_per_year_minor", compare_shown_minor(&view->view, option->per_year_minor));
}

/* ---- carbon ---- */

/* A missing factor is never nought: the total is not known then, and what is known is told apart. */
static void carbon(struct writer *out, const struct view *view, const struct option *option)
{
	double none = (double)NAN;

	writer_member_number(out, "kgco2e", option->lacks_factor ? none : option->kgco2e);
	writer_member_number(out, "kgco2e_renewals", option->lacks_factor ? none : option->renewals_kgco2e);
	writer_member_number(out, "kgco2e_known", option->kgco2e);
	writer_member_number(out, "kgco2e_renewals_known", option->renewals_kgco2e);
	writer_key(out, "kgco2e_missing");
	writer_array_open(out);
	for (uint32_t i = 0; i < view_catalogue(view)->n_items; i++)
		if (option->lacking[i / 64] >> (i % 64) & 1)
			writer_string(out, view_text(view, view_catalogue(view)->items[i].text)->id);
	writer_array_close(out);
}

/* ---- words ---- */

static bool holds(const struct view *view, struct span when)
{
	return conditions_truth(view_catalogue(view), when, view->quote->resolved.v, view->quote->q) == YES;
}

/* The shell's own; what is said of every shell is the quote's to say. */
static void cautions(struct writer *out, const struct view *view, const struct shell *shell)
{
	writer_key(out, "cautions");
	writer_array_open(out);
	for (uint32_t i = shell->cautions.first; i < shell->cautions.first + shell->cautions.count; i++)
		if (holds(view, view_catalogue(view)->shell_reasons[i].when))
			writer_string(out, view_text(view, view_catalogue(view)->shell_reasons[i].text)->text);
	writer_array_close(out);
}

static void suitability(struct writer *out, const struct view *view)
{
	if (view->quote->shell_suitable)
		writer_member_null(out, "unsuitable");
	else
		answer_unsuitable(out, view);
}

/* A shell whose price is beyond what can be kept exactly. */
static void write_set_aside(struct writer *out, const struct view *view, const struct option *option)
{
	static const char *const unknown[] = {"on_site_days", "visits", "start_on", "water_in_on", "finish_on"};
	static const char *const after[] = {"cost_over_years_minor", "cost_per_year_minor", "kgco2e", "unsuitable"};
	static const char *const empty[] = {"sections", "renewals", "kgco2e_missing", "cautions"};

	writer_member_null(out, "price");
	for (size_t i = 0; i < sizeof unknown / sizeof unknown[0]; i++)
		writer_member_null(out, unknown[i]);
	writer_member_number(out, "service_life_years",
		view_catalogue(view)->shells[option->quote.shell].service_life_years);
	for (size_t i = 0; i < sizeof after / sizeof after[0]; i++)
		writer_member_null(out, after[i]);
	for (size_t i = 0; i < sizeof empty / sizeof empty[0]; i++) {
		writer_key(out, empty[i]);
		writer_array_open(out);
		writer_array_close(out);
	}
	writer_key(out, "cannot");
	writer_array_open(out);
	writer_object_open(out);
	writer_member_string(out, "section", "shell");
	writer_member_string(out, "id", status_slug(option->status));
	writer_member_string(out, "why", status_sentence(option->status));
	writer_object_close(out);
	writer_array_close(out);
}

static void write_priced(struct writer *out, const struct compare_view *view, const struct option *option)
{
	const struct shell *shell = &view_catalogue(&view->view)->shells[option->quote.shell];
	struct view of = view->view;

	of.quote = &option->quote;
	answer_price(out, &of);
	answer_sections(out, &of);
	dates(out, &option->quote);
	writer_member_number(out, "service_life_years", shell->service_life_years);
	renewals(out, view, option);
	years(out, view, option);
	carbon(out, &of, option);
	cautions(out, &of, shell);
	suitability(out, &of);
	answer_cannot(out, &of);
}

static void write_option(struct writer *out, const struct compare_view *view, const struct option *option)
{
	const struct text *text = view_text(&view->view, view_catalogue(&view->view)->shells[option->quote.shell].text);

	writer_object_open(out);
	writer_member_string(out, "shell", text->id);
	writer_member_string(out, "title", text->title);
	compare_sentence(out, view, option);
	if (option->status == ST_OK)
		write_priced(out, view, option);
	else
		write_set_aside(out, &view->view, option);
	writer_object_close(out);
}

void compare_options(struct writer *out, const struct compare_view *view)
{
	writer_key(out, "options");
	writer_array_open(out);
	for (uint32_t i = 0; i < view->comparison->n_options; i++)
		write_option(out, view, &view->options[i]);
	writer_array_close(out);
}
