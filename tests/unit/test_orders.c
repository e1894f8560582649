#include <check.h>
#include <stdlib.h>
#include <string.h>

#include "calendar.h"
#include "orders.h"
#include "priced.h"

static struct order_list list;

static void order(const struct quote *quote)
{
	uint32_t region = (uint32_t)quote->resolved.v[F_region].number;
	uint32_t edition = (uint32_t)quote->resolved.v[F_edition].number;

	ck_assert_uint_eq(shipped()->catalogue.editions[edition].region, region);
	order_list(&shipped()->catalogue, &shipped()->catalogue.editions[edition], quote, &list);
}

static const struct order *order_of(const char *item)
{
	for (uint32_t i = 0; i < list.n_orders; i++)
		if (strcmp(config_text(shipped(), shipped()->catalogue.items[list.orders[i].item].text)->id, item) == 0)
			return &list.orders[i];
	return NULL;
}

#define POND "'region':'demo-north','pond':{'outline':{'kind':'rectangle','length_m':6,'width_m':4},'depth_m':1,'profile':{'kind':'battered','side_slope':0.7}}"

START_TEST(every_item_that_is_bought_stands_once)
{
	const struct catalogue *catalogue = &shipped()->catalogue;
	const struct quote *quote = priced("{" POND ",'shell':'rendered-concrete','stream':{'length_m':5,'fall_m':1}}");
	uint32_t times[ITEMS_MOST] = {0};

	order(quote);
	for (uint32_t i = 0; i < list.n_orders; i++)
		times[list.orders[i].item]++;
	for (uint32_t i = 0; i < catalogue->n_items; i++) {
		const struct item *item = &catalogue->items[i];
		bool wanted = quote->item_total[i] > 0 && item->supplier != 0 && !(item->component == SERVICE && item->lead_days == 0);

		ck_assert_uint_eq(times[i], wanted);
	}
}
END_TEST

START_TEST(deliveries_hold_every_order_of_one_supplier)
{
	const struct catalogue *catalogue = &shipped()->catalogue;
	uint32_t next = 0;

	order(priced("{" POND ",'shell':'rendered-concrete','stream':{'length_m':5,'fall_m':1}}"));
	ck_assert_uint_gt(list.n_deliveries, 4);
	for (uint32_t i = 0; i < list.n_deliveries; i++) {
		const struct delivery *delivery = &list.deliveries[i];
		double weight_kg = 0;

		ck_assert_uint_eq(delivery->orders.first, next);
		for (uint32_t k = 0; k < delivery->orders.count; k++, next++) {
			const struct order *row = &list.orders[next];

			ck_assert_uint_eq(catalogue->items[row->item].supplier, delivery->supplier);
			ck_assert_int_ge(row->needed_day, delivery->needed_day);
			ck_assert_int_ge(row->order_by_day, delivery->order_by_day);
			ck_assert_double_le(row->needed_day - delivery->needed_day, catalogue->practice[P_visit_gap_days]);
			weight_kg += row->weight_kg;
		}
		ck_assert_double_eq_tol(weight_kg, delivery->weight_kg, 1e-9 * (1 + weight_kg));
		ck_assert(i == 0 || list.deliveries[i - 1].order_by_day <= delivery->order_by_day);
	}
	ck_assert_uint_eq(next, list.n_orders);
}
END_TEST

/* Lead time of the sheet 7 days; 102 m2 of it or so, in one piece of 1.25 kg for each. */
START_TEST(a_sheet_is_ordered_a_week_before_and_lifted_whole)
{
	const struct quote *quote = priced("{" POND ",'shell':'epdm-liner'}");
	const struct order *sheet, *plants;

	order(quote);
	sheet = order_of("epdm-sheet");
	plants = order_of("marginal-plant");
	ck_assert_ptr_nonnull(sheet);
	ck_assert_ptr_nonnull(plants);
	ck_assert_int_eq(sheet->needed_day, task_of(quote, "lay-sheet")->from_day);
	ck_assert_int_le(sheet->order_by_day, sheet->needed_day - 7);
	ck_assert_int_gt(sheet->order_by_day, sheet->needed_day - 7 - 5);
	ck_assert_double_gt(day_capacity(&shipped()->catalogue, &shipped()->catalogue.regions[0], sheet->order_by_day), 0);
	ck_assert_double_eq_tol(sheet->weight_kg, sheet->bought * 1.25, 1e-9);
	ck_assert_double_eq_tol(sheet->heaviest_lift_kg, sheet->weight_kg, 1e-9);
	ck_assert(!sheet->returnable);
	ck_assert_double_le(plants->heaviest_lift_kg, 18 * 0.8 + 1e-9);
}
END_TEST

START_TEST(ready_mix_is_poured_and_mesh_goes_back)
{
	order(priced("{" POND ",'shell':'rendered-concrete'}"));
	ck_assert_ptr_nonnull(order_of("ready-mix"));
	ck_assert_double_eq(order_of("ready-mix")->heaviest_lift_kg, 0);
	ck_assert_double_gt(order_of("ready-mix")->weight_kg, 1000);
	ck_assert(!order_of("ready-mix")->returnable);
	ck_assert(order_of("mesh-a193")->returnable);
	ck_assert_ptr_null(order_of("travel-km"));
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("orders");
	TCase *tcase = tcase_create("all");
	SRunner *runner;
	int failed;

	tcase_add_test(tcase, every_item_that_is_bought_stands_once);
	tcase_add_test(tcase, deliveries_hold_every_order_of_one_supplier);
	tcase_add_test(tcase, a_sheet_is_ordered_a_week_before_and_lifted_whole);
	tcase_add_test(tcase, ready_mix_is_poured_and_mesh_goes_back);
	suite_add_tcase(suite, tcase);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
