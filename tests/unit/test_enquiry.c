#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "dates.h"
#include "enquiry_write.h"
#include "random_enquiry.h"
#include "take_enquiry.h"

/* A text has this canonical form, which has itself. */
static void becomes(const char *text, const char *expected)
{
	take_good(text);
	ck_assert_str_eq(taken_canonical(), expected);
	take_good(expected);
	ck_assert_str_eq(taken_canonical(), expected);
}

#define DATED "{\"region\":\"demo-north\",\"edition\":\"2026-10\",\"issued_on\":\"2026-11-25\",\"start_on\":\"2026-12-16\","

/* ---- the canonical form ---- */

START_TEST(canonical_holds_what_was_asked_and_the_three_dates)
{
	becomes("{" POND ",\"region\":\"demo-north\"}", DATED "\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":4},\"depth_m\":0.9}}");
	becomes("{\"issued_on\":\"2026-09-30\",\"region\":\"demo-north\"," POND "}",
		"{\"region\":\"demo-north\",\"edition\":\"2026-04\",\"issued_on\":\"2026-09-30\",\"start_on\":\"2026-10-14\"," POND "}");
	becomes("{\"edition\":\"2026-10\",\"region\":\"demo-south\",\"start_on\":\"2027-01-01\"," POND "}",
		"{\"region\":\"demo-south\",\"edition\":\"2026-10\",\"issued_on\":\"2026-11-25\",\"start_on\":\"2027-01-01\"," POND "}");
	ck_assert_double_eq(taken.v[F_edition].number, 2); /* the third of all editions, not the second */
	ck_assert_ptr_eq(enquiry_edition(demo_words(), &taken), &demo_words()->catalogue.editions[2]);
}
END_TEST

START_TEST(lead_time_does_not_run_past_the_last_day)
{
	take_good("{\"issued_on\":\"2200-12-30\",\"region\":\"demo-north\"," POND "}");
	ck_assert_double_eq(taken.v[F_start_on].number, DAY_LAST);
}
END_TEST

START_TEST(numbers_are_tidied)
{
	becomes("{\"region\":\"demo-north\"," POND ",\"site\":{\"carry_m\":-0.0,\"water_table_depth_m\":-0,\"steps\":5.0,"
		"\"travel_km\":12.345678901234567,\"supply_run_m\":1e1}}",
		DATED POND ",\"site\":{\"water_table_depth_m\":0,\"carry_m\":0,\"steps\":5,\"travel_km\":12.3456789012,"
			   "\"supply_run_m\":10}}");
	ck_assert(!signbit(taken.v[F_carry_m].number));
	ck_assert_double_eq(taken.v[F_travel_km].number, 12.3456789012);
	becomes("{\"region\":\"demo-north\"," POND ",\"equipment\":{\"uv\":true,\"filter\":false,\"lights\":3.0}}",
		DATED POND ",\"equipment\":{\"filter\":0,\"uv\":1,\"lights\":3}}");
}
END_TEST

/* A sum of thirds may come out a hair beside a bound; it is not refused for it. */
START_TEST(a_bound_holds_to_twelve_digits)
{
	becomes("{\"region\":\"demo-north\"," POND ",\"planting\":{\"cover_share\":1.0000000000000002}}",
		DATED POND ",\"planting\":{\"cover_share\":1}}");
}
END_TEST

START_TEST(a_closing_point_is_dropped)
{
	static const char *const texts[] = {
		"[[0,0],[4,0],[4,3]]", "[[0,0],[4,0],[4,3],[0,0]]", "[[0,0],[4,0],[4,3],[0,-0.0],[0,0.0]]",
	};
	char text[256];

	for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
		snprintf(text, sizeof text, "{\"region\":\"demo-north\",\"pond\":{\"depth_m\":1,\"outline\":{\"points_m\":%s,"
			"\"kind\":\"polygon\"}}}", texts[i]);
		becomes(text, DATED "\"pond\":{\"outline\":{\"kind\":\"polygon\",\"points_m\":[[0,0],[4,0],[4,3]]},\"depth_m\":1}}");
		ck_assert_double_eq(taken.v[F_pond_points_m].number, 3);
	}
}
END_TEST

/* 200 corners and the first again. */
START_TEST(two_hundred_corners_may_be_closed)
{
	struct writer body;

	writer_init(&body);
	writer_print(&body, "{\"region\":\"demo-north\",\"pond\":{\"depth_m\":1,\"outline\":{\"kind\":\"polygon\",\"points_m\":[[0,0]");
	for (int i = 1; i < POINTS_MOST; i++)
		writer_print(&body, ",[%d,%d]", i, i * i);
	writer_print(&body, ",[0,0]]}}}");
	take(body.bytes, body.length, NEED_QUOTE, "");
	ck_assert_uint_eq(taken_faults.count, 1); /* some 130 ha, but not too many points */
	ck_assert_str_eq(enquiry_fault_pointer(&taken_faults, 0), "/pond/outline");
	ck_assert_double_eq(taken.v[F_pond_points_m].number, POINTS_MOST);
	body.length -= strlen("[0,0]]}}}");
	writer_print(&body, "[0,1]]}}}");
	take(body.bytes, body.length, NEED_QUOTE, "");
	writer_free(&body);
	ck_assert_uint_eq(taken_faults.count, 1);
	ck_assert_str_eq(enquiry_fault_detail(&taken_faults, 0), "points_m: 201 entries are more than 200");
}
END_TEST

START_TEST(sets_are_sorted_and_merged)
{
	becomes("{\"region\":\"demo-north\"," POND ",\"facts\":{\"species_found\":[\"unknown\",\"adder\",\"great-crested-newt\","
		"\"adder\"],\"species_records\":[\"unknown\"],\"protected_area\":[],\"tree_protection\":\"unknown\"}}",
		DATED POND ",\"facts\":{\"species_found\":[\"great-crested-newt\",\"adder\",\"unknown\"],\"species_records\":"
			   "\"unknown\",\"tree_protection\":\"unknown\",\"protected_area\":[]}}");
	ck_assert_uint_eq(taken.v[F_fact_species_found].set, 1u << SPECIES_GREAT_CRESTED_NEWT | 1u << SPECIES_ADDER);
	ck_assert(taken.v[F_fact_species_found].unsure);
	ck_assert_int_eq(taken.v[F_fact_species_records].origin, NOT_KNOWN);
	ck_assert_int_eq(taken.v[F_fact_tree_protection].origin, NOT_KNOWN);
	ck_assert_int_eq(taken.v[F_fact_protected_area].origin, GIVEN); /* [] is an answer */
	ck_assert_int_eq(taken.v[F_fact_work_kinds].origin, LEFT_OUT);
}
END_TEST

START_TEST(facts_of_every_kind_may_be_unknown)
{
	becomes("{\"region\":\"demo-north\"," POND ",\"facts\":{\"nation\":\"unknown\",\"work_months\":\"unknown\","
		"\"in_floodplain\":\"unknown\",\"house_distance_m\":\"unknown\",\"listed_curtilage\":false}}",
		DATED POND ",\"facts\":{\"nation\":\"unknown\",\"work_months\":\"unknown\",\"house_distance_m\":\"unknown\","
			   "\"listed_curtilage\":false,\"in_floodplain\":\"unknown\"}}");
	ck_assert_int_eq(taken.v[F_fact_work_months].origin, NOT_KNOWN);
	ck_assert_int_eq(taken.v[F_fact_listed_curtilage].origin, GIVEN);
}
END_TEST

START_TEST(months_may_wrap_and_be_written_as_text)
{
	becomes("{\"region\":\"demo-north\"," POND ",\"facts\":{\"work_months\":\"11..2\"}}",
		DATED POND ",\"facts\":{\"work_months\":[11,2]}}");
	ck_assert_uint_eq(taken.v[F_fact_work_months].set, 1u << 11 | 1u << 12 | 1u << 1 | 1u << 2);
	becomes("{\"region\":\"demo-north\"," POND ",\"facts\":{\"work_months\":[4,4]}}",
		DATED POND ",\"facts\":{\"work_months\":[4,4]}}");
	ck_assert_uint_eq(taken.v[F_fact_work_months].set, 1u << 4);
}
END_TEST

START_TEST(brackets_without_members_say_nothing)
{
	becomes("{\"region\":\"demo-north\"," POND ",\"site\":{},\"water\":{},\"facts\":{},\"roots\":{}}", DATED POND "}");
	ck_assert_int_eq(taken.v[F_site].origin, LEFT_OUT);
	becomes("{\"region\":\"demo-north\"," POND ",\"old_pond\":{}}", DATED POND ",\"old_pond\":{}}");
	ck_assert_int_eq(taken.v[F_old_pond].origin, GIVEN);
}
END_TEST

START_TEST(lists_keep_their_order)
{
	becomes("{\"region\":\"demo-north\"," POND ",\"stream\":{\"cascades\":[{\"lip\":\"sharp\",\"drop_m\":0.5,\"width_m\":1},"
		"{\"width_m\":0.4,\"lip\":\"flat\",\"drop_m\":0}],\"fall_m\":0.5,\"length_m\":3},\"water\":{\"fittings\":{\"tee\":1,"
		"\"elbow-45\":0,\"ball-valve\":2},\"kept_pump\":{\"power_w\":40,\"curve\":[[0,3],[1000,2],[2500,0]]}}}",
		DATED POND ",\"stream\":{\"length_m\":3,\"fall_m\":0.5,\"cascades\":[{\"width_m\":1,\"drop_m\":0.5,\"lip\":\"sharp\"},"
			   "{\"width_m\":0.4,\"drop_m\":0,\"lip\":\"flat\"}]},\"water\":{\"kept_pump\":{\"curve\":[[0,3],[1000,2],"
			   "[2500,0]],\"power_w\":40},\"fittings\":{\"ball-valve\":2,\"tee\":1}}}");
	becomes("{\"region\":\"demo-north\"," POND ",\"stream\":{\"cascades\":[],\"fall_m\":0,\"length_m\":3},"
		"\"water\":{\"fittings\":{}}}",
		DATED POND ",\"stream\":{\"length_m\":3,\"fall_m\":0,\"cascades\":[]},\"water\":{\"fittings\":{}}}");
	ck_assert_int_eq(taken.v[F_fittings].origin, GIVEN);
}
END_TEST

START_TEST(measured_within_is_sorted_by_the_table)
{
	becomes("{\"region\":\"demo-north\"," POND ",\"site\":{\"carry_m\":3},\"measured_within\":{\"/site/carry_m\":0.25,"
		"\"/pond/depth_m\":0.1}}",
		DATED POND ",\"site\":{\"carry_m\":3},\"measured_within\":{\"/pond/depth_m\":0.1,\"/site/carry_m\":0.25}}");
	ck_assert_uint_eq(taken.n_measured, 2);
	ck_assert_uint_eq(taken.measured[0].field, F_depth_m);
	becomes("{\"region\":\"demo-north\"," POND ",\"measured_within\":0.05}", DATED POND ",\"measured_within\":0.05}");
	becomes("{\"region\":\"demo-north\"," POND ",\"measured_within\":{}}", DATED POND ",\"measured_within\":0}");
	take_good("{\"region\":\"demo-north\"," POND "}");
	ck_assert(!taken.measured_given);
}
END_TEST

START_TEST(the_last_step_says_the_depth)
{
	becomes("{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":4},\"profile\":{\"kind\":"
		"\"stepped\",\"steps\":[{\"inset_m\":0,\"depth_m\":0.3},{\"inset_m\":1,\"depth_m\":0.7}]}}}",
		DATED "\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":4},\"profile\":{\"kind\":\"stepped\",\"steps\":["
		      "{\"inset_m\":0,\"depth_m\":0.3},{\"inset_m\":1,\"depth_m\":0.7}]}}}");
	ck_assert_int_eq(taken.v[F_depth_m].origin, BY_DERIVATION);
	ck_assert_double_eq(taken.v[F_depth_m].number, 0.7);
}
END_TEST

START_TEST(water_and_screen_need_no_pond)
{
	static const char text[] = "{\"region\":\"demo-north\",\"facts\":{\"pond_area_m2\":12}}";

	take(text, strlen(text), NEED_SCREEN, "");
	ck_assert_uint_eq(taken_faults.count, 0);
	ck_assert_str_eq(taken_canonical(), DATED "\"facts\":{\"pond_area_m2\":12}}");
	take(text, strlen(text), NEED_WATER, "");
	ck_assert_uint_eq(taken_faults.count, 0);
}
END_TEST

/* ---- many ---- */

static bool same_value(const struct value *a, const struct value *b)
{
	return a->number == b->number && signbit(a->number) == signbit(b->number) && a->set == b->set &&
	       a->origin == b->origin && a->unsure == b->unsure;
}

static void same_enquiry(const struct enquiry *a, const struct enquiry *b, const char *text)
{
	for (uint32_t id = 0; id < F_COUNT; id++)
		ck_assert_msg(same_value(&a->v[id], &b->v[id]), "%s\n%s", enquiry_fields[id].pointer, text);
	ck_assert(memcmp(a->pond_points, b->pond_points, sizeof a->pond_points) == 0);
	ck_assert(memcmp(a->old_points, b->old_points, sizeof a->old_points) == 0);
	ck_assert(memcmp(a->pond_steps, b->pond_steps, sizeof a->pond_steps) == 0);
	ck_assert(memcmp(a->old_steps, b->old_steps, sizeof a->old_steps) == 0);
	ck_assert(memcmp(a->kept_curve, b->kept_curve, sizeof a->kept_curve) == 0);
	ck_assert(memcmp(a->fittings, b->fittings, sizeof a->fittings) == 0);
	for (uint32_t i = 0; i < CASCADES_MOST; i++)
		ck_assert(a->cascades[i].width_m == b->cascades[i].width_m && a->cascades[i].drop_m == b->cascades[i].drop_m &&
			  a->cascades[i].lip == b->cascades[i].lip);
	ck_assert(a->measured_given == b->measured_given && a->measured_share == b->measured_share);
	ck_assert_uint_eq(a->n_measured, b->n_measured);
	for (uint32_t i = 0; i < a->n_measured; i++)
		ck_assert(a->measured[i].field == b->measured[i].field && a->measured[i].share == b->measured[i].share);
}

START_TEST(canonical_enquiries_read_back_alike)
{
	static bool given[F_COUNT];
	static struct enquiry first;

	for (uint64_t seed = 1; seed <= 500; seed++) {
		struct writer text;
		const char *once;

		writer_init(&text);
		random_enquiry_write(&text, demo_words(), seed);
		writer_text(&text, "", 1);
		take_good(text.bytes);
		first = taken;
		once = taken_canonical();
		take_good(once);
		same_enquiry(&first, &taken, text.bytes);
		ck_assert_str_eq(taken_canonical(), once);
		for (uint32_t id = 0; id < F_COUNT; id++)
			given[id] |= field_given(&taken, (enum field_id)id);
		writer_free(&text);
	}
	for (uint32_t id = 0; id < F_COUNT; id++)
		ck_assert_msg(given[id], "%s is never drawn", enquiry_fields[id].pointer);
}
END_TEST

/* Found by looking at the whole table: those that turn on a kind stand right behind it, which the search relies on. */
START_TEST(a_kind_decides_others_wherever_they_stand)
{
	for (uint32_t id = 0; id < F_COUNT; id++) {
		bool decides = false;

		for (uint32_t other = 0; other < F_COUNT; other++) {
			if (enquiry_fields[other].variant != id)
				continue;
			decides = true;
			ck_assert_uint_gt(other, id);
			for (uint32_t between = id + 1; between < other; between++)
				ck_assert_uint_ne(enquiry_fields[between].variant, F_NONE);
		}
		ck_assert_msg(field_decides_others((enum field_id)id) == decides, "%s", enquiry_fields[id].pointer);
	}
	ck_assert(field_decides_others(F_pond_profile_kind));
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("enquiry");
	TCase *cases = tcase_create("enquiry");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_set_timeout(cases, 120);
	tcase_add_checked_fixture(cases, take_begin, take_end);
	tcase_add_test(cases, canonical_holds_what_was_asked_and_the_three_dates);
	tcase_add_test(cases, lead_time_does_not_run_past_the_last_day);
	tcase_add_test(cases, numbers_are_tidied);
	tcase_add_test(cases, a_bound_holds_to_twelve_digits);
	tcase_add_test(cases, a_closing_point_is_dropped);
	tcase_add_test(cases, two_hundred_corners_may_be_closed);
	tcase_add_test(cases, sets_are_sorted_and_merged);
	tcase_add_test(cases, facts_of_every_kind_may_be_unknown);
	tcase_add_test(cases, months_may_wrap_and_be_written_as_text);
	tcase_add_test(cases, brackets_without_members_say_nothing);
	tcase_add_test(cases, lists_keep_their_order);
	tcase_add_test(cases, measured_within_is_sorted_by_the_table);
	tcase_add_test(cases, the_last_step_says_the_depth);
	tcase_add_test(cases, water_and_screen_need_no_pond);
	tcase_add_test(cases, canonical_enquiries_read_back_alike);
	tcase_add_test(cases, a_kind_decides_others_wherever_they_stand);
	suite_add_tcase(suite, cases);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
