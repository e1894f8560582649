#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "answers.h"
#include "enquiry_check.h"
#include "measure.h"
#include "range.h"
#include "takeoff.h"

/* What one enquiry costs under one configuration, so that both may grow.
 *   growth CONFIG ENQUIRY time [SAMPLES]    lines of name, tab, nanoseconds of one call
 *   growth CONFIG ENQUIRY count [SAMPLES]   under callgrind, see measure.h: lines of name, tab, how often it was called
 * Checks and prepares its outline, prices it, answers it; with SAMPLES its range alone. */

struct subject {
	const struct config *config;
	struct asked asked;
	uint32_t samples;
	struct outline outline;
	struct shore shore;
	struct quote quote;
	struct range range;
	void *scratch;
	struct room *room;
	struct writer out;
};

static void checked(void *with)
{
	struct subject *s = with;
	struct outline_fault fault;

	if (outline_check(&s->outline, &fault) != ST_OK)
		exit(1);
}

static void prepared(void *with)
{
	struct subject *s = with;

	if (outline_prepare(&s->outline, &s->shore) != ST_OK)
		exit(1);
}

static void priced(void *with)
{
	struct subject *s = with;

	if (quote_price(&s->config->catalogue, enquiry_edition(s->config, &s->asked.enquiry), &s->asked.enquiry, NO_INDEX,
		    s->scratch, &s->quote) != ST_OK)
		exit(1);
}

static void answered(void *with)
{
	struct subject *s = with;

	writer_clear(&s->out);
	if (answer_quote(&(struct ask){.config = s->config, .room = s->room, .body = s->asked.body,
		    .body_length = s->asked.length, .today_day = BENCH_DAY}, &s->out).status != 200)
		exit(1);
}

static void ranged(void *with)
{
	struct subject *s = with;

	if (range_price(&s->config->catalogue, enquiry_edition(s->config, &s->asked.enquiry), &s->asked.enquiry, s->samples,
		    s->scratch, &s->quote, &s->range) != ST_OK)
		exit(1);
}

int main(int count, char **arguments)
{
	static struct subject s;
	const struct measured whats[] = {
		{"check the outline", NULL, checked, &s, false}, {"prepare the outline", NULL, prepared, &s, false},
		{"price", NULL, priced, &s, false}, {"answer", NULL, answered, &s, false}, {"range", NULL, ranged, &s, true},
	};
	bool counts = count > 3 && strcmp(arguments[3], "count") == 0;
	struct config *config;

	if (count < 4 || (!counts && strcmp(arguments[3], "time") != 0)) {
		fprintf(stderr, "growth CONFIG ENQUIRY time|count [SAMPLES]\n");
		return 2;
	}
	config = bench_config(arguments[1]);
	bench_ask(config, arguments[2], &s.asked);
	s.config = config;
	s.samples = count > 4 ? (uint32_t)strtoul(arguments[4], NULL, 10) : 0;
	s.scratch = calloc(1, s.samples > 0 ? range_scratch_size(s.samples) : quote_scratch_size());
	s.room = room_new();
	writer_init(&s.out);
	enquiry_outline(&s.asked.enquiry, false, &s.outline);
	if (s.scratch == NULL || s.room == NULL)
		return 1;
	for (size_t i = s.samples > 0 ? 4 : 0; i < (s.samples > 0 ? 5 : 4); i++)
		if (counts)
			printf("%s\t%u\n", whats[i].name, measure_count(&whats[i]));
		else
			printf("%s\t%.1f\n", whats[i].name, measure_ns(&whats[i]));
	writer_free(&s.out);
	room_free(s.room);
	free(s.scratch);
	config_release(config);
	return 0;
}
