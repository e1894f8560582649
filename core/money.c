#include "money.h"

#include <math.h>

enum { MICRO_PER_UNIT = 1000000, MILLI_PER_MINOR = 1000, PPM = 1000000 };
static const double quantity_most = 9e9;

__extension__ typedef __int128 wide; /* products of two 64-bit values */

/* Nearest whole number, halves away from zero; the casts are one instruction each, llround() is a call. */
static int64_t nearest(double value)
{
	return (int64_t)(value + (value < 0 ? -0.5 : 0.5));
}

double quantity_fixed(double quantity)
{
	if (!(quantity <= quantity_most && quantity >= -quantity_most))
		return (double)NAN;
	return (double)nearest(quantity * MICRO_PER_UNIT) / MICRO_PER_UNIT;
}

enum status quantity_micro(double quantity, int64_t *micro)
{
	if (!(quantity >= 0 && quantity <= quantity_most)) /* also catches NaN */
		return ST_QUANTITY_RANGE;
	*micro = nearest(quantity * MICRO_PER_UNIT);
	return ST_OK;
}

/* Rounds half away from zero. */
static wide divide_rounded(wide value, int64_t by)
{
	wide half = by / 2;

	return value >= 0 ? (value + half) / by : -((-value + half) / by);
}

static enum status narrowed(wide value, int64_t *minor)
{
	if (value > MONEY_MOST || value < -MONEY_MOST)
		return ST_MONEY_RANGE;
	*minor = (int64_t)value;
	return ST_OK;
}

/* a * b / by rounded half away from zero, in 64 bits where that is enough: 128-bit division is ten times dearer. */
static enum status product_over(int64_t a, int64_t b, int64_t by, int64_t *minor)
{
	int64_t small;

	if (!__builtin_mul_overflow(a, b, &small) && small < INT64_MAX / 2 && small > -(INT64_MAX / 2)) {
		*minor = small >= 0 ? (small + by / 2) / by : -((-small + by / 2) / by);
		return *minor > MONEY_MOST || *minor < -MONEY_MOST ? ST_MONEY_RANGE : ST_OK;
	}
	return narrowed(divide_rounded((wide)a * b, by), minor);
}

enum status money_for(double quantity, int64_t milliminor, int64_t *minor)
{
	int64_t micro, product;
	enum status status = quantity_micro(quantity, &micro);

	if (status == ST_OK)
		status = product_over(micro, milliminor, (int64_t)MICRO_PER_UNIT * MILLI_PER_MINOR, &product);
	if (status == ST_OK)
		*minor = product;
	return status;
}

enum status money_share(int64_t amount_minor, int64_t share_ppm, int64_t *minor)
{
	return product_over(amount_minor, share_ppm, PPM, minor);
}

int64_t money_to_step(int64_t amount_minor, int64_t step_minor)
{
	if (step_minor <= 1)
		return amount_minor;
	return (int64_t)divide_rounded(amount_minor, step_minor) * step_minor;
}

/* Larger remainder first, then lower index. */
static int goes_before(struct remainder a, struct remainder b)
{
	return a.rest != b.rest ? a.rest > b.rest : a.index < b.index;
}

/* Splits list[*low..*high] around a pivot: afterwards everything up to *high goes before everything from *low on. */
static void partition(struct remainder *list, ptrdiff_t *low, ptrdiff_t *high)
{
	struct remainder pivot = list[*low + (*high - *low) / 2];

	while (*low <= *high) {
		while (goes_before(list[*low], pivot))
			++*low;
		while (goes_before(pivot, list[*high]))
			--*high;
		if (*low <= *high) {
			struct remainder swapped = list[*low];

			list[(*low)++] = list[*high];
			list[(*high)--] = swapped;
		}
	}
}

/* Moves the n_first that go before all others to the front, in any order (Hoare's selection, 1961). */
static void select_largest(struct remainder *list, size_t n, size_t n_first)
{
	ptrdiff_t low = 0, high = (ptrdiff_t)n - 1, wanted = (ptrdiff_t)n_first;

	while (low < high) {
		ptrdiff_t left = low, right = high;

		partition(list, &left, &right);
		if (wanted <= right)
			high = right;
		else if (wanted >= left)
			low = left;
		else
			return;
	}
}

/* Whole part of total * weight / sum, and what remains. */
static struct remainder part_of(int64_t total, int64_t weight, int64_t sum, int64_t *share)
{
	int64_t small;
	wide product;

	if (sum == 0) {
		*share = 0;
		return (struct remainder){0};
	}
	if (!__builtin_mul_overflow(total, weight, &small)) {
		*share = small / sum;
		return (struct remainder){.rest = (uint64_t)(small % sum)};
	}
	product = (wide)total * weight;
	*share = (int64_t)(product / sum);
	return (struct remainder){.rest = (uint64_t)(product % sum)};
}

enum status money_split(int64_t total_minor, const int64_t *weights, size_t n, int64_t *shares, struct remainder *scratch)
{
	int64_t total = total_minor < 0 ? -total_minor : total_minor, given = 0, weight_sum = 0;

	for (size_t i = 0; i < n; i++)
		if (weights[i] < 0 || money_add(&weight_sum, weights[i]) != ST_OK)
			return ST_MONEY_RANGE;
	if (weight_sum == 0 && total != 0)
		return ST_MONEY_RANGE;
	if (n == 1) {
		shares[0] = total_minor;
		return ST_OK;
	}
	for (size_t i = 0; i < n; i++) {
		scratch[i] = part_of(total, weights[i], weight_sum, &shares[i]);
		scratch[i].index = (uint32_t)i;
		given += shares[i];
	}
	select_largest(scratch, n, (size_t)(total - given));
	for (size_t i = 0; i < (size_t)(total - given); i++)
		shares[scratch[i].index]++;
	for (size_t i = 0; total_minor < 0 && i < n; i++)
		shares[i] = -shares[i];
	return ST_OK;
}
