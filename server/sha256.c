#include "sha256.h"

#include <string.h>

/* First 32 bits of the fractional parts of the cube roots of the first 64 primes, FIPS 180-4 section 4.2.2. */
static const uint32_t k[64] = {
	0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
	0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
	0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
	0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
	0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
	0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
	0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
	0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

static uint32_t rotr(uint32_t x, unsigned n)
{
	return x >> n | x << (32 - n);
}

static uint32_t big_endian(const uint8_t *bytes)
{
	return (uint32_t)bytes[0] << 24 | (uint32_t)bytes[1] << 16 | (uint32_t)bytes[2] << 8 | bytes[3];
}

static void schedule(const uint8_t block[64], uint32_t w[64])
{
	for (size_t t = 0; t < 16; t++)
		w[t] = big_endian(block + 4 * t);
	for (size_t t = 16; t < 64; t++) {
		uint32_t sigma1 = rotr(w[t - 2], 17) ^ rotr(w[t - 2], 19) ^ w[t - 2] >> 10;
		uint32_t sigma0 = rotr(w[t - 15], 7) ^ rotr(w[t - 15], 18) ^ w[t - 15] >> 3;

		w[t] = sigma1 + w[t - 7] + sigma0 + w[t - 16];
	}
}

static void compress(uint32_t state[8], const uint8_t block[64])
{
	uint32_t a = state[0], b = state[1], c = state[2], d = state[3];
	uint32_t e = state[4], f = state[5], g = state[6], h = state[7];
	uint32_t w[64];

	schedule(block, w);
	for (size_t t = 0; t < 64; t++) { /* eight variables, as in section 6.2.2: they stay in registers */
		uint32_t sum1 = rotr(e, 6) ^ rotr(e, 11) ^ rotr(e, 25);
		uint32_t t1 = h + sum1 + ((e & f) ^ (~e & g)) + k[t] + w[t];
		uint32_t sum0 = rotr(a, 2) ^ rotr(a, 13) ^ rotr(a, 22);
		uint32_t t2 = sum0 + ((a & b) ^ (a & c) ^ (b & c));

		h = g, g = f, f = e, e = d + t1;
		d = c, c = b, b = a, a = t1 + t2;
	}
	state[0] += a, state[1] += b, state[2] += c, state[3] += d;
	state[4] += e, state[5] += f, state[6] += g, state[7] += h;
}

void sha256_init(struct sha256 *hash)
{
	/* Square roots of the first eight primes, FIPS 180-4 section 5.3.3. */
	*hash = (struct sha256){.state = {0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c,
					0x1f83d9ab, 0x5be0cd19}};
}

void sha256_add(struct sha256 *hash, const void *bytes, size_t length)
{
	const uint8_t *from = bytes;

	while (length > 0) {
		size_t used = hash->length % 64;
		size_t part = length < 64 - used ? length : 64 - used;

		memcpy(hash->block + used, from, part);
		hash->length += part;
		from += part;
		length -= part;
		if (used + part == 64)
			compress(hash->state, hash->block);
	}
}

void sha256_end(struct sha256 *hash, uint8_t digest[SHA256_BYTES])
{
	static const uint8_t padding[64] = {0x80};
	uint64_t bits = hash->length * 8;
	uint8_t length[8];

	for (size_t i = 0; i < 8; i++)
		length[i] = (uint8_t)(bits >> (56 - 8 * i));
	sha256_add(hash, padding, 1 + (119 - hash->length % 64) % 64);
	sha256_add(hash, length, sizeof length);
	for (size_t i = 0; i < SHA256_BYTES; i++)
		digest[i] = (uint8_t)(hash->state[i / 4] >> (24 - 8 * (i % 4)));
}

void sha256_hex(const uint8_t digest[SHA256_BYTES], char text[SHA256_HEX_SIZE])
{
	static const char digits[] = "0123456789abcdef";

	for (size_t i = 0; i < SHA256_BYTES; i++) {
		text[2 * i] = digits[digest[i] >> 4];
		text[2 * i + 1] = digits[digest[i] & 15];
	}
	text[2 * SHA256_BYTES] = '\0';
}
