#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "outline_envelope.h"

/* The least of several functions over an edge: which of them it is, and where it changes. */

static struct envelope envelope;

/* r = height m all along [from, to]. */
static struct sight flat(uint32_t owner, double from, double to, double height_m)
{
	return (struct sight){.kind = PIECE_LINE, .owner = owner, .from = from, .to = to, .c = {height_m, 0, 0}};
}

/* A corner 1 m from the edge at x = 10: r = ((x - 10)^2 + 1) / 2. */
static struct sight corner(uint32_t owner)
{
	return (struct sight){.kind = PIECE_PARABOLA, .owner = owner, .from = 0, .to = 20, .c = {50.5, -10, 0.5}};
}

static void assert_span(uint32_t at, uint32_t owner, double from, double to)
{
	ck_assert_uint_eq(envelope.spans[at].owner, owner);
	ck_assert_double_eq_tol(envelope.spans[at].from, from, 1e-12);
	ck_assert_double_eq_tol(envelope.spans[at].to, to, 1e-12);
}

/* It meets r = 2 at 10 - sqrt 3 and at 10 + sqrt 3, both within one span, in whatever order they are found. */
START_TEST(a_corner_cuts_a_span_on_both_sides)
{
	struct sight sight = corner(7);

	envelope_start(&envelope, false, 0, 20, 2);
	envelope_lower(&envelope, &sight);
	ck_assert_uint_eq(envelope.n, 3);
	assert_span(0, OWNER_NONE, 0, 10 - sqrt(3));
	assert_span(1, 7, 10 - sqrt(3), 10 + sqrt(3));
	assert_span(2, OWNER_NONE, 10 + sqrt(3), 20);
	/* and a ceiling at r = 1 leaves it 10 - 1 to 10 + 1 */
	sight = flat(8, 0, 20, 1);
	envelope_lower(&envelope, &sight);
	ck_assert_uint_eq(envelope.n, 3);
	assert_span(0, 8, 0, 9);
	assert_span(1, 7, 9, 11);
	assert_span(2, 8, 11, 20);
}
END_TEST

/* What a longer list left behind its last span is not part of it, were it lower or higher than all. */
static const double left_behind_m[] = {0.5, 3};

START_TEST(nothing_behind_the_last_span_counts)
{
	struct sight sight = flat(8, 5, 15, 1), left = flat(9, 0, 20, left_behind_m[_i]);

	envelope_start(&envelope, false, 0, 20, 2);
	for (uint32_t i = 1; i < SPANS_MAX; i++)
		envelope.spans[i] = left;
	envelope_lower(&envelope, &sight);
	ck_assert_uint_eq(envelope.n, 3);
	assert_span(0, OWNER_NONE, 0, 5);
	assert_span(1, 8, 5, 15);
	assert_span(2, OWNER_NONE, 15, 20);
	ck_assert_double_eq_tol(envelope.top_m, 2, 1e-9);
	for (uint32_t i = 3; i < SPANS_MAX; i++)
		envelope.spans[i] = left;
	sight = flat(10, 0, 20, 1.5);
	envelope_lower(&envelope, &sight);
	ck_assert_uint_eq(envelope.n, 3);
	assert_span(0, 10, 0, 5);
	assert_span(1, 8, 5, 15);
	assert_span(2, 10, 15, 20);
	ck_assert_double_eq_tol(envelope.top_m, 1.5, 1e-9);
}
END_TEST

START_TEST(what_is_nowhere_lower_changes_nothing)
{
	struct sight sight = flat(8, 0, 20, 2);

	envelope_start(&envelope, false, 0, 20, 2);
	envelope_lower(&envelope, &sight);
	ck_assert_uint_eq(envelope.n, 1);
	assert_span(0, OWNER_NONE, 0, 20);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("envelope");
	TCase *cases = tcase_create("edge");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_test(cases, a_corner_cuts_a_span_on_both_sides);
	tcase_add_loop_test(cases, nothing_behind_the_last_span_counts, 0, 2);
	tcase_add_test(cases, what_is_nowhere_lower_changes_nothing);
	suite_add_tcase(suite, cases);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
