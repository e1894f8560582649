#include "sobol.h"

#include <assert.h>

enum { DEGREE_MOST = 10 };
struct primitive {
	uint32_t degree, coefficients, first[DEGREE_MOST];
};

/* From the second dimension on. */
static const struct primitive primitives[SOBOL_DIMENSIONS_MOST - 1] = {
#define DIRECTION(degree, coefficients, ...) {degree, coefficients, {__VA_ARGS__}},
#include "sobol_directions.def"
#undef DIRECTION
};

/* Of the first dimension all first numbers are 1: van der Corput's sequence. */
static void lay_first(uint32_t direction[SOBOL_BITS])
{
	for (uint32_t i = 0; i < SOBOL_BITS; i++)
		direction[i] = 1u << (SOBOL_BITS - 1 - i);
}

/* The recurrence of a primitive polynomial over two elements, on numbers that are scaled to 32 bits. */
static void lay(const struct primitive *primitive, uint32_t direction[SOBOL_BITS])
{
	uint32_t s = primitive->degree;

	for (uint32_t i = 0; i < s && i < DEGREE_MOST; i++)
		direction[i] = primitive->first[i] << (SOBOL_BITS - 1 - i);
	for (uint32_t i = s; i < SOBOL_BITS; i++) {
		direction[i] = direction[i - s] ^ (direction[i - s] >> s);
		for (uint32_t k = 1; k < s; k++)
			if (primitive->coefficients >> (s - 1 - k) & 1)
				direction[i] ^= direction[i - k];
	}
}

void sobol_begin(struct sobol *sobol, uint32_t n_dimensions)
{
	assert(n_dimensions >= 1 && n_dimensions <= SOBOL_DIMENSIONS_MOST);
	sobol->n_dimensions = n_dimensions;
	sobol->index = 0;
	lay_first(sobol->direction[0]);
	for (uint32_t d = 1; d < n_dimensions; d++)
		lay(&primitives[d - 1], sobol->direction[d]);
	for (uint32_t d = 0; d < n_dimensions; d++)
		sobol->next[d] = 0;
}

void sobol_point(struct sobol *sobol, double *point)
{
	uint32_t bit = (uint32_t)__builtin_ctz(~sobol->index++);

	for (uint32_t d = 0; d < sobol->n_dimensions; d++) {
		point[d] = sobol->next[d] * 0x1p-32;
		sobol->next[d] ^= sobol->direction[d][bit];
	}
}
