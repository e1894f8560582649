#include "enquiry_reader.h"

#include <stdio.h>
#include <string.h>

#include "enquiry_lists.h"
#include "enquiry_words.h"
#include "nearest.h"

#define CELLS_MOST 3

/* One entry of a list, in the order of its rows in core/members.def; words as their places. */
struct entry {
	double cell[CELLS_MOST];
};

uint32_t list_least(enum child_list child)
{
	return child == CHILD_point ? 3 : child == CHILD_curve ? 2 : child == CHILD_step ? 1 : 0;
}

uint32_t list_most_written(enum child_list child)
{
	return child_tables[child].most + (child == CHILD_point);
}

static void store(struct enquiry *enquiry, enum field_id id, uint32_t i, const struct entry *entry)
{
	const double *cell = entry->cell;

	switch (id) {
	case F_pond_points_m:
		enquiry->pond_points[i] = (struct point){cell[0], cell[1]};
		break;
	case F_old_points_m:
		enquiry->old_points[i] = (struct point){cell[0], cell[1]};
		break;
	case F_pond_steps:
		enquiry->pond_steps[i] = (struct profile_step){cell[0], cell[1]};
		break;
	case F_old_steps:
		enquiry->old_steps[i] = (struct profile_step){cell[0], cell[1]};
		break;
	case F_cascades:
		enquiry->cascades[i] = (struct cascade){cell[0], cell[1], (uint32_t)cell[2]};
		break;
	default:
		enquiry->kept_curve[i][0] = cell[0];
		enquiry->kept_curve[i][1] = cell[1];
		break;
	}
}

/* Where an entry stands. Its pointer is put together only for a fault: a polygon has hundreds of numbers. */
struct place {
	const char *list_at;
	size_t entry;
};

static bool number_fits(const struct member *member, json_t *json, double *number)
{
	return member->list == LIST_none_at_all && asked_number(json, number) && *number >= member->lo &&
		*number <= member->hi;
}

static bool read_cell(struct asked_reader *reader, const struct member *member, const struct place *place,
	const char *name, json_t *json, double *cell)
{
	char at[POINTER_SIZE], cell_at[POINTER_SIZE];
	uint32_t word = 0;

	if (number_fits(member, json, cell))
		return true;
	asked_below_entry(at, place->list_at, place->entry);
	asked_below(cell_at, at, name);
	if (member->list == LIST_none_at_all)
		return asked_bounded(
			reader, cell_at, member->name, member->unit, member->lo, member->hi, false, json, cell);
	if (!asked_word(reader, cell_at, member->name, member->list, json, &word))
		return false;
	*cell = word;
	return true;
}

/* [a, b] */
static bool read_pair(struct asked_reader *reader, const struct child *child, const struct place *place, json_t *json,
	struct entry *entry)
{
	static const char *const names[] = {"0", "1"};
	const struct member *member = &child_members[child->first];
	char at[POINTER_SIZE], needed[64];
	bool whole = true;

	if (!json_is_array(json) || json_array_size(json) != child->count) {
		asked_below_entry(at, place->list_at, place->entry);
		snprintf(needed, sizeof needed, "[%s, %s]", member[0].name, member[1].name);
		asked_wrong_type(reader, at, "entry", needed, json);
		return false;
	}
	for (uint32_t i = 0; i < child->count; i++)
		whole &= read_cell(reader, &member[i], place, names[i], json_array_get(json, i), &entry->cell[i]);
	return whole;
}

static void refuse_cell(struct asked_reader *reader, const struct child *child, const char *at, const char *key)
{
	struct nearest nearest = nearest_to(key);
	char hint[NEAREST_HINT_SIZE];

	for (uint32_t i = 0; i < child->count; i++)
		nearest_offer(&nearest, child_members[child->first + i].name);
	enquiry_fault_add(reader->faults, at, key, "unknown-member", "There is no such member%s",
		nearest_hint(&nearest, hint));
}

static void find_unknown_cells(struct asked_reader *reader, const struct child *child, const char *at, json_t *json)
{
	const struct member *member = &child_members[child->first];
	const char *key;
	json_t *value;

	json_object_foreach (json, key, value) {
		bool known = false;

		for (uint32_t i = 0; i < child->count; i++)
			known |= strcmp(key, member[i].name) == 0;
		if (!known)
			refuse_cell(reader, child, at, key);
	}
}

static bool read_record(struct asked_reader *reader, const struct child *child, const struct place *place, json_t *json,
	struct entry *entry)
{
	const struct member *member = &child_members[child->first];
	char at[POINTER_SIZE];
	size_t known = 0;
	bool whole = true;

	asked_below_entry(at, place->list_at, place->entry);
	if (!json_is_object(json)) {
		asked_wrong_type(reader, at, "entry", "an object", json);
		return false;
	}
	for (uint32_t i = 0; i < child->count; i++) {
		json_t *cell = json_object_get(json, member[i].name);

		known += cell != NULL;
		if (cell != NULL)
			whole &= read_cell(reader, &member[i], place, member[i].name, cell, &entry->cell[i]);
		else
			enquiry_fault_add(reader->faults, at, member[i].name, "missing", "%s: must be given: %s",
				member[i].name, member[i].help);
		whole &= cell != NULL;
	}
	if (known == json_object_size(json))
		return whole;
	find_unknown_cells(reader, child, at, json);
	return false;
}

/* Corners may be closed by the first one again, even more than once. */
static uint32_t without_closing_points(const struct entry *entries, uint32_t count)
{
	while (count > 1 && entries[count - 1].cell[0] == entries[0].cell[0] &&
		entries[count - 1].cell[1] == entries[0].cell[1])
		count--;
	return count;
}

static bool count_is_right(struct asked_reader *reader, enum field_id id, const char *at, size_t count, uint32_t most)
{
	uint32_t least = list_least(enquiry_fields[id].child);

	if (count > most)
		enquiry_fault_add(reader->faults, at, NULL, "too-many", "%s: %zu entries are more than %u",
			field_name(id), count, child_tables[enquiry_fields[id].child].most);
	else if (count < least)
		enquiry_fault_add(reader->faults, at, NULL, "too-few", "%s: %zu entr%s fewer than %u", field_name(id),
			count, count == 1 ? "y is" : "ies are", least);
	return count >= least && count <= most;
}

static void read_entries(struct asked_reader *reader, enum field_id id, json_t *json, const char *at)
{
	const struct child *child = &child_tables[enquiry_fields[id].child];
	struct entry entries[POINTS_MOST + 1];
	uint32_t count = 0;
	bool whole = true;

	if (!json_is_array(json)) {
		asked_wrong_type(reader, at, field_name(id), "a list", json);
		return;
	}
	if (!count_is_right(reader, id, at, json_array_size(json), list_most_written(enquiry_fields[id].child)))
		return;
	for (; count < json_array_size(json); count++) {
		json_t *entry = json_array_get(json, count);
		struct place place = {at, count};

		whole &= child->shape == PAIR ? read_pair(reader, child, &place, entry, &entries[count])
					      : read_record(reader, child, &place, entry, &entries[count]);
	}
	if (!whole)
		return;
	if (enquiry_fields[id].child == CHILD_point)
		count = without_closing_points(entries, count);
	if (!count_is_right(reader, id, at, count, child->most))
		return;
	for (uint32_t i = 0; i < count; i++)
		store(reader->enquiry, id, i, &entries[i]);
	asked_give(reader, id, count);
}

/* {"elbow-90": 3}: counts by word; those of zero are as good as not said. */
static void read_tally(struct asked_reader *reader, enum field_id id, json_t *json, const char *at)
{
	const struct member *member = &child_members[child_tables[CHILD_fitting].first];
	double counts[FITTINGS_MOST] = {0};
	char entry_at[POINTER_SIZE], choices[CHOICES_SIZE];
	uint32_t place, kinds = 0;
	bool whole = true;
	const char *word;
	json_t *value;

	if (!json_is_object(json)) {
		asked_wrong_type(reader, at, field_name(id), "an object of counts", json);
		return;
	}
	json_object_foreach (json, word, value) {
		if (!word_find(reader->config, LIST_fittings, REGION_ALL, word, &place)) {
			if (!enquiry_faults_full(reader->faults))
				enquiry_fault_add(reader->faults, at, word, "unknown-id", "%s: not one of %s", field_name(id),
					word_choices(reader->config, LIST_fittings, REGION_ALL, word, choices));
			whole = false;
			continue;
		}
		asked_below(entry_at, at, word);
		whole &= asked_bounded(
			reader, entry_at, word, member->unit, member->lo, member->hi, true, value, &counts[place]);
	}
	if (!whole)
		return;
	for (uint32_t i = 0; i < FITTINGS_MOST; i++)
		kinds += counts[i] > 0;
	memcpy(reader->enquiry->fittings, counts, sizeof counts);
	asked_give(reader, id, kinds);
}

void asked_list(struct asked_reader *reader, enum field_id id, json_t *json)
{
	char at[POINTER_SIZE];

	asked_pointer(reader, id, at);
	if (child_tables[enquiry_fields[id].child].shape == TALLY)
		read_tally(reader, id, json, at);
	else
		read_entries(reader, id, json, at);
}
