#ifndef PONDWRIGHT_ANSWER_FIELDS_H
#define PONDWRIGHT_ANSWER_FIELDS_H

#include "config.h"
#include "writer.h"

/* The member "fields": every field of an enquiry in the order of the table, as a form needs it: what its control is, what
 * it may hold, what it is called in the language of the configuration. The same as the JSON Schema says, for readers
 * that want no schema. */
void answer_fields(struct writer *out, const struct config *config);

#endif
