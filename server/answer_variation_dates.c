#include "variation_view.h"

#include "dates.h"

bool view_is_promised(const struct view *view)
{
	for (uint32_t i = 0; i < view->quote->n_flags; i++)
		if (view->quote->flags[i].level == LEVEL_STOP)
			return false;
	return true;
}

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

static void days_of(struct writer *out, const char *key, const struct view *view)
{
	const struct programme *programme = &view->quote->programme;
	bool promised = view_is_promised(view);

	writer_key(out, key);
	writer_object_open(out);
	day_member(out, "start_on", promised, programme->start_day);
	day_member(out, "water_in_on", promised && programme->has_water_in, programme->water_in_day);
	day_member(out, "finish_on", promised, programme->finish_day);
	writer_object_close(out);
}

/* Days that went into work which is no longer wanted were worked all the same. */
static void days(struct writer *out, const struct variation_view *view)
{
	double agreed = view->agreed.quote->q[Q_work_days], now = view->now.quote->q[Q_work_days];

	writer_key(out, "days");
	writer_object_open(out);
	writer_member_number(out, "agreed_on_site", agreed);
	writer_member_number(out, "now_on_site", now);
	writer_member_number(out, "done_and_not_wanted", view->variation->kept_crew_days);
	writer_member_number(out, "difference", now + view->variation->kept_crew_days - agreed);
	writer_object_close(out);
}

static void conditional_on(struct writer *out, const struct view *view)
{
	writer_key(out, "conditional_on");
	writer_array_open(out);
	for (uint32_t i = 0; i < view->quote->n_flags; i++)
		if (view->quote->flags[i].level == LEVEL_STOP)
			writer_string(out, view_text(view, view_catalogue(view)->rules[view->quote->flags[i].rule].text)->id);
	writer_array_close(out);
}

/* A flag that rose to another level is new too. */
static bool has_flag(const struct quote *quote, const struct flag *flag)
{
	for (uint32_t i = 0; i < quote->n_flags; i++)
		if (quote->flags[i].rule == flag->rule && quote->flags[i].level == flag->level)
			return true;
	return false;
}

static void flags(struct writer *out, const struct variation_view *view)
{
	const struct quote *agreed = view->agreed.quote, *now = view->now.quote;

	writer_key(out, "new_flags");
	writer_array_open(out);
	for (uint32_t i = 0; i < now->n_flags; i++)
		if (!has_flag(agreed, &now->flags[i]))
			answer_flag(out, &view->now, &now->flags[i]);
	writer_array_close(out);
	writer_key(out, "gone_flags");
	writer_array_open(out);
	for (uint32_t i = 0; i < agreed->n_flags; i++)
		if (!has_flag(now, &agreed->flags[i]))
			writer_string(out, view_text(&view->now, view_catalogue(&view->now)->rules[agreed->flags[i].rule].text)->id);
	writer_array_close(out);
}

void variation_dates(struct writer *out, const struct variation_view *view)
{
	days(out, view);
	days_of(out, "agreed_dates", &view->agreed);
	days_of(out, "new_dates", &view->now);
	conditional_on(out, &view->now);
	flags(out, view);
}
