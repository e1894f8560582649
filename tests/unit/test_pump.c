#include <check.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "pump.h"
#include "units.h"
#include "water.h"

/* An invented pump. Its heads, slopes and duties below were worked out by two independent routes (an open numerical
 * library's monotone cubic with bracketed root-finding, and a program written from the equations). */
static const double check_points[][2] = {
	{ 0.0, 3.5 }, { 1500.0, 3.2 }, { 3000.0, 2.6 }, { 4500.0, 1.6 }, { 6000.0, 0.0 },
};
static const double w_per_hp = 550.0 * M_PER_FT * KG_PER_LB * GRAVITY_M_S2; /* 550 ft lbf/s */
static const double l_per_h_per_us_gpm = 60.0 * L_PER_US_GAL;

static struct pump_curve prepared(const double (*points)[2], size_t n_points)
{
	struct pump_curve curve;

	ck_assert_int_eq(pump_curve_prepare(points, n_points, &curve), ST_OK);
	return curve;
}

static struct pump_curve check_curve(void)
{
	return prepared(check_points, 5);
}

/* Water at 15 degrees, IAPWS R6-95 and R12-08. */
static struct pipe_system check_system(double bore_mm, double roughness_mm)
{
	return (struct pipe_system){ 1.0, bore_mm, roughness_mm, 10.0, 4.0, 999.1026, 1.138589e-6 };
}

static struct duty duty_of(const struct pump_curve *curve, const struct pipe_system *system)
{
	struct duty duty;

	duty_point(curve, system, &duty);
	return duty;
}

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

static struct pump_curve draw_curve(uint64_t *seed)
{
	double points[PUMP_POINTS_MAX][2] = { { 0.0, draw_log(seed, 0.5, 30.0) } };
	size_t n = 2 + (size_t)draw(seed, 0.0, 15.0);

	for (size_t i = 1; i < n; i++) {
		points[i][0] = points[i - 1][0] + draw_log(seed, 20.0, 3000.0);
		points[i][1] = points[i - 1][1] * draw(seed, 0.3, 0.99);
	}
	return prepared((const double (*)[2])points, n);
}

static struct pipe_system draw_system(uint64_t *seed)
{
	double temperature_c = draw(seed, 0.0, 35.0);

	return (struct pipe_system){
		.static_m = draw(seed, -1.0, 4.0),
		.bore_mm = draw_log(seed, 8.0, 110.0),
		.roughness_mm = draw_log(seed, 0.001, 2.0),
		.length_m = draw_log(seed, 0.5, 200.0),
		.sum_k = draw(seed, 0.0, 20.0),
		.density_kg_m3 = water_density_kg_m3(temperature_c),
		.viscosity_m2_s = water_viscosity_m2_s(temperature_c),
	};
}

/* Ten decimals kept. */
START_TEST(head_between_points_is_a_monotone_cubic)
{
	struct pump_curve curve = check_curve();

	ck_assert_double_eq_tol(pump_head_m(&curve, 750.0), 3.38125, 1e-14);
	ck_assert_double_eq_tol(pump_head_m(&curve, 2250.0), 2.94375, 1e-14);
	ck_assert_double_eq_tol(pump_head_m(&curve, 3700.0), 2.1933219373, 0.51e-10);
	ck_assert_double_eq_tol(pump_head_m(&curve, 5250.0), 0.8836538462, 0.51e-10);
}
END_TEST

/* Fritsch and Butland 1984 by hand: equal spacing, so a harmonic mean inside, and (3 d0 - d1)/2 at the ends. */
START_TEST(slopes_are_fritsch_butland)
{
	struct pump_curve curve = check_curve();
	double d[] = { -0.3 / 1500.0, -0.6 / 1500.0, -1.0 / 1500.0, -1.6 / 1500.0 };

	ck_assert_double_eq_tol(curve.slope_m_per_l_per_h[0], (3.0 * d[0] - d[1]) / 2.0, 1e-18);
	ck_assert_double_eq_tol(curve.slope_m_per_l_per_h[1], 2.0 / (1.0 / d[0] + 1.0 / d[1]), 1e-18);
	ck_assert_double_eq_tol(curve.slope_m_per_l_per_h[2], -0.0005, 1e-18);
	ck_assert_double_eq_tol(curve.slope_m_per_l_per_h[3], 2.0 / (1.0 / d[2] + 1.0 / d[3]), 1e-18);
	ck_assert_double_eq_tol(curve.slope_m_per_l_per_h[4], (3.0 * d[3] - d[2]) / 2.0, 1e-18);
}
END_TEST

/* By hand. Spacing 1 and 3, secants -1 and -3: w1 = 7, w2 = 5, 12 / (7/-1 + 5/-3) = -18/13. Left end
 * (5 * -1 + 3) / 4 = -0.5; right end (7 * -3 + 3) / 4 = -4.5. */
START_TEST(slopes_weigh_uneven_spacing)
{
	static const double points[][2] = { { 0.0, 10.0 }, { 1.0, 9.0 }, { 4.0, 0.0 } };
	struct pump_curve curve = prepared(points, 3);

	ck_assert_double_eq_tol(curve.slope_m_per_l_per_h[0], -0.5, 1e-15);
	ck_assert_double_eq_tol(curve.slope_m_per_l_per_h[1], -18.0 / 13.0, 1e-15);
	ck_assert_double_eq_tol(curve.slope_m_per_l_per_h[2], -4.5, 1e-15);
}
END_TEST

/* The one-sided formula would give (3 * -1 + 9) / 2 = +3 here. */
START_TEST(end_that_would_turn_back_is_level)
{
	static const double points[][2] = { { 0.0, 10.0 }, { 1.0, 9.0 }, { 2.0, 0.0 } };
	struct pump_curve curve = prepared(points, 3);

	ck_assert_double_eq(curve.slope_m_per_l_per_h[0], 0.0);
}
END_TEST

START_TEST(two_points_are_a_straight_line)
{
	static const double points[][2] = { { 0.0, 4.0 }, { 2000.0, 1.0 } };
	struct pump_curve curve = prepared(points, 2);

	for (int i = 0; i <= 20; i++)
		ck_assert_double_eq_tol(pump_head_m(&curve, 100.0 * i), 4.0 - 0.15 * i, 1e-14);
}
END_TEST

START_TEST(head_stays_within_the_curve)
{
	struct pump_curve curve = check_curve();

	ck_assert_double_eq(pump_shut_off_m(&curve), 3.5);
	ck_assert_double_eq(pump_last_flow_l_per_h(&curve), 6000.0);
	ck_assert_double_eq(pump_head_m(&curve, -1.0), 3.5);
	ck_assert_double_eq(pump_head_m(&curve, 6000.0), 0.0);
	ck_assert_double_eq(pump_head_m(&curve, 9000.0), 0.0);
	for (size_t i = 0; i < 5; i++)
		ck_assert_double_eq_tol(pump_head_m(&curve, check_points[i][0]), check_points[i][1], 1e-14);
}
END_TEST

START_TEST(drawn_curves_fall_all_the_way)
{
	uint64_t seed = 3;

	for (int i = 0; i < 300; i++) {
		struct pump_curve curve = draw_curve(&seed);
		double last = pump_last_flow_l_per_h(&curve);

		for (int step = 0; step < 400; step++)
			ck_assert_double_lt(pump_head_m(&curve, last * (step + 1) / 400.0),
					    pump_head_m(&curve, last * step / 400.0));
	}
}
END_TEST

static void assert_refused(const double (*points)[2], size_t n_points, enum status status)
{
	struct pump_curve curve, before;

	memset(&curve, 0x5a, sizeof curve);
	memcpy(&before, &curve, sizeof curve);
	ck_assert_int_eq(pump_curve_prepare(points, n_points, &curve), status);
	ck_assert_mem_eq(&curve, &before, sizeof curve);
}

START_TEST(curve_of_too_few_or_too_many_points_is_refused)
{
	double points[PUMP_POINTS_MAX + 1][2];

	for (size_t i = 0; i < PUMP_POINTS_MAX + 1; i++) {
		points[i][0] = 100.0 * (double)i;
		points[i][1] = 5.0 - 0.1 * (double)i;
	}
	assert_refused((const double (*)[2])points, 0, ST_CURVE_POINTS);
	assert_refused((const double (*)[2])points, 1, ST_CURVE_POINTS);
	assert_refused((const double (*)[2])points, PUMP_POINTS_MAX + 1, ST_CURVE_POINTS);
	assert_refused((const double (*)[2])(points + 1), 4, ST_CURVE_POINTS); /* does not start at no flow */
	prepared((const double (*)[2])points, PUMP_POINTS_MAX);
}
END_TEST

START_TEST(curve_that_rises_or_stands_still_is_refused)
{
	static const double bad[][3][2] = {
		{ { 0.0, 3.0 }, { 1000.0, 3.1 }, { 2000.0, 1.0 } },
		{ { 0.0, 3.0 }, { 1000.0, 3.0 }, { 2000.0, 1.0 } },
		{ { 0.0, 3.0 }, { 1000.0, 2.0 }, { 1000.0, 1.0 } },
		{ { 0.0, 3.0 }, { 1000.0, 2.0 }, { 900.0, 1.0 } },
		{ { 0.0, 3.0 }, { 1e-300, 2.0 }, { 900.0, 1.0 } },
		{ { 0.0, (double)NAN }, { 1000.0, 2.0 }, { 2000.0, 1.0 } },
		{ { 0.0, 3.0 }, { (double)NAN, 2.0 }, { 2000.0, 1.0 } },
		{ { 0.0, 3.0 }, { 1000.0, 2.0 }, { (double)INFINITY, 1.0 } },
		{ { 0.0, (double)INFINITY }, { 1000.0, 2.0 }, { 2000.0, 1.0 } },
		{ { 0.0, 3.0 }, { 1000.0, 2.0 }, { 2000.0, -(double)INFINITY } },
	};

	for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++)
		assert_refused(bad[i], 3, ST_CURVE_RISES);
}
END_TEST

/* The invented pump at 15 degrees, static 1 m, 10 m of pipe, K 4. One unit of each printed last digit is allowed, not
 * half: the list was made with a viscosity of more digits than the 1.138589 that is printed (1.1385893 to 1.1385895
 * gives every one of its factors), and its fourth minor loss is rounded down from 0.2682985. */
static const struct {
	double bore_mm, roughness_mm, flow_l_per_h, head_m, velocity_m_s, reynolds, factor, friction_m, minor_m, power_w;
} duties[] = {
	{ 25.0, 0.007, 2789.762, 2.703017, 1.578683, 34663.1, 0.02350580, 1.194741, 0.508275, 20.5232 },
	{ 32.0, 0.007, 3920.779, 2.042609, 1.354191, 38059.5, 0.02288305, 0.668611, 0.373998, 21.7965 },
	{ 40.0, 0.007, 4601.142, 1.515039, 1.017076, 35731.1, 0.02306108, 0.304071, 0.210968, 18.9722 },
	{ 25.0, 1.0, 2026.875, 3.030823, 1.146976, 25184.2, 0.06569265, 1.762524, 0.268298, 16.7192 },
	{ 32.0, 1.0, 3266.787, 2.458198, 1.128310, 31711.1, 0.05908864, 1.198561, 0.259637, 21.8558 },
};
enum { DUTY_ROWS = sizeof duties / sizeof duties[0] };

START_TEST(check_duties_to_the_printed_digits)
{
	struct pump_curve curve = check_curve();
	struct pipe_system system = check_system(duties[_i].bore_mm, duties[_i].roughness_mm);
	struct duty duty = duty_of(&curve, &system);

	ck_assert_int_eq(duty.state, DUTY_OK);
	ck_assert_int_eq(duty.regime, REGIME_TURBULENT);
	ck_assert_double_eq_tol(duty.flow_l_per_h, duties[_i].flow_l_per_h, 1.01e-3);
	ck_assert_double_eq_tol(duty.head_m, duties[_i].head_m, 1.01e-6);
	ck_assert_double_eq_tol(duty.velocity_m_s, duties[_i].velocity_m_s, 1.01e-6);
	ck_assert_double_eq_tol(duty.reynolds, duties[_i].reynolds, 0.101);
	ck_assert_double_eq_tol(duty.friction_factor, duties[_i].factor, 1.01e-8);
	ck_assert_double_eq_tol(duty.friction_m, duties[_i].friction_m, 1.01e-6);
	ck_assert_double_eq_tol(duty.minor_m, duties[_i].minor_m, 1.01e-6);
	ck_assert_double_eq_tol(duty.hydraulic_w, duties[_i].power_w, 1.01e-4);
}
END_TEST

/* The short formulas of water.h are off by up to 3.1e-5 in viscosity, which a turbulent hose turns into at most 2e-6
 * of flow; far inside the 0.2 % that two programs under the same conventions may differ by. */
START_TEST(check_duties_with_our_own_water)
{
	struct pump_curve curve = check_curve();
	struct pipe_system system = check_system(duties[_i].bore_mm, duties[_i].roughness_mm);
	struct duty duty;

	system.density_kg_m3 = water_density_kg_m3(15.0);
	system.viscosity_m2_s = water_viscosity_m2_s(15.0);
	duty = duty_of(&curve, &system);
	ck_assert_double_eq_tol(duty.flow_l_per_h / duties[_i].flow_l_per_h, 1.0, 2e-6);
	ck_assert_double_eq_tol(duty.head_m / duties[_i].head_m, 1.0, 2e-6);
	ck_assert_double_eq_tol(duty.friction_factor / duties[_i].factor, 1.0, 1e-5);
}
END_TEST

START_TEST(no_flow_at_or_above_shut_off)
{
	static const double static_m[] = { 3.5, 3.6, 50.0 };
	struct pump_curve curve = check_curve();

	for (size_t i = 0; i < 3; i++) {
		struct pipe_system system = check_system(32.0, 2.0);
		struct duty duty;

		system.static_m = static_m[i];
		duty = duty_of(&curve, &system);
		ck_assert_int_eq(duty.state, DUTY_NO_FLOW);
		ck_assert_double_eq(duty.head_m, 3.5);
		ck_assert_double_eq(duty.flow_l_per_h, 0.0);
		ck_assert_double_eq(duty.velocity_m_s, 0.0);
		ck_assert_double_eq(duty.reynolds, 0.0);
		ck_assert_double_eq(duty.friction_factor, 0.0);
		ck_assert_double_eq(duty.friction_m, 0.0);
		ck_assert_double_eq(duty.minor_m, 0.0);
		ck_assert_double_eq(duty.hydraulic_w, 0.0);
		ck_assert_int_eq(duty.regime, REGIME_LAMINAR);
	}
}
END_TEST

/* The last double below shut-off leaves 4e-16 m to drive the water: still a flow, however small. */
START_TEST(a_hair_below_shut_off_still_flows)
{
	struct pump_curve curve = check_curve();
	struct pipe_system system = check_system(32.0, 0.007);
	struct duty duty;

	system.static_m = nextafter(3.5, 0.0);
	duty = duty_of(&curve, &system);
	ck_assert_int_eq(duty.state, DUTY_OK);
	ck_assert_double_gt(duty.flow_l_per_h, 0.0);
	ck_assert_double_lt(duty.flow_l_per_h, 1e-6);
}
END_TEST

START_TEST(pump_that_wins_at_its_last_point_is_beyond_its_curve)
{
	static const double points[][2] = { { 0.0, 3.5 }, { 1500.0, 3.2 }, { 3000.0, 2.6 } };
	struct pump_curve curve = prepared(points, 3);
	struct pipe_system system = check_system(40.0, 0.007);
	struct duty duty = duty_of(&curve, &system);

	ck_assert_int_eq(duty.state, DUTY_BEYOND_CURVE);
	ck_assert_double_eq(duty.flow_l_per_h, 3000.0);
	ck_assert_double_eq(duty.head_m, system_head_m(&system, 3000.0));
	ck_assert_double_lt(duty.head_m, 2.6);
	ck_assert_double_eq(duty.hydraulic_w, hydraulic_power_w(999.1026, 3000.0, duty.head_m));
}
END_TEST

/* A pump that just balances at its last point is on its curve: no length and no fittings leave the static alone. */
START_TEST(balance_at_the_last_point_is_on_the_curve)
{
	static const double points[][2] = { { 0.0, 3.5 }, { 1500.0, 3.2 }, { 3000.0, 2.5 } };
	struct pump_curve curve = prepared(points, 3);
	struct pipe_system system = { 2.5, 40.0, 0.007, 0.0, 0.0, 999.1026, 1.138589e-6 };
	struct duty duty = duty_of(&curve, &system);

	ck_assert_int_eq(duty.state, DUTY_OK);
	ck_assert_double_eq_tol(duty.flow_l_per_h, 3000.0, 1e-9);
	ck_assert_double_eq(duty.head_m, 2.5);
}
END_TEST

START_TEST(a_wall_rougher_than_the_data_is_flagged)
{
	struct pump_curve curve = check_curve();
	struct pipe_system ribbed = check_system(25.0, 1.5);
	struct pipe_system smooth = check_system(25.0, 0.007);

	ck_assert(duty_of(&curve, &ribbed).rough_beyond_data);
	ck_assert(!duty_of(&curve, &smooth).rough_beyond_data);
}
END_TEST

START_TEST(state_is_named)
{
	ck_assert_str_eq(duty_state_slug(DUTY_OK), "ok");
	ck_assert_str_eq(duty_state_slug(DUTY_NO_FLOW), "no-flow");
	ck_assert_str_eq(duty_state_slug(DUTY_BEYOND_CURVE), "beyond-curve");
}
END_TEST

/* Over all three states, every regime and walls far beyond the data. */
START_TEST(drawn_duties_balance)
{
	uint64_t seed = 42;
	int seen[DUTY_STATE_COUNT] = { 0 };
	int regimes[REGIME_COUNT] = { 0 };

	for (int i = 0; i < 50000; i++) {
		struct pump_curve curve = draw_curve(&seed);
		struct pipe_system system = draw_system(&seed);
		struct duty duty;

		if (i % 4 == 0) /* an oil, to reach the laminar and transition laws */
			system.viscosity_m2_s = draw_log(&seed, 1e-6, 1e-3);
		duty = duty_of(&curve, &system);
		seen[duty.state]++;
		if (duty.state == DUTY_NO_FLOW) {
			ck_assert_double_ge(system.static_m, pump_shut_off_m(&curve));
			continue;
		}
		ck_assert_double_lt(system.static_m, pump_shut_off_m(&curve));
		ck_assert_double_eq_tol(duty.head_m, system_head_m(&system, duty.flow_l_per_h), 1e-12);
		if (duty.state == DUTY_BEYOND_CURVE) {
			ck_assert_double_lt(duty.head_m, pump_head_m(&curve, duty.flow_l_per_h));
			continue;
		}
		regimes[duty.regime]++;
		ck_assert_double_eq_tol(pump_head_m(&curve, duty.flow_l_per_h), duty.head_m, 1e-7);
	}
	for (int i = 0; i < DUTY_STATE_COUNT; i++)
		ck_assert_int_gt(seen[i], 500);
	for (int i = 0; i < REGIME_COUNT; i++)
		ck_assert_int_gt(regimes[i], 500);
}
END_TEST

/* Balances that differ by a hundredth in one figure; rough walls do nothing in laminar flow. */
START_TEST(duty_moves_the_right_way)
{
	uint64_t seed = 77;
	int compared = 0;

	for (int i = 0; i < 20000; i++) {
		struct pump_curve curve = draw_curve(&seed);
		struct pipe_system system = draw_system(&seed);
		struct pipe_system wider = system, longer = system, bent = system, higher = system, rougher = system;
		struct duty duty = duty_of(&curve, &system);

		wider.bore_mm *= 1.01;
		longer.length_m *= 1.01;
		bent.sum_k += 0.1;
		higher.static_m += 0.01;
		rougher.roughness_mm *= 1.01;
		if (duty.state != DUTY_OK || duty_of(&curve, &wider).state != DUTY_OK)
			continue;
		compared++;
		ck_assert_double_gt(duty_of(&curve, &wider).flow_l_per_h, duty.flow_l_per_h);
		ck_assert_double_lt(duty_of(&curve, &longer).flow_l_per_h, duty.flow_l_per_h);
		ck_assert_double_lt(duty_of(&curve, &bent).flow_l_per_h, duty.flow_l_per_h);
		ck_assert_double_lt(duty_of(&curve, &higher).flow_l_per_h, duty.flow_l_per_h);
		if (duty.regime != REGIME_LAMINAR)
			ck_assert_double_lt(duty_of(&curve, &rougher).flow_l_per_h, duty.flow_l_per_h);
	}
	ck_assert_int_gt(compared, 5000);
}
END_TEST

/* Cengel and Cimbala, Fluid Mechanics, 14-43 (roughness and answer from memory): H = 24.4 - 0.0678 V2 (m, L/min),
 * rise 7.85 m, 176.5 m of 20.3 mm, e 0.25 mm, K 23.65, water at 20 degrees: 11.6 L/min, 0.5 %. Exact arithmetic on
 * the parabola gives 11.576 L/min and 15.315 m; 16 points of it joined by our cubic stay within 0.002. */
START_TEST(published_duty_point)
{
	double points[PUMP_POINTS_MAX][2];
	struct pipe_system system = { 7.85, 20.3, 0.25, 176.5, 23.65, water_density_kg_m3(20.0),
		water_viscosity_m2_s(20.0) };
	struct pump_curve curve;
	struct duty duty;

	for (size_t i = 0; i < PUMP_POINTS_MAX; i++) {
		double flow_l_per_min = 18.9 * (double)i / (PUMP_POINTS_MAX - 1);

		points[i][0] = 60.0 * flow_l_per_min;
		points[i][1] = 24.4 - 0.0678 * flow_l_per_min * flow_l_per_min;
	}
	curve = prepared((const double (*)[2])points, PUMP_POINTS_MAX);
	duty = duty_of(&curve, &system);
	ck_assert_int_eq(duty.state, DUTY_OK);
	ck_assert_double_eq_tol(duty.flow_l_per_h / 60.0, 11.6, 0.005 * 11.6);
	ck_assert_double_eq_tol(duty.flow_l_per_h / 60.0, 11.576, 0.002);
	ck_assert_double_eq_tol(duty.head_m, 15.315, 0.002);
}
END_TEST

/* Cengel and Cimbala, an exercise: H = 7.46 - 0.0453 V2 against 3.52 + 0.0261 V2 (m, L/min). By algebra
 * V = sqrt(3.94 / 0.0714) = 7.42846, H = 4.96025. The system is a K without length; the cubic's points stand 0.01
 * L/min apart around the answer, which leaves it 1e-8 from the parabola. */
START_TEST(published_duty_by_algebra)
{
	static const double flow_l_per_min[] = { 0.0, 4.0, 7.41, 7.42, 7.43, 7.44, 9.0, 12.0 };
	double points[8][2];
	double velocity_per_l_per_min = 1.0 / 60000.0 / (0.25 * 3.14159265358979323846 * 0.02 * 0.02);
	struct pipe_system system = { 3.52, 20.0, 0.0, 0.0, 0.0, 998.2, 1e-6 };
	struct pump_curve curve;
	struct duty duty;

	system.sum_k = 0.0261 * 2.0 * GRAVITY_M_S2 / (velocity_per_l_per_min * velocity_per_l_per_min);
	for (size_t i = 0; i < 8; i++) {
		points[i][0] = 60.0 * flow_l_per_min[i];
		points[i][1] = 7.46 - 0.0453 * flow_l_per_min[i] * flow_l_per_min[i];
	}
	curve = prepared((const double (*)[2])points, 8);
	duty = duty_of(&curve, &system);
	ck_assert_double_eq_tol(duty.flow_l_per_h / 60.0, sqrt(3.94 / 0.0714), 1e-7);
	ck_assert_double_eq_tol(duty.flow_l_per_h / 60.0, 7.42846, 0.51e-5);
	ck_assert_double_eq_tol(duty.head_m, 4.96025, 0.51e-5);
	ck_assert_double_eq(duty.friction_m, 0.0);
}
END_TEST

/* Crane TP-410, Ex. 7.15: 421 ft, 100 US gal/min, 62.298 lb/ft3, efficiency 0.70: 15.2 hp at the shaft, last digit;
 * exact arithmetic on its 420.35 ft gives 15.154. */
START_TEST(published_shaft_power)
{
	double density_kg_m3 = 62.298 * KG_PER_LB / (M_PER_FT * M_PER_FT * M_PER_FT);
	double power_hp = hydraulic_power_w(density_kg_m3, 100.0 * l_per_h_per_us_gpm, 420.35 * M_PER_FT) / 0.70 / w_per_hp;

	ck_assert_double_eq_tol(power_hp, 15.2, 0.05);
	ck_assert_double_eq_tol(power_hp, 15.154, 0.00051);
}
END_TEST

/* Crane TP-410, Ex. 7.33: 400 US gal/min at 126 ft and 17.5 hp, 3500 slowed to 1700 turns a minute, gives 194.286,
 * 29.7257 ft and 2.00531 hp. A curve scaled by the affinity laws scales with its points, and so does the power. */
START_TEST(published_affinity)
{
	static const double fast_points[][2] = { { 0.0, 150.0 }, { 200.0, 144.0 }, { 400.0, 126.0 }, { 600.0, 90.0 } };
	double speed = 1700.0 / 3500.0;
	double slow_points[4][2];
	struct pump_curve fast = prepared(fast_points, 4);
	struct pump_curve slow;

	for (size_t i = 0; i < 4; i++) {
		slow_points[i][0] = fast_points[i][0] * speed;
		slow_points[i][1] = fast_points[i][1] * speed * speed;
	}
	slow = prepared((const double (*)[2])slow_points, 4);
	ck_assert_double_eq_tol(400.0 * speed, 194.286, 0.51e-3);
	ck_assert_double_eq_tol(pump_head_m(&slow, 400.0 * speed), 29.7257, 0.51e-4);
	ck_assert_double_eq_tol(pump_head_m(&slow, 310.0 * speed), pump_head_m(&fast, 310.0) * speed * speed, 1e-12);
	ck_assert_double_eq_tol(17.5 * hydraulic_power_w(1000.0, 400.0 * speed, pump_head_m(&slow, 400.0 * speed))
		/ hydraulic_power_w(1000.0, 400.0, pump_head_m(&fast, 400.0)), 2.00531, 0.51e-5);
}
END_TEST

/* Crane TP-410, Ex. 7.34: 700 US gal/min at 428 ft, 62.364 lb/ft3, efficiencies 0.707, 0.95 and 0.96, 8000 h a year at
 * 0.12 a kWh: 83 970, 0.1 %. Exact arithmetic gives 84 033. */
START_TEST(published_yearly_cost)
{
	double density_kg_m3 = 62.364 * KG_PER_LB / (M_PER_FT * M_PER_FT * M_PER_FT);
	double water_w = hydraulic_power_w(density_kg_m3, 700.0 * l_per_h_per_us_gpm, 428.0 * M_PER_FT);
	double cost = 0.12 * energy_kwh_per_year(water_w / (0.707 * 0.95 * 0.96), 8000.0 / 365.25);

	ck_assert_double_eq_tol(cost, 83970.0, 84.0);
	ck_assert_double_eq_tol(cost, 84033.0, 0.51);
}
END_TEST

/* By hand: 4000 L/h against 2 m at 15 degrees is 21.77 W; at an efficiency of 0.15 (a trade magazine's example of a
 * small submersible) 145.2 W; all year 8.766 kWh per watt, 1272 kWh. */
START_TEST(power_and_energy_of_a_small_pump)
{
	double water_w = hydraulic_power_w(999.1026, 4000.0, 2.0);

	ck_assert_double_eq_tol(water_w, 21.77, 0.0051);
	ck_assert_double_eq_tol(water_w / 0.15, 145.2, 0.051);
	ck_assert_double_eq_tol(energy_kwh_per_year(water_w / 0.15, 24.0), 1272.0, 0.51);
	ck_assert_double_eq_tol(energy_kwh_per_year(1.0, 24.0), 8.766, 1e-14);
	ck_assert_double_eq(energy_kwh_per_year(145.2, 0.0), 0.0);
}
END_TEST

static void add_curve_tests(TCase *tests)
{
	tcase_add_test(tests, head_between_points_is_a_monotone_cubic);
	tcase_add_test(tests, slopes_are_fritsch_butland);
	tcase_add_test(tests, slopes_weigh_uneven_spacing);
	tcase_add_test(tests, end_that_would_turn_back_is_level);
	tcase_add_test(tests, two_points_are_a_straight_line);
	tcase_add_test(tests, head_stays_within_the_curve);
	tcase_add_test(tests, drawn_curves_fall_all_the_way);
	tcase_add_test(tests, curve_of_too_few_or_too_many_points_is_refused);
	tcase_add_test(tests, curve_that_rises_or_stands_still_is_refused);
}

static void add_duty_tests(TCase *tests)
{
	tcase_add_loop_test(tests, check_duties_to_the_printed_digits, 0, DUTY_ROWS);
	tcase_add_loop_test(tests, check_duties_with_our_own_water, 0, DUTY_ROWS);
	tcase_add_test(tests, no_flow_at_or_above_shut_off);
	tcase_add_test(tests, a_hair_below_shut_off_still_flows);
	tcase_add_test(tests, pump_that_wins_at_its_last_point_is_beyond_its_curve);
	tcase_add_test(tests, balance_at_the_last_point_is_on_the_curve);
	tcase_add_test(tests, a_wall_rougher_than_the_data_is_flagged);
	tcase_add_test(tests, state_is_named);
	tcase_add_test(tests, drawn_duties_balance);
	tcase_add_test(tests, duty_moves_the_right_way);
	tcase_add_test(tests, published_duty_point);
	tcase_add_test(tests, published_duty_by_algebra);
	tcase_add_test(tests, published_shaft_power);
	tcase_add_test(tests, published_affinity);
	tcase_add_test(tests, published_yearly_cost);
	tcase_add_test(tests, power_and_energy_of_a_small_pump);
}

int main(void)
{
	Suite *suite = suite_create("pump");
	TCase *curves = tcase_create("curve");
	TCase *duty_cases = tcase_create("duty");
	SRunner *runner;
	int failed;

	add_curve_tests(curves);
	add_duty_tests(duty_cases);
	tcase_set_timeout(duty_cases, 60.0); /* a slow machine under a sanitizer, not a limit on the solver */
	suite_add_tcase(suite, curves);
	suite_add_tcase(suite, duty_cases);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
