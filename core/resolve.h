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

/* Gives the assumed values of a resolved enquiry anew, for samples of a range: the named fields, in the order of the table, each
 * where it applies now and by the row of the unknowns that holds now. choose gives the value: place is the field's among
 * `fields`. A shelf that no longer fits gives way, as in enquiry_resolve. */
typedef double value_chooser(void *with, uint32_t place, const struct unknown *row);
void enquiry_assume_again(const struct catalogue *catalogue, uint16_t region, struct enquiry *enquiry, const double *q,
	const uint16_t *fields, uint32_t n_fields, value_chooser *choose, void *with);

/* Sets every INFERRED or COMPUTED fact that is not given and whose quantity belongs to the stage. */
void facts_from_quantities(const struct enquiry *asked, struct enquiry *enquiry, const double *q, enum stage stage);

#endif
