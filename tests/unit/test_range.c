#include <check.h>
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "answers.h"
#include "priced.h"
#include "random_enquiry.h"
#include "range.h"
#include "readers.h"

enum { TODAY = 20782 };

/* ---- an edition whose price is a straight line in one unknown ---- */

/* One region, one shell of no thickness, and one line: 3 h at 20.00 for each kilometre of the way; nothing else is bought or
 * worked, half-days are so short that none is lost, no tax. */
static const struct labour labours[] = {
	{.grade = 0, .per = PER_JOB, .hours = 3, .times = F_travel_km, .times_quantity = false},
};
static const struct build_up build_ups[] = {
	{.section = 0, .task = 0, .group = GROUP_NONE, .measured_by = Q_job, .labour = {0, 1}, .rounds = Q_none},
};
static const struct section sections[] = {{0}};
static const struct task tasks[] = {{.follows = {0, 0}}};
static const struct grade grades[] = {{0}};
static const struct shell shells[] = {{.layers = {0, 0}}};
static const struct root_plant root_plants[] = {{0}};
#define LOST 0.2 /* of every month's days, to weather */
static const struct region regions[] = {{.nation = NATION_OTHER, .works = {true, true, true, true, true, true, true},
	.weather_lost = {LOST, LOST, LOST, LOST, LOST, LOST, LOST, LOST, LOST, LOST, LOST, LOST}}};
static const struct tax_class classes[] = {{.rate_ppm = 0}};
static const struct unknown unknowns[] = {
	{.subject = F_travel_km, .region = REGION_ANY, .spread = SPREAD_TRIANGLE, .low = 10, .likely = 20, .high = 60},
};
static const struct edition editions[] = {{.grade_milliminor_h = {2000000}, .crew_people = 1, .productive_h = 1e-3,
	.paid_h = 1e-3, .tax_classes = {0, 1}, .lead_days = 14}};

static const struct catalogue *straight(void)
{
	static struct catalogue catalogue = {
		.build_ups = build_ups, .n_build_ups = 1, .sections = sections, .n_sections = 1, .tasks = tasks, .n_tasks = 1,
		.grades = grades, .n_grades = 1, .shells = shells, .n_shells = 1, .root_plants = root_plants, .n_root_plants = 1,
		.regions = regions, .n_regions = 1, .editions = editions, .n_editions = 1, .labours = labours,
		.tax_classes = classes, .unknowns = unknowns, .n_unknowns = 1,
	};

	static struct build_up_set readers[READ_SUBJECTS];

	fields_parents(catalogue.parent);
	readers_list(&catalogue, readers);
	catalogue.readers = readers;
	catalogue.unknowns_of[F_travel_km] = (struct span){0, 1};
	for (uint32_t i = 0; i < P_COUNT; i++)
		catalogue.practice[i] = 1;
	for (uint32_t i = 0; i < soil_COUNT; i++)
		catalogue.soils[i] = (struct soil){.bank_t_m3 = 1.6, .swell = 1.25, .refill_share = 0.9, .safe_deg = 45, .seepage = 1};
	return &catalogue;
}

static void give(struct enquiry *enquiry, enum field_id id, double number)
{
	enquiry->v[id] = (struct value){.number = number, .origin = GIVEN};
}

static void box(struct enquiry *enquiry)
{
	memset(enquiry, 0, sizeof *enquiry);
	for (uint32_t i = 0; i < F_COUNT; i++)
		enquiry->v[i].origin = LEFT_OUT;
	give(enquiry, F_region, 0);
	give(enquiry, F_issued_on, TODAY);
	give(enquiry, F_pond, 1);
	give(enquiry, F_pond_outline, 1);
	give(enquiry, F_pond_outline_kind, SHAPE_RECTANGLE);
	give(enquiry, F_pond_length_m, 4);
	give(enquiry, F_pond_width_m, 3);
	give(enquiry, F_depth_m, 1);
	give(enquiry, F_pond_profile_kind, SIDES_VERTICAL);
	give(enquiry, F_style, STYLE_NONE);
}

/* Quantile of the triangle 10, 20, 60: 10 + sqrt(500 u) up to u = 1/5, 60 - sqrt(2000 (1 - u)) from there on. */
START_TEST(a_straight_line_has_the_quantiles_of_its_unknown)
{
	const double minor_per_km = 3 * 2000;
	const double low = 10 + sqrt(500 * 0.1), likely = 60 - sqrt(2000 * 0.5), high = 60 - sqrt(2000 * 0.1);
	static struct enquiry enquiry;
	static struct quote quote;
	static struct range range;
	void *scratch = malloc(range_scratch_size(RANGE_SAMPLES_DEFAULT));

	box(&enquiry);
	ck_assert_int_eq(range_price(straight(), &editions[0], &enquiry, RANGE_SAMPLES_DEFAULT, scratch, &quote, &range), ST_OK);
	ck_assert_double_eq_tol((double)quote.net_minor, 20 * minor_per_km, 10);
	ck_assert_double_eq_tol((double)range.net.low_minor / (low * minor_per_km), 1, 0.002);
	ck_assert_double_eq_tol((double)range.net.likely_minor / (likely * minor_per_km), 1, 0.002);
	ck_assert_double_eq_tol((double)range.net.high_minor / (high * minor_per_km), 1, 0.002);
	/* days of work go by the same line: 3 h for each km at a thousandth of an hour a day */
	ck_assert_double_eq_tol(range.on_site_days.low / (3000 * low / (1 - LOST)), 1, 0.002);
	ck_assert_double_eq_tol(range.on_site_days.likely / range.on_site_days.low, likely / low, 0.002 * likely / low);
	ck_assert_double_eq_tol(range.on_site_days.high / range.on_site_days.low, high / low, 0.002 * high / low);
	ck_assert_uint_eq(range.n_questions, 1);
	ck_assert_uint_eq(range.questions[0].field, F_travel_km);
	ck_assert_double_eq_tol(range.questions[0].share, 1, 0.01);
	ck_assert_double_eq_tol(range.questions[0].total_share, 1, 0.2); /* of 32 pairs */
	/* beside the samples each of 32 pairs is one quote more, or none where its two answers fall together */
	ck_assert_uint_le(range.quotes, RANGE_SAMPLES_DEFAULT + 32);
	ck_assert_uint_ge(range.quotes, RANGE_SAMPLES_DEFAULT + 16);
	/* means of the triangle's first and last quarter: 17.460 and 45.093 km */
	ck_assert_double_eq_tol((double)range.questions[0].low_minor / (17.460 * minor_per_km), 1, 0.002);
	ck_assert_double_eq_tol((double)range.questions[0].high_minor / (45.093 * minor_per_km), 1, 0.002);
	free(scratch);
}
END_TEST

/* ---- the shipped configuration, as it is answered ---- */

static struct answer answer_to(answer_function *function, const char *body, struct writer *out)
{
	static struct room *room;

	if (room == NULL)
		room = room_new();
	return function(&(struct ask){.config = shipped(), .room = room, .body = body, .body_length = strlen(body),
		.today_day = TODAY}, out);
}

/* The caller's to json_decref. */
static json_t *ranged(const char *body)
{
	struct writer out;
	struct answer answer;
	json_t *json;

	writer_init(&out);
	answer = answer_to(answer_range, body, &out);
	ck_assert_uint_eq(answer.status, 200);
	json = json_loadb(out.bytes, out.length, 0, NULL);
	ck_assert_ptr_nonnull(json);
	writer_free(&out);
	return json;
}

static json_int_t minor(const json_t *json, const char *band, const char *end)
{
	return json_integer_value(json_object_get(json_object_get(json, band), end));
}

#define OVAL "\"pond\":{\"outline\":{\"kind\":\"ellipse\",\"length_m\":5.5,\"width_m\":3.5},\"depth_m\":0.6"
static const char phone_call[] = "{\"region\":\"demo-north\"," OVAL "}}";

/* Everything that could have been asked of it. */
static const char answered[] = "{\"region\":\"demo-north\"," OVAL ",\"profile\":{\"kind\":\"battered\",\"side_slope\":1,"
	"\"shelf_width_m\":0.3,\"shelf_depth_m\":0.2}},\"roots\":{\"extent\":\"none\"},\"water\":{\"run_m\":10},"
	"\"site\":{\"soil\":\"loam\",\"water_table_depth_m\":3,\"ground_fall_m\":0,\"access_width_m\":1,\"carry_m\":20,"
	"\"lorry_distance_m\":20,\"spoil\":\"take-away\",\"skip_place\":\"drive\",\"travel_km\":20,\"reinstate_m2\":10,"
	"\"supply_run_m\":15,\"existing_supply\":false}}";

START_TEST(the_same_enquiry_gives_the_same_bytes)
{
	struct writer first, second;

	writer_init(&first);
	writer_init(&second);
	answer_to(answer_range, phone_call, &first);
	answer_to(answer_range, answered, &second);
	writer_clear(&second);
	answer_to(answer_range, phone_call, &second);
	ck_assert_uint_eq(first.length, second.length);
	ck_assert_mem_eq(first.bytes, second.bytes, first.length);
	writer_free(&first);
	writer_free(&second);
}
END_TEST

START_TEST(a_phone_call_has_a_range_and_a_next_question)
{
	json_t *range = ranged(phone_call), *next = json_array_get(json_object_get(range, "ask_next"), 0);
	double last = 1;

	ck_assert_int_lt(minor(range, "gross", "low_minor"), minor(range, "gross", "likely_minor"));
	ck_assert_int_lt(minor(range, "gross", "likely_minor"), minor(range, "gross", "high_minor"));
	ck_assert_int_lt(minor(range, "net", "high_minor"), minor(range, "gross", "high_minor"));
	ck_assert_double_lt(json_number_value(json_object_get(json_object_get(range, "on_site_days"), "low")),
		json_number_value(json_object_get(json_object_get(range, "on_site_days"), "high")));
	ck_assert_int_ge(json_integer_value(json_object_get(range, "quotes")), RANGE_SAMPLES_DEFAULT);
	/* total shares and rivals cost some quotes more, but not as many again */
	ck_assert_int_lt(json_integer_value(json_object_get(range, "quotes")), 2 * RANGE_SAMPLES_DEFAULT);
	ck_assert_uint_gt(strlen(json_string_value(json_object_get(next, "question"))), 10);
	ck_assert_int_lt(json_integer_value(json_object_get(next, "low_minor")),
		json_integer_value(json_object_get(next, "high_minor")));
	for (size_t i = 0; (next = json_array_get(json_object_get(range, "ask_next"), i)) != NULL; i++) {
		double share = json_number_value(json_object_get(next, "share"));

		ck_assert_double_le(share, last);
		ck_assert_double_ge(json_number_value(json_object_get(next, "total_share")), share);
		last = share;
	}
	json_decref(range);
}
END_TEST

static double cheaper_share(const char *shell)
{
	char enquiry[512];
	json_t *range, *other;
	double share = -1;
	size_t i;

	snprintf(enquiry, sizeof enquiry, "%.*s,\"shell\":\"plain-concrete\"}", (int)strlen(phone_call) - 1, phone_call);
	range = ranged(enquiry);
	json_array_foreach(json_object_get(range, "other_shells"), i, other)
		if (strcmp(json_string_value(json_object_get(other, "shell")), shell) == 0)
			share = json_number_value(json_object_get(other, "cheaper_share"));
	json_decref(range);
	return share;
}

/* Sheets are cheaper than concrete whatever the answers, painted concrete never is, and clay does not suit. */
START_TEST(another_shell_may_be_cheaper)
{
	ck_assert_double_eq(cheaper_share("pvc-liner"), 1);
	ck_assert_double_eq(cheaper_share("rendered-concrete"), 0);
	ck_assert_double_eq(cheaper_share("puddled-clay"), 0);
	ck_assert_double_eq(cheaper_share("plain-concrete"), -1);
}
END_TEST

START_TEST(the_range_closes_as_questions_are_answered)
{
	json_t *open = ranged(phone_call), *closed = ranged(answered);
	json_int_t open_width = minor(open, "gross", "high_minor") - minor(open, "gross", "low_minor");
	json_int_t closed_width = minor(closed, "gross", "high_minor") - minor(closed, "gross", "low_minor");
	json_t *rest = json_object_get(closed, "not_asked");

	ck_assert_uint_eq(json_array_size(json_object_get(closed, "ask_next")), 0);
	ck_assert_int_gt(closed_width, 0);
	ck_assert_int_lt(closed_width, open_width / 2);
	/* what is left is output, prices and measuring; what they make only together has a share of no single one */
	ck_assert_double_gt(json_number_value(json_object_get(rest, "labour_output_share")) +
				    json_number_value(json_object_get(rest, "price_drift_share")) +
				    json_number_value(json_object_get(rest, "measuring_share")), 0.8);
	json_decref(open);
	json_decref(closed);
}
END_TEST

START_TEST(a_job_that_nobody_can_build_has_no_range)
{
	json_t *range = ranged("{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":5},"
			       "\"depth_m\":1},\"stream\":{\"length_m\":40,\"width_m\":0.4,\"fall_m\":24},\"water\":{\"run_m\":60},"
			       "\"samples\":64}");

	ck_assert_double_eq(json_number_value(json_object_get(range, "cannot_share")), 1);
	ck_assert(json_is_null(json_object_get(range, "gross")));
	ck_assert_uint_eq(json_array_size(json_object_get(range, "ask_next")), 0);
	json_decref(range);
}
END_TEST

static void expect_samples(answer_function *function, const char *samples, unsigned status)
{
	struct writer out;
	char body[512];

	writer_init(&out);
	snprintf(body, sizeof body, "{\"region\":\"demo-north\"," OVAL "},\"samples\":%s}", samples);
	ck_assert_msg(answer_to(function, body, &out).status == status, "samples %s", samples);
	if (status == 422) {
		json_t *problem = json_loadb(out.bytes, out.length, 0, NULL);
		json_t *fault = json_array_get(json_object_get(problem, "errors"), 0);

		ck_assert_str_eq(json_string_value(json_object_get(fault, "pointer")), "/samples");
		json_decref(problem);
	}
	writer_free(&out);
}

START_TEST(samples_have_bounds)
{
	expect_samples(answer_range, "64", 200);
	expect_samples(answer_range, "63", 422);
	expect_samples(answer_range, "16385", 422);
	expect_samples(answer_range, "100.5", 422);
	expect_samples(answer_range, "\"many\"", 422);
	expect_samples(answer_range, "null", 422);
	expect_samples(answer_long_range, "16385", 200);
	expect_samples(answer_long_range, "9999999999", 422);
}
END_TEST

/* Whatever can be quoted has a range: no sample of it, at the ends of its spreads, is beyond what a quote can be. */
START_TEST(every_enquiry_that_is_quoted_has_a_range)
{
	uint32_t quoted = 0;

	for (uint64_t seed = 1; seed <= 60; seed++) {
		struct writer body, quote, range;
		json_t *object;
		char *text;

		writer_init(&body);
		writer_init(&quote);
		writer_init(&range);
		random_enquiry_write(&body, shipped(), seed);
		object = json_loadb(body.bytes, body.length, 0, NULL);
		ck_assert_ptr_nonnull(object);
		text = json_dumps(object, JSON_COMPACT);
		if (answer_to(answer_quote, text, &quote).status == 200) {
			quoted++;
			free(text);
			json_object_set_new(object, "samples", json_integer(64));
			text = json_dumps(object, JSON_COMPACT);
			ck_assert_msg(answer_to(answer_range, text, &range).status == 200, "seed %u: %s", (unsigned)seed, text);
		}
		free(text);
		json_decref(object);
		writer_free(&body);
		writer_free(&quote);
		writer_free(&range);
	}
	ck_assert_uint_gt(quoted, 20);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("range");
	TCase *tcase = tcase_create("ranges");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_set_timeout(tcase, 120);
	tcase_add_test(tcase, a_straight_line_has_the_quantiles_of_its_unknown);
	tcase_add_test(tcase, the_same_enquiry_gives_the_same_bytes);
	tcase_add_test(tcase, a_phone_call_has_a_range_and_a_next_question);
	tcase_add_test(tcase, another_shell_may_be_cheaper);
	tcase_add_test(tcase, the_range_closes_as_questions_are_answered);
	tcase_add_test(tcase, a_job_that_nobody_can_build_has_no_range);
	tcase_add_test(tcase, samples_have_bounds);
	tcase_add_test(tcase, every_enquiry_that_is_quoted_has_a_range);
	suite_add_tcase(suite, tcase);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
