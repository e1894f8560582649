#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "friction.h"
#include "priced.h"

/* The check curve of an invented pump, and 10 m of smooth hose with losses of K 4 in water of 15 degrees. */
#define CURVE "'kept_pump':{'curve':[[0,3.5],[1500,3.2],[3000,2.6],[4500,1.6],[6000,0]],'power_w':80}"
#define PIPE "'run_m':10,'sum_k':4,'temperature_c':15,'roughness_mm':0.007,'static_m':1"

/* Two independent routes give 2789.762, 3920.779 and 4601.142 l/h on 25, 32 and 40 mm (python3-fluids with scipy's brentq,
 * and a bisection in 40-digit arithmetic); 0.01 l/h allows for the rounding of their viscosity. */
START_TEST(kept_pump_on_each_bore)
{
	struct bore_result bores[BORES_MOST];
	const struct quote *quote = watered("{'region':'demo-north','water':{" CURVE "," PIPE ",'bore_mm':25}}");

	ck_assert_int_eq(quote->water.choice, PUMP_KEPT);
	ck_assert_double_eq_tol(quote->water.duty.flow_l_per_h, 2789.762, 0.01);
	ck_assert_double_eq_tol(quote->water.duty.head_m, 2.703017, 2e-6);
	ck_assert(!quote->water.enough_known); /* nothing was asked of it */
	quote_other_bores(&shipped()->catalogue, quote, bores);
	for (uint32_t i = 0; i < shipped()->catalogue.n_bores; i++) {
		if (shipped()->catalogue.bores[i].bore_mm == 32)
			ck_assert_double_eq_tol(bores[i].flow_l_per_h, 3920.779, 0.01);
		if (shipped()->catalogue.bores[i].bore_mm == 40)
			ck_assert_double_eq_tol(bores[i].flow_l_per_h, 4601.142, 0.01);
	}
}
END_TEST

START_TEST(any_inside_diameter_may_be_given)
{
	double narrow = watered("{'region':'demo-north','water':{" CURVE "," PIPE ",'bore_mm':24}}")->water.duty.flow_l_per_h;
	double wide = watered("{'region':'demo-north','water':{" CURVE "," PIPE ",'bore_mm':25.5}}")->water.duty.flow_l_per_h;

	ck_assert(narrow < 2789.762 && wide > 2789.762);
}
END_TEST

START_TEST(lift_above_shut_off_is_no_flow)
{
	const struct quote *quote = watered("{'region':'demo-north','water':{" CURVE
	                                    ",'run_m':10,'sum_k':4,'static_m':3.5,'flow_l_per_h':1000,'bore_mm':32}}");

	ck_assert_int_eq(quote->water.duty.state, DUTY_NO_FLOW);
	ck_assert(quote->water.duty.flow_l_per_h == 0);
	ck_assert(quote->water.enough_known && !quote->water.enough);
}
END_TEST

/* What the choice claims, looked at pair by pair: nothing cheaper delivers within the aimed velocity. */
static void no_cheaper_pair(const struct quote *quote)
{
	const struct catalogue *catalogue = &shipped()->catalogue;
	const struct edition *edition = &catalogue->editions[(uint32_t)quote->resolved.v[F_edition].number];
	const struct water_result *water = &quote->water;
	double best = (double)INFINITY, chosen = 0;

	for (uint32_t bore = 0; bore < catalogue->n_bores; bore++) {
		for (uint32_t pump = 0; pump < catalogue->n_pumps; pump++) {
			struct pipe_system system = {.static_m = water->static_m, .bore_mm = catalogue->bores[bore].bore_mm,
			                             .roughness_mm = catalogue->bores[bore].roughness_mm, .length_m = water->run_m,
			                             .sum_k = water->sum_k, .density_kg_m3 = water->density_kg_m3,
			                             .viscosity_m2_s = water->viscosity_m2_s};
			const struct item *pipe = &catalogue->items[catalogue->bores[bore].item];
			const struct item *box = &catalogue->items[catalogue->pumps[pump].item];
			struct duty duty;
			double cost = (double)edition->pack_milliminor[box->packs.first] / catalogue->packs[box->packs.first].size +
			              (double)edition->pack_milliminor[pipe->packs.first] / catalogue->packs[pipe->packs.first].size *
			                      water->run_m +
			              energy_kwh_per_year(catalogue->pumps[pump].power_w, quote->q[Q_pump_hours_per_day]) *
			                      catalogue->practice[P_pump_years] * (double)edition->energy_milliminor_kwh;

			duty_point(&catalogue->pumps[pump].curve, &system, &duty);
			if (pump == water->pump && bore == water->bore)
				chosen = cost;
			if (duty.flow_l_per_h >= water->wanted_l_per_h && duty.velocity_m_s <= catalogue->practice[P_velocity_aim_m_s])
				best = fmin(best, cost);
		}
	}
	ck_assert_double_eq_tol(chosen, best, 1e-6 * best);
}

START_TEST(chosen_pair_is_the_cheapest_that_delivers)
{
	static const char *const flows[] = {"600", "900", "1400", "2000", "2500", "3200", "4500", "6000", "8000", "11000", "14000"};
	static const char *const ways[] = {"0.2,'run_m':12", "1,'run_m':12", "2,'run_m':12", "0.1,'run_m':1", "0.5,'run_m':4"};

	for (uint32_t i = 0; i < sizeof flows / sizeof flows[0]; i++) {
		for (uint32_t k = 0; k < 5; k++) {
			char text[256];
			const struct quote *quote;

			snprintf(text, sizeof text, "{'region':'demo-north','water':{'flow_l_per_h':%s,'static_m':%s}}",
			         flows[i], ways[k]);
			quote = watered(text);
			ck_assert_int_eq(quote->water.choice, PUMP_CHOSEN);
			ck_assert(quote->water.enough);
			/* a new pump has some over for weed and wear */
			ck_assert(quote->water.duty.flow_l_per_h >=
			          quote->water.demand_l_per_h * (1 + shipped()->catalogue.practice[P_fouling_share]));
			no_cheaper_pair(quote);
		}
	}
}
END_TEST

static void none_stronger(const struct quote *quote)
{
	const struct catalogue *catalogue = &shipped()->catalogue;
	const struct water_result *water = &quote->water;

	ck_assert_double_gt(water->duty.flow_l_per_h, 0);
	for (uint32_t bore = 0; bore < catalogue->n_bores; bore++)
		for (uint32_t pump = 0; pump < catalogue->n_pumps; pump++) {
			struct pipe_system system = {.static_m = water->static_m, .bore_mm = catalogue->bores[bore].bore_mm,
			                             .roughness_mm = catalogue->bores[bore].roughness_mm, .length_m = water->run_m,
			                             .sum_k = water->sum_k, .density_kg_m3 = water->density_kg_m3,
			                             .viscosity_m2_s = water->viscosity_m2_s};
			struct duty duty;

			duty_point(&catalogue->pumps[pump].curve, &system, &duty);
			ck_assert_double_le(duty.flow_l_per_h, water->duty.flow_l_per_h);
		}
}

START_TEST(impossible_lift_is_said_and_the_strongest_shown)
{
	const struct quote *quote = watered("{'region':'demo-north','water':{'flow_l_per_h':20000,'static_m':25,'run_m':30}}");

	ck_assert_int_eq(quote->water.choice, PUMP_NONE_DELIVERS);
	ck_assert(!quote->water.enough);
	ck_assert_uint_eq(quote->water.pump, 0); /* none brings anything: of equals the first */
	ck_assert_uint_eq(quote->water.bore, 0);
	quote = watered("{'region':'demo-north','water':{'flow_l_per_h':150000,'static_m':1,'run_m':30}}");
	ck_assert_int_eq(quote->water.choice, PUMP_NONE_DELIVERS);
	none_stronger(quote);
	quote = priced("{'region':'demo-north','pond':{'outline':{'kind':'circle','diameter_m':4},'depth_m':1},"
	               "'water':{'flow_l_per_h':20000,'static_m':25,'run_m':30}}");
	ck_assert_uint_eq(quote->n_cannots, 1);
	ck_assert_int_eq(quote->cannots[0].kind, CANNOT_WATER);
}
END_TEST

/* Wall and price of a bore that the caller names are those of the catalogue's nearest, of two as near the first;
 * whether a pump is found or not. */
START_TEST(a_bore_that_is_given_is_the_one_that_is_laid)
{
	static const char *const lifts[] = {"1", "25"};
	const struct catalogue *catalogue = &shipped()->catalogue;

	for (uint32_t i = 0; i < catalogue->n_bores; i++)
		for (int lift = 0; lift < 2; lift++) {
			const struct bore *bore = &catalogue->bores[i];
			char json[256];
			const struct quote *quote;

			snprintf(json, sizeof json, "{'region':'demo-north','water':{'flow_l_per_h':600,'static_m':%s,'run_m':2,"
				"'bore_mm':%.3f}}", lifts[lift], bore->bore_mm + 0.1);
			quote = watered(json);
			ck_assert_int_eq(quote->water.choice, lift == 0 ? PUMP_CHOSEN : PUMP_NONE_DELIVERS);
			ck_assert_double_eq(catalogue->bores[quote->water.bore].bore_mm, bore->bore_mm);
			ck_assert_uint_le(quote->water.bore, i);
			ck_assert_double_eq_tol(quote->water.bore_mm, bore->bore_mm + 0.1, 1e-9);
			ck_assert_double_eq(quote->water.roughness_mm, catalogue->bores[quote->water.bore].roughness_mm);
		}
}
END_TEST

START_TEST(pump_of_the_list_may_be_kept)
{
	const struct quote *quote =
		watered("{'region':'demo-north','water':{'kept_pump':{'id':'demo-pump-6500'},'flow_l_per_h':4000,'static_m':1,'run_m':10}}");
	const struct catalogue *catalogue = &shipped()->catalogue;
	double best = 0;
	struct bore_result bores[BORES_MOST];

	ck_assert_int_eq(quote->water.choice, PUMP_KEPT);
	ck_assert(quote->water.enough);
	ck_assert(quote->water.duty.velocity_m_s <= catalogue->practice[P_velocity_aim_m_s]);
	quote_other_bores(catalogue, quote, bores);
	for (uint32_t i = 0; i < catalogue->n_bores; i++)
		best = fmax(best, bores[i].flow_l_per_h);
	ck_assert(quote->water.duty.flow_l_per_h < best); /* the cheapest that is enough, not the widest */
}
END_TEST

/* A weak pump: no bore is enough; the widest brings a few per cent more than one at half its price. */
START_TEST(weak_kept_pump_gets_no_needlessly_wide_pipe)
{
	const struct quote *quote =
		watered("{'region':'demo-north','water':{'kept_pump':{'id':'demo-pump-2000'},'flow_l_per_h':9000,'static_m':0.5,'run_m':10}}");
	const struct catalogue *catalogue = &shipped()->catalogue;
	struct bore_result bores[BORES_MOST];
	double most = 0;

	ck_assert(!quote->water.enough);
	quote_other_bores(catalogue, quote, bores);
	for (uint32_t i = 0; i < catalogue->n_bores; i++)
		most = fmax(most, bores[i].flow_l_per_h);
	ck_assert(quote->water.duty.flow_l_per_h >= 0.95 * most);
	ck_assert(quote->water.bore_mm < catalogue->bores[catalogue->n_bores - 1].bore_mm);
}
END_TEST

/* Lip 0.5 m at 12 mm upstream head, Francis 1.84 b h^1.5: about 4,350 l/h; stream 0.4 m wide at 90 l/h for each cm: 3,600. */
START_TEST(demand_is_the_greatest_of_lip_stream_and_turnover)
{
	const struct quote *quote =
		watered("{'region':'demo-north','stream':{'length_m':5,'width_m':0.4,'fall_m':1,'head_over_lip_mm':12,"
		        "'cascades':[{'width_m':0.5,'drop_m':0.3,'lip':'sharp'}]}}");

	ck_assert_double_eq_tol(quote->q[Q_lip_l_per_h], 1.84 * 0.5 * pow(0.012, 1.5) * 3.6e6, 1e-6);
	ck_assert_double_eq_tol(quote->q[Q_lip_l_per_h], 4350, 5);
	ck_assert_double_eq_tol(quote->q[Q_stream_l_per_h], 3600, 1e-9);
	ck_assert_double_eq_tol(quote->water.demand_l_per_h, quote->q[Q_lip_l_per_h], 1e-9);
	ck_assert_double_eq_tol(quote->water.static_m, 1, 1e-12);
	quote = watered("{'region':'demo-north','planting':{'style':'fish'},'pond':{'outline':{'kind':'rectangle','length_m':4,"
	                "'width_m':3},'depth_m':1.5,'profile':{'kind':'vertical'}},'stream':{'length_m':5,'width_m':0.4,'fall_m':1}}");
	ck_assert_double_eq_tol(quote->water.demand_l_per_h, 18000 / shipped()->catalogue.styles[STYLE_FISH].turnover_h, 1e-6);
}
END_TEST

START_TEST(fittings_add_up_and_electricity_is_counted)
{
	const struct quote *quote = watered("{'region':'demo-north','water':{'flow_l_per_h':2000,'run_m':8,'hours_per_day':12,"
	                                    "'fittings':{'elbow-90':2}}}");
	double elbow = shipped()->catalogue.fittings[shipped_word(LIST_fittings, "elbow-90")].k;
	const struct edition *edition =
		&shipped()->catalogue.editions[(uint32_t)quote->resolved.v[F_edition].number];

	ck_assert_double_eq_tol(quote->water.sum_k, 2 * elbow, 1e-12);
	ck_assert_double_eq_tol(quote->water.kwh_per_year, quote->water.power_w / 1000 * 12 * 365.25, 1e-6);
	ck_assert_double_eq_tol((double)quote->water.running_cost_minor,
	                        quote->water.kwh_per_year * (double)edition->energy_milliminor_kwh / 1000, 0.5);
}
END_TEST

START_TEST(a_still_pond_needs_no_pump)
{
	const struct quote *quote = priced("{'region':'demo-north','pond':{'outline':{'kind':'circle','diameter_m':4},'depth_m':1}}");

	ck_assert_int_eq(quote->water.choice, PUMP_NOT_NEEDED);
	ck_assert_double_eq_tol(quote->q[Q_pump_new] + quote->q[Q_pipe_m], 0, 1e-12);
	/* and nobody is told of a pipe's length that was assumed for nothing */
	ck_assert_int_ne(quote->resolved.v[F_run_m].origin, BY_ASSUMPTION);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("pump choice");
	TCase *water = tcase_create("water");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_test(water, kept_pump_on_each_bore);
	tcase_add_test(water, any_inside_diameter_may_be_given);
	tcase_add_test(water, lift_above_shut_off_is_no_flow);
	tcase_add_test(water, chosen_pair_is_the_cheapest_that_delivers);
	tcase_add_test(water, impossible_lift_is_said_and_the_strongest_shown);
	tcase_add_test(water, a_bore_that_is_given_is_the_one_that_is_laid);
	tcase_add_test(water, pump_of_the_list_may_be_kept);
	tcase_add_test(water, weak_kept_pump_gets_no_needlessly_wide_pipe);
	tcase_add_test(water, demand_is_the_greatest_of_lip_stream_and_turnover);
	tcase_add_test(water, fittings_add_up_and_electricity_is_counted);
	tcase_add_test(water, a_still_pond_needs_no_pump);
	suite_add_tcase(suite, water);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
