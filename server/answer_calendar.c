#include <math.h>
#include <stdio.h>

#include "answer_parts.h"
#include "calendar_text.h"
#include "dates.h"
#include "enquiry_write.h"
#include "reference.h"
#include "variation_view.h"
#include "version.h"

/* The programme as iCalendar. A task with dates is a VEVENT of whole days. Where a flag stops the job no date is promised,
 * and tasks are VTODOs without one: a calendar must hold a component (RFC 5545 section 3.4), and this says what is to be
 * done without saying when. */

enum { LINE_SIZE = 256, WORDS_SIZE = 1200 };

static void stamp(struct writer *out, const struct view *view)
{
	char iso[DATE_TEXT_SIZE], line[LINE_SIZE];

	/* of the quote, not of the clock: the same enquiry gives the same bytes */
	date_text((int32_t)view->asked->v[F_issued_on].number, iso);
	snprintf(line, sizeof line, "DTSTAMP:%.4s%.2s%.2sT000000Z", iso, iso + 5, iso + 8);
	calendar_line(out, line);
}

static void uid(struct writer *out, const char *reference, const char *task)
{
	char value[LINE_SIZE];

	snprintf(value, sizeof value, "%s-%s@pondwright.invalid", reference, task);
	calendar_text(out, "UID", value);
}

static const char *first_stop(const struct view *view)
{
	for (uint32_t i = 0; i < view->quote->n_flags; i++)
		if (view->quote->flags[i].level == LEVEL_STOP)
			return view_text(view, view_catalogue(view)->rules[view->quote->flags[i].rule].text)->title;
	return NULL;
}

static void description(struct writer *out, const struct view *view, const struct task_result *result, bool promised)
{
	double crew_day_h = view->edition->crew_people * view->edition->productive_h;
	char words[WORDS_SIZE];
	int length = snprintf(words, sizeof words, "Work of the crew: %.1f days.", result->hours / crew_day_h);

	if (result->wait_days > 0)
		length += snprintf(words + length, sizeof words - (size_t)length, " Waits of %.4g days belong to it.", result->wait_days);
	if (result->frost_days > 0)
		length += snprintf(words + length, sizeof words - (size_t)length, " Held %.0f days by frost.", ceil(result->frost_days));
	if (!promised)
		snprintf(words + length, sizeof words - (size_t)length, " No date before this is settled: %s.", first_stop(view));
	calendar_text(out, "DESCRIPTION", words);
}

static void write_task(struct writer *out, const struct view *view, uint32_t task, bool promised, const char *reference)
{
	const struct task_result *result = &view->quote->programme.tasks[task];
	const struct text *text = view_text(view, view_catalogue(view)->tasks[task].text);

	calendar_line(out, promised ? "BEGIN:VEVENT" : "BEGIN:VTODO");
	uid(out, reference, text->id);
	stamp(out, view);
	if (promised) {
		calendar_day(out, "DTSTART", result->from_day);
		calendar_day(out, "DTEND", result->to_day + 1); /* the day after the last */
	}
	calendar_text(out, "SUMMARY", text->title);
	description(out, view, result, promised);
	calendar_line(out, promised ? "END:VEVENT" : "END:VTODO");
}

/* Dates that a calendar can hold. */
static bool is_dated(const struct view *view)
{
	return view_is_promised(view) && view->quote->programme.finish_day < DAY_LAST_TEXT;
}

static void write_calendar(struct writer *out, const struct view *view, const char *reference)
{
	char name[LINE_SIZE];
	bool promised = is_dated(view);

	calendar_line(out, "BEGIN:VCALENDAR");
	calendar_line(out, "VERSION:2.0");
	calendar_line(out, "PRODID:-//pondwright//pondwright " PONDWRIGHT_VERSION "//EN");
	calendar_line(out, "CALSCALE:GREGORIAN");
	snprintf(name, sizeof name, "Quote %s", reference);
	calendar_text(out, "NAME", name); /* RFC 7986 section 5.1 */
	for (uint32_t i = 0; i < view_catalogue(view)->n_tasks; i++)
		if (view->quote->programme.tasks[i].active)
			write_task(out, view, i, promised, reference);
	calendar_line(out, "END:VCALENDAR");
}

static enum status price(const struct catalogue *catalogue, const struct edition *edition, const struct enquiry *enquiry,
	void *scratch, struct quote *quote)
{
	return quote_price(catalogue, edition, enquiry, NO_INDEX, scratch, quote);
}

struct answer answer_calendar(const struct ask *ask, struct writer *out)
{
	struct writer canonical;
	struct answer answer;
	struct view view;
	char reference[REFERENCE_SIZE];

	if (!ask_work_out(ask, NEED_QUOTE, price, out, &view, &answer))
		return answer;
	writer_init(&canonical);
	enquiry_write(&canonical, ask->config, &ask->room->asked);
	if (canonical.out_of_memory) {
		out->out_of_memory = true;
	} else {
		reference_text(canonical.bytes, canonical.length, view_text(&view, view.edition->text)->id, ask->config->digest,
			reference);
		write_calendar(out, &view, reference);
	}
	writer_free(&canonical);
	return answer_done(out, view_has_price(&view) ? OUTCOME_PRICED : OUTCOME_CANNOT);
}
