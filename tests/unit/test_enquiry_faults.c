#include <check.h>
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "take_enquiry.h"

/* ---- faults, one by one ---- */

struct fault_case {
	const char *text;
	enum route_need need;
	const char *pointer, *code, *detail;
};

static const struct fault_case fault_cases[] = {
	{"{" POND "}", NEED_QUOTE, "/region", "missing", "region: must be given: Whose rates price the job"},
	{"{\"region\":\"demo-north\"}", NEED_QUOTE, "/pond", "missing", "pond: must be given: The pond as it shall be"},
	{"{\"region\":\"demo-north\",\"work\":\"stream\"}", NEED_QUOTE, "/stream", "missing",
		"stream: must be given: A stream that runs into the pond"},
	{"{\"region\":\"demo-north\",\"pond\":{\"depth_m\":1}}", NEED_WATER, "/pond/outline", "missing",
		"outline: must be given: Shape seen from above, drawn at the water line"},
	{"{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":4}}}", NEED_SCREEN,
		"/pond/depth_m", "missing", "depth_m: must be given: Deepest point below the water line"},
	{"{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"circle\"},\"depth_m\":1}}", NEED_QUOTE,
		"/pond/outline/diameter_m", "missing", "diameter_m: must be given: Diameter"},
	{"{\"region\":\"demo-north\"," POND ",\"old_pond\":{\"profile\":{}}}", NEED_QUOTE, "/old_pond/profile/kind", "missing",
		"kind: must be given: Kind of bed"},
	{"{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":4},\"depth_m\":1,"
	 "\"profile\":{\"side_slope\":2}}}", NEED_QUOTE, "/pond/profile/kind", "missing", "kind: must be given: Kind of bed"},
	{"{\"region\":\"demo-north\"," POND ",\"stream\":{\"length_m\":5}}", NEED_QUOTE, "/stream/fall_m", "missing",
		"fall_m: must be given: Top of the stream above the pond's water line"},

	{"{\"region\":\"demo-north\"," POND ",\"shel\":\"x\"}", NEED_QUOTE, "/shel", "unknown-member",
		"There is no such member; did you mean shell"},
	{"{\"region\":\"demo-north\"," POND ",\"site\":{\"soyl\":\"clay\"}}", NEED_QUOTE, "/site/soyl", "unknown-member",
		"There is no such member; did you mean soil"},
	{"{\"region\":\"demo-north\"," POND ",\"access_width_m\":1}", NEED_QUOTE, "/access_width_m", "unknown-member",
		"There is no such member; did you mean /site/access_width_m"},
	{"{\"region\":\"demo-north\"," POND ",\"a/b~c\":1}", NEED_QUOTE, "/a~1b~0c", "unknown-member",
		"There is no such member"},
	{"{\"region\":\"demo-north\"," POND ",\"measured_withing\":0}", NEED_QUOTE, "/measured_withing", "unknown-member",
		"There is no such member; did you mean measured_within"},

	{"{\"region\":\"demo-north\"," POND ",\"service_years\":\"25\"}", NEED_QUOTE, "/service_years", "wrong-type",
		"service_years: a whole number is needed, not a text"},
	{"{\"region\":\"demo-north\"," POND ",\"service_years\":25.5}", NEED_QUOTE, "/service_years", "wrong-type",
		"service_years: a whole number is needed, not 25.5"},
	{"{\"region\":\"demo-north\"," POND ",\"site\":{\"carry_m\":true}}", NEED_QUOTE, "/site/carry_m", "wrong-type",
		"carry_m: a number is needed, not true"},
	{"{\"region\":\"demo-north\"," POND ",\"site\":{\"carry_m\":null}}", NEED_QUOTE, "/site/carry_m", "wrong-type",
		"carry_m: a number is needed, not null; leave it out"},
	{"{\"region\":\"demo-north\"," POND ",\"site\":{\"through_building\":\"yes\"}}", NEED_QUOTE, "/site/through_building",
		"wrong-type", "through_building: true or false is needed, not a text"},
	{"{\"region\":\"demo-north\"," POND ",\"site\":[]}", NEED_QUOTE, "/site", "wrong-type",
		"site: an object is needed, not a list"},
	{"{\"region\":7," POND "}", NEED_QUOTE, "/region", "wrong-type", "region: a word is needed, not a number"},
	{"{\"region\":\"demo-north\"," POND ",\"equipment\":{\"uv\":\"one\"}}", NEED_QUOTE, "/equipment/uv", "wrong-type",
		"uv: a whole number is needed, not a text"},
	{"{\"region\":\"demo-north\"," POND ",\"facts\":{\"species_found\":\"adder\"}}", NEED_QUOTE, "/facts/species_found",
		"wrong-type", "species_found: a list of words is needed, not a text"},
	{"{\"region\":\"demo-north\"," POND ",\"facts\":{\"work_months\":\"october\"}}", NEED_QUOTE, "/facts/work_months",
		"wrong-type", "work_months: [first, last] month is needed, not a text"},
	{"{\"region\":\"demo-north\"," POND ",\"facts\":{\"work_months\":\"10..11 \"}}", NEED_QUOTE, "/facts/work_months",
		"wrong-type", "work_months: [first, last] month is needed, not a text"},
	{"{\"region\":\"demo-north\"," POND ",\"facts\":{\"work_months\":[10]}}", NEED_QUOTE, "/facts/work_months",
		"wrong-type", "work_months: [first, last] month is needed, not a list"},
	{"{\"region\":\"demo-north\"," POND ",\"site\":{\"soil\":\"unknown\"}}", NEED_QUOTE, "/site/soil", "not-a-choice",
		"soil: not one of topsoil, loam, sand, gravel, clay, chalk, rock"},

	{"{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":4},\"depth_m\":6.5}}", NEED_QUOTE,
		"/pond/depth_m", "out-of-range", "depth_m: 6.5 m is outside 0.1 to 6 m"},
	{"{\"region\":\"demo-north\"," POND ",\"planting\":{\"cover_share\":1.5}}", NEED_QUOTE, "/planting/cover_share",
		"out-of-range", "cover_share: 1.5 is outside 0 to 1"},
	{"{\"region\":\"demo-north\"," POND ",\"water\":{\"temperature_c\":-1}}", NEED_QUOTE, "/water/temperature_c",
		"out-of-range", "temperature_c: -1 °C is outside 0 to 35 °C"},
	{"{\"region\":\"demo-north\"," POND ",\"equipment\":{\"lights\":51}}", NEED_QUOTE, "/equipment/lights", "out-of-range",
		"lights: 51 is outside 0 to 50"},
	{"{\"region\":\"demo-north\"," POND ",\"facts\":{\"work_months\":[0,13]}}", NEED_QUOTE, "/facts/work_months",
		"out-of-range", "work_months: months are whole numbers from 1 to 12"},
	{"{\"region\":\"demo-north\"," POND ",\"measured_within\":0.6}", NEED_QUOTE, "/measured_within", "out-of-range",
		"measured_within: 0.6 is outside 0 to 0.5"},
	{"{\"region\":\"demo-north\"," POND ",\"measured_within\":{\"/pond/depth_m\":-1}}", NEED_QUOTE,
		"/measured_within/~1pond~1depth_m", "out-of-range", "measured_within: -1 is outside 0 to 0.5"},
	{"{\"region\":\"demo-north\"," POND ",\"water\":{\"fittings\":{\"tee\":101}}}", NEED_QUOTE, "/water/fittings/tee",
		"out-of-range", "tee: 101 is outside 0 to 100"},
	{"{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"rectangle\",\"length_m\":1000,\"width_m\":51},\"depth_m\":1}}",
		NEED_QUOTE, "/pond/outline", "out-of-range", "outline: An outline holds 0.05 m2 to 5 ha"},
	{"{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"rectangle\",\"length_m\":6,\"width_m\":4,"
	 "\"corner_radius_m\":2.1},\"depth_m\":1}}", NEED_QUOTE, "/pond/outline/corner_radius_m", "out-of-range",
		"corner_radius_m: A corner radius is at most half of the shorter side"},

	{"{\"region\":\"demo-north\"," POND ",\"work\":\"rebild\"}", NEED_QUOTE, "/work", "not-a-choice",
		"work: not one of new, rebuild, reline, desilt, stream, repair, infill; did you mean rebuild"},
	{"{\"region\":\"demo-north\"," POND ",\"facts\":{\"species_found\":[\"adder\",\"frog\"]}}", NEED_QUOTE,
		"/facts/species_found/1", "not-a-choice",
		"species_found: not one of great-crested-newt, natterjack-toad, pool-frog, otter-holt, bat-roost, sand-lizard, "
		"smooth-snake, beaver, dormouse, water-vole, white-clawed-crayfish, grass-snake, slow-worm, common-lizard, adder, "
		"common-frog, common-toad, smooth-newt, palmate-newt, active-bird-nest, badger-sett and 1 more"},
	{"{\"region\":\"demo-nort\"," POND "}", NEED_QUOTE, "/region", "unknown-id",
		"region: not one of demo-north, demo-south; did you mean demo-north"},
	{"{\"region\":\"demo-south\",\"edition\":\"2026-04\"," POND "}", NEED_QUOTE, "/edition", "unknown-id",
		"edition: not one of 2026-10; did you mean 2026-10"},
	{"{\"region\":\"demo-north\"," POND ",\"water\":{\"fittings\":{\"elbow-60\":1}}}", NEED_QUOTE,
		"/water/fittings/elbow-60", "unknown-id",
		"fittings: not one of ball-valve, elbow-45, elbow-90, tee; did you mean elbow-90"},

	{"{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":4,\"length_m\":4},\"depth_m\":1}}",
		NEED_QUOTE, "/pond/outline/length_m", "not-applicable", "length_m: does not belong to kind circle"},
	{"{\"region\":\"demo-north\"," POND ",\"measured_within\":{\"/water/run_m\":0.1}}", NEED_QUOTE,
		"/measured_within/~1water~1run_m", "not-applicable",
		"measured_within: /water/run_m is not given, so nobody measured it"},
	{"{\"region\":\"demo-north\"," POND ",\"measured_within\":{\"/pond/dept_m\":0.1}}", NEED_QUOTE,
		"/measured_within/~1pond~1dept_m", "unknown-member",
		"measured_within: not the pointer of a measured number; did you mean /pond/depth_m"},

	{"{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"polygon\",\"points_m\":[[0,0],[1,1]]},\"depth_m\":1}}",
		NEED_QUOTE, "/pond/outline/points_m", "too-few", "points_m: 2 entries are fewer than 3"},
	{"{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"polygon\",\"points_m\":[[0,0],[1,1],[0,0]]},\"depth_m\":1}}",
		NEED_QUOTE, "/pond/outline/points_m", "too-few", "points_m: 2 entries are fewer than 3"},
	{"{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"polygon\",\"points_m\":[[0,0],[1,1],[1,1],[0,0]]},"
	 "\"depth_m\":1}}", NEED_QUOTE, "/pond/outline/points_m", "too-few",
		"points_m: An outline needs 3 to 200 distinct points"},
	{"{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"polygon\",\"points_m\":[[0,0],[1,\"1\"],[0,1]]},"
	 "\"depth_m\":1}}", NEED_QUOTE, "/pond/outline/points_m/1/1", "wrong-type", "y_m: a number is needed, not a text"},
	{"{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"polygon\",\"points_m\":[[0,0],[1],[0,1]]},\"depth_m\":1}}",
		NEED_QUOTE, "/pond/outline/points_m/1", "wrong-type", "entry: [x_m, y_m] is needed, not a list"},
	{"{\"region\":\"demo-north\"," POND ",\"water\":{\"kept_pump\":{\"curve\":[[0,1],[1,1],[2,1],[3,1],[4,1],[5,1],[6,1],[7,1],"
	 "[8,1],[9,1],[10,1],[11,1],[12,1],[13,1],[14,1],[15,1],[16,1]],\"power_w\":50}}}", NEED_QUOTE,
		"/water/kept_pump/curve", "too-many", "curve: 17 entries are more than 16"},
	{"{\"region\":\"demo-north\"," POND ",\"stream\":{\"length_m\":5,\"fall_m\":1,\"cascades\":[{\"width_m\":1,\"drop_m\":0.2}]}}",
		NEED_QUOTE, "/stream/cascades/0/lip", "missing", "lip: must be given: Shape of the lip"},
	{"{\"region\":\"demo-north\"," POND ",\"stream\":{\"length_m\":5,\"fall_m\":1,\"cascades\":[{\"width_m\":1,\"drop_m\":0.2,"
	 "\"lip\":\"flat\",\"lipp\":1}]}}", NEED_QUOTE, "/stream/cascades/0/lipp", "unknown-member",
		"There is no such member; did you mean lip"},
	{"{\"region\":\"demo-north\"," POND ",\"stream\":{\"length_m\":5,\"fall_m\":1,\"cascades\":[{\"width_m\":11,\"drop_m\":0.2,"
	 "\"lip\":\"flat\"}]}}", NEED_QUOTE, "/stream/cascades/0/width_m", "out-of-range",
		"width_m: 11 m is outside 0.05 to 10 m"},

	{"{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"polygon\",\"points_m\":[[0,0],[2,2],[2,0],[0,2]]},"
	 "\"depth_m\":1}}", NEED_QUOTE, "/pond/outline/points_m", "crossing",
		"points_m: the edge from point 0 to point 1 crosses or touches the edge from point 2 to point 3; points are "
		"counted from 0"},
	{"{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"polygon\",\"points_m\":[[0,0],[4,0],[4,3],[0,3],[0,3],"
	 "[2,3],[0,0]]},\"depth_m\":1}}", NEED_QUOTE, "/pond/outline/points_m", "folds",
		"points_m: the edge from point 2 to point 3 folds back on the edge from point 3 to point 5; points are counted "
		"from 0"},

	{"{\"region\":\"demo-north\",\"issued_on\":\"2026-02-30\"," POND "}", NEED_QUOTE, "/issued_on", "not-a-date",
		"issued_on: not a day from 1970-01-01 to 2200-12-31, written such as 2026-03-31"},
	{"{\"region\":\"demo-north\",\"issued_on\":\"2026-03-31\"," POND "}", NEED_QUOTE, "/issued_on", "no-edition",
		"issued_on: the region has rates from 2026-04-01 on, none for 2026-03-31"},
	{"{\"region\":\"demo-north\",\"edition\":\"2026-10\",\"issued_on\":\"2026-03-31\"," POND "}", NEED_QUOTE, "/issued_on",
		"no-edition", "issued_on: the region has rates from 2026-04-01 on, none for 2026-03-31"},
	{"{\"region\":\"demo-north\",\"start_on\":\"2026-11-24\"," POND "}", NEED_QUOTE, "/start_on", "conflict",
		"start_on: before issued_on, which is 2026-11-25"},

	{"{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":4},\"depth_m\":1,\"profile\":"
	 "{\"kind\":\"battered\",\"shelf_depth_m\":1}}}", NEED_QUOTE, "/pond/profile/shelf_depth_m", "conflict",
		"shelf_depth_m: 1 m is not above the floor at 1 m"},
	{"{\"region\":\"demo-north\"," POND ",\"old_pond\":{\"profile\":{\"kind\":\"battered\",\"shelf_depth_m\":0.9}}}", NEED_QUOTE,
		"/old_pond/profile/shelf_depth_m", "conflict", "shelf_depth_m: 0.9 m is not above the floor at 0.9 m"},
	{"{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":4},\"depth_m\":0.8,\"profile\":"
	 "{\"kind\":\"stepped\",\"steps\":[{\"inset_m\":0.2,\"depth_m\":0.3},{\"inset_m\":0.5,\"depth_m\":1}]}}}", NEED_QUOTE,
		"/pond/depth_m", "conflict", "depth_m: 0.8 m is not the last step's 1 m; leave it out"},
	{"{\"region\":\"demo-north\",\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":4},\"profile\":"
	 "{\"kind\":\"stepped\",\"steps\":[{\"inset_m\":0.2,\"depth_m\":0.3},{\"inset_m\":0.1,\"depth_m\":1}]}}}", NEED_QUOTE,
		"/pond/profile/steps", "conflict", "steps: Steps start at (0, 0) and neither inset nor depth ever falls"},
	{"{\"region\":\"demo-north\"," POND ",\"edge\":{\"coping_m\":8,\"turf_m\":5}}", NEED_QUOTE, "/edge", "conflict",
		"edge: coping, beach and turf are 13 m together, the rim only 12.57 m"},
	{"{\"region\":\"demo-north\"," POND ",\"stream\":{\"length_m\":5,\"fall_m\":1,\"covered_m\":6}}", NEED_QUOTE,
		"/stream/covered_m", "conflict", "covered_m: 6 m is more than the stream's 5 m"},
	{"{\"region\":\"demo-north\"," POND ",\"stream\":{\"length_m\":5,\"fall_m\":0.3,\"cascades\":[{\"width_m\":1,\"drop_m\":0.2,"
	 "\"lip\":\"flat\"},{\"width_m\":1,\"drop_m\":0.2,\"lip\":\"flat\"}]}}", NEED_QUOTE, "/stream/cascades", "conflict",
		"cascades: they drop 0.4 m together, the stream falls only 0.3 m"},
	{"{\"region\":\"demo-north\"," POND ",\"water\":{\"kept_pump\":{}}}", NEED_QUOTE, "/water/kept_pump/id", "missing",
		"id: either id, or curve and power_w, must be given"},
	{"{\"region\":\"demo-north\"," POND ",\"water\":{\"kept_pump\":{\"power_w\":50}}}", NEED_QUOTE, "/water/kept_pump/curve",
		"missing", "curve: must be given beside power_w"},
	{"{\"region\":\"demo-north\"," POND ",\"water\":{\"kept_pump\":{\"curve\":[[0,3],[1000,1]]}}}", NEED_QUOTE,
		"/water/kept_pump/power_w", "missing", "power_w: must be given beside curve"},
	{"{\"region\":\"demo-north\"," POND ",\"water\":{\"kept_pump\":{\"id\":\"demo-pump-small\",\"power_w\":50}}}", NEED_QUOTE,
		"/water/kept_pump", "conflict", "kept_pump: either id, or curve and power_w, can be given, not both"},
	{"{\"region\":\"demo-north\"," POND ",\"water\":{\"kept_pump\":{\"curve\":[[0,3],[1000,3]],\"power_w\":50}}}", NEED_QUOTE,
		"/water/kept_pump/curve", "conflict",
		"curve: On a pump curve the flow rises and the head falls from point to point"},
	{"{\"region\":\"demo-north\"," POND ",\"water\":{\"kept_pump\":{\"curve\":[[5,3],[1000,1]],\"power_w\":50}}}", NEED_QUOTE,
		"/water/kept_pump/curve", "conflict", "curve: A pump curve needs 2 to 16 points, the first at no flow"},
	{"{\"region\":\"demo-north\"," POND ",\"facts\":{\"pond_area_m2\":12}}", NEED_QUOTE, "/facts/pond_area_m2", "computed",
		"pond_area_m2: follows from the pond, so it can't be given beside one"},
	{"{\"region\":\"demo-north\"," POND ",\"facts\":{\"work_days\":\"unknown\"}}", NEED_SCREEN, "/facts/work_days", "computed",
		"work_days: follows from the pond, so it can't be given beside one"},
};

START_TEST(each_fault_names_its_member)
{
	const struct fault_case *row = &fault_cases[_i];

	take(row->text, strlen(row->text), row->need, "");
	ck_assert_msg(taken_faults.count == 1, "%u faults: %s", taken_faults.count, row->text);
	ck_assert_str_eq(enquiry_fault_pointer(&taken_faults, 0), row->pointer);
	ck_assert_str_eq(taken_faults.kept[0].code, row->code);
	ck_assert_str_eq(enquiry_fault_detail(&taken_faults, 0), row->detail);
}
END_TEST

/* ---- all faults of a body ---- */

START_TEST(all_faults_come_at_once)
{
	static const char text[] =
		"{\"pond\":{\"outline\":{\"kind\":\"polygon\",\"points_m\":[[0,0],[2,2],[2,0],[0,2]]},\"depth_m\":9},\"lenght\":1,"
		"\"site\":{\"soil\":\"mud\",\"carry_m\":-1,\"x\":0},\"start_on\":\"soon\",\"edge\":{\"coping_m\":1}}";
	static const char *const pointers[] = {
		"/start_on", "/pond/depth_m", "/site/soil", "/site/carry_m", "/region", "/lenght", "/site/x", "/pond/outline/points_m",
	};

	take(text, strlen(text), NEED_QUOTE, "");
	ck_assert_uint_eq(taken_faults.count, sizeof pointers / sizeof pointers[0]);
	for (uint32_t i = 0; i < taken_faults.count; i++)
		ck_assert_str_eq(enquiry_fault_pointer(&taken_faults, i), pointers[i]);
}
END_TEST

START_TEST(pointers_begin_where_the_enquiry_stands)
{
	static const char text[] = "{" POND ",\"measured_within\":9,\"site\":{\"x\":0},\"facts\":{\"pond_area_m2\":1}}";

	take(text, strlen(text), NEED_QUOTE, "/agreed");
	ck_assert_uint_eq(taken_faults.count, 4);
	ck_assert_str_eq(enquiry_fault_pointer(&taken_faults, 0), "/agreed/measured_within");
	ck_assert_str_eq(enquiry_fault_pointer(&taken_faults, 1), "/agreed/region");
	ck_assert_str_eq(enquiry_fault_pointer(&taken_faults, 2), "/agreed/site/x");
	ck_assert_str_eq(enquiry_fault_pointer(&taken_faults, 3), "/agreed/facts/pond_area_m2");
}
END_TEST

static json_t *problem_of(unsigned status)
{
	struct writer out;
	json_t *problem;

	writer_init(&out);
	enquiry_faults_problem(&out, &taken_faults, status, "request-1");
	problem = json_loadb(out.bytes, out.length, JSON_REJECT_DUPLICATES, NULL);
	writer_free(&out);
	ck_assert_ptr_nonnull(problem);
	return problem;
}

START_TEST(a_hundred_faults_are_listed_and_all_are_counted)
{
	struct writer body;
	json_t *problem;

	writer_init(&body);
	writer_object_open(&body);
	writer_member_string(&body, "region", "demo-north");
	writer_key(&body, "site");
	writer_object_open(&body);
	for (uint32_t i = 0; i < 250; i++) {
		char key[16];

		snprintf(key, sizeof key, "member_%u", i);
		writer_member_int(&body, key, 1);
	}
	writer_object_close(&body);
	writer_object_close(&body);
	take(body.bytes, body.length, NEED_WATER, "");
	writer_free(&body);
	ck_assert_uint_eq(taken_faults.count, 250);
	problem = problem_of(422);
	ck_assert_uint_eq(json_array_size(json_object_get(problem, "errors")), 100);
	ck_assert_str_eq(json_string_value(json_object_get(problem, "detail")),
		"The body has 250 faults; the first 100 are listed.");
	ck_assert_int_eq(json_integer_value(json_object_get(problem, "status")), 422);
	json_decref(problem);
}
END_TEST

/* ---- what is no enquiry at all ---- */

START_TEST(what_is_not_json_says_where)
{
	static const struct {
		const char *text, *detail;
	} rows[] = {
		{"", "Line 1, column 0: the text ends too soon"},
		{"{\n \"region\": nope}", "Line 2, column 15: this is not JSON"},
		{"{\"region\":\"a\",\"region\":\"b\"}", "Line 1, column 22: a member is given twice"},
		{"{\"x\":1e999}", "Line 1, column 10: a number is too large"},
		{"{\"x\":\"\xff\"}", "Line 1, column 6: the text is not UTF-8"},
		{"{} {}", "Line 1, column 4: something follows the JSON text"},
		{"[]", "Line 1, column 1: the body must be an object"},
		{"7", "Line 1, column 1: this is not JSON"},
	};
	json_t *object;

	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		take_end();
		take_begin();
		ck_assert_int_eq(body_parse(rows[i].text, strlen(rows[i].text), &object, &taken_faults), BODY_REFUSED);
		ck_assert_uint_eq(taken_faults.count, 1);
		ck_assert_str_eq(enquiry_fault_pointer(&taken_faults, 0), "");
		ck_assert_str_eq(taken_faults.kept[0].code, "json");
		ck_assert_str_eq(enquiry_fault_detail(&taken_faults, 0), rows[i].detail);
	}
}
END_TEST

/* ---- memory that is short ---- */

static size_t allowed;

static void *counted_malloc(size_t size)
{
	return allowed > 0 && allowed-- > 0 ? malloc(size) : NULL;
}

/* Each allocation of the parser in turn: no crash, no leak, and never the client's fault. */
START_TEST(a_failed_allocation_is_not_the_clients_fault)
{
	static const char text[] = "{\"region\":\"demo-north\"," POND ",\"facts\":{\"species_found\":[\"adder\"]}}";
	enum body_state state = BODY_NO_MEMORY;
	json_t *object = NULL;
	size_t n;

	json_set_alloc_funcs(counted_malloc, free);
	for (n = 0; n < 1000 && state != BODY_READ; n++) {
		allowed = n;
		state = body_parse(text, strlen(text), &object, &taken_faults);
		ck_assert(state == BODY_READ || (state == BODY_NO_MEMORY && taken_faults.count == 0));
	}
	json_decref(object);
	json_set_alloc_funcs(malloc, free);
	ck_assert_uint_gt(n, 20);
	ck_assert_int_eq(state, BODY_READ);
}
END_TEST

START_TEST(a_list_of_faults_is_whole_or_not_sent)
{
	static char storage[40];
	struct writer out;

	writer_init_fixed(&taken_faults.texts, storage, sizeof storage);
	enquiry_fault_add(&taken_faults, "/pond/depth_m", NULL, "out-of-range", "depth_m: %d m is outside 0.1 to 6 m", 9);
	ck_assert(taken_faults.texts.out_of_memory);
	writer_init(&out);
	enquiry_faults_problem(&out, &taken_faults, 422, "request-1");
	ck_assert(out.out_of_memory);
	writer_free(&out);
}
END_TEST

START_TEST(a_status_of_the_core_becomes_a_fault)
{
	enquiry_fault_status(&taken_faults, "/now", ST_OUTLINE_AREA);
	enquiry_fault_status(&taken_faults, "", ST_MONEY_RANGE);
	ck_assert_str_eq(enquiry_fault_pointer(&taken_faults, 0), "/now/pond/outline");
	ck_assert_str_eq(enquiry_fault_pointer(&taken_faults, 1), "");
	ck_assert_str_eq(enquiry_fault_detail(&taken_faults, 1), "An amount is beyond what can be kept exactly");
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("enquiry_faults");
	TCase *cases = tcase_create("enquiry_faults");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_set_timeout(cases, 120);
	tcase_add_checked_fixture(cases, take_begin, take_end);
	tcase_add_loop_test(cases, each_fault_names_its_member, 0, sizeof fault_cases / sizeof fault_cases[0]);
	tcase_add_test(cases, all_faults_come_at_once);
	tcase_add_test(cases, pointers_begin_where_the_enquiry_stands);
	tcase_add_test(cases, a_hundred_faults_are_listed_and_all_are_counted);
	tcase_add_test(cases, what_is_not_json_says_where);
	tcase_add_test(cases, a_failed_allocation_is_not_the_clients_fault);
	tcase_add_test(cases, a_list_of_faults_is_whole_or_not_sent);
	tcase_add_test(cases, a_status_of_the_core_becomes_a_fault);
	suite_add_tcase(suite, cases);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
