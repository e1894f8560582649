#include <stdlib.h>

#include "answer_parts.h"
#include "compare_view.h"
#include "dates.h"
#include "enquiry_check.h"
#include "enquiry_write.h"
#include "money.h"
#include "version.h"

/* POST /v1/compare: an enquiry, and beside its members "grid": true for the other sizes and depths. */

/* Beside the thread's room. */
struct compare_room {
	void *scratch;
	struct option *options;
	struct comparison comparison;
	struct grid grid;
	bool wants_grid;
	struct writer canonical;
};

int64_t compare_shown_minor(const struct view *view, int64_t amount_minor)
{
	return view->detail == DETAIL_HEADLINE ? money_to_step(amount_minor, view->edition->headline_minor) : amount_minor;
}

void compare_shell_member(struct writer *out, const char *key, const struct view *view, uint16_t shell)
{
	writer_member_string(out, key,
		shell == NO_INDEX ? NULL : view_text(view, view_catalogue(view)->shells[shell].text)->id);
}

/* ---- reading ---- */

static void take_grid(const struct ask *ask, json_t *body, struct compare_room *more)
{
	json_t *value = json_object_get(body, "grid");

	more->wants_grid = json_is_true(value);
	if (value != NULL && !json_is_boolean(value))
		enquiry_fault_add(&ask->room->faults, "", "grid", "wrong-type", "grid: must be true or false");
	json_object_del(body, "grid");
}

static bool read_asked(const struct ask *ask, struct compare_room *more, struct writer *out, struct answer *answer)
{
	json_t *body;

	if (!ask_parse(ask, &body, out, answer))
		return false;
	take_grid(ask, body, more);
	return ask_check(ask, NEED_QUOTE, body, out, answer);
}

static bool price(const struct ask *ask, struct compare_room *more, struct writer *out, struct answer *answer)
{
	const struct catalogue *catalogue = &ask->config->catalogue;
	const struct edition *edition = enquiry_edition(ask->config, &ask->room->asked);
	const struct enquiry *asked = &ask->room->asked;
	enum status status = compare_shells(catalogue, edition, asked, more->scratch, more->options, &more->comparison);

	if (status == ST_OK && more->wants_grid && field_given(asked, F_pond))
		compare_grid(catalogue, edition, asked, more->scratch, &more->grid);
	if (status == ST_OK)
		return true;
	enquiry_fault_status(&ask->room->faults, "", status);
	*answer = ask_refuse(ask, 422, out);
	return false;
}

/* ---- writing ---- */

static void names(struct writer *out, const struct compare_view *view)
{
	const struct view *of = &view->view;
	const struct text *region = view_text(of, view_catalogue(of)->regions[of->edition->region].text);
	char issued[DATE_TEXT_SIZE];

	date_text((int32_t)of->asked->v[F_issued_on].number, issued);
	writer_member_string(out, "region", region->id);
	writer_member_string(out, "edition", view_text(of, of->edition->text)->id);
	writer_member_string(out, "currency", region->currency);
	writer_member_int(out, "minor_digits", of->config->region_cards[of->edition->region].minor_digits);
	writer_member_string(out, "issued_on", issued);
	writer_member_string(out, "version", PONDWRIGHT_VERSION);
	writer_member_string(out, "config", of->config->digest);
	writer_member_int(out, "service_years", view->comparison->years);
	writer_member_number(out, "discount_rate", of->edition->discount_rate);
	writer_member_number(out, "price_growth", of->edition->price_growth);
	writer_member_string(out, "method", config_phrase(of->config, PHRASE_compare_method));
}

static void verdict(struct writer *out, const struct compare_view *view)
{
	const struct comparison *comparison = view->comparison;

	compare_shell_member(out, "cheapest_now", &view->view, comparison->now.cheapest);
	compare_shell_member(out, "cheapest_over_years", &view->view, comparison->over_years.cheapest);
	if (comparison->paid_back_after_years > 0)
		writer_member_int(out, "paid_back_after_years", comparison->paid_back_after_years);
	else
		writer_member_null(out, "paid_back_after_years");
	compare_horizons(out, view);
	compare_differences(out, view);
	compare_undecided(out, view);
}

static void write_comparison(struct writer *out, const struct compare_view *view, const struct compare_room *more)
{
	writer_object_open(out);
	names(out, view);
	compare_options(out, view);
	verdict(out, view);
	if (more->wants_grid && view->comparison->n_options > 0)
		compare_grid_member(out, &view->view, &more->grid);
	answer_disclaimer(out, view->view.config);
	writer_key(out, "enquiry");
	writer_raw(out, more->canonical.bytes, more->canonical.length);
	writer_object_close(out);
}

static bool any_built(const struct compare_view *view)
{
	for (uint32_t i = 0; i < view->comparison->n_options; i++)
		if (view->options[i].quote.n_cannots == 0)
			return true;
	return false;
}

static struct answer work_out(const struct ask *ask, struct compare_room *more, struct writer *out)
{
	struct compare_view view = {.options = more->options, .comparison = &more->comparison};
	struct answer answer;

	if (!read_asked(ask, more, out, &answer) || !price(ask, more, out, &answer))
		return answer;
	view.view = ask_view(ask, &ask->room->asked, NULL);
	if (view.view.detail > DETAIL_SECTIONS)
		view.view.detail = DETAIL_SECTIONS; /* the lines of one shell are the quote's to tell */
	enquiry_write(&more->canonical, ask->config, &ask->room->asked);
	if (more->canonical.out_of_memory)
		out->out_of_memory = true;
	else
		write_comparison(out, &view, more);
	return answer_done(out, any_built(&view) ? OUTCOME_PRICED : OUTCOME_CANNOT);
}

struct answer answer_compare(const struct ask *ask, struct writer *out)
{
	struct compare_room *more = malloc(sizeof *more);
	struct answer answer = {503, OUTCOME_NO_MEMORY};

	if (more == NULL)
		return answer;
	more->scratch = malloc(compare_scratch_size());
	more->options = malloc(ask->config->catalogue.n_shells * sizeof *more->options);
	writer_init(&more->canonical);
	if (more->scratch != NULL && more->options != NULL)
		answer = work_out(ask, more, out);
	writer_free(&more->canonical);
	free(more->options);
	free(more->scratch);
	free(more);
	return answer;
}
