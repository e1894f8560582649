#include <check.h>
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "demo_words.h"
#include "enquiry_check.h"
#include "enquiry_read.h"
#include "schema.h"

static json_t *schema;

static void parse_schema(void)
{
	struct writer out;

	writer_init(&out);
	schema_write(&out, demo_words());
	ck_assert(!out.out_of_memory);
	schema = json_loadb(out.bytes, out.length, JSON_REJECT_DUPLICATES, NULL);
	writer_free(&out);
	ck_assert_ptr_nonnull(schema);
}

static void forget_schema(void)
{
	json_decref(schema);
}

/* The schema of a member: of the object itself, or of the alternative of a kind that has it. */
static json_t *member_of(json_t *object, const char *name)
{
	json_t *found = json_object_get(json_object_get(object, "properties"), name), *kind;
	size_t i;

	json_array_foreach(json_object_get(object, "oneOf"), i, kind) {
		json_t *here = json_object_get(json_object_get(kind, "properties"), name);

		if (found == NULL)
			found = here;
	}
	return found;
}

static json_t *schema_at(const char *pointer)
{
	json_t *at = schema;
	char name[64];

	while (*pointer == '/' && at != NULL) {
		size_t length = strcspn(pointer + 1, "/");

		memcpy(name, pointer + 1, length);
		name[length] = '\0';
		at = member_of(at, name);
		pointer += length + 1;
	}
	return at;
}

static const char *text_of(json_t *object, const char *key)
{
	return json_string_value(json_object_get(object, key));
}

/* Where the type of a field stands: at its schema, or in the first alternative of a fact. */
static json_t *typed(const struct field *field)
{
	json_t *at = schema_at(field->pointer);

	return field->fact ? json_array_get(json_object_get(at, "anyOf"), 0) : at;
}

START_TEST(every_field_is_there_with_its_sentence_and_unit)
{
	for (uint32_t id = 0; id < F_COUNT; id++) {
		const struct field *field = &enquiry_fields[id];
		json_t *at = schema_at(field->pointer);

		ck_assert_msg(at != NULL, "%s", field->pointer);
		ck_assert_str_eq(text_of(at, "description"), field->help);
		if (field->unit[0] != '\0')
			ck_assert_str_eq(text_of(at, "x-unit"), field->unit);
		if (field->fact)
			ck_assert_str_eq(text_of(json_array_get(json_object_get(at, "anyOf"),
						       json_array_size(json_object_get(at, "anyOf")) - 1), "const"), "unknown");
	}
	ck_assert_ptr_nonnull(schema_at("/measured_within"));
}
END_TEST

START_TEST(numbers_carry_the_bounds_of_their_row)
{
	for (uint32_t id = 0; id < F_COUNT; id++) {
		const struct field *field = &enquiry_fields[id];

		if (field->kind != FIELD_NUMBER && field->kind != FIELD_WHOLE && field->kind != FIELD_COUNT)
			continue;
		ck_assert_double_eq(json_number_value(json_object_get(typed(field), "minimum")), field->lo);
		ck_assert_double_eq(json_number_value(json_object_get(typed(field), "maximum")), field->hi);
	}
}
END_TEST

static size_t words_listed(json_t *at, const struct field *field)
{
	json_t *words = json_object_get(field->kind == FIELD_SET ? json_object_get(at, "items") : at, "enum");

	return json_array_size(words);
}

START_TEST(choices_list_the_words_of_the_configuration)
{
	uint32_t count;

	for (uint32_t id = 0; id < F_COUNT; id++) {
		const struct field *field = &enquiry_fields[id];
		bool kind = strcmp(field_name((enum field_id)id), "kind") == 0;

		if ((field->kind != FIELD_CHOICE && field->kind != FIELD_SET) || kind || id == F_edition)
			continue;
		config_words(demo_words(), field->list, &count);
		ck_assert_msg(words_listed(typed(field), field) == count + (field->kind == FIELD_SET), "%s", field->pointer);
	}
	ck_assert_uint_eq(words_listed(schema_at("/edition"), &enquiry_fields[F_edition]), 2); /* of three, two named alike */
}
END_TEST

START_TEST(an_object_with_kinds_is_one_of_them)
{
	json_t *outline = schema_at("/pond/outline"), *kinds = json_object_get(outline, "oneOf"), *kind;
	static const char *const required[] = {
		"kind length_m width_m ", "kind diameter_m ", "kind length_m width_m ", "kind length_m width_m ", "kind points_m ",
	};
	char text[128];
	size_t i, j;
	json_t *name;

	ck_assert_uint_eq(json_array_size(kinds), SHAPE_POLYGON + 1);
	json_array_foreach(kinds, i, kind) {
		text[0] = '\0';
		json_array_foreach(json_object_get(kind, "required"), j, name) {
			strcat(text, json_string_value(name));
			strcat(text, " ");
		}
		ck_assert_str_eq(text, required[i]);
		ck_assert(json_is_false(json_object_get(kind, "additionalProperties")));
	}
}
END_TEST

START_TEST(defaults_are_told_where_no_region_has_its_own)
{
	ck_assert_int_eq(json_integer_value(json_object_get(schema_at("/service_years"), "default")), 25);
	ck_assert_str_eq(text_of(schema_at("/client_kind"), "default"), "householder");
	ck_assert_str_eq(text_of(schema_at("/edge/material"), "default"), "sandstone");
	ck_assert(json_is_true(json_object_get(schema_at("/facts/dewater_silty"), "default")));
	ck_assert_ptr_null(json_object_get(schema_at("/pond/freeboard_m"), "default")); /* demo-north has a preset */
	ck_assert_ptr_null(json_object_get(schema_at("/site/soil"), "default"));
	ck_assert_str_eq(text_of(schema_at("/site/soil"), "x-if-left-out"), "assumed");
}
END_TEST

/* The service itself takes what its schema shows. */
START_TEST(the_examples_are_good_enquiries)
{
	json_t *examples = json_object_get(schema, "examples"), *example;
	struct enquiry_faults faults;
	struct enquiry enquiry;
	size_t i;

	ck_assert_uint_gt(json_array_size(examples), 1);
	json_array_foreach(examples, i, example) {
		enquiry_faults_init(&faults);
		enquiry_read(demo_words(), NEED_QUOTE, example, "", &enquiry, &faults);
		enquiry_check(demo_words(), 20782, "", &enquiry, &faults);
		ck_assert_msg(faults.count == 0, "%s: %s", faults.count ? enquiry_fault_pointer(&faults, 0) : "",
			faults.count ? enquiry_fault_detail(&faults, 0) : "");
		enquiry_faults_free(&faults);
	}
}
END_TEST

START_TEST(memory_that_is_short_is_told)
{
	static char storage[2000];
	struct writer out;

	writer_init_fixed(&out, storage, sizeof storage);
	schema_write(&out, demo_words());
	ck_assert(out.out_of_memory);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("schema");
	TCase *cases = tcase_create("schema");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_checked_fixture(cases, parse_schema, forget_schema);
	tcase_add_test(cases, every_field_is_there_with_its_sentence_and_unit);
	tcase_add_test(cases, numbers_carry_the_bounds_of_their_row);
	tcase_add_test(cases, choices_list_the_words_of_the_configuration);
	tcase_add_test(cases, an_object_with_kinds_is_one_of_them);
	tcase_add_test(cases, defaults_are_told_where_no_region_has_its_own);
	tcase_add_test(cases, the_examples_are_good_enquiries);
	tcase_add_test(cases, memory_that_is_short_is_told);
	suite_add_tcase(suite, cases);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
