#include "bill.h"

#include <string.h>

#include "conditions.h"
#include "money.h"
#include "readers.h"

/* Which build-ups do the work. */

/* Whether a layer of the chosen shell names the build-up, or the group of methods that it belongs to. */
static bool shell_names(const struct job *job, uint32_t index)
{
	uint16_t group = job->catalogue->build_ups[index].group;

	if (!job->shell || !job->scope->shells)
		return false;
	for (uint32_t i = 0; i < job->shell->layers.count; i++) {
		const struct layer *layer = &job->catalogue->layers[job->shell->layers.first + i];

		if (layer->build_up == index || (group != GROUP_NONE && layer->group == group))
			return true;
	}
	return false;
}

/* Whether it can be done here; the quantity is looked at by the caller. */
static bool applies(const struct job *job, uint32_t index)
{
	const struct build_up *build_up = &job->catalogue->build_ups[index];

	if (build_up->layer && !shell_names(job, index))
		return false;
	return conditions_truth(job->catalogue, build_up->applies, job->v, job->q) == YES;
}

/* ---- what one build-up asks for ---- */

static enum status ask_hours(struct job *job, const struct build_up *build_up, struct ask_of_build_up *ask)
{
	ask->labour_minor = 0;
	bill_hours(job, build_up, job->q[build_up->measured_by], ask->hours);
	for (uint32_t i = 0; i < job->catalogue->n_grades; i++) {
		int64_t minor;
		enum status status;

		if (!(ask->hours[i] > 0))
			continue;
		status = money_for(ask->hours[i], job->hour_milliminor[i], &minor);
		if (status == ST_OK)
			status = money_add(&ask->labour_minor, minor);
		if (status != ST_OK)
			return status;
	}
	return ST_OK;
}

static enum status ask_needs(struct job *job, const struct build_up *build_up)
{
	double quantity = job->q[build_up->measured_by];
	enum status status = ST_OK;

	for (uint32_t i = build_up->costs.first; i < build_up->costs.first + build_up->costs.count && status == ST_OK; i++) {
		const struct cost *cost = &job->catalogue->costs[i];

		job->last->bill.need_micro[i] = 0;
		if (!bill_by_time(cost) && bill_item(job, cost) != NO_INDEX)
			status = quantity_micro(bill_need(job, cost, quantity), &job->last->bill.need_micro[i]);
	}
	return status;
}

/* Cost of a method by itself: own packs, own least hire, own delivery. Time on site is not known yet. */
static enum status ask_alone(struct job *job, const struct build_up *build_up, struct ask_of_build_up *ask)
{
	enum status status = ST_OK;

	ask->alone_minor = ask->labour_minor;
	for (uint32_t i = build_up->costs.first; i < build_up->costs.first + build_up->costs.count && status == ST_OK; i++) {
		uint16_t item = bill_item(job, &job->catalogue->costs[i]);
		int64_t minor;

		if (item == NO_INDEX || job->last->bill.need_micro[i] == 0)
			continue;
		status = bill_item_minor(job, item, job->last->bill.need_micro[i], &minor, NULL);
		if (status == ST_OK)
			status = money_add(&ask->alone_minor, minor);
	}
	return status;
}

/* What may have changed since the last bill. */
struct change {
	bool all, hours, prices;
	struct build_up_set anew; /* build-ups that look at something that has changed */
};

static struct change change_of(const struct job *job)
{
	const struct last_bill *last = &job->last->bill;
	struct change change = {.all = !last->stands || last->edition != job->edition || last->scope != job->scope ||
	                               last->pump != job->quote->water.pump || last->bore != job->quote->water.bore};

	if (change.all) {
		memset(&change.anew, 0xff, sizeof change.anew);
		return change;
	}
	change.hours = last->labour_scale != job->labour_scale;
	change.prices = last->price_scale != job->price_scale;
	change.anew = readers_of_changes(job->catalogue, job->v, last->v, job->q, last->q);
	return change;
}

static enum status ask(struct job *job, uint32_t index, const struct change *change, bool anew)
{
	const struct build_up *build_up = &job->catalogue->build_ups[index];
	struct ask_of_build_up *ask = &job->last->bill.asks[index];
	enum status status = ST_OK;

	if (anew || change->hours)
		status = ask_hours(job, build_up, ask);
	if (anew && status == ST_OK)
		status = ask_needs(job, build_up);
	if (build_up->group != GROUP_NONE && status == ST_OK)
		status = ask_alone(job, build_up, ask);
	return status;
}

static void judge(struct job *job, uint32_t index)
{
	uint64_t bit = UINT64_C(1) << index % 64, *word = &job->last->bill.able.bits[index / 64];

	*word = job->q[job->catalogue->build_ups[index].measured_by] > 0 && applies(job, index) ? *word | bit : *word & ~bit;
}

/* Of 64 build-ups from the first on those that need it. */
static enum status ask_some(struct job *job, uint32_t first, const struct change *change)
{
	uint32_t n_left = job->catalogue->n_build_ups - first;
	uint64_t there = n_left < 64 ? (UINT64_C(1) << n_left) - 1 : UINT64_MAX, anew = change->anew.bits[first / 64] & there;
	uint64_t todo;
	enum status status = ST_OK;

	for (uint64_t left = anew; left; left &= left - 1)
		judge(job, first + (uint32_t)__builtin_ctzll(left));
	todo = job->last->bill.able.bits[first / 64] & there;
	if (!change->hours && !change->prices)
		todo &= anew;
	for (; todo && status == ST_OK; todo &= todo - 1) {
		uint32_t place = (uint32_t)__builtin_ctzll(todo);

		status = ask(job, first + place, change, anew >> place & 1);
	}
	return status;
}

static void keep_inputs(struct job *job)
{
	struct last_bill *last = &job->last->bill;

	last->stands = true;
	last->edition = job->edition;
	last->scope = job->scope;
	last->pump = job->quote->water.pump;
	last->bore = job->quote->water.bore;
	last->labour_scale = job->labour_scale;
	last->price_scale = job->price_scale;
	memcpy(last->v, job->v, sizeof last->v);
	memcpy(last->q, job->q, sizeof last->q);
}

static enum status ask_all(struct job *job)
{
	struct last_bill *last = &job->last->bill;
	struct change change = change_of(job);
	enum status status = ST_OK;

	last->stands = false;
	if (change.all) {
		last->able = (struct build_up_set){{0}};
		for (uint32_t i = 0; i < job->catalogue->n_items; i++)
			last->purchases[i].need_micro = -1;
	}
	for (uint32_t first = 0; first < job->catalogue->n_build_ups && status == ST_OK; first += 64)
		status = ask_some(job, first, &change);
	if (status == ST_OK)
		keep_inputs(job);
	return status;
}

/* ---- methods ---- */

/* The cheapest method of a group so far. */
struct choice {
	uint32_t build_up, tried;
	int64_t minor;
	bool found;
};

static void consider(const struct job *job, uint32_t index, struct choice *choice)
{
	int64_t minor = job->last->bill.asks[index].alone_minor;

	choice->tried++;
	if (!choice->found || minor < choice->minor)
		*choice = (struct choice){index, choice->tried, minor, true};
}

static void cannot(struct job *job, uint32_t group)
{
	struct cannot *entry = &job->quote->cannots[job->quote->n_cannots++];

	*entry = (struct cannot){.kind = CANNOT_GROUP, .group = (uint16_t)group};
	for (uint32_t i = 0; i < job->catalogue->n_build_ups; i++)
		if (job->catalogue->build_ups[i].group == group &&
		    entry->n_methods < sizeof entry->methods / sizeof entry->methods[0])
			entry->methods[entry->n_methods++] = (uint16_t)i;
}

static void add_line(struct job *job, uint32_t index, const struct choice *choice)
{
	const struct build_up *build_up = &job->catalogue->build_ups[index];
	struct line *line = &job->quote->lines[job->quote->n_lines];

	*line = (struct line){.special = LINE_BUILD_UP, .build_up = (uint16_t)index, .section = build_up->section,
	                      .quantity = job->q[build_up->measured_by]};
	memcpy(line->hours, job->last->bill.asks[index].hours, sizeof line->hours);
	line->cost_minor[LABOUR] = job->last->bill.asks[index].labour_minor;
	if (choice) {
		line->alone_minor = choice->minor;
		line->was_cheapest_of_many = choice->tried > 1;
	}
	job->quote->n_lines++;
}

/* A pump that nothing can replace is a reason of its own. */
static void cannot_pump(struct job *job)
{
	if (job->quote->water.choice == PUMP_NONE_DELIVERS)
		job->quote->cannots[job->quote->n_cannots++] = (struct cannot){.kind = CANNOT_WATER};
}

static void take_methods(struct job *job, const uint32_t *able, uint32_t n, const struct choice *choices)
{
	for (uint32_t i = 0; i < n; i++) {
		uint16_t group = job->catalogue->build_ups[able[i]].group;

		if (group == GROUP_NONE)
			add_line(job, able[i], NULL);
		else if (choices[group].build_up == able[i])
			add_line(job, able[i], &choices[group]);
	}
}

enum status bill_lines(struct job *job)
{
	struct choice choices[GROUPS_MOST];
	uint32_t able[BUILD_UPS_MOST], n = 0;
	enum status status = ask_all(job);

	if (status != ST_OK)
		return status;
	for (uint32_t group = 0; group < job->catalogue->n_groups; group++)
		choices[group] = (struct choice){.found = false};
	for (uint32_t word = 0; word < BUILD_UP_WORDS; word++)
		for (uint64_t left = job->last->bill.able.bits[word]; left; left &= left - 1) {
			uint32_t i = word * 64 + (uint32_t)__builtin_ctzll(left);

			able[n++] = i;
			if (job->catalogue->build_ups[i].group != GROUP_NONE)
				consider(job, i, &choices[job->catalogue->build_ups[i].group]);
		}
	for (uint32_t group = 0; group < job->catalogue->n_groups; group++)
		if (!choices[group].found && job->q[job->catalogue->groups[group].measured_by] > 0)
			cannot(job, group);
	cannot_pump(job);
	take_methods(job, able, n, choices);
	return ST_OK;
}
