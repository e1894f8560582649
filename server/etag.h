#ifndef PONDWRIGHT_ETAG_H
#define PONDWRIGHT_ETAG_H

#include <stdbool.h>
#include <stddef.h>

/* Room for an entity tag with quotes and NUL. */
#define ETAG_SIZE 40

/* A strong entity tag of some bytes: FNV-1a, 64 bit, and the length. It tells versions apart, it does not
 * protect against anyone: the bytes are our own. */
void etag_make(const void *bytes, size_t length, char text[ETAG_SIZE]);

/* Whether an If-None-Match value (a list, "*", weak forms; NULL matches nothing) holds the tag, by the weak
 * comparison that RFC 9110 section 13.1.2 asks for. */
bool etag_matches(const char *if_none_match, const char *etag);

#endif
