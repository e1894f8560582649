#ifndef PONDWRIGHT_OPENAPI_H
#define PONDWRIGHT_OPENAPI_H

#include "config.h"
#include "writer.h"

/* Writes the OpenAPI 3.1 description of the routes that the service has: the enquiry from the field table, the answers
 * from shapes*.def and quantities.def, the refusals from refusals.def.
 * The text depends on the configuration alone: write it once for each. */
void openapi_write(struct writer *out, const struct config *config);

#endif
