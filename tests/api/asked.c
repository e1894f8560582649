#include "asked.h"

#include <stdio.h>
#include <stdlib.h>

const char *const fixtures[] = {"1-phone-call", "2-new-garden-pond", "3a-rebuild-agreed", "3b-rebuild-found"};
struct program served;

static char logs[4096];

void serve_once(void)
{
	temporary_make(logs);
	program_serve(&served, environment("PONDWRIGHT_CONFIG"), logs);
}

void stop_once(void)
{
	ck_assert_int_eq(program_stop(&served), 0);
	temporary_remove(logs);
}

char *enquiry_of(const char *fixture)
{
	char path[4096];

	snprintf(path, sizeof path, "%s/%s/enquiry.json", environment("PONDWRIGHT_FIXTURES"), fixture);
	return file_read(path, NULL);
}

void quote_of(const struct program *program, const char *fixture, const char *const *headers, struct reply *reply)
{
	char *body = enquiry_of(fixture);

	ask(program, NULL, "/v1/quote", body, headers, reply);
	ck_assert_msg(reply->status == 200, "%s: %ld %s", fixture, reply->status, reply->body);
	free(body);
}

json_t *quote_document(const struct program *program, const char *fixture, const char *const *headers)
{
	struct reply reply;
	json_t *document;

	quote_of(program, fixture, headers, &reply);
	document = json_of(&reply);
	reply_free(&reply);
	return document;
}

/* ---- a configuration of the test's own ---- */

void own_make(struct own *own)
{
	temporary_make(own->directory);
	snprintf(own->config, sizeof own->config, "%s/config", own->directory);
	tree_copy(environment("PONDWRIGHT_CONFIG"), own->config);
}

void own_end(struct own *own)
{
	ck_assert_int_eq(program_stop(&own->program), 0);
	temporary_remove(own->directory);
}

const char *own_file(struct own *own, const char *name)
{
	snprintf(own->path, sizeof own->path, "%s/%s", own->config, name);
	return own->path;
}

json_t *own_read(struct own *own, const char *name)
{
	json_t *document = json_load_file(own_file(own, name), 0, NULL);

	ck_assert_ptr_nonnull(document);
	return document;
}

void own_write(struct own *own, const char *name, json_t *document)
{
	ck_assert_int_eq(json_dump_file(document, own_file(own, name), JSON_INDENT(2)), 0);
	json_decref(document);
}

void own_set(struct own *own, const char *key, const char *value)
{
	json_t *service = own_read(own, "service.json");

	ck_assert_int_eq(json_object_set_new(service, key, json_string(value)), 0);
	own_write(own, "service.json", service);
}

int suite_run(Suite *suite)
{
	SRunner *runner = srunner_create(suite);
	int failed;

	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
