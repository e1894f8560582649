#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "sensitivity.h"
#include "units.h"

/* Two functions whose indices are known in closed form, through the sampler and the estimators of the range. */

static struct sensitivity found;

/* T. Ishigami and T. Homma, ISUMA 1990: sin x1 + a sin^2 x2 + b x3^4 sin x1 on (-pi, pi), a = 7, b = 0.1. */
static bool ishigami(void *with, const double *u, uint8_t *cells, double *result)
{
	double x[3];

	(void)with;
	(void)cells;
	for (int i = 0; i < 3; i++)
		x[i] = PI * (2 * u[i] - 1);
	*result = sin(x[0]) + 7 * sin(x[1]) * sin(x[1]) + 0.1 * pow(x[2], 4) * sin(x[0]);
	return true;
}

/* D = a^2/8 + b pi^4/5 + b^2 pi^8/18 + 1/2; D1 = b pi^4/5 + b^2 pi^8/50 + 1/2; D2 = a^2/8; D13 = b^2 pi^8 (1/18 - 1/50). */
START_TEST(ishigami_has_its_indices)
{
	const double a = 7, b = 0.1, pi4 = pow(PI, 4), pi8 = pi4 * pi4;
	const double d = a * a / 8 + b * pi4 / 5 + b * b * pi8 / 18 + 0.5, d1 = b * pi4 / 5 + b * b * pi8 / 50 + 0.5;
	const double d13 = b * b * pi8 * (1.0 / 18 - 1.0 / 50);
	const double first[] = {d1 / d, a * a / 8 / d, 0}, total[] = {(d1 + d13) / d, a * a / 8 / d, d13 / d};

	ck_assert_double_eq_tol(first[0], 0.3139, 1e-4); /* as printed in Saltelli et al., Global Sensitivity Analysis, 2008 */
	ck_assert_double_eq_tol(total[2], 0.2437, 1e-4);
	sensitivity_run(&(struct sensitivity_plan){3, 3, 16384, 4096}, ishigami, NULL, &found);
	for (int i = 0; i < 3; i++) {
		ck_assert_double_eq_tol(found.axes[i].first_share, first[i], 0.02);
		ck_assert_double_eq_tol(found.axes[i].total_share, total[i], 0.02);
	}
	ck_assert_double_eq_tol(found.mean, a / 2, 0.01);
	ck_assert_double_eq_tol(found.variance, d, 0.02 * d);
	ck_assert_uint_eq(found.n_calls, 16384 + 3 * 4096);
}
END_TEST

/* I. M. Sobol' 1993, as in Saltelli et al. 2010: product of (|4 x - 2| + a)/(1 + a). */
static const double g_a[] = {0, 1, 4.5, 9, 99, 99, 99, 99};
enum { G_AXES = 8 };

static bool g_function(void *with, const double *u, uint8_t *cells, double *result)
{
	(void)with;
	(void)cells;
	*result = 1;
	for (int i = 0; i < G_AXES; i++)
		*result *= (fabs(4 * u[i] - 2) + g_a[i]) / (1 + g_a[i]);
	return true;
}

/* V_i = 1/(3 (1 + a_i)^2); V = product of (1 + V_i) - 1; total_i = V_i product over others of (1 + V_k) / V. */
START_TEST(the_g_function_has_its_indices)
{
	double all = 1, v[G_AXES];

	for (int i = 0; i < G_AXES; i++) {
		v[i] = 1 / (3 * (1 + g_a[i]) * (1 + g_a[i]));
		all *= 1 + v[i];
	}
	sensitivity_run(&(struct sensitivity_plan){G_AXES, G_AXES, 16384, 4096}, g_function, NULL, &found);
	for (int i = 0; i < G_AXES; i++) {
		ck_assert_double_eq_tol(found.axes[i].first_share, v[i] / (all - 1), 0.02);
		ck_assert_double_eq_tol(found.axes[i].total_share, v[i] * all / (1 + v[i]) / (all - 1), 0.02);
	}
}
END_TEST

/* A function that says its cells: three words of 0.7, 0.2 and 0.1. */
static bool words(void *with, const double *u, uint8_t *cells, double *result)
{
	uint8_t word = u[0] < 0.7 ? 0 : u[0] < 0.9 ? 1 : 2;

	(void)with;
	if (cells)
		cells[0] = word;
	*result = word + u[1];
	return true;
}

/* Variance of the words 0.2 + 4 x 0.1 - 0.4^2 = 0.44, of the number 1/12; nothing together. */
START_TEST(words_have_cells_of_their_own)
{
	const double all = 0.44 + 1.0 / 12;

	sensitivity_run(&(struct sensitivity_plan){2, 2, 1024, 32}, words, NULL, &found);
	ck_assert_double_eq_tol(found.axes[0].first_share, 0.44 / all, 0.01);
	ck_assert_double_eq_tol(found.axes[1].first_share, 1.0 / 12 / all, 0.01);
	ck_assert_uint_eq(found.axes[0].cells[3].count, 0);
	ck_assert_double_eq_tol(found.axes[0].cells[2].count, 102.4, 1);
	/* each swapped for a coordinate of its own, not for one of the point */
	sensitivity_run(&(struct sensitivity_plan){2, 2, 1024, 1024}, words, NULL, &found);
	ck_assert_double_eq_tol(found.axes[0].total_share, 0.44 / all, 0.03);
	ck_assert_double_eq_tol(found.axes[1].total_share, 1.0 / 12 / all, 0.03);
}
END_TEST

static bool half_missing(void *with, const double *u, uint8_t *cells, double *result)
{
	(void)with;
	(void)cells;
	*result = u[0];
	return u[1] < 0.5;
}

START_TEST(points_without_a_result_are_left_out)
{
	sensitivity_run(&(struct sensitivity_plan){2, 1, 256, 16}, half_missing, NULL, &found);
	ck_assert_uint_eq(found.n, 128);
	ck_assert_double_eq_tol(found.axes[0].first_share, 1, 0.01);
	ck_assert_uint_eq(found.axes[0].pairs, 8);
}
END_TEST

static bool level(void *with, const double *u, uint8_t *cells, double *result)
{
	(void)u;
	(void)cells;
	*result = 7;
	return with == NULL;
}

START_TEST(what_never_varies_has_no_shares)
{
	sensitivity_run(&(struct sensitivity_plan){1, 1, 64, 8}, level, NULL, &found);
	ck_assert_double_eq(found.axes[0].first_share, 0);
	ck_assert_double_eq(found.axes[0].total_share, 0);
	ck_assert_double_eq(found.mean, 7);
	sensitivity_run(&(struct sensitivity_plan){1, 1, 64, 8}, level, &found, &found);
	ck_assert_uint_eq(found.n, 0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("sensitivity");
	TCase *tcase = tcase_create("indices");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_test(tcase, ishigami_has_its_indices);
	tcase_add_test(tcase, the_g_function_has_its_indices);
	tcase_add_test(tcase, words_have_cells_of_their_own);
	tcase_add_test(tcase, points_without_a_result_are_left_out);
	tcase_add_test(tcase, what_never_varies_has_no_shares);
	suite_add_tcase(suite, tcase);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
