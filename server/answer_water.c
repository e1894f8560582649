#include "answer_parts.h"

struct answer answer_water(const struct ask *ask, struct writer *out)
{
	struct answer answer;
	struct view view;

	if (!ask_work_out(ask, NEED_WATER, quote_water, out, &view, &answer))
		return answer;
	writer_object_open(out);
	answer_water_member(out, &view);
	answer_assumed(out, &view);
	answer_disclaimer(out, ask->config);
	writer_object_close(out);
	return answer_done(out, OUTCOME_ANSWERED);
}
