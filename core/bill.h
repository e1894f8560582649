#ifndef PONDWRIGHT_BILL_H
#define PONDWRIGHT_BILL_H

#include "job.h"

/* From take-off to money, in three steps with the undisturbed programme between the first and the second. */

/* Which build-ups the job needs and how many hours each takes: those that apply, and of each group of methods the one
 * that is cheapest on its own. A group with work and without a method becomes a `cannot`. Fills quote->lines.
 * ST_MONEY_RANGE, ST_QUANTITY_RANGE. */
enum status bill_lines(struct job *job);

/* Materials, hires and hours of every line, packs pooled over the whole job, and money: cost, overhead, risk, margin,
 * minimum charge, rounding, sums, tax. Needs visits and weeks. ST_MONEY_RANGE, ST_QUANTITY_RANGE, ST_SCRATCH. */
enum status bill_price(struct job *job);

/* After bill_lines: net price that bill_price will not go below, prices as they stand in the edition. Needs bill_least_prices,
 * which finds the lowest price for a unit of each item, once for an edition. */
void bill_least_prices(struct job *job);
int64_t bill_least_net_minor(const struct job *job);

/* ---- parts that the three share ---- */

/* Before anything else: forgets the factors of the last quote and works out the price of an hour of each grade: the paid
 * day spread over its productive hours. */
void bill_begin(struct job *job);

/* Multiplier of a slice of factor_refs: the product of its factors, each worked out once for a quote. */
double bill_factors(struct job *job, struct span refs);

/* Amount of an item that one cost asks for, waste counted, at the line's quantity. */
double bill_need(struct job *job, const struct cost *cost, double quantity);

/* The item that a cost means, the chosen pump's and pipe's looked up; NO_INDEX where there is none. */
uint16_t bill_item(const struct job *job, const struct cost *cost);

/* Whether an amount goes by the time on site, which the programme tells. */
bool bill_by_time(const struct cost *cost);

/* What a need of one item costs: the cheapest packs, least charge, short load, delivery. bought may be NULL. */
enum status bill_item_minor(const struct job *job, uint16_t item, int64_t need_micro, int64_t *minor, uint32_t *bought);

/* Hours of a build-up by grade at a quantity. */
void bill_hours(struct job *job, const struct build_up *build_up, double quantity, double hours[GRADES_MOST]);

#endif
