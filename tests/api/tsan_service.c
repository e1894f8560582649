#define _GNU_SOURCE
#include <check.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "program.h"

/* Every route while the configuration is loaded again and again: the program ends badly at any race that it finds. */

#define ASKERS 3
#define QUESTIONS 60
#define RELOADS 5

static const char *const paths[] = {"/v1/quote", "/v1/compare", "/v1/water", "/openapi.json", "/v1/screen", "/v1/regions",
	"/v1/range", "/metrics", "/v1/regions/demo-north", "/v1/survey", "/v1/enquiry-schema", "/readyz", "/"};
#define N_PATHS ((int)(sizeof paths / sizeof paths[0]))

static struct program program;
static char *body, *range_body; /* few samples: a thread that owes too much for ranges refuses the next */

struct asker {
	pthread_t thread;
	int right;
};

static void *ask_often(void *context)
{
	struct asker *asker = context;

	for (int i = 0; i < QUESTIONS; i++) {
		const char *path = paths[i % N_PATHS];
		bool asks = strncmp(path, "/v1/", 4) == 0 && strncmp(path, "/v1/regions", 11) != 0 &&
			strcmp(path, "/v1/enquiry-schema") != 0;
		struct reply reply;

		ask(&program, NULL, path, !asks ? NULL : strcmp(path, "/v1/range") == 0 ? range_body : body, NULL, &reply);
		asker->right += reply.status == 200;
		reply_free(&reply);
	}
	return NULL;
}

START_TEST(quotes_and_reloads_do_not_race)
{
	struct asker askers[ASKERS] = {0};
	char logs[4096], path[4096];

	temporary_make(logs);
	snprintf(path, sizeof path, "%s/2-new-garden-pond/enquiry.json", environment("PONDWRIGHT_FIXTURES"));
	body = file_read(path, NULL);
	ck_assert_int_gt(asprintf(&range_body, "{\"samples\":64,%s", strchr(body, '{') + 1), 0);
	program_serve(&program, environment("PONDWRIGHT_CONFIG"), logs);
	for (int i = 0; i < ASKERS; i++)
		ck_assert_int_eq(pthread_create(&askers[i].thread, NULL, ask_often, &askers[i]), 0);
	for (int i = 0; i < RELOADS; i++)
		program_reload(&program);
	for (int i = 0; i < ASKERS; i++) {
		pthread_join(askers[i].thread, NULL);
		ck_assert_int_eq(askers[i].right, QUESTIONS);
	}
	ck_assert_int_eq(program_stop(&program), 0);
	temporary_remove(logs);
	free(body);
	free(range_body);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("tsan_service");
	TCase *tcase = tcase_create("reload");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_set_timeout(tcase, 240);
	tcase_add_test(tcase, quotes_and_reloads_do_not_race);
	suite_add_tcase(suite, tcase);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
