#ifndef PONDWRIGHT_ANSWER_REGIONS_H
#define PONDWRIGHT_ANSWER_REGIONS_H

#include <stdbool.h>

#include "config.h"
#include "writer.h"

/* GET /v1/regions: {"default_region", "regions": [card, …]}, sorted as the catalogue lists them. A card names a region,
 * its money, units and editions. Memory that was short is the writer's flag. */
void answer_regions(struct writer *out, const struct config *config);

/* GET /v1/regions/{id}: the card, and what a form needs to ask about a pond there: tax, shells, soils, pumps, bores,
 * fittings, edges, plants with piercing roots, the words of every enum by pointer, and the questions of the unknowns.
 * False, with nothing written, where there is no such region. */
bool answer_region(struct writer *out, const struct config *config, const char *id);

#endif
