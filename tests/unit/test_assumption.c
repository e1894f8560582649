#include <check.h>
#include <stdlib.h>
#include <string.h>

#include "assumption.h"

/* Rows for one field: clay in region 1, loam where the old pond is there, sand otherwise. */
static const struct op ops[] = {{.code = OP_IS, .number = 1, .subject = Q_old_pond_present, .is_quantity = true}};
static const struct unknown rows[] = {
	{.subject = F_soil, .region = 1, .likely = SOIL_CLAY},
	{.subject = F_soil, .region = REGION_ANY, .likely = SOIL_LOAM, .when = {0, 1}},
	{.subject = F_soil, .region = REGION_ANY, .likely = SOIL_SAND},
};

static struct catalogue catalogue;
static struct value values[F_COUNT];
static double q[Q_COUNT];

static void begin(void)
{
	catalogue.ops = ops;
	catalogue.unknowns = rows;
	catalogue.n_unknowns = 3;
	catalogue.unknowns_of[F_soil] = (struct span){0, 3};
	memset(q, 0, sizeof q);
}

START_TEST(the_first_row_that_holds_counts)
{
	ck_assert_ptr_eq(assumption_of(&catalogue, 0, values, q, F_soil), &rows[2]);
	q[Q_old_pond_present] = 1;
	ck_assert_ptr_eq(assumption_of(&catalogue, 0, values, q, F_soil), &rows[1]);
	ck_assert_ptr_eq(assumption_of(&catalogue, 1, values, q, F_soil), &rows[0]);
}
END_TEST

START_TEST(a_subject_without_rows_has_none)
{
	ck_assert_ptr_null(assumption_of(&catalogue, 0, values, q, F_travel_km));
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("assumption");
	TCase *tcase = tcase_create("rows");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_checked_fixture(tcase, begin, NULL);
	tcase_add_test(tcase, the_first_row_that_holds_counts);
	tcase_add_test(tcase, a_subject_without_rows_has_none);
	suite_add_tcase(suite, tcase);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
