#ifndef PONDWRIGHT_TEST_RANDOM_ENQUIRY_H
#define PONDWRIGHT_TEST_RANDOM_ENQUIRY_H

#include "config.h"
#include "writer.h"

/* Writes a good enquiry drawn from the bounds of the field table, as untidy as a caller may write it: numbers of
 * seventeen digits, minus zero, counts as true and false, sets with repeats and "unknown", closing points, fittings of
 * zero, empty brackets. Where the table alone would break a sum (drops within the fall, a rim's edges), the draw is
 * narrower. The same seed gives the same text. */
void random_enquiry_write(struct writer *out, const struct config *config, uint64_t seed);

#endif
