#include "bill.h"

#include "conditions.h"
#include "money.h"

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

/* Cost of a method by itself: own packs, own least hire, own delivery. */
static enum status standalone(struct job *job, const struct build_up *build_up, double quantity, int64_t *minor)
{
	double hours[GRADES_MOST];
	enum status status = ST_OK;
	int64_t part;

	*minor = 0;
	bill_hours(job, build_up, quantity, hours);
	for (uint32_t i = 0; i < job->catalogue->n_grades && status == ST_OK; i++) {
		status = money_for(hours[i], job->hour_milliminor[i], &part);
		if (status == ST_OK)
			status = money_add(minor, part);
	}
	for (uint32_t i = build_up->costs.first; i < build_up->costs.first + build_up->costs.count && status == ST_OK; i++) {
		const struct cost *cost = &job->catalogue->costs[i];
		uint16_t item = bill_item(job, cost);
		int64_t need_micro;

		if (item == NO_INDEX)
			continue;
		status = quantity_micro(bill_need(job, cost, quantity), &need_micro);
		if (status == ST_OK)
			status = bill_item_minor(job, item, need_micro, &part, NULL);
		if (status == ST_OK)
			status = money_add(minor, part);
	}
	return status;
}

/* The cheapest method of a group so far. */
struct choice {
	uint32_t build_up, tried;
	int64_t minor;
	bool found;
};

static enum status consider(struct job *job, uint32_t index, struct choice *choice)
{
	const struct build_up *build_up = &job->catalogue->build_ups[index];
	int64_t minor;
	enum status status = standalone(job, build_up, job->q[build_up->measured_by], &minor);

	if (status != ST_OK)
		return status;
	choice->tried++;
	if (!choice->found || minor < choice->minor)
		*choice = (struct choice){index, choice->tried, minor, true};
	return ST_OK;
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
	bill_hours(job, build_up, line->quantity, line->hours);
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

	for (uint32_t group = 0; group < job->catalogue->n_groups; group++)
		choices[group] = (struct choice){.found = false};
	for (uint32_t i = 0; i < job->catalogue->n_build_ups; i++) {
		const struct build_up *build_up = &job->catalogue->build_ups[i];
		enum status status = ST_OK;

		if (!(job->q[build_up->measured_by] > 0) || !applies(job, i))
			continue;
		able[n++] = i;
		if (build_up->group != GROUP_NONE)
			status = consider(job, i, &choices[build_up->group]);
		if (status != ST_OK)
			return status;
	}
	for (uint32_t group = 0; group < job->catalogue->n_groups; group++)
		if (!choices[group].found && job->q[job->catalogue->groups[group].measured_by] > 0)
			cannot(job, group);
	cannot_pump(job);
	take_methods(job, able, n, choices);
	return ST_OK;
}
