#include <check.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include "friction.h"
#include "units.h"
#include "water.h"

static const double pi = 3.14159265358979323846;
static const double m3_s_per_us_gpm = L_PER_US_GAL / 60000.0;

/* Knuth's MMIX generator with a fixed seed, so that a failure can be looked at again. */
static double draw(uint64_t *seed, double low, double high)
{
	*seed = *seed * 6364136223846793005u + 1442695040888963407u;
	return low + (high - low) * (double)(*seed >> 11) / 9007199254740992.0;
}

static double draw_log(uint64_t *seed, double low, double high)
{
	return exp(draw(seed, log(low), log(high)));
}

/* Losses alone of a straight pipe; viscosity and bore in SI. */
static struct pipe_loss loss_of(double flow_m3_s, double bore_m, double e_m, double length_m, double nu_m2_s)
{
	struct pipe_system pipe = { 0.0, m_to_mm(bore_m), m_to_mm(e_m), length_m, 0.0, 1000.0, nu_m2_s };

	return pipe_loss_at(&pipe, m3_per_s_to_l_per_h(flow_m3_s));
}

/* Colebrook-White as printed, solved for this list by three independent routes (bracketed root-finding, Newton and
 * 40-digit arithmetic) that agreed to 1e-15; ten decimals kept. */
static const struct { double reynolds, roughness_ratio, factor; } colebrook[] = {
	{ 4e3, 0.0, 0.0399070141 },     { 4e4, 0.01, 0.0393632335 },
	{ 4e3, 0.0001, 0.0400084312 },  { 5e4, 0.00005, 0.0210711985 },
	{ 4e3, 0.001, 0.0409103899 },   { 5e4, 0.02, 0.0494092574 },
	{ 4e3, 0.05, 0.0769868349 },    { 7e4, 0.001, 0.0230218062 },
	{ 5e3, 0.0, 0.0373927276 },     { 1e5, 0.0, 0.0179897731 },
	{ 6e3, 0.03, 0.0619256437 },    { 1e5, 0.00006, 0.0183084305 },
	{ 1e4, 0.0, 0.0308829504 },     { 1e5, 0.004, 0.0295006889 },
	{ 1e4, 0.00006, 0.0309756311 }, { 1e5, 0.05, 0.0717809294 },
	{ 1e4, 0.002, 0.0337937314 },   { 2e5, 0.0001, 0.0164103948 },
	{ 1e4, 0.04, 0.0671933416 },    { 4e5, 0.004, 0.0286979791 },
	{ 2e4, 0.0001, 0.0261014657 },  { 1e6, 0.0001, 0.0134414377 },
	{ 2e4, 0.03125, 0.0596223449 }, { 1e8, 0.01, 0.0379043234 },
};
enum { COLEBROOK_ROWS = sizeof colebrook / sizeof colebrook[0] };

START_TEST(turbulent_factor_is_colebrook_white)
{
	ck_assert_double_eq_tol(friction_factor(colebrook[_i].reynolds, colebrook[_i].roughness_ratio),
				colebrook[_i].factor, 0.5001e-10);
}
END_TEST

/* The residual of the printed equation; x is 1 to 16, so 1e-14 is a few of its last bits. */
START_TEST(turbulent_factor_solves_the_equation_to_the_last_bits)
{
	uint64_t seed = 20011;

	for (int i = 0; i < 20000; i++) {
		double re = draw_log(&seed, 4e3, 1e8);
		double ratio = i % 10 == 0 ? 0.0 : draw_log(&seed, 1e-7, 1.0);
		double x = 1.0 / sqrt(friction_factor(re, ratio));

		ck_assert_double_eq_tol(x, -2.0 * log10(ratio / 3.7 + 2.51 * x / re), 1e-14);
	}
}
END_TEST

/* The straight line is common practice; the figures follow from it and the list above, eight decimals kept. */
START_TEST(transition_is_a_straight_line)
{
	ck_assert_double_eq_tol(friction_factor(2500.0, 0.0), 0.03397675, 0.5001e-8);
	ck_assert_double_eq_tol(friction_factor(3000.0, 0.0), 0.03595351, 0.5001e-8);
	ck_assert_double_eq_tol(friction_factor(3000.0, 0.001), 0.03645519, 0.5001e-8);
	ck_assert_double_eq_tol(friction_factor(3500.0, 0.001), 0.03868279, 0.5001e-8);
	ck_assert_double_eq_tol(friction_factor(3000.0, 0.03), 0.04803880, 0.5001e-8);
}
END_TEST

START_TEST(laminar_factor_is_64_over_reynolds)
{
	ck_assert_double_eq(friction_factor(1000.0, 0.0), 0.064);
	ck_assert_double_eq(friction_factor(1000.0, 0.05), 0.064);
	ck_assert_double_eq(friction_factor(2000.0, 0.02), 0.032);
}
END_TEST

/* Neighbouring doubles on either side of a border differ by rounding alone. */
START_TEST(factor_is_continuous_across_regimes)
{
	static const double ratios[] = { 0.0, 0.0001, 0.01, 0.05, 0.1 };

	for (size_t i = 0; i < sizeof ratios / sizeof ratios[0]; i++)
		for (double re = 2000.0; re < 5000.0; re += 2000.0) {
			double at = friction_factor(re, ratios[i]);

			ck_assert_double_eq_tol(friction_factor(nextafter(re, 0.0), ratios[i]), at, 1e-15);
			ck_assert_double_eq_tol(friction_factor(nextafter(re, 1e9), ratios[i]), at, 1e-15);
		}
}
END_TEST

START_TEST(regime_is_named)
{
	ck_assert_int_eq(regime_at(0.0), REGIME_LAMINAR);
	ck_assert_int_eq(regime_at(2000.0), REGIME_LAMINAR);
	ck_assert_int_eq(regime_at(2000.001), REGIME_TRANSITION);
	ck_assert_int_eq(regime_at(3999.999), REGIME_TRANSITION);
	ck_assert_int_eq(regime_at(4000.0), REGIME_TURBULENT);
	ck_assert_str_eq(regime_slug(REGIME_LAMINAR), "laminar");
	ck_assert_str_eq(regime_slug(REGIME_TRANSITION), "transition");
	ck_assert_str_eq(regime_slug(REGIME_TURBULENT), "turbulent");
}
END_TEST

START_TEST(rough_beyond_a_twentieth_of_the_bore_is_said)
{
	ck_assert(!roughness_beyond_data(0.05));
	ck_assert(roughness_beyond_data(0.0500001));
}
END_TEST

START_TEST(factor_falls_with_reynolds_and_rises_with_roughness)
{
	uint64_t seed = 7;

	for (int i = 0; i < 20000; i++) {
		double re = draw_log(&seed, 4e3, 1e7);
		double ratio = draw_log(&seed, 1e-6, 0.05);

		ck_assert_double_lt(friction_factor(re * 1.01, ratio), friction_factor(re, ratio));
		ck_assert_double_gt(friction_factor(re, ratio * 1.01), friction_factor(re, ratio));
	}
}
END_TEST

/* Against a central difference over 1e-4 of Re, whose own error is of the order 1e-8 of the exponent's curvature. */
START_TEST(exponent_is_the_slope_of_the_logarithms)
{
	uint64_t seed = 99;

	for (int i = 0; i < 5000; i++) {
		double re = draw_log(&seed, 10.0, 1e7);
		double ratio = i % 10 == 0 ? 0.0 : draw_log(&seed, 1e-6, 0.1);
		double step = 1e-4;
		double low = re * exp(-step), high = re * exp(step);

		if (regime_at(low) != regime_at(high))
			continue;
		ck_assert_double_eq_tol(friction_at(re, ratio).exponent,
			log(friction_factor(high, ratio) / friction_factor(low, ratio)) / (2.0 * step), 1e-7);
	}
}
END_TEST

START_TEST(head_rises_strictly_with_flow)
{
	uint64_t seed = 5;

	for (int i = 0; i < 2000; i++) {
		struct pipe_system pipe = { draw(&seed, -1.0, 5.0), draw_log(&seed, 8.0, 150.0), 0.0,
			draw_log(&seed, 0.1, 300.0), draw(&seed, 0.0, 20.0), 999.1, draw_log(&seed, 8e-7, 2e-5) };
		double flow = 0.0, head = pipe.static_m;

		pipe.roughness_mm = i % 5 == 0 ? 0.0 : draw_log(&seed, 1e-3, 0.05) * pipe.bore_mm;
		ck_assert_double_eq(system_head_m(&pipe, 0.0), pipe.static_m);
		for (int step = 0; step < 100; step++) {
			flow = flow * 1.07 + 0.02 * pipe.bore_mm * pipe.bore_mm;
			ck_assert_double_gt(system_head_m(&pipe, flow), head);
			head = system_head_m(&pipe, flow);
		}
	}
}
END_TEST

START_TEST(no_flow_loses_nothing)
{
	struct pipe_system pipe = { 1.25, 25.0, 0.007, 10.0, 4.0, 999.1, 1.1e-6 };
	struct pipe_loss loss = pipe_loss_at(&pipe, 0.0);

	ck_assert_double_eq(loss.friction_m, 0.0);
	ck_assert_double_eq(loss.minor_m, 0.0);
	ck_assert_double_eq(loss.friction_factor, 0.0);
	ck_assert_double_eq(loss.slope_m_per_l_per_h, 0.0);
	ck_assert_int_eq(loss.regime, REGIME_LAMINAR);
	ck_assert_double_eq(system_head_m(&pipe, 0.0), 1.25);
}
END_TEST

/* Straight pipe at 10 degrees, worked out for this list by two independent programs from the equations of
 * friction.h; printed to 1 mm, so half of that is allowed. */
static const struct { double flow_l_per_h, roughness_mm, bore25_m[3], bore32_m[3], ratio; } hose[] = {
	{ 3000.0, 0.003, { 0.687, 1.375, 2.749 }, { 0.211, 0.422, 0.844 }, 3.26 },
	{ 5000.0, 0.003, { 1.712, 3.424, 6.847 }, { 0.523, 1.045, 2.090 }, 3.28 },
	{ 7000.0, 0.003, { 3.138, 6.276, 12.551 }, { 0.954, 1.908, 3.817 }, 3.29 },
	{ 3000.0, 0.03, { 0.767, 1.534, 3.067 }, { 0.228, 0.455, 0.910 }, 3.37 },
	{ 5000.0, 0.03, { 1.985, 3.970, 7.940 }, { 0.581, 1.161, 2.322 }, 3.42 },
	{ 7000.0, 0.03, { 3.748, 7.495, 14.990 }, { 1.085, 2.171, 4.342 }, 3.45 },
	{ 3000.0, 1.0, { 1.924, 3.848, 7.696 }, { 0.507, 1.015, 2.029 }, 3.79 },
	{ 5000.0, 1.0, { 5.318, 10.637, 21.274 }, { 1.398, 2.797, 5.594 }, 3.80 },
	{ 7000.0, 1.0, { 10.402, 20.805, 41.610 }, { 2.732, 5.463, 10.926 }, 3.81 },
};
enum { HOSE_ROWS = sizeof hose / sizeof hose[0] };

START_TEST(hose_of_25_against_32_mm)
{
	static const double length_m[] = { 5.0, 10.0, 20.0 };
	struct pipe_system narrow = { 0.0, 25.0, hose[_i].roughness_mm, 0.0, 0.0, 0.0, 0.0 };
	struct pipe_system wide = narrow;

	narrow.density_kg_m3 = water_density_kg_m3(10.0);
	narrow.viscosity_m2_s = water_viscosity_m2_s(10.0);
	wide = narrow;
	wide.bore_mm = 32.0;
	for (size_t i = 0; i < 3; i++) {
		narrow.length_m = wide.length_m = length_m[i];
		ck_assert_double_eq_tol(system_head_m(&narrow, hose[_i].flow_l_per_h), hose[_i].bore25_m[i], 0.51e-3);
		ck_assert_double_eq_tol(system_head_m(&wide, hose[_i].flow_l_per_h), hose[_i].bore32_m[i], 0.51e-3);
	}
	ck_assert_double_eq_tol(system_head_m(&narrow, hose[_i].flow_l_per_h)
				/ system_head_m(&wide, hose[_i].flow_l_per_h), hose[_i].ratio, 0.0051);
}
END_TEST

/* The same list's velocities, printed to 1 mm/s. */
START_TEST(velocity_in_25_and_32_mm)
{
	ck_assert_double_eq_tol(loss_of(3.0 / 3600.0, 0.025, 0.0, 1.0, 1e-6).velocity_m_s, 1.698, 0.51e-3);
	ck_assert_double_eq_tol(loss_of(3.0 / 3600.0, 0.032, 0.0, 1.0, 1e-6).velocity_m_s, 1.036, 0.51e-3);
	ck_assert_double_eq_tol(loss_of(5.0 / 3600.0, 0.025, 0.0, 1.0, 1e-6).velocity_m_s, 2.829, 0.51e-3);
	ck_assert_double_eq_tol(loss_of(5.0 / 3600.0, 0.032, 0.0, 1.0, 1e-6).velocity_m_s, 1.727, 0.51e-3);
	ck_assert_double_eq_tol(loss_of(7.0 / 3600.0, 0.025, 0.0, 1.0, 1e-6).velocity_m_s, 3.961, 0.51e-3);
	ck_assert_double_eq_tol(loss_of(7.0 / 3600.0, 0.032, 0.0, 1.0, 1e-6).velocity_m_s, 2.418, 0.51e-3);
}
END_TEST

/* White, Fluid Mechanics, Ex. 6.7 (as a lecture prints it): f 0.0225, h 117 m, read off a chart, so 0.5 % on h.
 * Exact arithmetic gives 0.022724 and 117.39 m. */
START_TEST(published_oil_main)
{
	struct pipe_loss loss = loss_of(0.2, 0.2, 0.26e-3, 500.0, 1e-5);

	ck_assert_double_eq_tol(loss.friction_m, 117.0, 0.005 * 117.0);
	ck_assert_double_eq_tol(loss.friction_m, 117.39, 0.0051);
	ck_assert_double_eq_tol(loss.friction_factor, 0.022724, 0.51e-6);
}
END_TEST

/* Lindeburg, Civil Engineering Reference Manual, Ex. 17.2: Colebrook 0.0287, last digit. */
START_TEST(published_colebrook_factor)
{
	ck_assert_double_eq_tol(friction_factor(4e5, 0.004), 0.0287, 0.5e-4);
	ck_assert_double_eq_tol(friction_factor(4e5, 0.004), 0.028698, 0.51e-6);
}
END_TEST

/* Subramanian, lecture notes on pipe flow (Clarkson University): 1500 US gal/min of oil, 1600 ft of 8 in bore,
 * 1.15e-4 ft2/s, e 8.5e-4 ft: 83.7 ft within 0.3 %. Exact arithmetic gives 83.57 ft. */
START_TEST(published_oil_line_in_feet)
{
	struct pipe_loss loss = loss_of(1500.0 * m3_s_per_us_gpm, 8.0 * M_PER_IN, 8.5e-4 * M_PER_FT, 1600.0 * M_PER_FT,
					1.15e-4 * M_PER_FT * M_PER_FT);

	ck_assert_double_eq_tol(loss.friction_m / M_PER_FT, 83.7, 0.003 * 83.7);
	ck_assert_double_eq_tol(loss.friction_m / M_PER_FT, 83.57, 0.0051);
	ck_assert_double_eq_tol(loss.friction_factor, 0.024444, 0.51e-6);
}
END_TEST

/* Crane TP-410M, Ex. 7.1: smooth plastic, bore 52.48 mm, 0.2 m3/min at 30 degrees: Re 100 600, f 0.0179, 0.5 %
 * (the book rounds its water). Exact arithmetic on IAPWS water gives 101 005 and 0.017952. */
START_TEST(published_plastic_pipe)
{
	struct pipe_loss loss = loss_of(0.2 / 60.0, 0.05248, 0.0, 1.0, water_viscosity_m2_s(30.0));

	ck_assert_double_eq_tol(loss.reynolds, 100600.0, 0.005 * 100600.0);
	ck_assert_double_eq_tol(loss.friction_factor, 0.0179, 0.005 * 0.0179);
	ck_assert_double_eq_tol(loss.reynolds, 101005.0, 3.2e-5 * 101005.0); /* the short viscosity formula */
	ck_assert_double_eq_tol(loss.friction_factor, 0.017952, 1e-6);
}
END_TEST

/* Crane TP-410, Ex. 7.15: 100 US gal/min, 500 ft of 3 in schedule 40, lift 400 ft, K 28.448 in all: 421 ft within
 * 0.3 %. Most of that is lift, so the 20.35 ft of loss is held to 4 % as well. Exact arithmetic gives 420.35 ft. */
START_TEST(published_lift_in_feet)
{
	double viscosity_m2_s = 0.95e-3 / (62.298 * KG_PER_LB / (M_PER_FT * M_PER_FT * M_PER_FT));
	struct pipe_system pipe = { 400.0 * M_PER_FT, 77.92, 0.0022 * M_PER_IN * 1e3, 500.0 * M_PER_FT, 28.448, 998.0,
		viscosity_m2_s };
	double flow_l_per_h = 100.0 * L_PER_US_GAL * 60.0;
	double head_ft = system_head_m(&pipe, flow_l_per_h) / M_PER_FT;

	ck_assert_double_eq_tol(head_ft, 421.0, 0.003 * 421.0);
	ck_assert_double_eq_tol(head_ft - 400.0, 21.0, 0.04 * 21.0);
	ck_assert_double_eq_tol(head_ft, 420.35, 0.0051);
	ck_assert_double_eq_tol(pipe_loss_at(&pipe, flow_l_per_h).friction_factor, 0.020989, 0.51e-6);
}
END_TEST

/* An examination answer published without a book: 0.01 m3/s in 100 mm at Re 800 loses 66.1 m per km, worked with
 * g 9.81, so our head is scaled to that g; last digit. */
START_TEST(published_laminar_loss)
{
	double velocity_m_s = 0.01 / (0.25 * pi * 0.01);
	struct pipe_loss loss = loss_of(0.01, 0.1, 0.0, 1000.0, velocity_m_s * 0.1 / 800.0);

	ck_assert_double_eq_tol(loss.reynolds, 800.0, 1e-9);
	ck_assert_double_eq_tol(loss.friction_m * GRAVITY_M_S2 / 9.81, 66.1, 0.05);
	ck_assert_double_eq_tol(loss.friction_m * GRAVITY_M_S2 / 9.81, 66.10, 0.0051);
}
END_TEST

/* White, Fluid Mechanics, Ex. 6.16 (answer from memory): 0.2 ft3/s, 400 ft of 2 in, 1.1e-5 ft2/s, e/D 0.001, lift
 * 100 ft: about 184 ft, 1 %. One edition adds the minor K to 12.2, a later one to 13.4: 183.5 and 185.1 ft. */
START_TEST(published_pump_head_with_fittings)
{
	struct pipe_system pipe = { 100.0 * M_PER_FT, 2.0 * M_PER_IN * 1e3, 2.0 * M_PER_IN, 400.0 * M_PER_FT, 12.2, 998.0,
		1.1e-5 * M_PER_FT * M_PER_FT };
	double flow_l_per_h = m3_per_s_to_l_per_h(0.2 * M_PER_FT * M_PER_FT * M_PER_FT);

	ck_assert_double_eq_tol(system_head_m(&pipe, flow_l_per_h) / M_PER_FT, 184.0, 1.84);
	ck_assert_double_eq_tol(system_head_m(&pipe, flow_l_per_h) / M_PER_FT, 183.5, 0.051);
	pipe.sum_k = 13.4;
	ck_assert_double_eq_tol(system_head_m(&pipe, flow_l_per_h) / M_PER_FT, 184.0, 1.84);
	ck_assert_double_eq_tol(system_head_m(&pipe, flow_l_per_h) / M_PER_FT, 185.1, 0.051);
}
END_TEST

/* Maurer, open textbook on water distribution, ch. 7 (answer from memory): 1 ft3/s through 3884 ft of 20 in,
 * e 0.0005 ft, 1.23e-5 ft2/s loses 0.160 ft, last digit. Exact arithmetic gives 0.160213 with the g of 32.2 ft/s2
 * that such books use and 0.160343 with the standard one. */
START_TEST(published_water_main)
{
	struct pipe_loss loss = loss_of(M_PER_FT * M_PER_FT * M_PER_FT, 20.0 * M_PER_IN, 0.0005 * M_PER_FT,
					3884.0 * M_PER_FT, 1.23e-5 * M_PER_FT * M_PER_FT);

	ck_assert_double_eq_tol(loss.friction_m / M_PER_FT, 0.160, 0.0005);
	ck_assert_double_eq_tol(loss.friction_m / M_PER_FT, 0.160343, 0.51e-6);
	ck_assert_double_eq_tol(loss.friction_m / M_PER_FT * GRAVITY_M_S2 / (32.2 * M_PER_FT), 0.160213, 1e-6);
}
END_TEST

/* Borda-Carnot and half of it for the contraction, worked by hand; four decimals kept. */
START_TEST(hose_tails_cost_more_the_narrower_they_are)
{
	ck_assert_double_eq(hose_tail_k(1.0), 0.0);
	ck_assert_double_eq_tol(hose_tail_k(0.9), 0.1998, 0.51e-4);
	ck_assert_double_eq_tol(hose_tail_k(0.8), 0.7559, 0.51e-4);
	ck_assert_double_eq_tol(hose_tail_k(0.7), 2.1454, 0.51e-4);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("friction");
	TCase *tests = tcase_create("friction");
	SRunner *runner;
	int failed;

	tcase_add_loop_test(tests, turbulent_factor_is_colebrook_white, 0, COLEBROOK_ROWS);
	tcase_add_test(tests, turbulent_factor_solves_the_equation_to_the_last_bits);
	tcase_add_test(tests, transition_is_a_straight_line);
	tcase_add_test(tests, laminar_factor_is_64_over_reynolds);
	tcase_add_test(tests, factor_is_continuous_across_regimes);
	tcase_add_test(tests, regime_is_named);
	tcase_add_test(tests, rough_beyond_a_twentieth_of_the_bore_is_said);
	tcase_add_test(tests, factor_falls_with_reynolds_and_rises_with_roughness);
	tcase_add_test(tests, exponent_is_the_slope_of_the_logarithms);
	tcase_add_test(tests, head_rises_strictly_with_flow);
	tcase_add_test(tests, no_flow_loses_nothing);
	tcase_add_loop_test(tests, hose_of_25_against_32_mm, 0, HOSE_ROWS);
	tcase_add_test(tests, velocity_in_25_and_32_mm);
	tcase_add_test(tests, published_oil_main);
	tcase_add_test(tests, published_colebrook_factor);
	tcase_add_test(tests, published_oil_line_in_feet);
	tcase_add_test(tests, published_plastic_pipe);
	tcase_add_test(tests, published_lift_in_feet);
	tcase_add_test(tests, published_laminar_loss);
	tcase_add_test(tests, published_pump_head_with_fittings);
	tcase_add_test(tests, published_water_main);
	tcase_add_test(tests, hose_tails_cost_more_the_narrower_they_are);
	suite_add_tcase(suite, tests);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
