#include "enquiry_reader.h"

#include <stdio.h>
#include <string.h>

#include "enquiry_lists.h"
#include "enquiry_words.h"

bool field_is_measured(enum field_id id)
{
	return enquiry_fields[id].kind == FIELD_NUMBER && !enquiry_fields[id].fact;
}

static void refuse_pointer(struct asked_reader *reader, const char *at, const char *key)
{
	struct nearest nearest = nearest_to(key);
	char hint[NEAREST_HINT_SIZE];

	if (enquiry_faults_full(reader->faults))
		return;
	for (uint32_t id = 0; id < F_COUNT; id++)
		if (field_is_measured((enum field_id)id))
			nearest_offer(&nearest, enquiry_fields[id].pointer);
	enquiry_fault_add(reader->faults, at, key, "unknown-member", "%s: not the pointer of a measured number%s",
		MEASURED_WITHIN, nearest_hint(&nearest, hint));
}

static void keep_share(struct asked_reader *reader, const char *at, enum field_id id, double share)
{
	struct enquiry *enquiry = reader->enquiry;

	if (reader->given[id] == NULL)
		enquiry_fault_add(reader->faults, at, enquiry_fields[id].pointer, "not-applicable",
			"%s: %s is not given, so nobody measured it", MEASURED_WITHIN, enquiry_fields[id].pointer);
	else if (enquiry->n_measured == MEASURED_MOST)
		enquiry_fault_add(reader->faults, at, NULL, "too-many", "%s: more than %d pointers", MEASURED_WITHIN,
			MEASURED_MOST);
	else {
		enquiry->measured[enquiry->n_measured].field = (uint16_t)id;
		enquiry->measured[enquiry->n_measured++].share = share;
	}
}

/* By the order of the table, whatever the order of the members. */
static size_t read_shares(struct asked_reader *reader, const char *at, json_t *json)
{
	char share_at[POINTER_SIZE];
	size_t known = 0;
	double share;

	for (uint32_t i = 0; i < F_COUNT; i++) {
		enum field_id id = (enum field_id)i;
		json_t *value = field_is_measured(id) ? json_object_get(json, enquiry_fields[id].pointer) : NULL;

		if (value == NULL)
			continue;
		known++;
		asked_below(share_at, at, enquiry_fields[id].pointer);
		if (asked_bounded(
			    reader, share_at, MEASURED_WITHIN, "share", 0, MEASURED_SHARE_MOST, false, value, &share))
			keep_share(reader, at, id, share);
	}
	return known;
}

static bool names_measured(const char *key)
{
	for (uint32_t id = 0; id < F_COUNT; id++)
		if (field_is_measured((enum field_id)id) && strcmp(enquiry_fields[id].pointer, key) == 0)
			return true;
	return false;
}

/* An object without members says the same as a share of 0: everything is exact. */
void asked_measured(struct asked_reader *reader, json_t *json)
{
	char at[POINTER_SIZE];
	const char *key;
	json_t *value;

	snprintf(at, sizeof at, "%s/%s", reader->prefix, MEASURED_WITHIN);
	reader->enquiry->measured_given = true;
	if (!json_is_object(json)) {
		asked_bounded(reader, at, MEASURED_WITHIN, "share", 0, MEASURED_SHARE_MOST, false, json,
			&reader->enquiry->measured_share);
		return;
	}
	if (read_shares(reader, at, json) == json_object_size(json))
		return;
	json_object_foreach (json, key, value) {
		if (!names_measured(key))
			refuse_pointer(reader, at, key);
	}
}
