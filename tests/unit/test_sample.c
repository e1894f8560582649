#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "enquiry_check.h"
#include "enquiry_read.h"
#include "priced.h"
#include "quote_parts.h"
#include "sample.h"

#define POND "\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":4},\"depth_m\":0.9}"
enum { TODAY = 20782 }; /* 2026-11-25 */

static struct sampler sampler;
static struct quote quote;
static struct job *job;
static struct enquiry taken;

static void take(const char *json)
{
	struct enquiry_faults faults;
	json_t *object;

	enquiry_faults_init(&faults);
	ck_assert_int_eq(body_parse(json, strlen(json), &object, &faults), BODY_READ);
	enquiry_read(shipped(), NEED_QUOTE, object, "", &taken, &faults);
	enquiry_check(shipped(), TODAY, "", &taken, &faults);
	json_decref(object);
	ck_assert_uint_eq(faults.count, 0);
	enquiry_faults_free(&faults);
}

static void prepare(const char *json)
{
	if (job == NULL)
		job = malloc(quote_scratch_size());
	take(json);
	job->shapes_ready = false;
	quote_begin(&shipped()->catalogue, enquiry_edition(shipped(), &taken), &taken, job, &quote);
	sampler_prepare(&sampler, job);
}

static bool has_axis(enum axis_kind kind, uint32_t field)
{
	for (uint32_t i = 0; i < sampler.n_axes; i++)
		if (sampler.axes[i].kind == kind && sampler.axes[i].field == field)
			return true;
	return false;
}

/* ---- distributions ---- */

START_TEST(spreads_are_inverse_distributions)
{
	static const struct weighted words[] = {{5, 0.5}, {2, 0.3}, {9, 0.2}};
	struct catalogue catalogue = {.weighteds = words};
	struct unknown row = {.spread = SPREAD_UNIFORM, .low = 2, .likely = 3, .high = 6};

	ck_assert_double_eq(spread_number(&catalogue, &row, 0.25), 3);
	/* triangle 2, 3, 6: 1/4 of the area lies below 3; 2 + sqrt(u 4 1) there, 6 - sqrt((1 - u) 4 3) above */
	row.spread = SPREAD_TRIANGLE;
	ck_assert_double_eq_tol(spread_number(&catalogue, &row, 0.16), 2.8, 1e-12);
	ck_assert_double_eq_tol(spread_number(&catalogue, &row, 0.25), 3, 1e-12);
	ck_assert_double_eq_tol(spread_number(&catalogue, &row, 1 - 3.0 / 16), 4.5, 1e-12);
	ck_assert_double_eq(spread_number(&catalogue, &row, 0), 2);
	row.likely = 2; /* the peak at an end */
	ck_assert_double_eq_tol(spread_number(&catalogue, &row, 0.75), 4, 1e-12);
	row.spread = SPREAD_WORDS;
	row.words = (struct span){0, 3};
	ck_assert_double_eq(spread_number(&catalogue, &row, 0.49), 5);
	ck_assert_double_eq(spread_number(&catalogue, &row, 0.51), 2);
	ck_assert_double_eq(spread_number(&catalogue, &row, 0.81), 9);
	ck_assert_double_eq(spread_number(&catalogue, &row, 1), 9);
	row.spread = SPREAD_NONE;
	ck_assert_double_eq(spread_number(&catalogue, &row, 0.9), 2);
	ck_assert_double_eq_tol(measured_factor(0.05, 0), 0.95, 1e-15);
	ck_assert_double_eq_tol(measured_factor(0.05, 0.75), 1.025, 1e-15);
}
END_TEST

/* ---- axes ---- */

START_TEST(what_is_left_out_is_a_question_and_what_is_given_is_measured)
{
	prepare("{\"region\":\"demo-north\"," POND ",\"site\":{\"carry_m\":20,\"soil\":\"clay\"}}");
	ck_assert(has_axis(AXIS_QUESTION, F_pond_profile_kind));
	ck_assert(has_axis(AXIS_QUESTION, F_water_table_depth_m));
	ck_assert(!has_axis(AXIS_QUESTION, F_soil));
	ck_assert(!has_axis(AXIS_QUESTION, F_carry_m));
	ck_assert(!has_axis(AXIS_QUESTION, F_silt_depth_m)); /* there is no old pond */
	ck_assert(has_axis(AXIS_MEASURED, F_carry_m));
	ck_assert(has_axis(AXIS_MEASURED, F_depth_m));
	ck_assert(has_axis(AXIS_OUTLINE, F_pond_outline));
	ck_assert(!has_axis(AXIS_MEASURED, F_pond_diameter_m)); /* a part of the outline's one error */
	ck_assert(has_axis(AXIS_LABOUR, F_NONE));
	ck_assert(has_axis(AXIS_PRICE, F_NONE));
	ck_assert_uint_lt(sampler.n_axes, AXES_MOST);
}
END_TEST

/* A bed that is assumed may turn out to have slopes though the usual one here has none. */
START_TEST(a_question_may_belong_to_another_answer)
{
	prepare("{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":4},\"depth_m\":0.9,"
		"\"wall\":\"block\",\"water_above_ground_m\":0.3}}");
	ck_assert_double_eq(sampler.v[F_pond_profile_kind].number, SIDES_VERTICAL);
	ck_assert(has_axis(AXIS_QUESTION, F_pond_side_slope));
}
END_TEST

START_TEST(errors_by_pointer_are_of_those_alone)
{
	prepare("{\"region\":\"demo-north\"," POND
		",\"site\":{\"carry_m\":20},\"measured_within\":{\"/pond/depth_m\":0.1,\"/pond/outline/diameter_m\":0.02}}");
	ck_assert(has_axis(AXIS_MEASURED, F_depth_m));
	ck_assert(has_axis(AXIS_OUTLINE, F_pond_outline));
	ck_assert(!has_axis(AXIS_MEASURED, F_carry_m));
	for (uint32_t i = 0; i < sampler.n_axes; i++) {
		if (sampler.axes[i].kind == AXIS_OUTLINE)
			ck_assert_double_eq(sampler.axes[i].share, 0.02);
		if (sampler.axes[i].kind == AXIS_MEASURED)
			ck_assert_double_eq(sampler.axes[i].share, 0.1);
	}
	prepare("{\"region\":\"demo-north\"," POND ",\"measured_within\":0}");
	ck_assert(!has_axis(AXIS_OUTLINE, F_pond_outline));
	ck_assert(!has_axis(AXIS_MEASURED, F_depth_m));
}
END_TEST

/* A shelf of the old pond is measured against the old pond's own depth, not against the new one's. */
START_TEST(an_old_shelf_stays_where_only_the_new_pond_is_shallow)
{
	static const char with[] = "{\"region\":\"demo-north\"," POND ",\"old_pond\":{\"depth_m\":%s,\"profile\":{\"kind\":"
				   "\"battered\",\"side_slope\":0.5,\"shelf_width_m\":0.3,\"shelf_depth_m\":1}},\"measured_within\":"
				   "{\"/old_pond/depth_m\":0.1}}";
	static const double least[AXES_MOST];
	char json[512];

	snprintf(json, sizeof json, with, "1.5");
	prepare(json);
	sampler_draw(&sampler, least, job, NULL);
	ck_assert_double_eq(quote.resolved.v[F_old_shelf_depth_m].number, 1);
	snprintf(json, sizeof json, with, "1.05"); /* measured a tenth less, the floor lies above the shelf */
	prepare(json);
	sampler_draw(&sampler, least, job, NULL);
	ck_assert_double_eq_tol(quote.resolved.v[F_old_shelf_depth_m].number, 0.99 * 1.05 * 0.9, 1e-12);
}
END_TEST

/* ---- samples ---- */

static uint32_t place_of(uint32_t field)
{
	for (uint32_t i = 0; i < sampler.n_axes; i++)
		if (sampler.axes[i].field == field)
			return i;
	ck_abort_msg("field %u has no axis", field);
	return 0;
}

/* Water stands high in clay: the row of the table that holds for the sampled soil gives the water table. */
START_TEST(rows_depend_on_what_was_drawn_before_them)
{
	double u[AXES_MOST], in_loam, in_clay;

	prepare("{\"region\":\"demo-north\"," POND "}");
	for (uint32_t i = 0; i < AXES_MOST; i++)
		u[i] = 0.5;
	u[place_of(F_soil)] = 0.1;
	sampler_draw(&sampler, u, job, NULL);
	ck_assert_double_eq(quote.resolved.v[F_soil].number, SOIL_LOAM);
	in_loam = quote.resolved.v[F_water_table_depth_m].number;
	u[place_of(F_soil)] = 0.5;
	sampler_draw(&sampler, u, job, NULL);
	ck_assert_double_eq(quote.resolved.v[F_soil].number, SOIL_CLAY);
	in_clay = quote.resolved.v[F_water_table_depth_m].number;
	ck_assert_double_lt(in_clay, in_loam);
}
END_TEST

START_TEST(a_sample_leaves_nothing_of_the_last)
{
	double low[AXES_MOST], high[AXES_MOST];
	struct value first[F_COUNT];

	prepare("{\"region\":\"demo-north\"," POND "}");
	job->shapes_ready = false;
	quote_take_shell(job, 0);
	ck_assert_int_eq(quote_price_begun(job), ST_OK); /* prepares the outline */
	for (uint32_t i = 0; i < AXES_MOST; i++) {
		low[i] = 0.01;
		high[i] = 0.99;
	}
	sampler_draw(&sampler, low, job, NULL);
	memcpy(first, quote.resolved.v, sizeof first);
	ck_assert_double_eq_tol(job->shore.scale, 0.951, 1e-12); /* within 5 % in this region */
	quote_take_shell(job, 0);
	ck_assert_int_eq(quote_price_begun(job), ST_OK);
	sampler_draw(&sampler, high, job, NULL);
	quote_take_shell(job, 0);
	ck_assert_int_eq(quote_price_begun(job), ST_OK);
	sampler_draw(&sampler, low, job, NULL);
	for (uint32_t i = 0; i < F_COUNT; i++) {
		ck_assert_double_eq(quote.resolved.v[i].number, first[i].number);
		ck_assert_int_eq(quote.resolved.v[i].origin, first[i].origin);
	}
}
END_TEST

/* The depth of a stepped bed is its last step's, so its error is that of every step. */
START_TEST(steps_are_as_deep_as_they_were_measured)
{
	double u[AXES_MOST];

	prepare("{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":4},\"profile\":{\"kind\":"
		"\"stepped\",\"steps\":[{\"inset_m\":0,\"depth_m\":0},{\"inset_m\":0.5,\"depth_m\":1}]}}}");
	for (uint32_t i = 0; i < AXES_MOST; i++)
		u[i] = 1;
	sampler_draw(&sampler, u, job, NULL);
	ck_assert_double_eq_tol(quote.resolved.pond_steps[1].depth_m, 1.05, 1e-12);
	sampler_draw(&sampler, u, job, NULL);
	ck_assert_double_eq_tol(quote.resolved.pond_steps[1].depth_m, 1.05, 1e-12);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("sample");
	TCase *tcase = tcase_create("samples");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_test(tcase, spreads_are_inverse_distributions);
	tcase_add_test(tcase, what_is_left_out_is_a_question_and_what_is_given_is_measured);
	tcase_add_test(tcase, a_question_may_belong_to_another_answer);
	tcase_add_test(tcase, errors_by_pointer_are_of_those_alone);
	tcase_add_test(tcase, an_old_shelf_stays_where_only_the_new_pond_is_shallow);
	tcase_add_test(tcase, rows_depend_on_what_was_drawn_before_them);
	tcase_add_test(tcase, a_sample_leaves_nothing_of_the_last);
	tcase_add_test(tcase, steps_are_as_deep_as_they_were_measured);
	suite_add_tcase(suite, tcase);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
