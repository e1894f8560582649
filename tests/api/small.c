#include "small.h"

#include <check.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

struct program small_program;
const char *const small_body =
	"{\"region\":\"small-a\",\"issued_on\":\"2026-11-02\",\"pond\":{\"outline\":{\"kind\":\"rectangle\",\"length_m\":4,"
	"\"width_m\":3},\"depth_m\":1}}";

static char directory[4096], config[4200], path[4400];

const char *small_config(void)
{
	return config;
}

const char *small_file(const char *name)
{
	snprintf(path, sizeof path, "%s/%s", config, name);
	return path;
}

static void fill_config(void)
{
	char from[4096];
	char *practice;

	snprintf(from, sizeof from, "%s/config-small", environment("PONDWRIGHT_FIXTURES"));
	tree_copy(from, config);
	snprintf(from, sizeof from, "%s/practice.json", environment("PONDWRIGHT_CONFIG"));
	practice = file_read(from, NULL);
	file_write(small_file("practice.json"), practice);
	free(practice);
}

void small_restore(void)
{
	temporary_remove(config);
	fill_config();
}

void small_serve(void)
{
	program_serve(&small_program, config, directory);
}

void small_begin(void)
{
	temporary_make(directory);
	snprintf(config, sizeof config, "%s/config", directory);
	fill_config();
}

void small_begin_serving(void)
{
	small_begin();
	small_serve();
}

void small_end(void)
{
	temporary_remove(directory);
}

void small_end_serving(void)
{
	ck_assert_int_eq(program_stop(&small_program), 0);
	small_end();
}

long small_reloads(const char *result)
{
	char member[96];
	struct reply reply;
	const char *at;
	long count;

	snprintf(member, sizeof member, "\npondwright_rates_reloads_total{result=\"%s\"} ", result);
	ask(&small_program, NULL, "/metrics", NULL, NULL, &reply);
	at = strstr(reply.body, member);
	count = at != NULL ? strtol(at + strlen(member), NULL, 10) : 0;
	reply_free(&reply);
	return count;
}

void small_reload(const char *result)
{
	long before = small_reloads(result);

	ck_assert_int_eq(kill(small_program.pid, SIGHUP), 0);
	while (small_reloads(result) == before)
		usleep(1000);
}

void small_set(const char *key, json_t *value)
{
	json_t *service = json_load_file(small_file("service.json"), 0, NULL);

	ck_assert_ptr_nonnull(service);
	json_object_set_new(service, key, value);
	ck_assert_int_eq(json_dump_file(service, small_file("service.json"), 0), 0);
	json_decref(service);
}
