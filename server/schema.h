#ifndef PONDWRIGHT_SCHEMA_H
#define PONDWRIGHT_SCHEMA_H

#include "config.h"
#include "writer.h"

/* Writes the JSON Schema (draft 2020-12) of the enquiry: every row of the field table with its sentence, bounds, words
 * of the configuration, unit (x-unit) and what happens when it is left out (x-if-left-out: must, assumed, default,
 * derived, unknown, nothing). "default" stands only where no region has one of its own. An object with kinds is a
 * oneOf. Routes that price a pond need #/$defs/quote, the others the schema itself.
 * What needs arithmetic (sums, crossing outlines, dates) only the service can check.
 * The text depends on the configuration alone: write it once for each. */
void schema_write(struct writer *out, const struct config *config);

/* Its parts, as members of an object that is open, for documents that build on them: everything but the closing of the
 * object to unknown members; that a pond or a stream is needed; two enquiries to begin with. */
void schema_members(struct writer *out, const struct config *config);
void schema_priced(struct writer *out);
void schema_examples(struct writer *out, const struct config *config);

#endif
