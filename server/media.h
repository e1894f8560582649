#ifndef PONDWRIGHT_MEDIA_H
#define PONDWRIGHT_MEDIA_H

#include <stdbool.h>
#include <stddef.h>

/* Media types in request fields (RFC 9110 sections 8.3 and 12.5.1). All functions are pure. */

/* Whether a Content-Type value names the type; case and parameters do not matter. NULL is no type. */
bool media_is(const char *value, const char *type);

/* Which of some languages an Accept-Language value wants most, as their index; the first where it wants none of them, and
 * for NULL. A range stands for a language that is all of it or all before a hyphen in it ("fr-CA" for fr, as the lookup
 * of RFC 4647 section 3.4 shortens it), "*" for the first. Of equal weights the earlier range goes first. */
size_t media_language(const char *accept, const char *const *tags, size_t count);

/* The weight, 0 to 1000, that an Accept value gives to a type ("application/json"): the most specific range that
 * matches decides. NULL or an empty value accepts everything, 1000. */
unsigned media_weight(const char *accept, const char *type);

#endif
