#include "answer_view.h"

static const char *const level_words[] = {
	[LEVEL_STOP] = "stop", [LEVEL_CHECK] = "check", [LEVEL_ASK] = "ask", [LEVEL_NOTE] = "note", [LEVEL_NONE] = "none",
};

void answer_flag(struct writer *out, const struct view *view, const struct flag *flag)
{
	const struct text *text = view_text(view, view_catalogue(view)->rules[flag->rule].text);

	writer_object_open(out);
	writer_member_string(out, "id", text->id);
	writer_member_string(out, "level", level_words[flag->level]);
	writer_member_string(out, "raised_by", flag->raised_by == RAISED_BY_FACT ? "fact" : "unknown");
	write_said(out, &view->config->said_of_rules[flag->rule]);
	writer_member_string(out, "ask", flag->raised_by == RAISED_BY_UNKNOWN ? text->ask : NULL);
	writer_object_close(out);
}

void answer_flags(struct writer *out, const struct view *view)
{
	writer_key(out, "flags");
	writer_array_open(out);
	for (uint32_t i = 0; i < view->quote->n_flags; i++)
		answer_flag(out, view, &view->quote->flags[i]);
	writer_array_close(out);
}
