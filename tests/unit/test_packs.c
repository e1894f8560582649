#include <check.h>
#include <stdlib.h>

#include "money.h"
#include "packs.h"

static uint64_t state = 7;

static uint32_t draw(uint32_t below)
{
	state = state * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
	return (uint32_t)((state >> 33) % below);
}

/* Every cover of up to `most` packs of each kind, looked at one by one. */
static int64_t cheapest_by_force(const struct pack_offer *offers, uint32_t n, uint32_t most, int64_t need)
{
	int64_t best = INT64_MAX;
	uint32_t counts[PACKS_OF_ITEM_MOST] = {0};

	for (;;) {
		int64_t size = 0, cost = 0;
		uint32_t k = 0;

		for (uint32_t i = 0; i < n; i++) {
			size += counts[i] * offers[i].size_micro;
			cost += counts[i] * offers[i].milliminor;
		}
		if (size >= need && cost < best)
			best = cost;
		while (k < n && counts[k] == most)
			counts[k++] = 0;
		if (k == n)
			return best;
		counts[k]++;
	}
}

START_TEST(cover_is_the_cheapest_of_all_covers)
{
	for (int round = 0; round < 3000; round++) {
		uint32_t n = 1 + draw(3);
		struct pack_offer offers[3];
		struct pack_cover cover;
		int64_t need, held = 0, cost = 0, smallest = INT64_MAX;

		for (uint32_t i = 0; i < n; i++) {
			offers[i] = (struct pack_offer){1 + draw(20), draw(500)};
			if (offers[i].size_micro < smallest)
				smallest = offers[i].size_micro;
		}
		need = draw((uint32_t)(smallest * 12) + 1);
		ck_assert_int_eq(packs_cover(offers, n, need, &cover), ST_OK);
		for (uint32_t i = 0; i < n; i++) {
			held += cover.bought[i] * offers[i].size_micro;
			cost += cover.bought[i] * offers[i].milliminor;
		}
		ck_assert_int_ge(held, need);
		ck_assert_int_eq(cost, cover.milliminor);
		ck_assert_int_eq(cost, cheapest_by_force(offers, n, 12, need));
	}
}
END_TEST

START_TEST(week_replaces_five_days_only_when_cheaper)
{
	/* hours: half-day 4, day 8, week 40 */
	struct pack_offer offers[3] = {{4000000, 70000}, {8000000, 110000}, {40000000, 380000}};
	struct pack_cover cover;

	ck_assert_int_eq(packs_cover(offers, 3, 24000000, &cover), ST_OK);
	ck_assert_uint_eq(cover.bought[1], 3); /* 330 beats a week */
	ck_assert_int_eq(packs_cover(offers, 3, 28000000, &cover), ST_OK);
	ck_assert_uint_eq(cover.bought[2], 1); /* 3 days and a half cost 400 */
	ck_assert_int_eq(cover.milliminor, 380000);
}
END_TEST

START_TEST(exact_fit_buys_no_spare_and_nothing_costs_nothing)
{
	struct pack_offer bag = {25000000, 5600};
	struct pack_cover cover;

	ck_assert_int_eq(packs_cover(&bag, 1, 75000000, &cover), ST_OK);
	ck_assert_uint_eq(cover.bought[0], 3);
	ck_assert_int_eq(packs_cover(&bag, 1, 75000001, &cover), ST_OK);
	ck_assert_uint_eq(cover.bought[0], 4);
	ck_assert_int_eq(packs_cover(&bag, 1, 0, &cover), ST_OK);
	ck_assert_int_eq(cover.milliminor, 0);
}
END_TEST

/* A million of one pack, and what a price may come to, are the last that pass; one grain more is refused. */
START_TEST(bounds_are_where_they_are_said_to_be)
{
	struct pack_offer offers[2] = {{7, 1}, {7, 2}};
	struct pack_cover cover;

	for (uint32_t n = 1; n <= 2; n++) {
		offers[0].milliminor = 1;
		ck_assert_int_eq(packs_cover(offers, n, 7000000, &cover), ST_OK);
		ck_assert_uint_eq(cover.bought[0], 1000000);
		ck_assert_int_eq(packs_cover(offers, n, 7000001, &cover), ST_QUANTITY_RANGE);
		offers[0].milliminor = MONEY_MOST;
		ck_assert_int_eq(packs_cover(offers, n, 7000, &cover), ST_OK);
		ck_assert_int_eq(packs_cover(offers, n, 7001, &cover), ST_MONEY_RANGE);
	}
}
END_TEST

START_TEST(absurd_need_is_refused)
{
	struct pack_offer grain = {1, 1};
	struct pack_cover cover;

	ck_assert_int_eq(packs_cover(&grain, 1, INT64_C(5000000000), &cover), ST_QUANTITY_RANGE);
	grain = (struct pack_offer){1000, INT64_C(4000000000000000)};
	ck_assert_int_eq(packs_cover(&grain, 1, 1000000000, &cover), ST_MONEY_RANGE);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("packs");
	TCase *covers = tcase_create("covers");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_test(covers, cover_is_the_cheapest_of_all_covers);
	tcase_add_test(covers, week_replaces_five_days_only_when_cheaper);
	tcase_add_test(covers, exact_fit_buys_no_spare_and_nothing_costs_nothing);
	tcase_add_test(covers, bounds_are_where_they_are_said_to_be);
	tcase_add_test(covers, absurd_need_is_refused);
	tcase_set_timeout(covers, 60);
	suite_add_tcase(suite, covers);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
