#ifndef PONDWRIGHT_CONDITIONS_H
#define PONDWRIGHT_CONDITIONS_H

#include "catalogue.h"
#include "enquiry.h"

/* Most conditions that an `all` or `any` may hold, and deepest nesting; the loader refuses more. */
enum { CONDITION_TRUTHS_MOST = 32 };

/* Fills the length of every op of the first n, which hold whole conditions one after another. Once, before any is asked. */
void conditions_measure(struct op *ops, uint32_t n);

/* Truth of one condition of the catalogue, in three-valued logic.
 *   when   slice of catalogue->ops in postfix order, measured; an empty one is YES
 *   v      values by field_id
 *   q      quantities by quantity_id; a NaN is one that is not known
 * An operand that is LEFT_OUT or NOT_KNOWN gives UNSURE; one that is NOT_APPLICABLE reads as 0 and as the empty set. A
 * set that was given with "unknown" in it gives UNSURE where none of its members hits, and is not `known`.
 * Months are sets, bit m for month m from 1 to 12. all: any NO, else any UNSURE. any: any YES, else any UNSURE.
 * Pure, cannot fail on a condition that was compiled. */
enum truth conditions_truth(const struct catalogue *catalogue, struct span when, const struct value *v, const double *q);

#endif
