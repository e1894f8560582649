#ifndef PONDWRIGHT_ENQUIRY_WRITE_H
#define PONDWRIGHT_ENQUIRY_WRITE_H

#include "config.h"
#include "enquiry.h"
#include "writer.h"

/* The canonical enquiry, one JSON object without blanks: what was asked, and the edition, issued_on and start_on that
 * enquiry_check filled in; never what was assumed, defaulted or derived. Members in the order of the field table,
 * measured_within last; sets by the order of their words, each word once, "unknown" last; counts as numbers; no closing
 * point; fittings of zero left out; months as [first, last]; twelve significant digits, no minus zero.
 * Read and checked again it gives an equal struct enquiry and the same bytes. */
void enquiry_write(struct writer *out, const struct config *config, const struct enquiry *enquiry);

/* The value of one field as the canonical enquiry writes it, whatever its origin: for lists of assumed values. Not for
 * objects and lists. */
void enquiry_write_value(struct writer *out, const struct config *config, enum field_id id, const struct value *value);

#endif
