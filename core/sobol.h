#ifndef PONDWRIGHT_SOBOL_H
#define PONDWRIGHT_SOBOL_H

#include <stdint.h>

/* Sobol' sequence in Gray-code order: I. A. Antonov and V. M. Saleev, USSR Comput. Math. Math. Phys. 19 (1979) 252-256, with
 * the direction numbers of S. Joe and F. Y. Kuo, SIAM J. Sci. Comput. 30 (2008) 2635-2654 (new-joe-kuo-6.21201).
 * Unscrambled. The first point is the origin, as published; it belongs to the net and is not dropped: of the first 2^k points
 * every coordinate takes each multiple of 2^-k once (A. B. Owen, "On dropping the first Sobol' point", 2020). */

enum { SOBOL_DIMENSIONS_MOST = 128, SOBOL_BITS = 32 };

/* Owned by the caller, holds no pointer, may be copied. */
struct sobol {
	uint32_t n_dimensions;
	uint32_t index;                       /* of the next point */
	uint32_t next[SOBOL_DIMENSIONS_MOST]; /* coordinates of it, times 2^32 */
	uint32_t direction[SOBOL_DIMENSIONS_MOST][SOBOL_BITS];
};

/* At the first point. n_dimensions is 1 to SOBOL_DIMENSIONS_MOST. */
void sobol_begin(struct sobol *sobol, uint32_t n_dimensions);

/* The next point, each coordinate in [0, 1). At most 2^32 - 1 points. */
void sobol_point(struct sobol *sobol, double *point);

#endif
