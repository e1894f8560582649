#include "answer_view.h"

#include "conditions.h"

static bool holds(const struct view *view, struct span when)
{
	return conditions_truth(view_catalogue(view), when, view->quote->resolved.v, view->quote->q) == YES;
}

static const struct shell *shell_of(const struct view *view)
{
	return view->quote->shell == NO_INDEX ? NULL : &view_catalogue(view)->shells[view->quote->shell];
}

/* Why the shell does not suit; it is priced all the same. */
void answer_unsuitable(struct writer *out, const struct view *view)
{
	const struct shell *shell = shell_of(view);
	uint32_t end = shell == NULL ? 0 : shell->unsuitable.first + shell->unsuitable.count;

	writer_key(out, "unsuitable");
	writer_array_open(out);
	for (uint32_t i = shell == NULL ? 0 : shell->unsuitable.first; i < end; i++) {
		const struct shell_reason *reason = &view_catalogue(view)->shell_reasons[i];

		if (!holds(view, reason->when))
			continue;
		writer_object_open(out);
		writer_member_string(out, "id", view_text(view, reason->text)->id);
		writer_member_string(out, "why", view_text(view, reason->text)->because);
		writer_object_close(out);
	}
	writer_array_close(out);
}

static void notes(struct writer *out, const struct view *view, bool excluded)
{
	for (uint32_t i = 0; i < view_catalogue(view)->n_notes; i++) {
		const struct note *note = &view_catalogue(view)->notes[i];

		if (note->excluded == excluded && view->quote->note_said[i])
			write_said(out, &view->config->said_of_notes[i]);
	}
}

void answer_excluded(struct writer *out, const struct view *view)
{
	writer_key(out, "excluded");
	writer_array_open(out);
	notes(out, view, true);
	writer_array_close(out);
}

void answer_cautions(struct writer *out, const struct view *view)
{
	const struct shell *shell = shell_of(view);

	writer_key(out, "cautions");
	writer_array_open(out);
	notes(out, view, false);
	for (uint32_t i = 0; shell != NULL && i < shell->cautions.count; i++) {
		const struct shell_reason *caution = &view_catalogue(view)->shell_reasons[shell->cautions.first + i];

		if (holds(view, caution->when))
			writer_string(out, view_text(view, caution->text)->text);
	}
	writer_array_close(out);
}

/* An owner may say it in words of his own, but not leave it out. */
void answer_disclaimer(struct writer *out, const struct config *config)
{
	writer_member_string(out, "disclaimer", config->service.disclaimer != NULL ? config->service.disclaimer
		: config_phrase(config, PHRASE_disclaimer));
}
