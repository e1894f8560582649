#ifndef PONDWRIGHT_REFERENCE_H
#define PONDWRIGHT_REFERENCE_H

#include <stddef.h>

/* The name by which people speak of a quote. Twelve characters: the first 55 bits of the SHA-256 (FIPS 180-4) of
 *   the canonical enquiry, a line feed, the edition's id, a line feed, the digest of the configuration
 * as eleven characters of Crockford's base 32 (0-9 and A-Z without I, L, O, U; highest bits first), then Crockford's
 * check symbol: the 55-bit number modulo 37, written as one of the 32 or, from 32 on, as * ~ $ = U
 * (D. Crockford, "Base 32", 2002). It tells any one wrong character and any swap of two neighbours. */

enum { REFERENCE_SIZE = 13 };

void reference_text(const char *canonical, size_t length, const char *edition, const char *config_digest,
	char text[REFERENCE_SIZE]);

#endif
