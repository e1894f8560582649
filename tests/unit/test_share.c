#include <check.h>
#include <stdlib.h>

#include "share.h"

/* What ranges may take of a thread, with a clock that the test turns. */

#define S INT64_C(1000000000)
#define MS INT64_C(1000000)
#define RANGE_NS (400 * MS) /* one at its cap */

static void answer(struct share *share, int64_t *now_ns, int64_t took_ns)
{
	*now_ns += took_ns;
	share_spend(share, *now_ns, took_ns);
}

START_TEST(some_in_a_row_are_let_through_after_a_rest)
{
	struct share share = {0};
	int64_t now_ns = 5 * S;
	int let_through = 0;

	for (; share_allows(&share, now_ns); let_through++)
		answer(&share, &now_ns, 30 * MS);
	ck_assert_int_eq(let_through, 7); /* 30, 60 ... 210 ms, and 200 may be owed */
}
END_TEST

START_TEST(after_one_at_its_cap_there_is_a_pause)
{
	struct share share = {0};
	int64_t now_ns = 5 * S;

	ck_assert(share_allows(&share, now_ns));
	answer(&share, &now_ns, RANGE_NS);
	ck_assert(!share_allows(&share, now_ns));
	ck_assert(!share_allows(&share, now_ns + 9 * MS));
	ck_assert(share_allows(&share, now_ns + 11 * MS)); /* 0.2 s are paid for in 10 ms */
}
END_TEST

/* Clients that ask for nothing but ranges, each again as soon as it is answered. */
START_TEST(a_crowd_lets_others_in_between_any_two)
{
	struct share share = {0};
	int64_t now_ns = S, in_a_row_ns = 0, worst_ns = 0, taken_ns = 0;

	for (int i = 0; i < 100000; i++) {
		if (share_allows(&share, now_ns)) {
			answer(&share, &now_ns, RANGE_NS);
			in_a_row_ns += RANGE_NS;
			taken_ns += RANGE_NS;
			if (taken_ns > 3 * RANGE_NS && in_a_row_ns > worst_ns)
				worst_ns = in_a_row_ns;
		} else {
			now_ns += MS / 10; /* a refusal */
			in_a_row_ns = 0;
		}
	}
	ck_assert_int_eq(worst_ns, RANGE_NS);
	ck_assert_double_eq_tol((double)taken_ns / (double)(now_ns - S), 20.0 / 21, 0.01);
}
END_TEST

/* One that reads each answer for a tenth of the time it took. */
START_TEST(who_leaves_pauses_is_never_refused)
{
	struct share share = {0};
	int64_t now_ns = S;

	for (int i = 0; i < 10000; i++) {
		ck_assert(share_allows(&share, now_ns));
		answer(&share, &now_ns, RANGE_NS);
		now_ns += RANGE_NS / 10;
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("share");
	TCase *cases = tcase_create("share");
	SRunner *runner;
	int failed;

	tcase_add_test(cases, some_in_a_row_are_let_through_after_a_rest);
	tcase_add_test(cases, after_one_at_its_cap_there_is_a_pause);
	tcase_add_test(cases, a_crowd_lets_others_in_between_any_two);
	tcase_add_test(cases, who_leaves_pauses_is_never_refused);
	suite_add_tcase(suite, cases);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
