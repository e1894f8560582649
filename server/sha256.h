#ifndef PONDWRIGHT_SHA256_H
#define PONDWRIGHT_SHA256_H

#include <stddef.h>
#include <stdint.h>

/* SHA-256, FIPS 180-4 section 6.2. Names a configuration and a quote; nothing secret hangs on it. */
enum { SHA256_BYTES = 32, SHA256_HEX_SIZE = 2 * SHA256_BYTES + 1 };

struct sha256 {
	uint32_t state[8];
	uint64_t length; /* bytes so far */
	uint8_t block[64];
};

void sha256_init(struct sha256 *hash);
void sha256_add(struct sha256 *hash, const void *bytes, size_t length);
/* Ends the message; the hash must be started again before it is used again. */
void sha256_end(struct sha256 *hash, uint8_t digest[SHA256_BYTES]);

/* Lower-case hexadecimal with its NUL. */
void sha256_hex(const uint8_t digest[SHA256_BYTES], char text[SHA256_HEX_SIZE]);

#endif
