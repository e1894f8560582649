#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "money.h"

static uint64_t state = 1;

/* Knuth's MMIX generator: the same draws on every machine. */
static uint32_t draw(uint32_t below)
{
	state = state * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
	return (uint32_t)((state >> 33) % below);
}

START_TEST(price_is_rounded_once_half_away_from_zero)
{
	int64_t minor;

	ck_assert_int_eq(money_for(2.5, 1000, &minor), ST_OK); /* 2.5 x 1.000 = 2.5 -> 3 */
	ck_assert_int_eq(minor, 3);
	ck_assert_int_eq(money_for(0.000001, 499999999, &minor), ST_OK);
	ck_assert_int_eq(minor, 0);
	ck_assert_int_eq(money_for(0.000001, 500000000, &minor), ST_OK);
	ck_assert_int_eq(minor, 1);
	ck_assert_int_eq(money_for(7.7, 4512345, &minor), ST_OK); /* 34745.0565 */
	ck_assert_int_eq(minor, 34745);
	ck_assert_int_eq(money_for(3, -2500, &minor), ST_OK);
	ck_assert_int_eq(minor, -8);
}
END_TEST

START_TEST(price_beyond_exact_money_is_refused)
{
	int64_t minor = 7;

	ck_assert_int_eq(money_for(9e9, INT64_MAX, &minor), ST_MONEY_RANGE);
	ck_assert_int_eq(money_for(-1, 1, &minor), ST_QUANTITY_RANGE);
	ck_assert_int_eq(money_for((double)NAN, 1, &minor), ST_QUANTITY_RANGE);
	ck_assert_int_eq(money_for(9.1e9, 1, &minor), ST_QUANTITY_RANGE);
	ck_assert_int_eq(minor, 7);
	ck_assert(isnan(quantity_fixed((double)INFINITY)));
}
END_TEST

START_TEST(last_bit_of_a_sum_buys_no_further_pack)
{
	double sum = 0;
	int64_t micro;

	for (int i = 0; i < 10; i++)
		sum += 0.1; /* 0.99999999999999989 in binary */
	ck_assert(sum != 1);
	ck_assert_int_eq(quantity_micro(quantity_fixed(sum), &micro), ST_OK);
	ck_assert_int_eq(micro, 1000000);
}
END_TEST

START_TEST(steps_round_half_away_from_zero)
{
	ck_assert_int_eq(money_to_step(12349, 100), 12300);
	ck_assert_int_eq(money_to_step(12350, 100), 12400);
	ck_assert_int_eq(money_to_step(-12350, 100), -12400);
	ck_assert_int_eq(money_to_step(12349, 0), 12349);
}
END_TEST

/* Largest remainder written down a second time, the slow way: give the spare coins one by one. */
static void split_slowly(int64_t total, const int64_t *weights, size_t n, int64_t *shares)
{
	int64_t sum = 0, left = total;
	int64_t rest[64];

	for (size_t i = 0; i < n; i++)
		sum += weights[i];
	for (size_t i = 0; i < n; i++) {
		shares[i] = total * weights[i] / sum;
		rest[i] = total * weights[i] % sum;
		left -= shares[i];
	}
	for (; left > 0; left--) {
		size_t best = 0;

		for (size_t i = 1; i < n; i++)
			if (rest[i] > rest[best])
				best = i;
		shares[best]++;
		rest[best] = -1;
	}
}

START_TEST(split_is_largest_remainder_and_adds_up)
{
	struct remainder scratch[64];

	for (int round = 0; round < 20000; round++) {
		size_t n = 1 + draw(40);
		int64_t weights[64], shares[64], slow[64], total = draw(1000000), sum = 0;

		for (size_t i = 0; i < n; i++)
			weights[i] = draw(10) ? (int64_t)draw(100000) : 0;
		weights[draw((uint32_t)n)] = 1 + draw(1000);
		ck_assert_int_eq(money_split(total, weights, n, shares, scratch), ST_OK);
		split_slowly(total, weights, n, slow);
		for (size_t i = 0; i < n; i++) {
			ck_assert_int_eq(shares[i], slow[i]);
			sum += shares[i];
		}
		ck_assert_int_eq(sum, total);
	}
}
END_TEST

START_TEST(split_of_a_negative_total_mirrors)
{
	int64_t weights[3] = {1, 1, 1}, shares[3];
	struct remainder scratch[3];

	ck_assert_int_eq(money_split(-100, weights, 3, shares, scratch), ST_OK);
	ck_assert_int_eq(shares[0], -34);
	ck_assert_int_eq(shares[1], -33);
	ck_assert_int_eq(shares[2], -33);
}
END_TEST

START_TEST(split_without_weight_is_refused)
{
	int64_t weights[2] = {0, 0}, shares[2];
	struct remainder scratch[2];

	ck_assert_int_eq(money_split(5, weights, 2, shares, scratch), ST_MONEY_RANGE);
	ck_assert_int_eq(money_split(0, weights, 2, shares, scratch), ST_OK);
	ck_assert_int_eq(shares[0] + shares[1], 0);
}
END_TEST

START_TEST(sums_and_shares_stay_in_range)
{
	int64_t sum = MONEY_MOST, part;

	ck_assert_int_eq(money_add(&sum, 1), ST_MONEY_RANGE);
	ck_assert_int_eq(sum, MONEY_MOST);
	ck_assert_int_eq(money_share(MONEY_MOST, 2000000, &part), ST_MONEY_RANGE);
	ck_assert_int_eq(money_share(MONEY_MOST, 1000000, &part), ST_OK); /* the most itself is within */
	ck_assert_int_eq(part, MONEY_MOST);
	ck_assert_int_eq(money_share(-MONEY_MOST, 1000000, &part), ST_OK);
	ck_assert_int_eq(part, -MONEY_MOST);
	ck_assert_int_eq(money_share(12345, 135000, &part), ST_OK); /* 13.5 % of 123.45 = 16.66575 */
	ck_assert_int_eq(part, 1667);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("money");
	TCase *exact = tcase_create("exact");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_set_timeout(exact, 60); /* sanitizers on a busy machine */
	tcase_add_test(exact, price_is_rounded_once_half_away_from_zero);
	tcase_add_test(exact, price_beyond_exact_money_is_refused);
	tcase_add_test(exact, last_bit_of_a_sum_buys_no_further_pack);
	tcase_add_test(exact, steps_round_half_away_from_zero);
	tcase_add_test(exact, split_is_largest_remainder_and_adds_up);
	tcase_add_test(exact, split_of_a_negative_total_mirrors);
	tcase_add_test(exact, split_without_weight_is_refused);
	tcase_add_test(exact, sums_and_shares_stay_in_range);
	suite_add_tcase(suite, exact);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
