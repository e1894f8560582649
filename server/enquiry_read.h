#ifndef PONDWRIGHT_ENQUIRY_READ_H
#define PONDWRIGHT_ENQUIRY_READ_H

#include <jansson.h>

#include "config.h"
#include "enquiry.h"
#include "enquiry_faults.h"

/* JSON to struct enquiry: one walk over the field table. */

/* Which members a route must have: a quote needs a pond (or a stream, for work stream); the others need neither. */
enum route_need { NEED_QUOTE, NEED_WATER, NEED_SCREEN };

enum body_state {
	BODY_READ,
	BODY_REFUSED,   /* 400: one fault, with line and column */
	BODY_NO_MEMORY, /* 503 */
};

/* Reads a body whose top must be an object. On BODY_READ *object is the caller's to json_decref. */
enum body_state body_parse(const char *bytes, size_t length, json_t **object, struct enquiry_faults *faults);

/* Reads an enquiry as asked. What was given well has its value and origin GIVEN; a fact of which "unknown" was said is
 * NOT_KNOWN; what was given but is faulty is NOT_APPLICABLE, so that later checks can pass over it; all else LEFT_OUT.
 * Numbers are taken to twelve significant digits, so that what is echoed is what was priced. A bracket object (presence
 * ALWAYS) without members counts as left out.
 *   prefix   pointer of the enquiry inside the body: "" or such as "/agreed"
 * Adds every fault; nothing of the enquiry points into the object. */
void enquiry_read(const struct config *config, enum route_need need, json_t *object, const char *prefix,
	struct enquiry *enquiry, struct enquiry_faults *faults);

#endif
