#ifndef PONDWRIGHT_MONEY_H
#define PONDWRIGHT_MONEY_H

#include <stddef.h>
#include <stdint.h>

#include "status.h"

/* Exact money: int64_t in the smallest coin ("minor"), unit prices in thousandths of it ("milliminor"), shares in
 * parts per million. Everything is checked; a sum beyond MONEY_MOST is an error, never a wrap. */

#define MONEY_MOST INT64_C(1000000000000000) /* 1e15: ten million million in a currency with two decimals */

/* Quantities meet money, packs and choices only after this: the nearest multiple of 1e-6. Values beyond 9e9, or not
 * finite, come back as NaN so that they are caught by the next check. */
double quantity_fixed(double quantity);

/* The same as a whole number of millionths, rounded to nearest. ST_QUANTITY_RANGE where it is not in 0 to 9e9. */
enum status quantity_micro(double quantity, int64_t *micro);

/* quantity (fixed to 1e-6, 0 to 9e9) times a unit price in milliminor, rounded half away from zero to minor.
 * Exact: the product is formed in 128 bits. ST_QUANTITY_RANGE or ST_MONEY_RANGE. */
enum status money_for(double quantity, int64_t milliminor, int64_t *minor);

/* amount times a share in parts per million, rounded half away from zero. ST_MONEY_RANGE. */
enum status money_share(int64_t amount_minor, int64_t share_ppm, int64_t *minor);

/* *sum += amount, checked; the sum is left as it was where that leaves the range. Both are in the range before. */
static inline enum status money_add(int64_t *sum_minor, int64_t amount_minor)
{
	int64_t sum = *sum_minor + amount_minor; /* two values of at most 1e15 never wrap */

	if (sum > MONEY_MOST || sum < -MONEY_MOST)
		return ST_MONEY_RANGE;
	*sum_minor = sum;
	return ST_OK;
}

/* Rounds to a whole number of steps, half away from zero; step 0 or 1 changes nothing. */
int64_t money_to_step(int64_t amount_minor, int64_t step_minor);

/* Splits total over n weights (each >= 0, not all 0) by largest remainder: share i is total * weight i / sum of
 * weights, rounded down, and what is left goes one coin each to the largest remainders, ties to the lower index.
 * Shares add up to total exactly; total may be negative (then mirrored). scratch holds n. n is at most 4096.
 * ST_MONEY_RANGE where a sum leaves the range or every weight is 0 while total is not. */
struct remainder {
	uint64_t rest;
	uint32_t index;
};
enum status money_split(int64_t total_minor, const int64_t *weights, size_t n, int64_t *shares, struct remainder *scratch);

#endif
