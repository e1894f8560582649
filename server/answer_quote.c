#include "answer_parts.h"

#include "dates.h"
#include "enquiry_write.h"
#include "reference.h"
#include "version.h"

static void day_member(struct writer *out, const char *key, int32_t day)
{
	char text[DATE_TEXT_SIZE];

	date_text(day, text);
	writer_member_string(out, key, text);
}

static void dates(struct writer *out, const struct view *view)
{
	int32_t issued_day = (int32_t)view->asked->v[F_issued_on].number;
	int64_t last_day = (int64_t)issued_day + view->edition->validity_days;

	day_member(out, "issued_on", issued_day);
	day_member(out, "valid_until", last_day < DAY_LAST ? (int32_t)last_day : DAY_LAST);
}

static void shell_members(struct writer *out, const struct view *view)
{
	const struct quote *quote = view->quote;
	const struct text *text = NULL;

	if (quote->shell != NO_INDEX)
		text = view_text(view, view_catalogue(view)->shells[quote->shell].text);
	writer_member_string(out, "shell", text == NULL ? NULL : text->id);
	writer_member_string(out, "shell_title", text == NULL ? NULL : text->title);
	writer_member_bool(out, "shell_chosen", quote->shell_chosen);
	answer_unsuitable(out, view);
}

/* What names the quote: enough to have it made again, byte by byte. */
static void names(struct writer *out, const struct view *view, const struct writer *canonical)
{
	const char *edition = view_text(view, view->edition->text)->id;
	const struct text *region = view_text(view, view_catalogue(view)->regions[view->edition->region].text);
	char reference[REFERENCE_SIZE];

	reference_text(canonical->bytes, canonical->length, edition, view->config->digest, reference);
	writer_member_string(out, "reference", reference);
	writer_member_string(out, "region", region->id);
	writer_member_string(out, "edition", edition);
	writer_member_string(out, "currency", region->currency);
	writer_member_int(out, "minor_digits", view->config->region_cards[view->edition->region].minor_digits);
	writer_member_string(out, "status", view_assumes(view) ? "estimate" : "quote");
	dates(out, view);
	shell_members(out, view);
	writer_member_string(out, "version", PONDWRIGHT_VERSION);
	writer_member_string(out, "config", view->config->digest);
}

static bool is_invented(const struct view *view)
{
	return view->config->region_cards[view->edition->region].invented ||
		view->config->edition_cards[view->edition - view_catalogue(view)->editions].invented;
}

/* The client's water, which no line prices. */
static void filling(struct writer *out, const struct quote *quote)
{
	if (!(quote->q[Q_fill_m3] > 0)) {
		writer_member_null(out, "filling");
		return;
	}
	writer_key(out, "filling");
	writer_object_open(out);
	writer_member_number(out, "water_m3", quote->q[Q_fill_m3]);
	writer_member_number(out, "from_a_tap_h", quote->q[Q_fill_h]);
	writer_member_int(out, "mains_water_minor", quote->fill_water_minor);
	writer_object_close(out);
}

enum { USUAL_BYTES = 48 * 1024 }; /* few answers have more; growing copies what is there */

static void write_quote(struct writer *out, const struct view *view, const struct writer *canonical)
{
	writer_reserve(out, USUAL_BYTES);
	writer_object_open(out);
	names(out, view, canonical);
	answer_price(out, view);
	answer_taxes(out, view);
	answer_sections(out, view);
	answer_provisional_sums(out, view);
	answer_cannot(out, view);
	answer_takeoff(out, view);
	answer_planting(out, view);
	answer_water_member(out, view);
	filling(out, view->quote);
	answer_programme(out, view);
	answer_flags(out, view);
	answer_assumed(out, view);
	answer_excluded(out, view);
	answer_cautions(out, view);
	answer_payment(out, view);
	answer_terms(out, view);
	answer_disclaimer(out, view->config);
	writer_member_bool(out, "invented", is_invented(view));
	if (view->costing)
		answer_costing(out, view);
	writer_key(out, "enquiry");
	writer_raw(out, canonical->bytes, canonical->length);
	writer_object_close(out);
}

/* The shell that the caller names, or the cheapest suitable one. */
static enum status price(const struct catalogue *catalogue, const struct edition *edition, const struct enquiry *enquiry,
	void *scratch, struct quote *quote)
{
	return quote_price(catalogue, edition, enquiry, NO_INDEX, scratch, quote);
}

struct answer answer_quote(const struct ask *ask, struct writer *out)
{
	struct writer canonical;
	struct answer answer;
	struct view view;

	if (!ask_work_out(ask, NEED_QUOTE, price, out, &view, &answer))
		return answer;
	writer_init(&canonical);
	enquiry_write(&canonical, ask->config, &ask->room->asked);
	if (canonical.out_of_memory)
		out->out_of_memory = true;
	else
		write_quote(out, &view, &canonical);
	writer_free(&canonical);
	return answer_done(out, view_has_price(&view) ? OUTCOME_PRICED : OUTCOME_CANNOT);
}
