#ifndef PONDWRIGHT_ASSUMPTION_H
#define PONDWRIGHT_ASSUMPTION_H

#include "catalogue.h"
#include "enquiry.h"

/* The row of the unknowns that holds for a field, or for one of the FACTOR_… subjects, in a region: the first whose
 * condition is YES. NULL where there is none, which a loaded catalogue rules out for every field that is assumed.
 *   v, q   values and quantities of stage AT_GIVEN; a condition of a field's row reads earlier fields only, so the row
 *          by which a field was resolved is found again once everything is resolved */
const struct unknown *assumption_of(const struct catalogue *catalogue, uint32_t region, const struct value *v,
                                    const double *q, uint32_t subject);

#endif
