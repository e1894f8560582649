#include "compile.h"

#include <stdio.h>
#include <string.h>

/* Tasks are put into an order in which each follows earlier ones only; among those that could come next, the first
 * as written. */
struct plan {
	json_t *entries[TASKS_MOST];
	const char *ids[TASKS_MOST]; /* NULL where the entry has none */
	bool follows[TASKS_MOST][TASKS_MOST];
	uint32_t order[TASKS_MOST]; /* entry by place */
	uint32_t n, n_ordered;
};

static bool task_index(const struct plan *plan, const char *id, uint32_t *index)
{
	for (uint32_t i = 0; i < plan->n; i++)
		if (plan->ids[i] != NULL && strcmp(plan->ids[i], id) == 0) {
			*index = i;
			return true;
		}
	return false;
}

static void task_unknown(const struct plan *plan, const struct place *at, const char *id)
{
	struct nearest nearest = nearest_to(id);
	char hint[NEAREST_HINT_SIZE];

	for (uint32_t i = 0; i < plan->n; i++)
		if (plan->ids[i] != NULL)
			nearest_offer(&nearest, plan->ids[i]);
	place_fault(at, "no task is named %.60s%s", id, nearest_hint(&nearest, hint));
}

static void read_follows(struct plan *plan, struct reader *entry, uint32_t task)
{
	json_t *list = reader_list(entry, "follows", MAY_MISS, 0, TASKS_MOST);
	struct place at = place_member(&entry->at, "follows");

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);
		const char *id = value_string(&place, json_array_get(list, i));
		uint32_t other;

		if (id != NULL && task_index(plan, id, &other))
			plan->follows[task][other] = true;
		else if (id != NULL)
			task_unknown(plan, &place, id);
	}
}

static bool is_ordered(const struct plan *plan, uint32_t task)
{
	for (uint32_t i = 0; i < plan->n_ordered; i++)
		if (plan->order[i] == task)
			return true;
	return false;
}

/* The first task that a task still waits for, or n. */
static uint32_t waits_for(const struct plan *plan, uint32_t task)
{
	for (uint32_t other = 0; other < plan->n; other++)
		if (plan->follows[task][other] && !is_ordered(plan, other))
			return other;
	return plan->n;
}

static bool order_one(struct plan *plan)
{
	for (uint32_t task = 0; task < plan->n; task++)
		if (!is_ordered(plan, task) && waits_for(plan, task) == plan->n) {
			plan->order[plan->n_ordered++] = task;
			return true;
		}
	return false;
}

/* Every task that is left waits for another that is left, so going from one to the next ends in a circle. */
static void report_cycle(const struct plan *plan, const struct place *at)
{
	uint32_t task = 0, start;
	char text[400];
	size_t length;

	while (is_ordered(plan, task))
		task++;
	for (uint32_t i = 0; i < plan->n; i++)
		task = waits_for(plan, task);
	start = task;
	length = (size_t)snprintf(text, sizeof text, "%s", plan->ids[start]);
	do {
		task = waits_for(plan, task);
		if (length < sizeof text)
			length += (size_t)snprintf(text + length, sizeof text - length, " follows %s", plan->ids[task]);
	} while (task != start);
	place_fault(at, "tasks go in a circle: %s", text);
}

static void add_task(struct builder *b, struct plan *plan, const struct place *list, uint32_t place)
{
	uint32_t task = plan->order[place];
	struct place at = place_entry(list, task);
	struct task row = {.follows.first = rows_count(&b->task_refs)};
	struct reader entry;

	reader_open(&entry, &at, plan->entries[task]);
	reader_string(&entry, "id", MAY_MISS);
	reader_value(&entry, "follows", MAY_MISS);
	row.after_handover = reader_flag(&entry, "after_handover", MAY_MISS, false);
	row.text = reader_text(b, &entry, plan->ids[task], TEXT_BIT(title), 0);
	reader_close(&entry);
	for (uint32_t other = 0; other < place; other++) {
		uint16_t ref = (uint16_t)other;

		if (plan->follows[task][plan->order[other]])
			rows_add(&b->task_refs, &ref);
	}
	row.follows = span_since(&b->task_refs, row.follows.first);
	name_add(b, NAME_TASK, &at, plan->ids[task], rows_add(&b->tasks, &row));
}

static void read_plan(struct plan *plan, const struct place *at, json_t *list)
{
	plan->n = (uint32_t)json_array_size(list);
	for (uint32_t i = 0; i < plan->n; i++) {
		struct place place = place_entry(at, i);
		struct reader entry;

		plan->entries[i] = json_array_get(list, i);
		reader_open(&entry, &place, plan->entries[i]);
		plan->ids[i] = reader_id(&entry, "id");
	}
	for (uint32_t i = 0; i < plan->n; i++) {
		struct place place = place_entry(at, i);
		struct reader entry;

		reader_open(&entry, &place, json_is_object(plan->entries[i]) ? plan->entries[i] : NULL);
		read_follows(plan, &entry, i);
	}
}

void compile_tasks(struct builder *b)
{
	struct plan plan = {0};
	struct document document;
	struct place at;

	if (!document_open(b, "tasks.json", &document)) {
		b->names[NAME_TASK].incomplete = true;
		return;
	}
	at = place_member(&document.top.at, "tasks");
	read_plan(&plan, &at, reader_list(&document.top, "tasks", NEEDED, 1, TASKS_MOST));
	while (order_one(&plan))
		;
	if (plan.n_ordered < plan.n) {
		report_cycle(&plan, &at);
		b->names[NAME_TASK].incomplete = true;
	}
	for (uint32_t i = 0; i < plan.n_ordered; i++)
		add_task(b, &plan, &at, i);
	document_close(&document);
}
