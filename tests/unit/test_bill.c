#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "bill.h"
#include "money.h"
#include "priced.h"

#define BOX "'pond':{'outline':{'kind':'rectangle','length_m':4,'width_m':3},'depth_m':1,'profile':{'kind':'battered','side_slope':0.5}}"

static const struct edition *edition_of(const struct quote *quote)
{
	return &shipped()->catalogue.editions[(uint32_t)quote->resolved.v[F_edition].number];
}

static const char *const enquiries[] = {
	"{'region':'demo-north'," BOX "}",
	"{'region':'demo-isle'," BOX ",'shell':'rendered-concrete','planting':{'style':'fish'}}",
	"{'region':'demo-highland'," BOX ",'old_pond':{'silt_depth_m':0.3},'facts':{'species_found':['water-vole']}}",
	"{'region':'demo-coast'," BOX ",'stream':{'length_m':6,'fall_m':1},'edge':{'coping_m':5}}",
	"{'region':'demo-north','work':'stream','stream':{'length_m':3,'fall_m':0.4}}",
	"{'region':'demo-north','work':'desilt'," BOX "}",
};
enum { ENQUIRIES = sizeof enquiries / sizeof enquiries[0] };

START_TEST(everything_adds_up_to_the_penny)
{
	const struct quote *quote = priced(enquiries[_i]);
	int64_t net = 0, direct = 0, class_net = 0, tax = 0, items = 0, item_lines = 0;

	ck_assert_uint_eq(quote->n_cannots, 0);
	for (uint32_t i = 0; i < quote->n_lines; i++) {
		int64_t amount = 0;

		for (uint32_t c = 0; c < COMPONENT_COUNT; c++) {
			amount += quote->lines[i].price_minor[c];
			direct += quote->lines[i].cost_minor[c];
			ck_assert(quote->lines[i].special == LINE_ROUNDING || quote->lines[i].price_minor[c] >= quote->lines[i].cost_minor[c]);
		}
		ck_assert_int_eq(amount, quote->lines[i].amount_minor);
		net += amount;
	}
	ck_assert_int_eq(net, quote->net_minor);
	ck_assert_int_eq(direct, quote->direct_minor);
	for (uint32_t i = 0; i < edition_of(quote)->tax_classes.count; i++) {
		int64_t of_class;

		class_net += quote->classes[i].net_minor;
		tax += quote->classes[i].tax_minor;
		ck_assert_int_eq(money_share(quote->classes[i].net_minor,
		                             shipped()->catalogue.tax_classes[edition_of(quote)->tax_classes.first + i].rate_ppm,
		                             &of_class),
		                 ST_OK);
		ck_assert_int_eq(quote->classes[i].tax_minor, edition_of(quote)->registered ? of_class : 0);
	}
	ck_assert_int_eq(class_net, quote->net_minor);
	ck_assert_int_eq(tax, quote->tax_minor);
	ck_assert_int_eq(quote->gross_minor, quote->net_minor + quote->tax_minor);
	ck_assert_int_eq(quote->headline_minor, money_to_step(quote->gross_minor, edition_of(quote)->headline_minor));
	ck_assert_int_eq(quote->net_minor % edition_of(quote)->round_net_minor, 0);
	for (uint32_t i = 0; i < quote->n_needs; i++)
		item_lines += quote->needs[i].minor;
	for (uint32_t i = 0; i < shipped()->catalogue.n_items; i++)
		items += quote->item_minor[i];
	ck_assert_int_eq(items, item_lines);
}
END_TEST

/* Overhead on direct cost, risk on both, margin on all three. */
START_TEST(shares_stand_on_one_another)
{
	const struct quote *quote = priced(enquiries[_i]);
	int64_t so_far = quote->direct_minor, share;

	money_share(so_far, edition_of(quote)->overhead_ppm, &share);
	ck_assert_int_eq(quote->overhead_minor, share);
	so_far += share;
	money_share(so_far, edition_of(quote)->risk_ppm, &share);
	ck_assert_int_eq(quote->risk_minor, share);
	so_far += share;
	money_share(so_far, edition_of(quote)->margin_ppm, &share);
	ck_assert_int_eq(quote->margin_minor, share);
}
END_TEST

/* What was bought holds what is needed, and no pack less would. */
START_TEST(packs_cover_every_need)
{
	const struct quote *quote = priced(enquiries[_i]);
	const struct catalogue *catalogue = &shipped()->catalogue;

	for (uint32_t item = 0; item < catalogue->n_items; item++) {
		const struct item *row = &catalogue->items[item];
		double held = 0, smallest = 1e300, need = 0;

		for (uint32_t i = 0; i < quote->n_needs; i++)
			if (quote->needs[i].item == item)
				need += (double)quote->needs[i].micro / 1e6;
		for (uint32_t i = 0; i < row->packs.count; i++) {
			const struct pack *pack = &catalogue->packs[row->packs.first + i];
			double size = pack->size;

			if (pack->most_t > 0 && row->density != Q_none && pack->most_t / quote->q[row->density] < size)
				size = pack->most_t / quote->q[row->density];
			held += quote->bought[row->packs.first + i] * size;
			if (quote->bought[row->packs.first + i] && size < smallest)
				smallest = size;
		}
		ck_assert_double_eq_tol(quote->item_total[item], need, 1e-5);
		ck_assert_msg(held >= need - 1e-5, "%u holds %g of %g", item, held, need);
		if (need > 0 && need >= row->minimum)
			ck_assert_msg(held - smallest < need + 1e-5, "%u holds a pack too many", item);
	}
}
END_TEST

/* Each method of a group costs at least as much by itself as the one that was taken. */
START_TEST(narrow_gate_is_dug_by_hand_and_wide_gate_by_machine)
{
	static const char with[] = "{'region':'demo-north','pond':{'outline':{'kind':'rectangle','length_m':8,'width_m':5},'depth_m':1.1},"
			   "'site':{'access_width_m':%s,'lorry_distance_m':60}}";
	const struct quote *quote = priced_with(with, "0.7");

	ck_assert_ptr_nonnull(line_of(quote, "dig-by-hand"));
	quote = priced_with(with, "2.5");
	ck_assert_ptr_null(line_of(quote, "dig-by-hand"));
	ck_assert(quote->n_cannots == 0);
	for (uint32_t i = 0; i < quote->n_lines; i++)
		if (quote->lines[i].was_cheapest_of_many)
			ck_assert(quote->lines[i].alone_minor > 0);
}
END_TEST

START_TEST(no_way_in_is_a_cannot_never_a_silent_zero)
{
	const struct quote *quote =
		priced("{'region':'demo-north'," BOX ",'site':{'access_width_m':0.4,'lorry_distance_m':100}}");
	bool dig = false;

	for (uint32_t i = 0; i < quote->n_cannots; i++) {
		const struct group *group = &shipped()->catalogue.groups[quote->cannots[i].group];

		ck_assert_int_eq(quote->cannots[i].kind, CANNOT_GROUP);
		ck_assert_uint_gt(quote->cannots[i].n_methods, 0);
		dig |= strcmp(config_text(shipped(), group->text)->id, "dig") == 0;
	}
	ck_assert(dig);
}
END_TEST

START_TEST(half_days_are_paid_in_full)
{
	const struct quote *quote = priced(enquiries[_i]);
	const struct edition *edition = edition_of(quote);
	double hours = 0, paid;

	for (uint32_t i = 0; i < quote->n_lines; i++)
		for (uint32_t g = 0; g < GRADES_MOST; g++)
			hours += quote->lines[i].hours[g];
	paid = quote->q[Q_crew_half_days] / 2 * edition->crew_people * edition->productive_h;
	ck_assert_double_eq_tol(hours, paid, 1e-5); /* the half-days line fills up what the work leaves */
}
END_TEST

/* Straight between points that begin anywhere, level beyond them. */
START_TEST(factors_follow_their_points)
{
	static const struct factor_point points[] = {{10, 1}, {20, 2}, {40, 3}};
	static const struct factor factors[] = {{.points = {0, 3}, .subject = F_carry_m}};
	static const uint16_t refs[] = {0};
	static const double at[][2] = {{5, 1}, {10, 1}, {15, 1.5}, {20, 2}, {30, 2.5}, {40, 3}, {90, 3}};
	struct catalogue catalogue = {.factors = factors, .n_factors = 1, .factor_points = points, .factor_refs = refs};
	struct job *job = calloc(1, sizeof *job);
	struct value v[F_COUNT] = {{0}};

	job->catalogue = &catalogue;
	job->v = v;
	for (size_t i = 0; i < sizeof at / sizeof at[0]; i++) {
		job->factor[0] = (double)NAN;
		v[F_carry_m].number = at[i][0];
		ck_assert_double_eq_tol(bill_factors(job, (struct span){0, 1}), at[i][1], 1e-12);
	}
	free(job);
}
END_TEST

START_TEST(tiny_job_is_brought_to_the_minimum)
{
	const struct quote *quote = priced("{'region':'demo-north','work':'reline','shell':'pvc-liner','pond':{'outline':{'kind':'rectangle',"
	                                   "'length_m':1,'width_m':0.6},'depth_m':0.3},'planting':{'style':'none'},"
	                                   "'old_pond':{'silt_depth_m':0},'site':{'travel_km':1,'reinstate_m2':0,'carry_m':2}}");
	bool topped_up = false;

	for (uint32_t i = 0; i < quote->n_lines; i++)
		topped_up |= quote->lines[i].special == LINE_MINIMUM && quote->lines[i].amount_minor > 0;
	ck_assert(topped_up);
	ck_assert_int_eq(quote->net_minor, money_to_step(edition_of(quote)->minimum_charge_minor, edition_of(quote)->round_net_minor));
}
END_TEST

START_TEST(materials_share_decides_the_class)
{
	const struct quote *labour = priced("{'region':'demo-isle','work':'desilt'," BOX "}");

	ck_assert(!labour->share_rule_used);
	labour = priced("{'region':'demo-isle','shell':'epdm-liner','pond':{'outline':{'kind':'rectangle','length_m':30,'width_m':20},"
	                "'depth_m':0.5},'edge':{'coping_m':95},'planting':{'style':'none'},'site':{'spoil':'keep','access_width_m':4}}");
	int64_t materials = 0, limit;

	for (uint32_t i = 0; i < labour->n_lines; i++)
		materials += labour->lines[i].price_minor[MATERIAL];
	money_share(labour->net_minor, edition_of(labour)->share_rule_ppm, &limit);
	ck_assert(labour->share_rule_used == (materials > limit));
	if (labour->share_rule_used)
		ck_assert_int_eq(labour->classes[edition_of(labour)->share_rule_over].net_minor, labour->net_minor);
}
END_TEST

START_TEST(unregistered_firm_charges_no_tax)
{
	const struct quote *quote = priced("{'region':'demo-highland'," BOX "}");

	ck_assert(!edition_of(quote)->registered);
	ck_assert_int_eq(quote->tax_minor, 0);
	ck_assert_int_eq(quote->gross_minor, quote->net_minor);
}
END_TEST

START_TEST(tax_on_materials_alone)
{
	const struct quote *quote = priced("{'region':'demo-coast'," BOX "}");
	int64_t materials = 0;

	for (uint32_t i = 0; i < quote->n_lines; i++)
		materials += quote->lines[i].price_minor[MATERIAL];
	ck_assert_int_eq(quote->classes[edition_of(quote)->tax_of[MATERIAL]].net_minor, materials);
	ck_assert_int_gt(quote->net_minor, materials);
}
END_TEST

START_TEST(deeper_or_larger_never_costs_less)
{
	int64_t before = 0;

	for (double depth = 0.4; depth < 2.0; depth += 0.2) {
		const struct quote *quote = priced_with(
			"{'region':'demo-north','shell':'epdm-liner','pond':{'outline':{'kind':'rectangle','length_m':7,'width_m':5},"
			"'depth_m':%.1f,'profile':{'kind':'battered','side_slope':0.5}},'planting':{'style':'none'}}",
			depth);

		ck_assert_int_ge(quote->net_minor, before);
		before = quote->net_minor;
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("bill");
	TCase *money = tcase_create("money");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_loop_test(money, everything_adds_up_to_the_penny, 0, ENQUIRIES);
	tcase_add_loop_test(money, shares_stand_on_one_another, 0, ENQUIRIES);
	tcase_add_loop_test(money, packs_cover_every_need, 0, ENQUIRIES);
	tcase_add_loop_test(money, half_days_are_paid_in_full, 0, ENQUIRIES);
	tcase_add_test(money, narrow_gate_is_dug_by_hand_and_wide_gate_by_machine);
	tcase_add_test(money, no_way_in_is_a_cannot_never_a_silent_zero);
	tcase_add_test(money, tiny_job_is_brought_to_the_minimum);
	tcase_add_test(money, factors_follow_their_points);
	tcase_add_test(money, materials_share_decides_the_class);
	tcase_add_test(money, unregistered_firm_charges_no_tax);
	tcase_add_test(money, tax_on_materials_alone);
	tcase_add_test(money, deeper_or_larger_never_costs_less);
	suite_add_tcase(suite, money);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
