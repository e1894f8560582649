#ifndef PONDWRIGHT_SENSITIVITY_H
#define PONDWRIGHT_SENSITIVITY_H

#include <stdbool.h>
#include <stdint.h>

#include "sobol.h"

/* How much of the variance of a result each of its inputs makes, for any function of numbers that are uniform in (0, 1).
 *
 * Points: the Sobol' sequence, moved by half of its step so that each coordinate's values stand in the middle of theirs.
 *
 * First order, from the plain samples, without further calls: the correlation ratio of the result on cells of one input
 * (K. Pearson 1905; as an estimator of first-order indices from given data: E. Plischke, E. Borgonovo and C. L. Smith, Eur. J.
 * Oper. Res. 226 (2013) 536-550):  sum over cells of count (mean of the cell - mean)^2 over n variance. The correction that
 * independent samples need for chance between cells is left out: on a sequence that fills every cell evenly there is
 * next to none, and the correction would take up to 0.015 too much of 1024 samples.
 *
 * Total order: M. J. W. Jansen, Comput. Phys. Commun. 117 (1999) 35-43, as in A. Saltelli et al., Comput. Phys. Commun. 181
 * (2010) 259-270, table 2 (f):  sum of (f(A) - f(A with column i of B))^2 over 2 n variance. A and B are the first and the
 * further coordinates of the same point. */

enum { CELLS_MOST = 32, AXES_MOST = 88, SWAPPED_MOST = SOBOL_DIMENSIONS_MOST - AXES_MOST };

/* The result at a point; false where it has none there.
 *   u       n_axes coordinates
 *   cells   NULL for a point that only serves a total index; else each input's cell, filled by its coordinate: a function may
 *           put an input that takes few values into a cell for each value, below CELLS_MOST */
typedef bool sensitivity_model(void *with, const double *u, uint8_t *cells, double *result);

struct sensitivity_plan {
	uint32_t n_axes;     /* 1 to AXES_MOST */
	uint32_t n_swapped;  /* the first so many get a total index; at most SWAPPED_MOST */
	uint32_t samples;    /* plain samples, at least 2 */
	uint32_t swaps;      /* the first so many of them serve the total indices too: each costs n_swapped calls more */
};

struct sensitivity_cell {
	double sum;          /* of results, less the first of all */
	uint32_t count;
};

struct sensitivity_axis {
	double first_share, total_share; /* of the variance, 0 or more; 0 where there is no variance */
	struct sensitivity_cell cells[CELLS_MOST];
	double square_sum;
	uint32_t pairs;
};

struct sensitivity {
	uint32_t n;          /* samples that have a result */
	uint32_t n_calls;    /* of the function */
	uint32_t n_cells;    /* of a coordinate */
	double origin;       /* the first result: sums are kept from there */
	double sum, square_sum;
	double mean, variance;
	struct sensitivity_axis axes[AXES_MOST];
	struct sobol sobol;
};

/* Deterministic; calls the function samples + swaps * n_swapped times. */
void sensitivity_run(const struct sensitivity_plan *plan, sensitivity_model *model, void *with,
	struct sensitivity *sensitivity);

#endif
