#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "answers.h"
#include "bill.h"
#include "compare.h"
#include "enquiry_check.h"
#include "enquiry_read.h"
#include "job.h"
#include "measure.h"
#include "programme.h"
#include "pump_choice.h"
#include "quote_parts.h"
#include "range.h"
#include "rules.h"
#include "sheet.h"
#include "takeoff.h"

/* What each stage of a quote costs.
 *   stages CONFIG FIXTURES time [PART]    lines of name, tab, nanoseconds of one call
 *   stages CONFIG FIXTURES count [PART]   under callgrind, see measure.h: lines of name, tab, how often it was called
 * With PART only stages whose name has it. A stage of a quote is called on a job that the stages before it have just worked on,
 * from the enquiry on, so it finds the data in the caches and in the state in which a quote finds them. */

/* ---- shapes ---- */

struct shape {
	struct outline outline;
	struct profile profile;
	double depth_m;
	struct shore shore;
	struct basin basin;
	struct sheet sheet;
};

static void outline_ready(void *with)
{
	struct shape *shape = with;

	outline_prepare(&shape->outline, &shape->shore);
}

static void outline_checked(void *with)
{
	struct shape *shape = with;
	struct outline_fault fault;

	if (outline_check(&shape->outline, &fault) != ST_OK)
		exit(1);
}

static void basin_measured(void *with)
{
	struct shape *shape = with;

	basin_measure(&shape->shore, &shape->profile, shape->depth_m, &shape->basin);
}

static void basin_dug(void *with)
{
	struct shape *shape = with;

	shape->basin.mean_depth_m = basin_dig_m3(&shape->shore, &shape->profile, shape->depth_m, 0.05);
}

static void sheet_measured(void *with)
{
	struct shape *shape = with;

	sheet_measure(&shape->shore, &shape->profile, shape->depth_m, shape->depth_m, 0.1, 0.3, &shape->sheet);
}

/* ---- a quote, step by step ---- */

/* One enquiry and all the room that its answers take. */
struct subject {
	const struct config *config;
	const char *title;
	struct asked asked;
	const struct edition *edition;
	struct job *job;
	struct quote *quote;
	uint16_t shell;               /* that the quote is priced with */
	struct option options[SHELLS_MOST];
	struct comparison comparison;
	struct compare_scratch *compare_scratch;
	struct range range;
	void *range_scratch;
	struct duty duty;
	struct pipe_system system;
	struct room *room;
	struct writer out;
};

static void must(bool done)
{
	if (done)
		return;
	fprintf(stderr, "stages: an enquiry could not be priced\n");
	exit(1);
}

static void step_begin(struct subject *s)
{
	s->job->shapes_ready = false;
	quote_begin(&s->config->catalogue, s->edition, &s->asked.enquiry, s->job, s->quote);
	quote_take_shell(s->job, s->shell);
}

static void step_takeoff(struct subject *s)
{
	must(takeoff_all(s->job) == ST_OK);
	facts_from_quantities(s->job->asked, &s->quote->resolved, s->job->q, AT_TAKEOFF);
}

static void step_lines(struct subject *s)
{
	must(bill_lines(s->job) == ST_OK);
}

static void step_sums(struct subject *s)
{
	rules_sums(s->job);
}

static void step_undisturbed(struct subject *s)
{
	programme_undisturbed(s->job);
}

static void step_price(struct subject *s)
{
	must(bill_price(s->job) == ST_OK);
}

static void step_dates(struct subject *s)
{
	programme_dates(s->job);
	facts_from_quantities(s->job->asked, &s->quote->resolved, s->job->q, AT_PROGRAMME);
}

static void step_flags(struct subject *s)
{
	rules_flags(s->job);
}

static void step_notes(struct subject *s)
{
	rules_notes(s->job);
}

static void step_seasons(struct subject *s)
{
	rules_seasons(s->job);
}

/* The steps of quote_price with a shell that is known, in their order. */
static const struct {
	const char *name;
	void (*run)(struct subject *s);
} steps[] = {
	{"resolve the enquiry", step_begin}, {"take-off", step_takeoff}, {"bill, lines and methods", step_lines},
	{"rules, sums", step_sums}, {"programme, undisturbed", step_undisturbed}, {"bill, packs and money", step_price},
	{"programme, dates", step_dates}, {"rules, flags", step_flags}, {"rules, notes", step_notes},
	{"rules, seasons", step_seasons},
};
enum { STEPS = sizeof steps / sizeof steps[0] };

struct step_of {
	struct subject *subject;
	uint32_t step;
};

static void earlier_steps(void *with)
{
	struct step_of *of = with;

	for (uint32_t i = 0; i < of->step; i++)
		steps[i].run(of->subject);
}

static void this_step(void *with)
{
	struct step_of *of = with;

	steps[of->step].run(of->subject);
}

/* ---- what follows from the steps ---- */

/* The same enquiry with another shell, after one: what a choice of shell and a comparison do again and again. */
static void one_shell_priced(void *with)
{
	struct subject *s = with;

	step_begin(s);
	memcpy(s->job->begun_v, s->job->v, sizeof s->job->begun_v);
	memcpy(s->job->begun_q, s->job->q, sizeof s->job->begun_q);
	must(quote_price_begun(s->job) == ST_OK);
	quote_begin_again(s->job, s->job->begun_v, s->job->begun_q);
	quote_take_shell(s->job, s->shell == 0 ? 1 : 0);
}

static void next_shell(void *with)
{
	struct subject *s = with;

	must(quote_price_begun(s->job) == ST_OK);
}

static void pump_asked(void *with)
{
	struct subject *s = with;

	step_begin(s);
	step_takeoff(s);
}

static void pump_found(void *with)
{
	choose_pump(((struct subject *)with)->job);
}

static void duty_found(void *with)
{
	struct subject *s = with;

	duty_point(&s->quote->water.curve, &s->system, &s->duty);
}

/* ---- whole answers ---- */

static void whole_quote(void *with)
{
	struct subject *s = with;

	must(quote_price(&s->config->catalogue, s->edition, &s->asked.enquiry, NO_INDEX, s->job, s->quote) == ST_OK);
}

static void whole_comparison(void *with)
{
	struct subject *s = with;

	must(compare_shells(&s->config->catalogue, s->edition, &s->asked.enquiry, s->compare_scratch, s->options,
		     &s->comparison) == ST_OK);
}

static void whole_range(void *with)
{
	struct subject *s = with;

	must(range_price(&s->config->catalogue, s->edition, &s->asked.enquiry, RANGE_SAMPLES_DEFAULT, s->range_scratch, s->quote,
		     &s->range) == ST_OK);
}

static void body_read(void *with)
{
	struct subject *s = with;
	struct enquiry_faults *faults = &s->room->faults;
	json_t *object;

	must(body_parse(s->asked.body, s->asked.length, &object, faults) == BODY_READ);
	enquiry_read(s->config, NEED_QUOTE, object, "", &s->room->asked, faults);
	json_decref(object);
	enquiry_check(s->config, BENCH_DAY, "", &s->room->asked, faults);
	must(faults->count == 0);
}

static void answer(struct subject *s, answer_function *function)
{
	writer_clear(&s->out);
	must(function(&(struct ask){.config = s->config, .room = s->room, .body = s->asked.body, .body_length = s->asked.length,
		.today_day = BENCH_DAY}, &s->out).status == 200);
}

static void quote_answered(void *with)
{
	answer(with, answer_quote);
}

static void compare_answered(void *with)
{
	answer(with, answer_compare);
}

static void range_answered(void *with)
{
	answer(with, answer_range);
}

/* ---- the list ---- */

struct stages {
	const char *part; /* only names that have it, or NULL */
	bool counts;
};

static void stage(const struct stages *stages, struct measured what)
{
	if (stages->part != NULL && strstr(what.name, stages->part) == NULL)
		return;
	if (stages->counts)
		printf("%s\t%u\n", what.name, measure_count(&what));
	else
		printf("%s\t%.1f\n", what.name, measure_ns(&what));
	fflush(stdout);
}

static const char *name_of(const char *what, const char *of)
{
	static char name[120];

	snprintf(name, sizeof name, "%s, %s", what, of);
	return name;
}

static void subject_open(struct subject *s, const struct config *config, const char *fixtures, const char *folder,
	const char *title)
{
	char path[4096];

	snprintf(path, sizeof path, "%s/%s/enquiry.json", fixtures, folder);
	*s = (struct subject){.config = config, .title = title};
	bench_ask(config, path, &s->asked);
	s->edition = enquiry_edition(config, &s->asked.enquiry);
	s->job = calloc(1, quote_scratch_size());
	s->quote = calloc(1, sizeof *s->quote);
	s->compare_scratch = calloc(1, compare_scratch_size());
	s->range_scratch = calloc(1, range_scratch_size(RANGE_SAMPLES_DEFAULT));
	s->room = room_new();
	must(s->job && s->quote && s->compare_scratch && s->range_scratch && s->room);
	writer_init(&s->out);
	whole_quote(s);
	s->shell = s->quote->shell;
}

static void subject_close(struct subject *s)
{
	writer_free(&s->out);
	room_free(s->room);
	free(s->range_scratch);
	free(s->compare_scratch);
	free(s->quote);
	free(s->job);
}

static void of_water(const struct stages *stages, struct subject *s)
{
	pump_asked(s);
	if (s->quote->water.choice != PUMP_CHOSEN)
		return;
	s->system = (struct pipe_system){.bore_mm = s->quote->water.bore_mm, .roughness_mm = s->quote->water.roughness_mm,
		.length_m = s->quote->water.run_m, .sum_k = s->quote->water.sum_k, .static_m = s->quote->water.static_m,
		.density_kg_m3 = s->quote->water.density_kg_m3, .viscosity_m2_s = s->quote->water.viscosity_m2_s};
	stage(stages, (struct measured){name_of("duty point", s->title), NULL, duty_found, s, false});
	stage(stages, (struct measured){name_of("pump choice", s->title), pump_asked, pump_found, s, false});
}

static void of_subject(const struct stages *stages, struct subject *s)
{
	for (uint32_t i = 0; i < STEPS; i++) {
		struct step_of of = {s, i};

		stage(stages, (struct measured){name_of(steps[i].name, s->title), earlier_steps, this_step, &of, false});
	}
	of_water(stages, s);
	stage(stages, (struct measured){name_of("the next shell", s->title), one_shell_priced, next_shell, s, false});
	stage(stages, (struct measured){name_of("whole quote", s->title), NULL, whole_quote, s, false});
	stage(stages, (struct measured){name_of("whole comparison", s->title), NULL, whole_comparison, s, false});
	stage(stages, (struct measured){name_of("whole range", s->title), NULL, whole_range, s, true});
	stage(stages, (struct measured){name_of("read and check a body", s->title), NULL, body_read, s, false});
	stage(stages, (struct measured){name_of("answer a quote", s->title), NULL, quote_answered, s, false});
	stage(stages, (struct measured){name_of("answer a comparison", s->title), NULL, compare_answered, s, false});
	stage(stages, (struct measured){name_of("answer a range", s->title), NULL, range_answered, s, true});
}

static const struct {
	const char *name;
	struct outline outline;
} outlines[] = {
	{"rectangle", {.kind = OUTLINE_RECTANGLE, .length_m = 6, .width_m = 4}},
	{"rounded rectangle", {.kind = OUTLINE_RECTANGLE, .length_m = 6, .width_m = 4, .corner_radius_m = 1}},
	{"circle", {.kind = OUTLINE_CIRCLE, .diameter_m = 5}},
	{"ellipse", {.kind = OUTLINE_ELLIPSE, .length_m = 6, .width_m = 4}},
	{"stadium", {.kind = OUTLINE_STADIUM, .length_m = 6, .width_m = 4}},
};

static const struct {
	const char *name;
	struct profile profile;
} profiles[] = {
	{"vertical", {.kind = PROFILE_VERTICAL}},
	{"battered", {.kind = PROFILE_BATTERED, .side_slope = 1}},
	{"shelf", {.kind = PROFILE_BATTERED, .side_slope = 0.5, .shelf_width_m = 0.3, .shelf_depth_m = 0.3}},
	{"dish", {.kind = PROFILE_DISH}},
	{"stepped", {.kind = PROFILE_STEPPED, .n_steps = 5, .steps = {{0, 0.3}, {0.4, 0.3}, {0.4, 0.7}, {0.8, 0.7}, {1, 1}}}},
};

static void of_shape(const struct stages *stages, struct shape *shape, const char *name)
{
	shape->profile = profiles[2].profile;
	shape->depth_m = 0.9;
	outline_ready(shape);
	stage(stages, (struct measured){name_of("check an outline", name), NULL, outline_checked, shape, false});
	stage(stages, (struct measured){name_of("prepare an outline", name), NULL, outline_ready, shape, false});
	stage(stages, (struct measured){name_of("measure a basin with a shelf", name), NULL, basin_measured, shape, false});
	stage(stages, (struct measured){name_of("dig for a shell", name), NULL, basin_dug, shape, false});
	stage(stages, (struct measured){name_of("sheet", name), NULL, sheet_measured, shape, false});
}

static void of_shapes(const struct stages *stages, const struct subject *polygon)
{
	static struct shape shape;

	for (size_t i = 0; i < sizeof outlines / sizeof outlines[0]; i++) {
		shape.outline = outlines[i].outline;
		of_shape(stages, &shape, outlines[i].name);
	}
	enquiry_outline(&polygon->asked.enquiry, false, &shape.outline);
	of_shape(stages, &shape, "polygon of 16");
	shape.outline = outlines[3].outline;
	outline_ready(&shape);
	for (size_t i = 0; i < sizeof profiles / sizeof profiles[0]; i++) {
		shape.profile = profiles[i].profile;
		stage(stages, (struct measured){name_of("measure an elliptic basin", profiles[i].name), NULL, basin_measured, &shape, false});
	}
}

int main(int count, char **arguments)
{
	static struct subject phone, rebuild, pool;
	struct stages stages = {count > 4 ? arguments[4] : NULL, count > 3 && strcmp(arguments[3], "count") == 0};
	struct config *config;

	if (count < 4 || (!stages.counts && strcmp(arguments[3], "time") != 0)) {
		fprintf(stderr, "stages CONFIG FIXTURES time|count [PART]\n");
		return 2;
	}
	config = bench_config(arguments[1]);
	subject_open(&phone, config, arguments[2], "1-phone-call", "phone call");
	subject_open(&rebuild, config, arguments[2], "3a-rebuild-agreed", "rebuild");
	subject_open(&pool, config, arguments[2], "4-raised-fish-pool", "fish pool");
	of_shapes(&stages, &rebuild);
	of_subject(&stages, &phone);
	of_subject(&stages, &rebuild);
	of_subject(&stages, &pool);
	subject_close(&phone);
	subject_close(&rebuild);
	subject_close(&pool);
	config_release(config);
	return 0;
}
