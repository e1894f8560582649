#include "answer_view.h"

#include "conditions.h"
#include "money.h"

#define PPM 1000000

static const char *const about_words[ABOUT_COUNT] = {[ABOUT_GUARANTEE] = "guarantee", [ABOUT_CARE] = "care"};

/* ---- payment ---- */

static int64_t kept_back_ppm(const struct view *view)
{
	uint32_t client = (uint32_t)view->quote->resolved.v[F_client_kind].number;

	return view->edition->retention_clients >> client & 1 ? view->edition->retention_ppm : 0;
}

/* Amounts of the stages, then of what is kept back; they add up to the gross price. False where nothing is shown. */
static bool stage_amounts(const struct view *view, int64_t kept_ppm, int64_t amounts_minor[STAGES_MOST + 1])
{
	struct remainder scratch[STAGES_MOST + 1];
	int64_t weights[STAGES_MOST + 1];
	uint32_t count = view->edition->n_stages;

	for (uint32_t i = 0; i < count; i++)
		weights[i] = view->edition->stages[i].share_ppm * (PPM - kept_ppm);
	weights[count] = PPM * kept_ppm;
	return view_has_price(view) && view->detail != DETAIL_HEADLINE && count > 0 &&
		money_split(view->quote->gross_minor, weights, count + 1, amounts_minor, scratch) == ST_OK;
}

static void write_stage(struct writer *out, const struct text *text, double share, bool shown, int64_t amount_minor)
{
	writer_member_string(out, "id", text->id);
	writer_member_string(out, "title", text->title);
	writer_member_number(out, "share", share);
	if (shown)
		writer_member_int(out, "amount_minor", amount_minor);
	else
		writer_member_null(out, "amount_minor");
}

void answer_payment(struct writer *out, const struct view *view)
{
	const struct edition *edition = view->edition;
	int64_t amounts_minor[STAGES_MOST + 1] = {0}, kept_ppm = kept_back_ppm(view);
	bool shown = stage_amounts(view, kept_ppm, amounts_minor);

	writer_key(out, "payment");
	writer_array_open(out);
	for (uint32_t i = 0; i < edition->n_stages; i++) {
		double share = (double)(edition->stages[i].share_ppm * (PPM - kept_ppm)) / PPM / PPM;

		writer_object_open(out);
		write_stage(out, view_text(view, edition->stages[i].text), share, shown, amounts_minor[i]);
		writer_object_close(out);
	}
	if (kept_ppm > 0) {
		writer_object_open(out);
		write_stage(out, view_text(view, edition->retention_text), (double)kept_ppm / PPM, shown, amounts_minor[edition->n_stages]);
		writer_member_int(out, "days_after_hand_over", edition->retention_days);
		writer_object_close(out);
	}
	writer_array_close(out);
}

/* ---- terms ---- */

static bool is_said(const struct view *view, const struct clause *clause, enum clause_about first, enum clause_about last)
{
	return clause->about >= first && clause->about <= last &&
		conditions_truth(view_catalogue(view), clause->when, view->quote->resolved.v, view->quote->q) == YES;
}

static void sentences(struct writer *out, const struct view *view)
{
	const struct config *config = view->config;
	struct span rows = config->edition_cards[view->edition - view_catalogue(view)->editions].terms;

	for (uint32_t i = rows.first; i < rows.first + rows.count; i++)
		writer_string(out, view_text(view, config->terms[i])->text);
	for (uint32_t i = 0; i < config->n_clauses; i++)
		if (is_said(view, &config->clauses[i], ABOUT_VALIDITY, ABOUT_PAYMENT))
			writer_string(out, view_text(view, config->clauses[i].text)->text);
}

static void subject(struct writer *out, const struct view *view, enum clause_about about)
{
	const struct config *config = view->config;

	writer_key(out, about_words[about]);
	writer_array_open(out);
	for (uint32_t i = 0; i < config->n_clauses; i++) {
		const struct text *text = view_text(view, config->clauses[i].text);

		if (!is_said(view, &config->clauses[i], about, about))
			continue;
		writer_object_open(out);
		writer_member_string(out, "id", text->id);
		writer_member_string(out, "season", text->season);
		writer_member_string(out, "text", text->text);
		writer_object_close(out);
	}
	writer_array_close(out);
}

void answer_terms(struct writer *out, const struct view *view)
{
	writer_key(out, "terms");
	writer_array_open(out);
	sentences(out, view);
	writer_array_close(out);
	subject(out, view, ABOUT_GUARANTEE);
	subject(out, view, ABOUT_CARE);
}
