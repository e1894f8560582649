#include "answer_parts.h"

#include "enquiry_check.h"
#include "json_memory.h"

static struct answer no_memory(void)
{
	return (struct answer){503, OUTCOME_NO_MEMORY};
}

struct answer answer_done(const struct writer *out, enum outcome outcome)
{
	return out->out_of_memory ? no_memory() : (struct answer){200, outcome};
}

struct answer ask_refuse(const struct ask *ask, unsigned status, struct writer *out)
{
	if (ask->room->faults.texts.out_of_memory)
		return no_memory();
	enquiry_faults_problem(out, &ask->room->faults, status, ask->instance);
	return out->out_of_memory ? no_memory() : (struct answer){status, OUTCOME_REFUSED};
}

bool ask_parse(const struct ask *ask, json_t **object, struct writer *out, struct answer *answer)
{
	enum body_state state;

	enquiry_faults_free(&ask->room->faults);
	enquiry_faults_init(&ask->room->faults);
	if (!json_arena_open(&ask->room->arena, ask->body_length)) {
		*answer = no_memory();
		return false;
	}
	json_memory_begin();
	state = body_parse(ask->body, ask->body_length, object, &ask->room->faults);
	json_arena_close();
	if (json_memory_was_short() || state == BODY_NO_MEMORY) {
		if (state == BODY_READ)
			json_decref(*object);
		*answer = no_memory();
		return false;
	}
	if (state == BODY_REFUSED)
		*answer = ask_refuse(ask, 400, out);
	return state == BODY_READ;
}

bool ask_check(const struct ask *ask, enum route_need need, json_t *object, struct writer *out, struct answer *answer)
{
	struct room *room = ask->room;

	enquiry_read(ask->config, need, object, "", &room->asked, &room->faults);
	json_decref(object);
	enquiry_check(ask->config, ask->today_day, "", &room->asked, &room->faults);
	if (room->faults.count == 0 && !room->faults.texts.out_of_memory)
		return true;
	*answer = ask_refuse(ask, 422, out);
	return false;
}

struct view ask_view(const struct ask *ask, const struct enquiry *asked, const struct quote *quote)
{
	return (struct view){.config = ask->config, .edition = enquiry_edition(ask->config, asked), .asked = asked, .quote = quote,
		.detail = ask->owner ? DETAIL_LINES : ask->config->service.public_detail, .costing = ask->owner};
}

bool ask_work_out(const struct ask *ask, enum route_need need, core_function *work_out, struct writer *out,
	struct view *view, struct answer *answer)
{
	struct room *room = ask->room;
	enum status status;
	json_t *object;

	if (!ask_parse(ask, &object, out, answer) || !ask_check(ask, need, object, out, answer))
		return false;
	*view = ask_view(ask, &room->asked, &room->quote);
	status = work_out(&ask->config->catalogue, view->edition, &room->asked, room->scratch, &room->quote);
	if (status == ST_OK)
		return true;
	enquiry_fault_status(&room->faults, "", status);
	*answer = ask_refuse(ask, 422, out);
	return false;
}
