#ifndef PONDWRIGHT_TEST_MADE_ENQUIRIES_H
#define PONDWRIGHT_TEST_MADE_ENQUIRIES_H

#include "outcomes.h"

/* Enquiries made so that, with the fixtures and what random_enquiry.h draws, they reach every entry of the shipped
 * configuration. */

/* Texts with ' for ", each for something that is rare. */
extern const char *const directed_enquiries[];
extern const uint32_t n_directed_enquiries;

/* Calls back with some fourteen hundred more: ponds of every size, soil, way in, old pond and stone in every region, and
 * flows and lifts for every pump and bore. Name and enquiry are good during the call. */
typedef void made_function(const char *name, json_t *enquiry);
void made_enquiries(made_function *ask);

#endif
