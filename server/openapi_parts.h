#ifndef PONDWRIGHT_OPENAPI_PARTS_H
#define PONDWRIGHT_OPENAPI_PARTS_H

#include <stdbool.h>

#include "config.h"
#include "writer.h"

/* Shared by openapi*.c; not for others. */

/* What a path is for, as a bit: a body is worked out, a document is looked up, one region is named in the path, health
 * and metrics, readiness, whose own 503 is no problem. */
enum path_kind { PATH_QUESTION = 1, PATH_DOCUMENT = 2, PATH_REGION = 4, PATH_OPERATIONAL = 8, PATH_READINESS = 16 };

/* Key and value of a constant JSON text. */
void openapi_text(struct writer *out, const char *key, const char *json);

/* openapi_refusals.c: members of "responses" for every status that such a path can refuse with, each a reference; and
 * what they refer to, as the member "responses" of the components. */
void openapi_refusals(struct writer *out, enum path_kind kind);
void openapi_refusal_components(struct writer *out);

/* openapi_bodies.c: the schemas of the bodies, as members of an object that is open. */
void openapi_bodies(struct writer *out, const struct config *config);

#endif
