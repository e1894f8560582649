#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "answers.h"
#include "json_memory.h"

/* Processor time of the dearest bodies that a search over what fits the limits has found, and the limit that they must keep.
 *   dearest_bench [FILE ROUTE]    one body, or all of PONDWRIGHT_FIXTURES/dearest-ROUTE.json
 * The least of several rounds: what else the machine does is not the service's. */

#define DAY 20782 /* 2026-11-25 */
#define ROUNDS 9

static const struct {
	const char *route;
	answer_function *function;
	double limit_ms;
} routes[] = {
	{"quote", answer_quote, 50}, {"water", answer_water, 50}, {"screen", answer_screen, 50}, {"survey", answer_survey, 50},
	{"compare", answer_compare, 50}, {"variation", answer_variation, 50}, {"range", answer_range, 500},
};
#define N_ROUTES ((int)(sizeof routes / sizeof routes[0]))

static double cpu_ms(void)
{
	struct timespec time;

	clock_gettime(CLOCK_THREAD_CPUTIME_ID, &time);
	return (double)time.tv_sec * 1e3 + (double)time.tv_nsec / 1e6;
}

static struct config *load(void)
{
	struct faults faults;
	struct config *config;

	faults_init(&faults);
	config = config_load(getenv("PONDWRIGHT_CONFIG"), &faults);
	faults_print(&faults, stderr);
	faults_free(&faults);
	if (config == NULL)
		exit(1);
	return config;
}

static size_t read_file(const char *path, char *bytes, size_t size)
{
	FILE *file = fopen(path, "rb");
	size_t length = file != NULL ? fread(bytes, 1, size, file) : 0;

	if (file != NULL)
		fclose(file);
	return length;
}

/* Least time, and the answer's status. */
static double time_answer(const struct config *config, answer_function *function, const char *body, size_t length, unsigned *status)
{
	struct room *room = room_new();
	struct writer out;
	double least_ms = 1e9;

	writer_init(&out);
	for (int i = 0; i < ROUNDS && room != NULL; i++) {
		double begin_ms = cpu_ms(), ms;

		writer_clear(&out);
		*status = function(&(struct ask){.config = config, .room = room, .body = body, .body_length = length,
			.today_day = DAY, .owner = true}, &out).status;
		ms = cpu_ms() - begin_ms;
		least_ms = ms < least_ms ? ms : least_ms;
	}
	writer_free(&out);
	room_free(room);
	return least_ms;
}

static bool report(const struct config *config, int route, const char *path)
{
	static char body[65536];
	size_t length = read_file(path, body, sizeof body);
	unsigned status = 0;
	double ms;

	if (length == 0) {
		fprintf(stderr, "dearest_bench: %s can't be read\n", path);
		return false;
	}
	ms = time_answer(config, routes[route].function, body, length, &status);
	printf("dearest %-9s %7.2f ms of %3.0f ms  %5zu bytes  status %u\n", routes[route].route, ms, routes[route].limit_ms, length,
		status);
	return ms <= routes[route].limit_ms;
}

int main(int count, char **arguments)
{
	struct config *config;
	bool kept = true;
	char path[4096];

	json_memory_watch();
	config = load();
	for (int i = 0; i < N_ROUTES; i++) {
		if (count == 3 && strcmp(arguments[2], routes[i].route) != 0)
			continue;
		snprintf(path, sizeof path, "%s/dearest-%s.json", getenv("PONDWRIGHT_FIXTURES"), routes[i].route);
		kept = report(config, i, count == 3 ? arguments[1] : path) && kept;
	}
	config_release(config);
	return kept ? EXIT_SUCCESS : EXIT_FAILURE;
}
