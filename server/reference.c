#include "reference.h"

#include <stdint.h>
#include <string.h>

#include <nettle/sha2.h>

enum { BITS = 55, BITS_EACH = 5, CHECK_MODULUS = 37 };

static const char symbols[CHECK_MODULUS + 1] = "0123456789ABCDEFGHJKMNPQRSTVWXYZ*~$=U";

static uint64_t first_bits(const uint8_t digest[SHA256_DIGEST_SIZE])
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

static void part_add(struct sha256_ctx *hash, const char *bytes, size_t length)
{
	sha256_update(hash, length, (const uint8_t *)bytes);
}

void reference_text(
	const char *canonical, size_t length, const char *edition, const char *config_digest, char text[REFERENCE_SIZE])
{
	uint8_t digest[SHA256_DIGEST_SIZE];
	struct sha256_ctx hash;

	sha256_init(&hash);
	part_add(&hash, canonical, length);
	part_add(&hash, "\n", 1);
	part_add(&hash, edition, strlen(edition));
	part_add(&hash, "\n", 1);
	part_add(&hash, config_digest, strlen(config_digest));
	sha256_digest(&hash, sizeof digest, digest);
	number_symbols(first_bits(digest), text);
}
