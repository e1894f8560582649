#ifndef PONDWRIGHT_VARIATION_H
#define PONDWRIGHT_VARIATION_H

#include "quote.h"

/* What becomes of an agreed price when the job turns out otherwise: two quotes under one edition, and how far the work
 * is. Everything is signed and before tax unless it says so.
 *
 * The agreed price A and the price B as the job now is are compared line by line. Lines are matched by build-up; of what
 * is left, two methods for the same work (one `choose` group) by their group; lines that are no build-up by their kind,
 * and provisional sums by their sum.
 *   B >= A              an addition of B - A
 *   B < A, not done     an omission of B - A
 *   B < A, done         nothing is omitted: A - B stays in the agreed price as abortive work
 * What was bought by now for an omitted line, no longer fits anywhere in the job and can't go back is charged as abortive
 * material: the part of the agreed price that stands for it, but no more than the line's material costs less now.
 *
 *   final = agreed + omissions + additions + bought = now + kept + bought          exactly, always */

struct variation_line {
	uint16_t agreed, now;     /* lines of the two quotes, or NO_INDEX */
	uint16_t section;
	bool done;                /* its task is done; a line that is paid by visit, day or week is done with the last task */
	int64_t omission_minor;   /* <= 0 */
	int64_t addition_minor;   /* >= 0 */
	int64_t kept_minor;       /* >= 0: done and no longer wanted; in the agreed price already */
	int64_t bought_minor;     /* >= 0: material that can't go back; charged on top */
};

struct variation {
	uint32_t n_lines;
	struct variation_line lines[2 * LINES_MOST]; /* as the agreed quote lists them, then those of the new one alone */
	int64_t agreed_minor, now_minor, final_minor; /* net */
	int64_t omissions_minor, additions_minor, kept_minor, bought_minor;
	int64_t net_minor;        /* final - agreed */
	bool share_rule_used;     /* of the final account, see edition.share_rule_ppm */
	struct class_total classes[CLASSES_MOST]; /* of the final account */
	int64_t final_tax_minor;
	int64_t tax_minor;        /* final tax - agreed tax */
	double kept_crew_days;    /* of the whole crew, in work that is done and no longer wanted */
};

enum { STAGE_NOTHING = 0xffff };

/* Both quotes are priced under the edition. Pure.
 *   stage   the task that is done, with every task before it in the catalogue's order; STAGE_NOTHING: none
 * An item counts as bought when its order_by_day in the agreed programme is not after the last day of the done tasks, so
 * one that is bought for later work too counts whole. ST_OK; ST_MONEY_RANGE with *variation unspecified. */
enum status variation_work_out(const struct catalogue *catalogue, const struct edition *edition, const struct quote *agreed,
	const struct quote *now, uint16_t stage, struct variation *variation);

#endif
