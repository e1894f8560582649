#include "enquiry_write.h"

#include <assert.h>

#include "dates.h"

static void write_date(struct writer *out, double day)
{
	char text[DATE_TEXT_SIZE];

	date_text((int32_t)day, text);
	writer_string(out, text);
}

static void write_set(struct writer *out, const struct config *config, enum word_list list, const struct value *value)
{
	writer_array_open(out);
	for (uint32_t place = 0; place < 32; place++)
		if (value->set >> place & 1)
			writer_string(out, config_word(config, list, place));
	if (value->unsure)
		writer_string(out, "unknown");
	writer_array_close(out);
}

static void write_months(struct writer *out, double first_and_last)
{
	int32_t months = (int32_t)first_and_last;

	writer_array_open(out);
	writer_int(out, months / 100);
	writer_int(out, months % 100);
	writer_array_close(out);
}

void enquiry_write_value(struct writer *out, const struct config *config, enum field_id id, const struct value *value)
{
	const struct field *field = &enquiry_fields[id];

	if (value->origin == NOT_KNOWN) {
		writer_string(out, "unknown");
		return;
	}
	switch ((enum field_kind)field->kind) {
	case FIELD_NUMBER:
	case FIELD_WHOLE:
	case FIELD_COUNT:
		writer_number(out, value->number);
		break;
	case FIELD_YESNO:
		writer_bool(out, value->number != 0);
		break;
	case FIELD_CHOICE:
		writer_string(out, config_word(config, field->list, (uint32_t)value->number));
		break;
	case FIELD_DATE:
		write_date(out, value->number);
		break;
	case FIELD_SET:
		write_set(out, config, field->list, value);
		break;
	case FIELD_MONTHS:
		write_months(out, value->number);
		break;
	case FIELD_OBJECT:
	case FIELD_LIST:
		assert(false);
		break;
	}
}

static void write_pairs(struct writer *out, const double (*pairs)[2], uint32_t count)
{
	writer_array_open(out);
	for (uint32_t i = 0; i < count; i++) {
		writer_array_open(out);
		writer_number(out, pairs[i][0]);
		writer_number(out, pairs[i][1]);
		writer_array_close(out);
	}
	writer_array_close(out);
}

static void write_points(struct writer *out, const struct point *points, uint32_t count)
{
	writer_array_open(out);
	for (uint32_t i = 0; i < count; i++) {
		writer_array_open(out);
		writer_number(out, points[i].x_m);
		writer_number(out, points[i].y_m);
		writer_array_close(out);
	}
	writer_array_close(out);
}

static void write_steps(struct writer *out, const struct profile_step *steps, uint32_t count)
{
	writer_array_open(out);
	for (uint32_t i = 0; i < count; i++) {
		writer_object_open(out);
		writer_member_number(out, "inset_m", steps[i].inset_m);
		writer_member_number(out, "depth_m", steps[i].depth_m);
		writer_object_close(out);
	}
	writer_array_close(out);
}

static void write_cascades(
	struct writer *out, const struct config *config, const struct cascade *cascades, uint32_t count)
{
	writer_array_open(out);
	for (uint32_t i = 0; i < count; i++) {
		writer_object_open(out);
		writer_member_number(out, "width_m", cascades[i].width_m);
		writer_member_number(out, "drop_m", cascades[i].drop_m);
		writer_member_string(out, "lip", config_word(config, LIST_lip, cascades[i].lip));
		writer_object_close(out);
	}
	writer_array_close(out);
}

static void write_fittings(struct writer *out, const struct config *config, const double counts[FITTINGS_MOST])
{
	writer_object_open(out);
	for (uint32_t place = 0; place < FITTINGS_MOST; place++)
		if (counts[place] > 0)
			writer_member_number(out, config_word(config, LIST_fittings, place), counts[place]);
	writer_object_close(out);
}

static void write_list(struct writer *out, const struct config *config, const struct enquiry *enquiry, enum field_id id)
{
	uint32_t count = (uint32_t)enquiry->v[id].number;

	switch ((enum child_list)enquiry_fields[id].child) {
	case CHILD_point:
		write_points(out, id == F_pond_points_m ? enquiry->pond_points : enquiry->old_points, count);
		break;
	case CHILD_step:
		write_steps(out, id == F_pond_steps ? enquiry->pond_steps : enquiry->old_steps, count);
		break;
	case CHILD_cascade:
		write_cascades(out, config, enquiry->cascades, count);
		break;
	case CHILD_curve:
		write_pairs(out, enquiry->kept_curve, count);
		break;
	case CHILD_fitting:
		write_fittings(out, config, enquiry->fittings);
		break;
	case CHILD_none:
	case CHILD_COUNT:
		assert(false);
		break;
	}
}

static void write_measured(struct writer *out, const struct enquiry *enquiry)
{
	writer_key(out, "measured_within");
	if (enquiry->n_measured == 0) {
		writer_number(out, enquiry->measured_share);
		return;
	}
	writer_object_open(out);
	for (uint32_t i = 0; i < enquiry->n_measured; i++)
		writer_member_number(
			out, enquiry_fields[enquiry->measured[i].field].pointer, enquiry->measured[i].share);
	writer_object_close(out);
}

/* The table holds an object's members right behind it, so an object is closed when a member of another one comes. */
static uint16_t move_into(struct writer *out, const uint16_t *parent, uint16_t open, uint16_t holder)
{
	for (; open != holder; open = parent[open])
		writer_object_close(out);
	return open;
}

void enquiry_write(struct writer *out, const struct config *config, const struct enquiry *enquiry)
{
	const uint16_t *parent = config->catalogue.parent;
	uint16_t open = F_NONE;

	writer_object_open(out);
	for (uint32_t i = 0; i < F_COUNT; i++) {
		enum field_id id = (enum field_id)i;
		uint8_t origin = enquiry->v[id].origin;

		if (origin != GIVEN && origin != NOT_KNOWN)
			continue;
		open = move_into(out, parent, open, parent[id]);
		writer_key(out, field_name(id));
		if (enquiry_fields[id].kind == FIELD_OBJECT) {
			writer_object_open(out);
			open = (uint16_t)id;
		} else if (enquiry_fields[id].kind == FIELD_LIST)
			write_list(out, config, enquiry, id);
		else
			enquiry_write_value(out, config, id, &enquiry->v[id]);
	}
	move_into(out, parent, open, F_NONE);
	if (enquiry->measured_given)
		write_measured(out, enquiry);
	writer_object_close(out);
}
