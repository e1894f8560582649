#ifndef PONDWRIGHT_SCHEMA_TYPES_H
#define PONDWRIGHT_SCHEMA_TYPES_H

#include "config.h"
#include "writer.h"

/* Shared by schema.c, schema_types.c and answer_fields.c; not for others. */

/* The whole schema of a field that is no object. */
void schema_field(struct writer *out, const struct config *config, enum field_id id);

/* Members description, x-unit, x-if-left-out and default of a field, into an object that is open. */
void schema_annotations(struct writer *out, const struct config *config, enum field_id id);

/* The words of a list as an array. */
void schema_words(struct writer *out, const struct config *config, enum word_list list, bool or_unknown);

/* What happens where a field is left out, in a word; and the member with the value that it then has, where it is the same
 * in all regions. */
const char *schema_presence(enum presence presence);
void schema_default(struct writer *out, const char *key, const struct config *config, enum field_id id);

#define MEASURED_HELP "How far given dimensions may be off, as a share: of all, or by pointer; left out, the region's own"

/* The schema of measured_within. */
void schema_measured(struct writer *out);

#endif
