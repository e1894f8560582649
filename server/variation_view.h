#ifndef PONDWRIGHT_VARIATION_VIEW_H
#define PONDWRIGHT_VARIATION_VIEW_H

#include "answer_view.h"
#include "variation.h"

/* What the parts of a variation's answer are written from; all of it the caller's. */
struct variation_view {
	struct view agreed, now; /* both under the agreed edition */
	const struct variation *variation;
	uint16_t stage;          /* task, or STAGE_NOTHING */
	bool priced;             /* both jobs can be built */
	char agreed_reference[16], now_reference[16];
};

/* answer_variation_lines.c: the members "omissions", "additions" and "abortive", sections in the order of the bill, and
 * the members of "sums" and taxes. */
void variation_sections(struct writer *out, const struct variation_view *view);
void variation_money(struct writer *out, const struct variation_view *view);

/* answer_variation_dates.c: "days", "new_dates", "new_flags" and "gone_flags". */
void variation_dates(struct writer *out, const struct variation_view *view);

/* Whether no flag stops the job, so that its dates stand. */
bool view_is_promised(const struct view *view);

/* answer_variation_words.c: the member "statement", sentences that a customer can sign. */
void variation_statement(struct writer *out, const struct variation_view *view);

#endif
