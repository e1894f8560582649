#include "readers.h"

#include <string.h>

/* The build-up whose readings are marked, and where. */
struct marker {
	const struct catalogue *catalogue;
	struct build_up_set *readers;
	uint32_t build_up;
};

static void mark_subject(const struct marker *marker, uint16_t index, bool is_quantity)
{
	struct build_up_set *set = &marker->readers[is_quantity ? index : Q_COUNT + (uint32_t)index];

	set->bits[marker->build_up / 64] |= UINT64_C(1) << marker->build_up % 64;
}

static void mark_condition(const struct marker *marker, struct span when)
{
	for (uint32_t i = when.first; i < when.first + when.count; i++) {
		const struct op *op = &marker->catalogue->ops[i];

		if (op->code != OP_TRUE && op->code != OP_ALL && op->code != OP_ANY && op->code != OP_NOT)
			mark_subject(marker, op->subject, op->is_quantity);
	}
}

static void mark_factors(const struct marker *marker, struct span refs)
{
	const struct catalogue *catalogue = marker->catalogue;

	for (uint32_t i = refs.first; i < refs.first + refs.count; i++) {
		const struct factor *factor = &catalogue->factors[catalogue->factor_refs[i]];

		if (factor->points.count)
			mark_subject(marker, factor->subject, factor->is_quantity);
		for (uint32_t k = factor->cases.first; k < factor->cases.first + factor->cases.count; k++)
			mark_condition(marker, catalogue->factor_cases[k].when);
	}
}

static void mark_costs(const struct marker *marker, struct span costs)
{
	const struct catalogue *catalogue = marker->catalogue;

	for (uint32_t i = costs.first; i < costs.first + costs.count; i++) {
		const struct cost *cost = &catalogue->costs[i];

		if (cost->times != F_NONE)
			mark_subject(marker, cost->times, cost->times_quantity);
		mark_factors(marker, cost->factors);
		if (cost->item < catalogue->n_items && catalogue->items[cost->item].density != Q_none)
			mark_subject(marker, catalogue->items[cost->item].density, true);
	}
}

static void mark_labour(const struct marker *marker, struct span labour)
{
	const struct catalogue *catalogue = marker->catalogue;

	for (uint32_t i = labour.first; i < labour.first + labour.count; i++) {
		if (catalogue->labours[i].times != F_NONE)
			mark_subject(marker, catalogue->labours[i].times, catalogue->labours[i].times_quantity);
		mark_factors(marker, catalogue->labours[i].factors);
	}
}

static void mark_build_up(const struct marker *marker)
{
	const struct build_up *build_up = &marker->catalogue->build_ups[marker->build_up];

	mark_subject(marker, build_up->measured_by, true);
	mark_condition(marker, build_up->applies);
	if (build_up->layer)
		mark_subject(marker, F_shell, false);
	mark_costs(marker, build_up->costs);
	mark_labour(marker, build_up->labour);
}

void readers_list(const struct catalogue *catalogue, struct build_up_set *readers)
{
	memset(readers, 0, READ_SUBJECTS * sizeof *readers);
	for (uint32_t i = 0; i < catalogue->n_build_ups; i++)
		mark_build_up(&(struct marker){catalogue, readers, i});
}

bool values_same_but_shell(const struct value *a, const struct value *b)
{
	enum { AFTER = F_shell + 1 };

	return memcmp(a, b, F_shell * sizeof *a) == 0 && memcmp(a + AFTER, b + AFTER, (F_COUNT - AFTER) * sizeof *a) == 0;
}

static void join(struct build_up_set *set, const struct build_up_set *more)
{
	for (uint32_t i = 0; i < BUILD_UP_WORDS; i++)
		set->bits[i] |= more->bits[i];
}

/* Joins what reads any of n things that differ; most stretches of them are the same. */
static void join_changed(struct build_up_set *found, const struct build_up_set *readers, const void *now, const void *old,
                         uint32_t n, size_t size)
{
	enum { STRETCH = 16 };
	const char *a = now, *b = old;

	for (uint32_t first = 0; first < n; first += STRETCH) {
		uint32_t end = first + STRETCH < n ? first + STRETCH : n;

		if (memcmp(a + first * size, b + first * size, (end - first) * size) == 0)
			continue;
		for (uint32_t i = first; i < end; i++)
			if (memcmp(a + i * size, b + i * size, size) != 0)
				join(found, &readers[i]);
	}
}

struct build_up_set readers_of_changes(const struct catalogue *catalogue, const struct value *v, const struct value *old_v,
                                       const double *q, const double *old_q)
{
	struct build_up_set found = {{0}};

	join_changed(&found, catalogue->readers, q, old_q, Q_COUNT, sizeof *q);
	join_changed(&found, catalogue->readers + Q_COUNT, v, old_v, F_COUNT, sizeof *v);
	return found;
}
