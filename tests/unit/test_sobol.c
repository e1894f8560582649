#include <check.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "sobol.h"

static struct sobol sobol;

/* Of P. Bratley and B. L. Fox, ACM TOMS 14 (1988), and of every printed table: 1/2, 3/4, 1/4, 3/8, 7/8, 5/8, 1/8. */
START_TEST(the_first_dimension_is_van_der_corputs)
{
	static const double first[] = {0, 0.5, 0.75, 0.25, 0.375, 0.875, 0.625, 0.125};
	static const double second[] = {0, 0.5, 0.25, 0.75, 0.375, 0.875, 0.125, 0.625};
	double point[2];

	sobol_begin(&sobol, 2);
	for (uint32_t i = 0; i < 8; i++) {
		sobol_point(&sobol, point);
		ck_assert_double_eq(point[0], first[i]);
		ck_assert_double_eq(point[1], second[i]);
	}
}
END_TEST

/* The first 2^k points of a coordinate are the multiples of 2^-k, each once: the property that the range relies on. */
START_TEST(every_coordinate_takes_every_step_once)
{
	static uint8_t seen[SOBOL_DIMENSIONS_MOST][1024];
	double point[SOBOL_DIMENSIONS_MOST];
	uint32_t twice = 0, between = 0;

	sobol_begin(&sobol, SOBOL_DIMENSIONS_MOST);
	for (uint32_t i = 0; i < 1024; i++) {
		sobol_point(&sobol, point);
		for (uint32_t d = 0; d < SOBOL_DIMENSIONS_MOST; d++) {
			between += point[d] * 1024 != floor(point[d] * 1024);
			twice += seen[d][(int)(point[d] * 1024)]++ > 0;
		}
	}
	ck_assert_uint_eq(between, 0);
	ck_assert_uint_eq(twice, 0);
}
END_TEST

/* Of 128 points a quarter lie in each quarter of the square, for any two of the first 40 dimensions: more questions than that
 * no job has. (Of 64 points dimensions 2 and 39 leave a quarter empty.) */
START_TEST(pairs_of_dimensions_fill_the_square)
{
	static bool above[128][40];
	double point[40];

	sobol_begin(&sobol, 40);
	for (uint32_t i = 0; i < 128; i++) {
		sobol_point(&sobol, point);
		for (uint32_t d = 0; d < 40; d++)
			above[i][d] = point[d] >= 0.5;
	}
	for (uint32_t a = 0; a < 39; a++) {
		for (uint32_t b = a + 1; b < 40; b++) {
			uint32_t counts[4] = {0};

			for (uint32_t i = 0; i < 128; i++)
				counts[2 * above[i][a] + above[i][b]]++;
			for (uint32_t k = 0; k < 4; k++)
				ck_assert_uint_eq(counts[k], 32);
		}
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("sobol");
	TCase *tcase = tcase_create("points");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_test(tcase, the_first_dimension_is_van_der_corputs);
	tcase_add_test(tcase, every_coordinate_takes_every_step_once);
	tcase_add_test(tcase, pairs_of_dimensions_fill_the_square);
	suite_add_tcase(suite, tcase);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
