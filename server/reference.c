#include "reference.h"

#include <stdint.h>
#include <string.h>

#include "sha256.h"

enum { BITS = 55, BITS_EACH = 5, CHECK_MODULUS = 37 };

static const char symbols[CHECK_MODULUS + 1] = "0123456789ABCDEFGHJKMNPQRSTVWXYZ*~$=U";

static uint64_t first_bits(const uint8_t digest[SHA256_BYTES])
{
	uint64_t bits = 0;

	for (int i = 0; i < 8; i++)
		bits = bits << 8 | digest[i];
	return bits >> (64 - BITS);
}

static void number_symbols(uint64_t number, char text[REFERENCE_SIZE])
{
	for (int i = 0; i < BITS / BITS_EACH; i++)
		text[i] = symbols[number >> (BITS - BITS_EACH * (i + 1)) & 31];
	text[BITS / BITS_EACH] = symbols[number % CHECK_MODULUS];
	text[REFERENCE_SIZE - 1] = '\0';
}

void reference_text(
	const char *canonical, size_t length, const char *edition, const char *config_digest, char text[REFERENCE_SIZE])
{
	struct sha256 hash;
	uint8_t digest[SHA256_BYTES];

	sha256_init(&hash);
	sha256_add(&hash, canonical, length);
	sha256_add(&hash, "\n", 1);
	sha256_add(&hash, edition, strlen(edition));
	sha256_add(&hash, "\n", 1);
	sha256_add(&hash, config_digest, strlen(config_digest));
	sha256_end(&hash, digest);
	number_symbols(first_bits(digest), text);
}
