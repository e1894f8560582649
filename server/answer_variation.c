#include <stdlib.h>
#include <string.h>

#include "answer_parts.h"
#include "enquiry_check.h"
#include "enquiry_write.h"
#include "nearest.h"
#include "reference.h"
#include "variation_view.h"
#include "version.h"

/* Beside the thread's room: a second enquiry and its quote, what came of both, and their canonical texts. */
struct variation_room {
	struct enquiry now;
	struct quote now_quote;
	struct variation variation;
	struct writer agreed_text, now_text;
	uint16_t stage;
};

/* ---- reading ---- */

/* A member that holds an enquiry, read and checked; an enquiry without members where it is none. */
static void read_enquiry(const struct ask *ask, json_t *body, const char *member, struct enquiry *enquiry)
{
	struct enquiry_faults *faults = &ask->room->faults;
	json_t *object = json_object_get(body, member);
	char prefix[16] = "/";

	strcat(prefix, member);
	if (object == NULL)
		enquiry_fault_add(faults, "", member, "missing", "%s: must be given", member);
	else if (!json_is_object(object))
		enquiry_fault_add(faults, "", member, "wrong-type", "%s: must be an object, an enquiry", member);
	if (!json_is_object(object)) {
		memset(enquiry, 0, sizeof *enquiry);
		return;
	}
	enquiry_read(ask->config, NEED_QUOTE, object, prefix, enquiry, faults);
}

static bool is_enquiry(json_t *body, const char *member)
{
	return json_is_object(json_object_get(body, member));
}

/* What is added is priced as what was agreed, whatever the edition of the second enquiry. */
static void agree_edition(const struct ask *ask, struct variation_room *more)
{
	const struct enquiry *agreed = &ask->room->asked;

	if (!field_given(agreed, F_region) || !field_given(&more->now, F_region))
		return;
	if (agreed->v[F_region].number != more->now.v[F_region].number)
		enquiry_fault_add(&ask->room->faults, "/now", "region", "conflict",
			"region: the agreed enquiry is priced in another region");
	else if (field_given(agreed, F_edition) && more->now.v[F_edition].origin != NOT_APPLICABLE)
		more->now.v[F_edition] = agreed->v[F_edition];
}

/* null: nothing is done yet. */
static void read_stage(const struct ask *ask, json_t *body, uint16_t *stage)
{
	const struct catalogue *catalogue = &ask->config->catalogue;
	json_t *value = json_object_get(body, "stage");
	const char *word = json_string_value(value);
	struct nearest nearest = nearest_to(word != NULL ? word : "");
	char hint[NEAREST_HINT_SIZE];

	*stage = STAGE_NOTHING;
	if (value == NULL)
		enquiry_fault_add(&ask->room->faults, "", "stage", "missing",
			"stage: the last task that is done must be given, or null where none is");
	else if (word == NULL && !json_is_null(value))
		enquiry_fault_add(&ask->room->faults, "", "stage", "wrong-type", "stage: must be a task's id, or null");
	if (word == NULL)
		return;
	for (uint32_t i = 0; i < catalogue->n_tasks; i++)
		if (strcmp(config_text(ask->config, catalogue->tasks[i].text)->id, word) == 0) {
			*stage = (uint16_t)i;
			return;
		}
	for (uint32_t i = 0; i < catalogue->n_tasks; i++)
		nearest_offer(&nearest, config_text(ask->config, catalogue->tasks[i].text)->id);
	enquiry_fault_add(&ask->room->faults, "", "stage", "unknown-id", "stage: %.60s is no task%s", word,
		nearest_hint(&nearest, hint));
}

static void refuse_unknown(const struct ask *ask, json_t *body)
{
	const char *key;
	json_t *value;

	json_object_foreach (body, key, value)
		if (strcmp(key, "agreed") != 0 && strcmp(key, "now") != 0 && strcmp(key, "stage") != 0)
			enquiry_fault_add(&ask->room->faults, "", key, "unknown-member",
				"%.60s: only agreed, now and stage are known here", key);
}

/* Both enquiries and the stage, checked. False: *answer holds the refusal. */
static bool read_both(const struct ask *ask, struct variation_room *more, struct writer *out, struct answer *answer)
{
	struct enquiry_faults *faults = &ask->room->faults;
	json_t *body;

	if (!ask_parse(ask, &body, out, answer))
		return false;
	read_enquiry(ask, body, "agreed", &ask->room->asked);
	if (is_enquiry(body, "agreed"))
		enquiry_check(ask->config, ask->today_day, "/agreed", &ask->room->asked, faults);
	read_enquiry(ask, body, "now", &more->now);
	agree_edition(ask, more);
	if (is_enquiry(body, "now"))
		enquiry_check(ask->config, ask->today_day, "/now", &more->now, faults);
	read_stage(ask, body, &more->stage);
	refuse_unknown(ask, body);
	json_decref(body);
	if (faults->count == 0 && !faults->texts.out_of_memory)
		return true;
	*answer = ask_refuse(ask, 422, out);
	return false;
}

/* ---- pricing ---- */

static bool price_both(const struct ask *ask, struct variation_room *more, struct writer *out, struct answer *answer)
{
	const struct catalogue *catalogue = &ask->config->catalogue;
	const struct edition *edition = enquiry_edition(ask->config, &ask->room->asked);
	struct room *room = ask->room;
	enum status agreed, now, all = ST_OK;

	agreed = quote_price(catalogue, edition, &room->asked, NO_INDEX, room->scratch, &room->quote);
	now = quote_price(catalogue, edition, &more->now, NO_INDEX, room->scratch, &more->now_quote);
	if (agreed == ST_OK && now == ST_OK)
		all = variation_work_out(catalogue, edition, &room->quote, &more->now_quote, more->stage, &more->variation);
	if (agreed != ST_OK)
		enquiry_fault_status(&room->faults, "/agreed", agreed);
	if (now != ST_OK)
		enquiry_fault_status(&room->faults, "/now", now);
	if (all != ST_OK)
		enquiry_fault_status(&room->faults, "", all);
	if (room->faults.count == 0)
		return true;
	*answer = ask_refuse(ask, 422, out);
	return false;
}

/* ---- writing ---- */

static void price_member(struct writer *out, const char *key, bool shown, int64_t amount_minor)
{
	if (shown)
		writer_member_int(out, key, amount_minor);
	else
		writer_member_null(out, key);
}

static void write_side(struct writer *out, const char *key, const struct view *view, const char *reference)
{
	const struct quote *quote = view->quote;
	bool priced = view_has_price(view), shown = priced && view->detail != DETAIL_HEADLINE;

	writer_key(out, key);
	writer_object_open(out);
	writer_member_string(out, "reference", reference);
	writer_member_string(out, "shell",
		quote->shell == NO_INDEX ? NULL : view_text(view, view_catalogue(view)->shells[quote->shell].text)->id);
	price_member(out, "net_minor", shown, quote->net_minor);
	price_member(out, "tax_minor", shown, quote->tax_minor);
	price_member(out, "gross_minor", shown, quote->gross_minor);
	price_member(out, "headline_minor", priced, quote->headline_minor);
	answer_cannot(out, view);
	writer_object_close(out);
}

static void canonical(const struct ask *ask, const struct view *view, struct writer *text, char reference[16])
{
	enquiry_write(text, ask->config, view->asked);
	if (!text->out_of_memory)
		reference_text(text->bytes, text->length, view_text(view, view->edition->text)->id, ask->config->digest, reference);
}

static void names(struct writer *out, const struct variation_view *view)
{
	const struct view *now = &view->now;
	const struct text *region = view_text(now, view_catalogue(now)->regions[now->edition->region].text);
	const struct text *stage =
		view->stage == STAGE_NOTHING ? NULL : view_text(now, view_catalogue(now)->tasks[view->stage].text);

	writer_member_string(out, "region", region->id);
	writer_member_string(out, "edition", view_text(now, now->edition->text)->id);
	writer_member_string(out, "prices",
		"Both enquiries are priced under the agreed edition: its prices hold for what was agreed and for what is added.");
	writer_member_string(out, "currency", region->currency);
	writer_member_int(out, "minor_digits", now->config->region_cards[now->edition->region].minor_digits);
	writer_member_string(out, "stage", stage == NULL ? NULL : stage->id);
	writer_member_string(out, "stage_title", stage == NULL ? NULL : stage->title);
	writer_member_string(out, "version", PONDWRIGHT_VERSION);
	writer_member_string(out, "config", now->config->digest);
	write_side(out, "agreed", &view->agreed, view->agreed_reference);
	write_side(out, "now", now, view->now_reference);
}

static void write_variation(struct writer *out, const struct variation_view *view, const struct variation_room *more)
{
	writer_object_open(out);
	names(out, view);
	variation_sections(out, view);
	variation_money(out, view);
	variation_dates(out, view);
	variation_statement(out, view);
	answer_disclaimer(out, view->now.config);
	writer_key(out, "enquiry");
	writer_object_open(out);
	writer_key(out, "agreed");
	writer_raw(out, more->agreed_text.bytes, more->agreed_text.length);
	writer_key(out, "now");
	writer_raw(out, more->now_text.bytes, more->now_text.length);
	writer_member_string(out, "stage", view->stage == STAGE_NOTHING
		? NULL : view_text(&view->now, view_catalogue(&view->now)->tasks[view->stage].text)->id);
	writer_object_close(out);
	writer_object_close(out);
}

static struct answer work_out(const struct ask *ask, struct variation_room *more, struct writer *out)
{
	struct variation_view view = {.variation = &more->variation};
	struct answer answer;

	if (!read_both(ask, more, out, &answer) || !price_both(ask, more, out, &answer))
		return answer;
	view.agreed = ask_view(ask, &ask->room->asked, &ask->room->quote);
	view.now = ask_view(ask, &more->now, &more->now_quote);
	view.stage = more->stage;
	view.priced = view_has_price(&view.agreed) && view_has_price(&view.now);
	canonical(ask, &view.agreed, &more->agreed_text, view.agreed_reference);
	canonical(ask, &view.now, &more->now_text, view.now_reference);
	if (more->agreed_text.out_of_memory || more->now_text.out_of_memory)
		out->out_of_memory = true;
	else
		write_variation(out, &view, more);
	return answer_done(out, view.priced ? OUTCOME_PRICED : OUTCOME_CANNOT);
}

struct answer answer_variation(const struct ask *ask, struct writer *out)
{
	struct variation_room *more = malloc(sizeof *more);
	struct answer answer;

	if (more == NULL)
		return (struct answer){503, OUTCOME_NO_MEMORY};
	writer_init(&more->agreed_text);
	writer_init(&more->now_text);
	answer = work_out(ask, more, out);
	writer_free(&more->agreed_text);
	writer_free(&more->now_text);
	free(more);
	return answer;
}
