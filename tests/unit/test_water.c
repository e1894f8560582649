#include <check.h>
#include <stdlib.h>

#include "water.h"

/* IAPWS R6-95 (density) and R12-08 (viscosity) at 0.101325 MPa, worked out with an open implementation of both. */
static const struct {
	double temperature_c, density_kg_m3, viscosity_upa_s, viscosity_mm2_s;
} iapws[] = {
	{ 0.0, 999.8431, 1791.756, 1.792037 },
	{ 5.0, 999.9666, 1518.173, 1.518224 },
	{ 10.0, 999.7025, 1305.900, 1.306288 },
	{ 15.0, 999.1026, 1137.568, 1.138589 },
	{ 20.0, 998.2072, 1001.596, 1.003395 },
	{ 25.0, 997.0476, 890.022, 0.892658 },
	{ 30.0, 995.6495, 797.222, 0.800705 },
};
enum { IAPWS_ROWS = sizeof iapws / sizeof iapws[0] };

/* The short formula stays within 7e-7 of R6-95; half a unit of the table's last digit comes on top. */
START_TEST(density_agrees_with_iapws_95)
{
	double rho = iapws[_i].density_kg_m3;

	ck_assert_double_eq_tol(water_density_kg_m3(iapws[_i].temperature_c), rho, 7e-7 * rho + 0.5e-4);
}
END_TEST

/* The short formula stays within 0.0031 % of R12-08; half a unit of the table's last digit comes on top. */
START_TEST(viscosity_agrees_with_iapws_2008)
{
	double mu = iapws[_i].viscosity_upa_s;

	ck_assert_double_eq_tol(water_viscosity_pa_s(iapws[_i].temperature_c) * 1e6, mu, 3.1e-5 * mu + 0.5e-3);
}
END_TEST

START_TEST(kinematic_viscosity_agrees_with_iapws)
{
	double nu = iapws[_i].viscosity_mm2_s;

	ck_assert_double_eq_tol(water_viscosity_m2_s(iapws[_i].temperature_c) * 1e6, nu, 3.2e-5 * nu + 0.5e-6);
}
END_TEST

/* Tanaka 2001: 999.974950 kg/m3 at 3.983035 degrees Celsius is the greatest density. */
START_TEST(water_is_densest_near_4_degrees)
{
	ck_assert_double_eq_tol(water_density_kg_m3(3.983035), 999.974950, 1e-12 * 1000.0);
	for (double c = 0.0; c <= 35.0; c += 0.25)
		ck_assert_double_le(water_density_kg_m3(c), 999.974950);
}
END_TEST

START_TEST(warmer_water_is_thinner)
{
	for (double c = 0.0; c < 35.0; c += 0.25) {
		ck_assert_double_lt(water_viscosity_pa_s(c + 0.25), water_viscosity_pa_s(c));
		ck_assert_double_lt(water_viscosity_m2_s(c + 0.25), water_viscosity_m2_s(c));
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("water");
	TCase *tests = tcase_create("water");
	SRunner *runner;
	int failed;

	tcase_add_loop_test(tests, density_agrees_with_iapws_95, 0, IAPWS_ROWS);
	tcase_add_loop_test(tests, viscosity_agrees_with_iapws_2008, 0, IAPWS_ROWS);
	tcase_add_loop_test(tests, kinematic_viscosity_agrees_with_iapws, 0, IAPWS_ROWS);
	tcase_add_test(tests, water_is_densest_near_4_degrees);
	tcase_add_test(tests, warmer_water_is_thinner);
	suite_add_tcase(suite, tests);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
