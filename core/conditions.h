#ifndef PONDWRIGHT_CONDITIONS_H
#define PONDWRIGHT_CONDITIONS_H

#include "catalogue.h"
#include "enquiry.h"

/* Most truths that stand open at once while a condition is worked out; the loader refuses a condition that needs
 * more. */
enum { CONDITION_TRUTHS_MOST = 32 };

/* Truth of one condition of the catalogue, in three-valued logic.
 *   when   slice of catalogue->ops in postfix order; an empty one is YES
 *   v      values by field_id
 *   q      quantities by quantity_id; a NaN is one that is not known
 * An operand that is LEFT_OUT or NOT_KNOWN gives UNSURE; one that is NOT_APPLICABLE reads as 0 and as the empty set. A
 * set that was given with "unknown" in it gives UNSURE where none of its members hits, and is not `known`.
 * Months are sets, bit m for month m from 1 to 12. all: any NO, else any UNSURE. any: any YES, else any UNSURE.
 * Pure, cannot fail on a condition that was compiled. */
enum truth conditions_truth(const struct catalogue *catalogue, struct span when, const struct value *v, const double *q);

#endif
