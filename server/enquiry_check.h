#ifndef PONDWRIGHT_ENQUIRY_CHECK_H
#define PONDWRIGHT_ENQUIRY_CHECK_H

#include "config.h"
#include "enquiry.h"
#include "enquiry_faults.h"

/* Checks what no single row of the field table can know, after enquiry_read: shapes, sums, dates, the pump that stays,
 * facts that the pond decides. Values that are missing or faulty are passed over, so no fault is said twice.
 *
 * Fills in, with origin GIVEN, what a canonical enquiry holds besides what was asked: the edition (the newest of the
 * region that is not after issued_on), issued_on (today_day) and start_on (issued_on and the edition's lead time, but
 * not beyond 2200). The depth of a stepped bed that was left out is the last step's, BY_DERIVATION.
 *
 * The enquiry may be priced if there is no fault afterwards and memory was not short, see enquiry_faults. */
void enquiry_check(const struct config *config, int32_t today_day, const char *prefix, struct enquiry *enquiry,
	struct enquiry_faults *faults);

/* The edition that prices a checked enquiry. */
static inline const struct edition *enquiry_edition(const struct config *config, const struct enquiry *enquiry)
{
	return &config->catalogue.editions[(uint32_t)enquiry->v[F_edition].number];
}

/* Adds the fault that a status of the core stands for, where only pricing could find it: an outline with gaps near
 * the rounding of its coordinates, an amount beyond what can be kept exactly. */
void enquiry_fault_status(struct enquiry_faults *faults, const char *prefix, enum status status);

#endif
