#ifndef PONDWRIGHT_SCHEMA_TYPES_H
#define PONDWRIGHT_SCHEMA_TYPES_H

#include "config.h"
#include "writer.h"

/* Shared by schema.c and schema_types.c; not for others. */

/* The whole schema of a field that is no object. */
void schema_field(struct writer *out, const struct config *config, enum field_id id);

/* Members description, x-unit, x-if-left-out and default of a field, into an object that is open. */
void schema_annotations(struct writer *out, const struct config *config, enum field_id id);

/* The schema of measured_within. */
void schema_measured(struct writer *out);

#endif
