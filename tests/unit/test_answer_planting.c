#include <check.h>
#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "answers.h"
#include "outcomes.h"

/* The species list of an answer: the region's climate, the roles that are planted, depths that this pond has. */

static json_t *planting_of(const char *format, const char *region)
{
	struct room *room = room_new();
	struct writer out;
	struct answer answer;
	json_t *enquiry = outcome_json(format), *whole, *planting;
	char *body;

	json_object_set_new(enquiry, "region", json_string(region));
	body = json_dumps(enquiry, 0);
	writer_init(&out);
	answer = answer_quote(&(struct ask){.config = shipped(), .room = room, .body = body, .body_length = strlen(body),
		.today_day = 20782}, &out);
	ck_assert_uint_eq(answer.status, 200);
	whole = json_loadb(out.bytes, out.length, 0, NULL);
	planting = json_incref(json_object_get(whole, "planting"));
	ck_assert_ptr_nonnull(planting);
	json_decref(whole);
	json_decref(enquiry);
	free(body);
	writer_free(&out);
	room_free(room);
	return planting;
}

static json_t *role_of(json_t *planting, const char *id)
{
	json_t *role;
	size_t i;

	json_array_foreach(json_object_get(planting, "roles"), i, role)
		if (strcmp(json_string_value(json_object_get(role, "id")), id) == 0)
			return role;
	return NULL;
}

static bool lists(json_t *role, const char *species)
{
	json_t *row;
	size_t i;

	json_array_foreach(json_object_get(role, "species"), i, row)
		if (strcmp(json_string_value(json_object_get(row, "id")), species) == 0)
			return true;
	return false;
}

#define POND(deep) "{'pond':{'outline':{'kind':'circle','diameter_m':6},'depth_m':" deep ",'profile':{'kind':'dish'}}}"

START_TEST(species_are_those_of_the_climate)
{
	json_t *north = planting_of(POND("1"), "demo-north"), *coast = planting_of(POND("1"), "demo-coast");

	ck_assert(lists(role_of(north, "floating"), "white-water-lily"));
	ck_assert(!lists(role_of(coast, "floating"), "white-water-lily"));
	ck_assert(lists(role_of(coast, "submerged"), "rigid-hornwort"));
	ck_assert_double_gt(json_number_value(json_object_get(role_of(north, "margin"), "plants")), 0);
	json_decref(north);
	json_decref(coast);
}
END_TEST

START_TEST(species_that_want_deeper_water_are_left_out)
{
	json_t *shallow = planting_of(POND("0.45"), "demo-north");

	ck_assert(lists(role_of(shallow, "floating"), "amphibious-bistort"));
	ck_assert(!lists(role_of(shallow, "floating"), "white-water-lily")); /* from half a metre on */
	json_decref(shallow);
}
END_TEST

START_TEST(nothing_is_listed_where_nothing_is_planted)
{
	json_t *bare = planting_of("{'planting':{'style':'none'},'pond':{'outline':{'kind':'circle','diameter_m':6},'depth_m':1}}", "demo-north");

	ck_assert_uint_eq(json_array_size(json_object_get(bare, "roles")), 0);
	json_decref(bare);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("answer_planting");
	TCase *lists_of = tcase_create("lists");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_test(lists_of, species_are_those_of_the_climate);
	tcase_add_test(lists_of, species_that_want_deeper_water_are_left_out);
	tcase_add_test(lists_of, nothing_is_listed_where_nothing_is_planted);
	suite_add_tcase(suite, lists_of);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
