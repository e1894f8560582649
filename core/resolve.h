#ifndef PONDWRIGHT_RESOLVE_H
#define PONDWRIGHT_RESOLVE_H

#include "catalogue.h"
#include "enquiry.h"

/* Work that a kind of work includes. */
struct work_scope {
	bool empties, rescues, strips, desilts, digs, shells, repairs, edges, plants, streams, pumps, fills, infills;
};
extern const struct work_scope work_scopes[work_COUNT];

/* Gives every value that was left out its value and origin: assumptions of the region's unknowns, presets of the
 * region, defaults of the table, what follows from other given values. Values that only the take-off can know stay
 * LEFT_OUT; facts that nobody told stay NOT_KNOWN. `values` is changed in place; q is read by conditions of unknowns
 * and gets the quantities of stage AT_GIVEN. Deterministic, cannot fail on a checked enquiry. */
void enquiry_resolve(const struct catalogue *catalogue, const struct edition *edition, struct enquiry *enquiry, double *q);

/* Sets every INFERRED or COMPUTED fact that is not given and whose quantity belongs to the stage. */
void facts_from_quantities(const struct enquiry *asked, struct enquiry *enquiry, const double *q, enum stage stage);

#endif
