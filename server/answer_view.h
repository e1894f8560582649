#ifndef PONDWRIGHT_ANSWER_VIEW_H
#define PONDWRIGHT_ANSWER_VIEW_H

#include "config.h"
#include "quote.h"
#include "writer.h"

/* What the parts of an answer are written from. All of it is the caller's and outlives the writing. */
struct view {
	const struct config *config;
	const struct edition *edition;
	const struct enquiry *asked; /* as asked, with its issued_on */
	const struct quote *quote;
	enum public_detail detail;   /* how much of the bill is shown */
	bool costing;                /* the owner's view: costs, hours and margin */
};

static inline const struct catalogue *view_catalogue(const struct view *view)
{
	return &view->config->catalogue;
}

static inline const struct text *view_text(const struct view *view, uint32_t text)
{
	return config_text(view->config, text);
}

static inline void write_said(struct writer *out, const struct said *said)
{
	writer_raw(out, said->json, said->length);
}

static inline bool view_has_price(const struct view *view)
{
	return view->quote->n_cannots == 0;
}

/* ---- members of an answer: each writes its key and its value ---- */

/* answer_bill.c: what it costs. */
void answer_price(struct writer *out, const struct view *view);
void answer_taxes(struct writer *out, const struct view *view);             /* classes as the edition lists them */
void answer_sections(struct writer *out, const struct view *view);          /* in the order of the bill */
void answer_provisional_sums(struct writer *out, const struct view *view);  /* as the catalogue lists them */
void answer_cannot(struct writer *out, const struct view *view);            /* as the catalogue lists groups, water last */

/* answer_costing.c: for the owner alone. */
void answer_costing(struct writer *out, const struct view *view);

/* What a line of the quote is called; the members "build_up" and "title" of it. */
struct line_name { const char *id, *title; };
struct line_name view_line_name(const struct view *view, const struct line *line);
void answer_line_names(struct writer *out, const struct view *view, const struct line *line);

/* answer_terms.c: stages in the order of payment, what is kept back last. "terms": sentences, the edition's, then those of
 * terms.json on validity, cancellation and payment; "guarantee" and "care": those of terms.json. All as they are written,
 * where their condition holds. */
void answer_payment(struct writer *out, const struct view *view);
void answer_terms(struct writer *out, const struct view *view);

/* answer_orders.c: for the owner alone, what to order from whom by which day; deliveries by the day to order by. */
void answer_orders(struct writer *out, const struct view *view);

/* answer_takeoff.c: the named quantities, then all others that are not 0, in the order of quantities.def. */
void answer_takeoff(struct writer *out, const struct view *view);
/* Whether a quantity is said there, and whether it is said where it is 0 too. */
bool takeoff_tells(uint32_t id, bool *always);

/* answer_planting.c: plants to buy by role, from the bank inward, and the species of the region's climate that suit. */
void answer_planting(struct writer *out, const struct view *view);

/* answer_pump.c: pump, pipe and duty point; bores rising. */
void answer_water_member(struct writer *out, const struct view *view);

/* answer_programme.c: tasks in an order in which each follows earlier ones only. */
void answer_programme(struct writer *out, const struct view *view);

/* answer_flags.c: stop, check, ask, note; then as the rules are written. */
void answer_flags(struct writer *out, const struct view *view);
void answer_flag(struct writer *out, const struct view *view, const struct flag *flag); /* one of them, as a value */

/* answer_assumed.c: in the order of the field table. */
void answer_assumed(struct writer *out, const struct view *view);
bool view_assumes(const struct view *view);

/* answer_notes.c: sentences in the order in which they are written, the shell's last; and what no answer goes without. */
void answer_unsuitable(struct writer *out, const struct view *view);
void answer_excluded(struct writer *out, const struct view *view);
void answer_cautions(struct writer *out, const struct view *view);
void answer_disclaimer(struct writer *out, const struct config *config);

#endif
