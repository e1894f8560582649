#ifndef PONDWRIGHT_MEDIA_H
#define PONDWRIGHT_MEDIA_H

#include <stdbool.h>

/* Media types in request fields (RFC 9110 sections 8.3 and 12.5.1). All functions are pure. */

/* Whether a Content-Type value names the type; case and parameters do not matter. NULL is no type. */
bool media_is(const char *value, const char *type);

/* The weight, 0 to 1000, that an Accept value gives to a type ("application/json"): the most specific range that
 * matches decides. NULL or an empty value accepts everything, 1000. */
unsigned media_weight(const char *accept, const char *type);

#endif
