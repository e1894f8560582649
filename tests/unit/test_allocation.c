#include <check.h>
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "answers.h"
#include "config_edit.h"
#include "documents.h"
#include "http.h"
#include "json_memory.h"
#include "routes.h"
#include "service.h"

/* Every allocation of ours fails in turn, alone and with all that follow it, until there is none left to fail: an answer
 * is the right one, byte for byte, or memory was short; a configuration loads whole or not at all. The linker leads our
 * calls of the allocator to the functions here; jansson's come by json_memory_get, and so to them too. */

#define DAY 20782 /* 2026-11-25 */
#define SWEEP_MOST 100000

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *memory, size_t size);
char *__real_strdup(const char *text);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *memory, size_t size);
char *__wrap_strdup(const char *text);

enum mode { ONE_FAILS, ALL_AFTER_FAIL, MODES };

static bool armed;
static enum mode mode;
static long left;    /* allocations until the first failure */
static long refused; /* since armed */

static bool fails(void)
{
	if (!armed || left-- > 0)
		return false;
	if (mode == ONE_FAILS)
		armed = false;
	else
		left = 0;
	refused++;
	return true;
}

void *__wrap_malloc(size_t size)
{
	return fails() ? NULL : __real_malloc(size);
}

void *__wrap_calloc(size_t count, size_t size)
{
	return fails() ? NULL : __real_calloc(count, size);
}

void *__wrap_realloc(void *memory, size_t size)
{
	return fails() ? NULL : __real_realloc(memory, size);
}

char *__wrap_strdup(const char *text)
{
	return fails() ? NULL : __real_strdup(text);
}

static void arm(long after)
{
	left = after;
	refused = 0;
	armed = true;
}

/* Whether an allocation failed since then. */
static bool disarm(void)
{
	armed = false;
	return refused > 0;
}

static void watch(void)
{
	json_memory_watch();
}

/* ---- answers ---- */

static struct config *shipped_config;

static void load_shipped(void)
{
	struct faults faults;

	faults_init(&faults);
	shipped_config = config_load(getenv("PONDWRIGHT_CONFIG"), &faults);
	faults_print(&faults, stderr);
	faults_free(&faults);
	ck_assert_ptr_nonnull(shipped_config);
}

static void forget_shipped(void)
{
	config_release(shipped_config);
}

static const char enquiry[] =
	"{\"region\":\"demo-north\",\"work\":\"rebuild\",\"pond\":{\"outline\":{\"kind\":\"polygon\",\"points_m\":[[0,0],[6,0],[6,4],"
	"[3,3],[0,4]]},\"depth_m\":1.1},\"old_pond\":{\"shell\":\"flexible-liner\"},\"stream\":{\"length_m\":4,\"fall_m\":1.2,"
	"\"cascades\":[{\"width_m\":0.4,\"drop_m\":0.3,\"lip\":\"sharp\"}]},\"edge\":{\"coping_m\":2}}";
static const char faulty[] =
	"{\"region\":\"nowhere\",\"work\":7,\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":-3}},\"colour\":1}";

/* Bodies whose answers are all alike: the enquiry as it is, or both sides of a variation, or with a member more. */
static char *body_of(answer_function *function, const char *text)
{
	static char body[4096];

	if (function == answer_variation)
		snprintf(body, sizeof body, "{\"agreed\":%s,\"now\":%s,\"stage\":null}", text, text);
	else if (function == answer_range)
		snprintf(body, sizeof body, "{\"samples\":64,%s", text + 1);
	else if (function == answer_compare)
		snprintf(body, sizeof body, "{\"grid\":true,%s", text + 1);
	else
		snprintf(body, sizeof body, "%s", text);
	return body;
}

static struct answer answer(answer_function *function, struct room *room, const char *body, struct writer *out)
{
	return function(&(struct ask){.config = shipped_config, .room = room, .body = body, .body_length = strlen(body),
		.today_day = DAY, .owner = true, .instance = "test"}, out);
}

/* Begins each time without memory of its own, as the first request of a thread does. Whether an allocation failed. */
static bool answered_or_short(answer_function *function, const char *body, long after, const struct writer *right, unsigned status)
{
	struct answer got = {503, OUTCOME_NO_MEMORY};
	struct writer out;
	struct room *room;
	bool failed;

	writer_init(&out);
	arm(after);
	room = room_new();
	if (room != NULL)
		got = answer(function, room, body, &out);
	failed = disarm();
	if (got.status != 503) {
		ck_assert_uint_eq(got.status, status);
		ck_assert_uint_eq(out.length, right->length);
		ck_assert_mem_eq(out.bytes, right->bytes, right->length);
	}
	ck_assert(failed || got.status == status);
	writer_free(&out);
	room_free(room);
	return failed;
}

static void sweep_answer(answer_function *function, const char *text, unsigned status)
{
	const char *body = body_of(function, text);
	struct room *room = room_new();
	struct writer right;
	long after;

	writer_init(&right);
	ck_assert_uint_eq(answer(function, room, body, &right).status, status);
	room_free(room);
	for (mode = ONE_FAILS; mode < MODES; mode++) {
		for (after = 0; answered_or_short(function, body, after, &right, status); after++)
			ck_assert_int_lt(after, SWEEP_MOST);
		ck_assert_int_ge(after, 4);
	}
	writer_free(&right);
}

static answer_function *const functions[] = {
	answer_quote, answer_water, answer_screen, answer_compare, answer_range, answer_variation, answer_survey, answer_survey_page,
	answer_calendar, answer_csv,
};

START_TEST(an_answer_is_right_or_not_given)
{
	sweep_answer(functions[_i], enquiry, 200);
}
END_TEST

START_TEST(a_refusal_is_whole_or_not_given)
{
	sweep_answer(functions[_i], faulty, 422);
}
END_TEST

/* ---- configuration ---- */

static struct config_files small;

static void read_small(void)
{
	static const char danish[] = "{\"title\":\"Dansk\",\"page\":{\"skip\":\"Videre\"},\"fields\":{\"/site/soil\":\"Jord\"},"
		"\"words\":{\"nation\":{\"wales\":\"Wales (da)\"}},\"texts\":{\"Pump\":\"Pumpe\"}}";

	small_config(&small);
	ck_assert(config_files_add(&small, "languages/da.json", danish, strlen(danish)));
}

static void forget_small(void)
{
	config_files_free(&small);
}

/* Whether an allocation failed. */
static bool loads_whole_or_not(long after, const char *digest)
{
	struct faults faults;
	struct config *config;
	bool failed;

	faults_init(&faults);
	arm(after);
	config = config_compile(&small, &faults);
	failed = disarm();
	ck_assert_msg(config != NULL || failed, "refused without a failure");
	if (config != NULL)
		ck_assert_str_eq(config->digest, digest);
	else
		ck_assert_uint_gt(faults.n_faults, 0);
	config_release(config);
	faults_free(&faults);
	return failed;
}

START_TEST(a_configuration_loads_whole_or_not_at_all)
{
	char digest[DIGEST_TEXT_SIZE];
	long after;

	config_digest(&small, digest);
	for (mode = ONE_FAILS; mode < MODES; mode++) {
		for (after = 0; loads_whole_or_not(after, digest); after++)
			ck_assert_int_lt(after, SWEEP_MOST);
		ck_assert_int_gt(after, 100);
	}
}
END_TEST

START_TEST(documents_are_made_whole_or_not_at_all)
{
	for (mode = ONE_FAILS; mode < MODES; mode++)
		for (long after = 0;; after++) {
			struct documents *documents;
			bool failed;

			arm(after);
			documents = documents_make(shipped_config);
			failed = disarm();
			ck_assert((documents == NULL) == failed);
			documents_release(documents);
			if (!failed)
				break;
		}
}
END_TEST

/* ---- reload ---- */

/* A file more or less read is far away by then: every so many allocations are enough to meet each kind. */
#define RELOADS 48

START_TEST(a_reload_short_of_memory_keeps_the_old)
{
	struct pondwright service;
	struct http_options options;
	struct http *http;
	char digest[DIGEST_TEXT_SIZE];
	long all = 0, kept = 0;

	ck_assert(pondwright_open(&service, getenv("PONDWRIGHT_CONFIG"), stderr));
	memcpy(digest, service.config->digest, sizeof digest);
	http_options_default(&options);
	options.listen = "127.0.0.1:0";
	http = http_start(&options, &(struct http_app){.context = &service, .routes = pond_routes, .n_routes = n_pond_routes});
	ck_assert_ptr_nonnull(http);
	mode = ONE_FAILS;
	arm(1000000);
	ck_assert(pondwright_reload(&service, http));
	all = 1000000 - left;
	disarm();
	ck_assert_int_gt(all, 100);
	for (long i = 0; i < RELOADS; i++) {
		struct config *before = service.config;
		bool done;

		mode = i % 2 == 0 ? ONE_FAILS : ALL_AFTER_FAIL;
		arm(all * i / RELOADS);
		done = pondwright_reload(&service, http);
		disarm();
		ck_assert(done || service.config == before);
		ck_assert_str_eq(service.config->digest, digest);
		kept += !done;
	}
	ck_assert_int_gt(kept, RELOADS / 2);
	http_stop(http);
	pondwright_close(&service);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("allocation");
	TCase *answers = tcase_create("answers"), *loading = tcase_create("loading");
	SRunner *runner = srunner_create(suite);
	const int n_functions = sizeof functions / sizeof functions[0];
	int failed;

	tcase_add_unchecked_fixture(answers, load_shipped, forget_shipped);
	tcase_add_checked_fixture(answers, watch, NULL);
	tcase_set_timeout(answers, 200);
	tcase_add_loop_test(answers, an_answer_is_right_or_not_given, 0, n_functions);
	tcase_add_loop_test(answers, a_refusal_is_whole_or_not_given, 0, n_functions);
	tcase_add_test(answers, documents_are_made_whole_or_not_at_all);
	suite_add_tcase(suite, answers);
	tcase_add_checked_fixture(loading, watch, NULL);
	tcase_add_checked_fixture(loading, read_small, forget_small);
	tcase_set_timeout(loading, 200);
	tcase_add_test(loading, a_configuration_loads_whole_or_not_at_all);
	tcase_add_test(loading, a_reload_short_of_memory_keeps_the_old);
	suite_add_tcase(suite, loading);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
