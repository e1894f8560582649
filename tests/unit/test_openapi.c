#include <check.h>
#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "builtin.h"
#include "demo_words.h"
#include "openapi.h"
#include "routes.h"
#include "shapes.h"

static json_t *document;

static void parse_document(void)
{
	struct writer out;

	writer_init(&out);
	openapi_write(&out, demo_words());
	ck_assert(!out.out_of_memory);
	document = json_loadb(out.bytes, out.length, JSON_REJECT_DUPLICATES, NULL);
	writer_free(&out);
	ck_assert_ptr_nonnull(document);
}

static void forget_document(void)
{
	json_decref(document);
}

static void assert_described(const struct route *routes, size_t count)
{
	json_t *paths = json_object_get(document, "paths");

	for (size_t i = 0; i < count; i++) {
		json_t *path = json_object_get(paths, routes[i].template);
		const char *method = routes[i].methods & METHOD_POST ? "post" : "get";

		ck_assert_msg(path != NULL, "%s", routes[i].template);
		ck_assert_msg(json_object_get(path, method) != NULL, "%s %s", method, routes[i].template);
	}
}

START_TEST(every_route_is_described)
{
	assert_described(pond_routes, n_pond_routes);
	assert_described(builtin_routes, n_builtin_routes);
}
END_TEST

/* Looks a "#/a/b/c" up. */
static json_t *resolve(const char *reference)
{
	json_t *at = document;
	char name[128];

	ck_assert_int_eq(strncmp(reference, "#/", 2), 0);
	for (const char *part = reference + 2; at != NULL; part += strlen(name) + 1) {
		size_t length = strcspn(part, "/");

		ck_assert_uint_lt(length, sizeof name);
		memcpy(name, part, length);
		name[length] = '\0';
		at = json_object_get(at, name);
		if (part[length] == '\0')
			break;
	}
	return at;
}

static void assert_references(json_t *value)
{
	const char *key;
	json_t *entry;
	size_t i;

	json_object_foreach (value, key, entry) {
		if (strcmp(key, "$ref") == 0 && json_is_string(entry))
			ck_assert_msg(resolve(json_string_value(entry)) != NULL, "%s leads nowhere", json_string_value(entry));
		assert_references(entry);
	}
	json_array_foreach (value, i, entry)
		assert_references(entry);
}

START_TEST(every_reference_leads_somewhere)
{
	assert_references(document);
}
END_TEST

START_TEST(a_shape_is_typed_and_open)
{
	json_t *price = resolve("#/components/schemas/Price"), *net;

	ck_assert_ptr_null(json_object_get(price, "additionalProperties"));
	ck_assert_uint_eq(json_array_size(json_object_get(price, "required")), 4);
	net = json_object_get(json_object_get(price, "properties"), "net_minor");
	ck_assert_str_eq(json_string_value(json_array_get(json_object_get(net, "type"), 0)), "integer");
	ck_assert_str_eq(json_string_value(json_array_get(json_object_get(net, "type"), 1)), "null");
}
END_TEST

static bool is_named(const char *name)
{
	for (uint32_t i = 0; i < shape_row_count; i++)
		if ((shape_rows[i].type == SHAPE_ONE || shape_rows[i].type == SHAPE_MANY || shape_rows[i].type == SHAPE_NAMED) &&
			strcmp(shape_rows[i].of, name) == 0)
			return true;
	return false;
}

static bool is_an_answer(const char *name)
{
	char reference[96];
	char *text = json_dumps(json_object_get(document, "paths"), 0);
	bool found;

	snprintf(reference, sizeof reference, "schemas/%s\"", name);
	found = strstr(text, reference) != NULL;
	free(text);
	return found;
}

/* The problem is what all refusals refer to, from beside the paths. */
START_TEST(every_shape_is_part_of_an_answer)
{
	for (uint32_t i = 0; i < shape_row_count; i++)
		if (shape_rows[i].type == SHAPE_BEGINS && strcmp(shape_rows[i].name, "Problem") != 0)
			ck_assert_msg(is_named(shape_rows[i].name) || is_an_answer(shape_rows[i].name), "%s", shape_rows[i].name);
}
END_TEST

START_TEST(memory_that_is_short_is_told)
{
	static char storage[30000];
	struct writer out;

	writer_init_fixed(&out, storage, sizeof storage);
	openapi_write(&out, demo_words());
	ck_assert(out.out_of_memory);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("openapi");
	TCase *cases = tcase_create("openapi");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_checked_fixture(cases, parse_document, forget_document);
	tcase_add_test(cases, every_route_is_described);
	tcase_add_test(cases, every_reference_leads_somewhere);
	tcase_add_test(cases, a_shape_is_typed_and_open);
	tcase_add_test(cases, every_shape_is_part_of_an_answer);
	tcase_add_test(cases, memory_that_is_short_is_told);
	suite_add_tcase(suite, cases);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
