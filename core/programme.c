#include "programme.h"

#include <math.h>

#include "calendar.h"
#include "conditions.h"

enum { ROUNDS_IN_ALL_MOST = 1000, LONGEST_SEARCH_DAYS = 3650 };

/* One pass through the tasks. Sets of tasks are bits. */
struct schedule {
	uint64_t done, open;
	double ready[TASKS_MOST], rounds_left[TASKS_MOST], finish[TASKS_MOST], started[TASKS_MOST], ended[TASKS_MOST];
	double frozen[TASKS_MOST]; /* days that the crew stood still because of frost */
};
_Static_assert(TASKS_MOST <= 64, "a set of tasks is one word");

/* How time passes: undisturbed, or by a region's calendar. */
struct clock {
	const struct catalogue *catalogue;
	const struct region *region;
	bool by_calendar;
	double days_for_work_day; /* undisturbed: calendar days that a working day takes */
};

static uint64_t task_bit(uint32_t task)
{
	return UINT64_C(1) << task;
}

/* ---- work content ---- */

static void add_line(const struct job *job, const struct line *line, const struct layer *layer, struct work *work)
{
	const struct build_up *build_up = &job->catalogue->build_ups[line->build_up];
	double crew = job->edition->crew_people, hours = 0;
	double rounds = build_up->rounds == Q_none ? 1 : fmax(1, job->q[build_up->rounds]);

	for (uint32_t i = 0; i < job->catalogue->n_grades; i++)
		hours += line->hours[i];
	if (build_up->crew_most > 0)
		crew = fmin(crew, build_up->crew_most);
	work->active = true;
	work->hours += hours;
	work->crew_days += hours / (crew * job->edition->productive_h);
	work->rounds = fmax(work->rounds, layer ? fmax(1, layer->coats) : rounds);
	work->between_days = fmax(work->between_days, layer && layer->between_days >= 0 ? layer->between_days : build_up->between_days);
	if (build_up->wait_hours != Q_none)
		work->wait_days = fmax(work->wait_days, job->q[build_up->wait_hours] / 24);
	work->wait_days = fmax(work->wait_days, layer && layer->wait_days >= 0 ? layer->wait_days : build_up->wait_days);
	work->frost_months |= job->region->frost[build_up->frost];
	work->fills |= build_up->measured_by == Q_fill_m3;
}

/* The layer of the chosen shell that a line does, or NULL. */
static const struct layer *layer_of(const struct job *job, const struct build_up *build_up, uint32_t index)
{
	if (!job->shell)
		return NULL;
	for (uint32_t i = 0; i < job->shell->layers.count; i++) {
		const struct layer *layer = &job->catalogue->layers[job->shell->layers.first + i];

		if (layer->build_up == index || (layer->group != GROUP_NONE && layer->group == build_up->group))
			return layer;
	}
	return NULL;
}

static bool takes_part(const struct job *job, uint32_t task)
{
	return job->work[task].active && !job->catalogue->tasks[task].after_handover;
}

/* What each task has to wait for, tasks for which nothing is done replaced by what those wait for. Tasks are listed in an
 * order in which each follows earlier ones only, so one walk is enough. */
static void link_work(struct job *job)
{
	for (uint32_t task = 0; task < job->catalogue->n_tasks; task++) {
		struct span follows = job->catalogue->tasks[task].follows;

		job->work[task].rounds = floor(job->work[task].rounds);
		for (uint32_t i = follows.first; i < follows.first + follows.count; i++) {
			uint16_t earlier = job->catalogue->task_refs[i];

			job->work[task].follows |= takes_part(job, earlier) ? task_bit(earlier) : job->work[earlier].follows;
		}
	}
}

static void gather_work(struct job *job)
{
	for (uint32_t task = 0; task < job->catalogue->n_tasks; task++)
		job->work[task] = (struct work){.rounds = 1};
	for (uint32_t i = 0; i < job->quote->n_lines; i++) {
		const struct line *line = &job->quote->lines[i];
		const struct build_up *build_up;

		if (line->special != LINE_BUILD_UP)
			continue;
		build_up = &job->catalogue->build_ups[line->build_up];
		add_line(job, line, build_up->layer ? layer_of(job, build_up, line->build_up) : NULL, &job->work[build_up->task]);
	}
	link_work(job);
}

/* ---- passing of time ---- */

/* The moment when work_days of the whole crew are done, from `now` on. */
static double after_work(const struct clock *clock, double now, double work_days)
{
	int32_t day = (int32_t)floor(now), last = day + LONGEST_SEARCH_DAYS;
	double used = now - day;

	if (!clock->by_calendar)
		return now + work_days * clock->days_for_work_day;
	for (; day < last; day++, used = 0) {
		double capacity = day_capacity(clock->catalogue, clock->region, day);
		double left = capacity * (1 - used);

		if (work_days <= left)
			return capacity > 0 ? day + used + work_days / capacity : day + used;
		work_days -= left;
	}
	return day;
}

static double first_moment(const struct clock *clock, double now)
{
	int32_t day = (int32_t)floor(now), working;

	if (!clock->by_calendar)
		return now;
	working = day_first_working(clock->catalogue, clock->region, day);
	return working > day ? working : now;
}

/* The first moment from `now` on from which work would not begin in a month that frost forbids: a task that is ready on the
 * last Sunday of October is begun in November. */
static double after_frost(const struct clock *clock, double now, uint32_t months)
{
	int32_t begun, day;

	if (!clock->by_calendar || months == 0)
		return now;
	day = begun = (int32_t)floor(first_moment(clock, now));
	for (uint32_t i = 0; i < 12 && (months >> day_month(day) & 1); i++)
		day = day_next_month(day);
	return day > begun ? day : now;
}

/* ---- the scheduler ---- */

static double when_ready(const struct job *job, const struct schedule *schedule, uint32_t task)
{
	double moment = 0;

	for (uint64_t left = job->work[task].follows; left; left &= left - 1)
		moment = fmax(moment, schedule->finish[__builtin_ctzll(left)]);
	return moment;
}

/* The next task for the crew: of those that may start the one that is ready first; of several that are ready by now the
 * first of the list. */
static uint32_t next_task(const struct job *job, struct schedule *schedule, const struct clock *clock, double now,
                          double *moment)
{
	uint32_t best = TASKS_MOST;

	for (uint64_t left = schedule->open; left; left &= left - 1) {
		uint32_t task = (uint32_t)__builtin_ctzll(left);
		double ready;

		if (job->work[task].follows & ~schedule->done)
			continue;
		if (schedule->rounds_left[task] == job->work[task].rounds)
			schedule->ready[task] = when_ready(job, schedule, task);
		ready = after_frost(clock, fmax(now, schedule->ready[task]), job->work[task].frost_months);
		if (best == TASKS_MOST || ready < *moment) {
			best = task;
			*moment = ready;
		}
		if (ready <= now)
			break;
	}
	return best;
}

static double do_round(const struct job *job, struct schedule *schedule, const struct clock *clock, uint32_t task,
                       double moment)
{
	const struct work *work = &job->work[task];
	double start = first_moment(clock, moment);
	double end = after_work(clock, start, work->crew_days / work->rounds);

	if (schedule->rounds_left[task] == work->rounds)
		schedule->started[task] = start;
	schedule->ended[task] = end;
	schedule->rounds_left[task] -= 1;
	schedule->ready[task] = end + work->between_days;
	if (schedule->rounds_left[task] < 0.5) {
		schedule->done |= task_bit(task);
		schedule->open &= ~task_bit(task);
		schedule->finish[task] = end + work->wait_days;
	}
	return end;
}

/* Hours of each visit; a visit ends where the crew would wait longer than the practice's gap. */
struct visits {
	uint32_t count;
	double hours[64];
};

static void begin(const struct job *job, struct schedule *schedule)
{
	schedule->done = schedule->open = 0;
	for (uint32_t task = 0; task < job->catalogue->n_tasks; task++) {
		schedule->rounds_left[task] = job->work[task].rounds;
		schedule->frozen[task] = 0;
		if (takes_part(job, task))
			schedule->open |= task_bit(task);
	}
}

/* Runs the whole job from `now`; returns the moment when the last work is done. visits may be NULL. */
static double run(const struct job *job, struct schedule *schedule, const struct clock *clock, double now,
                  struct visits *visits)
{
	double gap_days = job_practice(job, P_visit_gap_days), moment = now;

	begin(job, schedule);
	for (uint32_t i = 0; i < ROUNDS_IN_ALL_MOST; i++) {
		uint32_t task = next_task(job, schedule, clock, now, &moment);

		if (task == TASKS_MOST)
			break;
		if (visits && (visits->count == 0 || (moment - now > gap_days && visits->count < 64)))
			visits->count++;
		if (visits)
			visits->hours[visits->count - 1] += job->work[task].hours / job->work[task].rounds;
		schedule->frozen[task] += fmax(0, moment - fmax(now, schedule->ready[task]));
		now = do_round(job, schedule, clock, task, fmax(moment, now));
	}
	return now;
}

/* Visits after hand-over: each round of such a task is one. */
static void add_later_visits(const struct job *job, struct visits *visits)
{
	for (uint32_t task = 0; task < job->catalogue->n_tasks; task++) {
		const struct work *work = &job->work[task];

		if (!job->catalogue->tasks[task].after_handover || !(work->hours > 0))
			continue;
		for (double i = 0; i < work->rounds && visits->count < 64; i++)
			visits->hours[visits->count++] = work->hours / work->rounds;
	}
}

static void keep_tasks(struct job *job)
{
	for (uint32_t task = 0; task < job->catalogue->n_tasks; task++) {
		const struct work *work = &job->work[task];

		job->quote->programme.tasks[task] = (struct task_result){
			.active = takes_part(job, task), .hours = work->hours,
			.wait_days = work->wait_days + (work->rounds - 1) * work->between_days, .last_wait_days = work->wait_days,
			.rounds = work->rounds};
	}
}

static double days_of_week(const struct region *region)
{
	double days = 0;

	for (uint32_t i = 0; i < 7; i++)
		days += region->works[i];
	return days;
}

void programme_undisturbed(struct job *job)
{
	struct schedule schedule;
	struct visits visits = {0};
	struct clock clock = {.catalogue = job->catalogue, .region = job->region,
	                      .days_for_work_day = 7 / days_of_week(job->region)};
	double half_day_hours = job->edition->crew_people * job->edition->productive_h / 2, end, *q = job->q;

	gather_work(job);
	keep_tasks(job);
	end = run(job, &schedule, &clock, 0, &visits);
	add_later_visits(job, &visits);
	for (uint32_t i = 0; i < visits.count; i++) {
		double half_days = ceil(visits.hours[i] / half_day_hours - 1e-9);

		q[Q_work_hours] += visits.hours[i];
		q[Q_crew_half_days] += half_days;
		q[Q_crew_days] += ceil(half_days / 2);
	}
	q[Q_visits] = visits.count;
	q[Q_elapsed_weeks] = ceil(end / 7 - 1e-9);
	job->quote->programme.crew_half_days = q[Q_crew_half_days];
	job->quote->programme.elapsed_weeks = q[Q_elapsed_weeks];
	job->quote->programme.visits = visits.count;
}

/* ---- dates ---- */

static int32_t last_day(double moment)
{
	return (int32_t)ceil(moment - 1e-9) - 1;
}

static void keep_dates(struct job *job, const struct schedule *schedule)
{
	struct programme *programme = &job->quote->programme;

	for (uint32_t task = 0; task < job->catalogue->n_tasks; task++) {
		if (!takes_part(job, task))
			continue;
		programme->tasks[task].frost_days = schedule->frozen[task];
		programme->tasks[task].from_day = (int32_t)floor(schedule->started[task]);
		programme->tasks[task].to_day = (int32_t)fmax(floor(schedule->started[task]), last_day(schedule->ended[task]));
		if (job->work[task].fills && !programme->has_water_in) { /* later ones watch the water that the first let in */
			programme->has_water_in = true;
			programme->water_in_day = (int32_t)fmax(programme->tasks[task].from_day, last_day(schedule->finish[task]));
		}
	}
}

static uint32_t months_between(int32_t from_day, int32_t to_day)
{
	uint32_t months = 0;

	for (int32_t day = from_day; day <= to_day && months != 0x1ffe; day = day_next_month(day))
		months |= 1u << day_month(day);
	return months;
}

/* Days on which the crew works: whole days of work content, and those that the weather takes meanwhile. */
static double days_on_site(const struct job *job, const struct schedule *schedule)
{
	double days = 0;

	for (uint32_t task = 0; task < job->catalogue->n_tasks; task++)
		if (takes_part(job, task) && job->work[task].crew_days > 0)
			days += job->work[task].crew_days /
			        fmax(0.1, 1 - job->region->weather_lost[day_month((int32_t)floor(schedule->started[task])) - 1]);
	return ceil(fmax(days, job->q[Q_crew_days]) - 1e-9);
}

static int32_t last_day_of_job(int32_t start_day, double end)
{
	return (int32_t)fmax(start_day, last_day(end));
}

uint32_t programme_months(const struct job *job, int32_t start_day)
{
	struct schedule schedule;
	struct clock clock = {.catalogue = job->catalogue, .region = job->region, .by_calendar = true};

	return months_between(start_day, last_day_of_job(start_day, run(job, &schedule, &clock, start_day, NULL)));
}

void programme_dates(struct job *job)
{
	struct programme *programme = &job->quote->programme;
	struct schedule schedule;
	struct clock clock = {.catalogue = job->catalogue, .region = job->region, .by_calendar = true};
	double end, *q = job->q;

	programme->earliest_day = (int32_t)job_number(job, F_start_on) + (int32_t)ceil(job->quote->rules_wait_days);
	programme->start_day = day_first_working(job->catalogue, job->region, programme->earliest_day);
	end = run(job, &schedule, &clock, programme->start_day, NULL);
	keep_dates(job, &schedule);
	programme->finish_day = last_day_of_job(programme->start_day, end);
	q[Q_work_days] = days_on_site(job, &schedule);
	q[Q_peak_workers] = ceil(job->edition->crew_people);
	q[Q_person_days] = ceil(q[Q_crew_half_days] / 2 * job->edition->crew_people);
	q[Q_work_months] = months_between(programme->start_day, programme->finish_day);
}
