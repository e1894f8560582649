#ifndef PONDWRIGHT_ENQUIRY_LISTS_H
#define PONDWRIGHT_ENQUIRY_LISTS_H

#include <stdbool.h>

#include "fields.h"

/* Bounds of lists that the child tables do not state. */

/* Fewest entries: a polygon has three corners, a bed and a pump curve two points; other lists may be empty. */
uint32_t list_least(enum child_list child);

/* Most entries as written: corners may be one more, for a closing point. */
uint32_t list_most_written(enum child_list child);

/* How far a given dimension may be off at most, as a share. */
#define MEASURED_SHARE_MOST 0.5

/* Whether measured_within may name the field: a number that somebody measures, no fact. */
bool field_is_measured(enum field_id id);

#endif
