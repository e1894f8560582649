#include "answer_parts.h"
#include "open_facts.h"

/* In the order of the field table. */
static void still_to_ask(struct writer *out, const struct view *view)
{
	struct open_facts facts;

	open_facts_gather(view, &facts);
	writer_key(out, "still_to_ask");
	writer_array_open(out);
	for (uint32_t id = 0; id < F_COUNT; id++) {
		const struct text *text;

		if (facts.rule_of[id] == NO_INDEX)
			continue;
		text = view_text(view, view_catalogue(view)->rules[facts.rule_of[id]].text);
		writer_object_open(out);
		writer_member_string(out, "pointer", enquiry_fields[id].pointer);
		writer_member_string(out, "question", text->ask != NULL ? text->ask : enquiry_fields[id].help);
		writer_member_string(out, "because", text->title);
		writer_object_close(out);
	}
	writer_array_close(out);
}

struct answer answer_screen(const struct ask *ask, struct writer *out)
{
	struct answer answer;
	struct view view;

	if (!ask_work_out(ask, NEED_SCREEN, quote_screen, out, &view, &answer))
		return answer;
	writer_object_open(out);
	answer_flags(out, &view);
	still_to_ask(out, &view);
	answer_disclaimer(out, ask->config);
	writer_object_close(out);
	return answer_done(out, OUTCOME_ANSWERED);
}
