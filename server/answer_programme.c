#include "answer_view.h"

#include <math.h>

#include "dates.h"

/* No date is promised beyond a flag that stops the job. */
static bool is_stopped(const struct quote *quote)
{
	for (uint32_t i = 0; i < quote->n_flags; i++)
		if (quote->flags[i].level == LEVEL_STOP)
			return true;
	return false;
}

static void date_member(struct writer *out, const char *key, bool promised, int32_t day)
{
	char text[DATE_TEXT_SIZE];

	if (!promised || day < DAY_FIRST || day > DAY_LAST) {
		writer_member_null(out, key);
		return;
	}
	date_text(day, text);
	writer_member_string(out, key, text);
}

static void conditional_on(struct writer *out, const struct view *view)
{
	writer_key(out, "conditional_on");
	writer_array_open(out);
	for (uint32_t i = 0; i < view->quote->n_flags; i++) {
		const struct flag *flag = &view->quote->flags[i];

		if (flag->level == LEVEL_STOP)
			writer_string(out, view_text(view, view_catalogue(view)->rules[flag->rule].text)->id);
	}
	writer_array_close(out);
}

/* ---- what moves the start ---- */

static void moved_entry(struct writer *out, const char *id, int32_t days, const char *because)
{
	writer_object_open(out);
	writer_member_string(out, "id", id);
	writer_member_int(out, "days", days);
	writer_member_string(out, "because", because);
	writer_object_close(out);
}

/* Permissions are sought side by side, so the longest of these waits counts. */
static void waits(struct writer *out, const struct view *view)
{
	for (uint32_t i = 0; i < view->quote->n_flags; i++) {
		const struct flag *flag = &view->quote->flags[i];
		const struct rule *rule = &view_catalogue(view)->rules[flag->rule];

		if (rule->wait_days > 0 && flag->raised_by == RAISED_BY_FACT)
			moved_entry(out, view_text(view, rule->text)->id, (int32_t)ceil(rule->wait_days),
				view_text(view, rule->text)->title);
	}
}

static void moved_by(struct writer *out, const struct view *view)
{
	const struct programme *programme = &view->quote->programme;
	int32_t free_days = programme->start_day - programme->earliest_day;

	writer_key(out, "moved_by");
	writer_array_open(out);
	waits(out, view);
	if (free_days > 0)
		moved_entry(out, "free-days", free_days, config_phrase(view->config, PHRASE_free_days));
	writer_array_close(out);
}

/* Rules only warn of their seasons: the dates stay, and the first start that would miss one is told. */
static void seasons(struct writer *out, const struct view *view, bool promised)
{
	const struct programme *programme = &view->quote->programme;

	writer_key(out, "seasons");
	writer_array_open(out);
	for (uint32_t i = 0; i < programme->n_seasons; i++) {
		const struct season *season = &programme->seasons[i];
		const struct text *text = view_text(view, view_catalogue(view)->rules[season->rule].text);

		writer_object_open(out);
		writer_member_string(out, "id", text->id);
		writer_member_string(out, "season", text->season);
		date_member(out, "missed_from", promised && season->free_from_day != DAY_NEVER, season->free_from_day);
		writer_object_close(out);
	}
	writer_array_close(out);
	date_member(out, "season_free_start_on", promised && programme->free_day != DAY_NEVER, programme->free_day);
}

/* Work that stands still because frost forbids it for months. */
static void held_by_frost(struct writer *out, const struct view *view)
{
	writer_key(out, "held_by_frost");
	writer_array_open(out);
	for (uint32_t i = 0; i < view_catalogue(view)->n_tasks; i++) {
		const struct task_result *result = &view->quote->programme.tasks[i];

		if (!result->active || !(result->frost_days > 0))
			continue;
		writer_object_open(out);
		writer_member_string(out, "task", view_text(view, view_catalogue(view)->tasks[i].text)->id);
		writer_member_number(out, "days", round(result->frost_days * 10) / 10);
		writer_object_close(out);
	}
	writer_array_close(out);
}

static void write_task(struct writer *out, const struct view *view, uint32_t task, bool promised)
{
	const struct task_result *result = &view->quote->programme.tasks[task];
	double crew_day_h = view->edition->crew_people * view->edition->productive_h;
	int32_t eve_day = view->quote->programme.start_day - 1;

	writer_object_open(out);
	write_said(out, &view->config->said_of_tasks[task]);
	/* these are told where no date is promised, too */
	writer_member_int(out, "first_day", result->from_day - eve_day);
	writer_member_int(out, "last_day", result->to_day - eve_day);
	writer_member_int(out, "ready_day", result->to_day - eve_day + (int32_t)ceil(result->last_wait_days));
	date_member(out, "from", promised, result->from_day);
	date_member(out, "to", promised, result->to_day);
	writer_member_number(out, "work_days", result->hours / crew_day_h);
	writer_member_number(out, "wait_days", result->wait_days);
	writer_object_close(out);
}

static void task_members(struct writer *out, const struct view *view, bool promised)
{
	writer_key(out, "tasks");
	writer_array_open(out);
	for (uint32_t i = 0; i < view_catalogue(view)->n_tasks; i++)
		if (view->quote->programme.tasks[i].active)
			write_task(out, view, i, promised);
	writer_array_close(out);
}

void answer_programme(struct writer *out, const struct view *view)
{
	const struct programme *programme = &view->quote->programme;
	bool promised = !is_stopped(view->quote);

	writer_key(out, "programme");
	writer_object_open(out);
	writer_member_number(out, "on_site_days", view->quote->q[Q_work_days]);
	writer_member_int(out, "visits", programme->visits);
	date_member(out, "start_on", promised, programme->start_day);
	date_member(out, "water_in_on", promised && programme->has_water_in, programme->water_in_day);
	date_member(out, "finish_on", promised, programme->finish_day);
	date_member(out, "earliest_start_on", promised, programme->start_day);
	moved_by(out, view);
	seasons(out, view, promised);
	held_by_frost(out, view);
	conditional_on(out, view);
	task_members(out, view, promised);
	writer_member_number(out, "elapsed_weeks", programme->elapsed_weeks);
	writer_object_close(out);
}
