#include <math.h>
#include <stdlib.h>

#include "answer_parts.h"
#include "assumption.h"
#include "enquiry_check.h"
#include "enquiry_write.h"
#include "range.h"
#include "reference.h"
#include "version.h"

/* POST /v1/range: an enquiry, and beside its members "samples", how many whole quotes make the percentiles. */

/* A sample of a pond with many corners is dearer, by about as much as it has corners, and by the levels at which its bed
 * is measured; an old pond and a stream make it dearer too. A stranger's request must not hold the others of its thread
 * up for half a second. What was priced in the end is said under "samples". The unit is one corner at one level; the
 * weights are by measurement of what fits the limits (deploy/SHOWN.md), rounded up. */
enum { HTTP_SAMPLES_MOST = 16384, QUOTE_WEIGHT = 32, MORE_WORK_WEIGHT = 8 };
enum { HTTP_WEIGHT_MOST = HTTP_SAMPLES_MOST * QUOTE_WEIGHT };

/* Beside the thread's room. */
struct range_room {
	void *scratch;
	struct range range;
	uint32_t samples, samples_most;
	struct writer canonical;
};

/* ---- reading ---- */

static void take_samples(const struct ask *ask, json_t *body, struct range_room *more)
{
	json_t *value = json_object_get(body, "samples");
	json_int_t samples = json_integer_value(value);

	more->samples = RANGE_SAMPLES_DEFAULT;
	if (value != NULL && !json_is_integer(value))
		enquiry_fault_add(&ask->room->faults, "", "samples", "wrong-type", "samples: must be a whole number");
	else if (value != NULL && (samples < RANGE_SAMPLES_LEAST || samples > (json_int_t)more->samples_most))
		enquiry_fault_add(&ask->room->faults, "", "samples", "out-of-range", "samples: %lld is outside %d to %u",
			(long long)samples, RANGE_SAMPLES_LEAST, more->samples_most);
	else if (value != NULL)
		more->samples = (uint32_t)samples;
	json_object_del(body, "samples");
}

static bool read_asked(const struct ask *ask, struct range_room *more, struct writer *out, struct answer *answer)
{
	json_t *body;

	if (!ask_parse(ask, &body, out, answer))
		return false;
	take_samples(ask, body, more);
	return ask_check(ask, NEED_QUOTE, body, out, answer);
}

/* ---- writing ---- */

/* A share to three decimals: more than that is chance. */
static void share_member(struct writer *out, const char *key, double share)
{
	writer_member_number(out, key, round(share * 1000) / 1000);
}

static void band_member(struct writer *out, const char *key, const struct range *range, const struct band_minor *band)
{
	if (!range->any) {
		writer_member_null(out, key);
		return;
	}
	writer_key(out, key);
	writer_object_open(out);
	writer_member_int(out, "low_minor", band->low_minor);
	writer_member_int(out, "likely_minor", band->likely_minor);
	writer_member_int(out, "high_minor", band->high_minor);
	writer_object_close(out);
}

static void days_member(struct writer *out, const struct range *range)
{
	if (!range->any) {
		writer_member_null(out, "on_site_days");
		return;
	}
	writer_key(out, "on_site_days");
	writer_object_open(out);
	writer_member_number(out, "low", range->on_site_days.low);
	writer_member_number(out, "likely", range->on_site_days.likely);
	writer_member_number(out, "high", range->on_site_days.high);
	writer_object_close(out);
}

static const char *shell_id(const struct view *view, uint16_t shell)
{
	return shell == NO_INDEX ? NULL : view_text(view, view_catalogue(view)->shells[shell].text)->id;
}

static void names(struct writer *out, const struct view *view, const struct range_room *more)
{
	const struct text *region = view_text(view, view_catalogue(view)->regions[view->edition->region].text);
	const char *edition = view_text(view, view->edition->text)->id;
	char reference[REFERENCE_SIZE];

	reference_text(more->canonical.bytes, more->canonical.length, edition, view->config->digest, reference);
	writer_member_string(out, "reference", reference);
	writer_member_string(out, "region", region->id);
	writer_member_string(out, "edition", edition);
	writer_member_string(out, "currency", region->currency);
	writer_member_int(out, "minor_digits", view->config->region_cards[view->edition->region].minor_digits);
	writer_member_string(out, "shell", shell_id(view, more->range.shell));
	writer_member_bool(out, "shell_chosen", view->quote->shell_chosen);
	writer_member_string(out, "version", PONDWRIGHT_VERSION);
	writer_member_string(out, "config", view->config->digest);
}

/* The row that holds for the quote as it stands; of a field that applies only with another answer, the one that would. */
static const struct text *question_text(const struct view *view, uint32_t field, bool *on_visit)
{
	const struct unknown *row = assumption_of(view_catalogue(view), view->edition->region, view->quote->resolved.v,
		view->quote->q, field);

	*on_visit = row != NULL && row->on_visit;
	return view_text(view, row != NULL ? row->text : 0);
}

static void question(struct writer *out, const struct view *view, const struct range_question *asked)
{
	bool on_visit;
	const struct text *text = question_text(view, asked->field, &on_visit);

	writer_object_open(out);
	writer_member_string(out, "pointer", enquiry_fields[asked->field].pointer);
	writer_member_string(out, "question", text->question);
	writer_member_string(out, "why", text->why);
	writer_member_string(out, "where", on_visit ? "visit" : "phone");
	share_member(out, "share", asked->share);
	share_member(out, "total_share", asked->total_share);
	writer_member_int(out, "low_minor", asked->low_minor);
	writer_member_int(out, "high_minor", asked->high_minor);
	writer_object_close(out);
}

/* What no question closes. */
static void rest(struct writer *out, const struct range *range)
{
	writer_key(out, "not_asked");
	writer_object_open(out);
	share_member(out, "labour_output_share", range->labour_share);
	share_member(out, "price_drift_share", range->price_share);
	share_member(out, "measuring_share", range->measuring_share);
	writer_object_close(out);
}

static void other_shells(struct writer *out, const struct view *view, const struct range *range)
{
	writer_key(out, "other_shells");
	writer_array_open(out);
	for (uint32_t i = 0; i < range->n_rivals; i++) {
		writer_object_open(out);
		writer_member_string(out, "shell", shell_id(view, range->rivals[i].shell));
		share_member(out, "cheaper_share", range->rivals[i].cheaper_share);
		writer_object_close(out);
	}
	writer_array_close(out);
	writer_member_int(out, "other_shells_samples", range->rival_samples);
}

static void write_range(struct writer *out, const struct view *view, const struct range_room *more)
{
	const struct range *range = &more->range;

	writer_object_open(out);
	names(out, view, more);
	band_member(out, "gross", range, &range->gross);
	band_member(out, "net", range, &range->net);
	days_member(out, range);
	writer_member_int(out, "samples", range->samples);
	writer_member_int(out, "quotes", range->quotes);
	share_member(out, "cannot_share", range->cannot_share);
	writer_key(out, "ask_next");
	writer_array_open(out);
	for (uint32_t i = 0; i < range->n_questions; i++)
		question(out, view, &range->questions[i]);
	writer_array_close(out);
	rest(out, range);
	other_shells(out, view, range);
	writer_member_string(out, "method", config_phrase(view->config, PHRASE_range_method));
	answer_disclaimer(out, view->config);
	writer_key(out, "enquiry");
	writer_raw(out, more->canonical.bytes, more->canonical.length);
	writer_object_close(out);
}

/* ---- all of it ---- */

/* Steps have so many levels, other beds at most eight: a dish's lie where every dish looks. */
static double levels_of(const struct enquiry *asked)
{
	return fmax(8, fmax(asked->v[F_pond_steps].number, asked->v[F_old_steps].number));
}

static double weight_of(const struct enquiry *asked)
{
	double corners = asked->v[F_pond_points_m].number + asked->v[F_old_points_m].number;
	int more = field_given(asked, F_old_pond) + field_given(asked, F_stream);

	return QUOTE_WEIGHT + more * MORE_WORK_WEIGHT + corners * levels_of(asked);
}

/* Halved, since a sequence cut at a power of two is even. */
static uint32_t affordable(const struct enquiry *asked, uint32_t samples)
{
	double weight = weight_of(asked);

	while (samples * weight > HTTP_WEIGHT_MOST && samples / 2 >= RANGE_SAMPLES_LEAST)
		samples /= 2;
	return samples;
}

static struct answer work_out(const struct ask *ask, struct range_room *more, struct writer *out)
{
	struct room *room = ask->room;
	struct answer answer = {503, OUTCOME_NO_MEMORY};
	enum status status;
	struct view view;

	if (!read_asked(ask, more, out, &answer))
		return answer;
	more->scratch = malloc(range_scratch_size(more->samples));
	if (more->scratch == NULL)
		return answer;
	if (more->samples_most == HTTP_SAMPLES_MOST)
		more->samples = affordable(&room->asked, more->samples);
	view = ask_view(ask, &room->asked, &room->quote);
	status = range_price(&ask->config->catalogue, view.edition, &room->asked, more->samples, more->scratch, &room->quote,
		&more->range);
	if (status != ST_OK) {
		enquiry_fault_status(&room->faults, "", status);
		return ask_refuse(ask, 422, out);
	}
	enquiry_write(&more->canonical, ask->config, &room->asked);
	if (more->canonical.out_of_memory)
		out->out_of_memory = true;
	else
		write_range(out, &view, more);
	return answer_done(out, more->range.any ? OUTCOME_PRICED : OUTCOME_CANNOT);
}

static struct answer answer_up_to(const struct ask *ask, uint32_t samples_most, struct writer *out)
{
	struct range_room *more = malloc(sizeof *more);
	struct answer answer = {503, OUTCOME_NO_MEMORY};

	if (more == NULL)
		return answer;
	more->scratch = NULL;
	more->samples_most = samples_most;
	writer_init(&more->canonical);
	answer = work_out(ask, more, out);
	writer_free(&more->canonical);
	free(more->scratch);
	free(more);
	return answer;
}

struct answer answer_range(const struct ask *ask, struct writer *out)
{
	return answer_up_to(ask, HTTP_SAMPLES_MOST, out);
}

struct answer answer_long_range(const struct ask *ask, struct writer *out)
{
	return answer_up_to(ask, RANGE_SAMPLES_MOST, out);
}
