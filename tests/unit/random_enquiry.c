#include "random_enquiry.h"

#include <math.h>
#include <stdio.h>

#include "dates.h"

struct draw {
	struct writer *out;
	const struct config *config;
	uint64_t state;
	bool given[F_COUNT];
	uint32_t word[F_COUNT];
	bool stepped, old_stepped, keeps_known_pump;
};

/* splitmix64, S. Vigna. */
static uint64_t next(struct draw *draw)
{
	uint64_t z = draw->state += 0x9e3779b97f4a7c15;

	z = (z ^ z >> 30) * 0xbf58476d1ce4e5b9;
	z = (z ^ z >> 27) * 0x94d049bb133111eb;
	return z ^ z >> 31;
}

static uint32_t below(struct draw *draw, uint32_t count)
{
	return (uint32_t)(next(draw) % count);
}

static bool one_in(struct draw *draw, uint32_t count)
{
	return below(draw, count) == 0;
}

static double between(struct draw *draw, double lo, double hi)
{
	return lo + (hi - lo) * (double)(next(draw) >> 11) * 0x1p-53;
}

static void write_double(struct writer *out, double value)
{
	char text[40];

	writer_raw(out, text, (size_t)snprintf(text, sizeof text, "%.17g", value));
}

/* A bound, minus zero, a round number or any. */
static double number_within(struct draw *draw, double lo, double hi)
{
	double value = between(draw, lo, hi), rounded = round(value * 100) / 100;

	switch (below(draw, 8)) {
	case 0:
		return lo;
	case 1:
		return hi;
	case 2:
		return lo <= 0 ? -0.0 : lo;
	case 3:
		return value;
	default:
		return rounded >= lo && rounded <= hi ? rounded : value;
	}
}

static void narrow(enum field_id id, double *lo, double *hi)
{
	static const struct {
		enum field_id id;
		double lo, hi;
	} rows[] = {
		{F_pond_length_m, 1, 200}, {F_pond_width_m, 1, 200}, {F_pond_corner_radius_m, 0, 0.5}, {F_pond_diameter_m, 1, 200},
		{F_old_length_m, 1, 200}, {F_old_width_m, 1, 200}, {F_old_corner_radius_m, 0, 0.5}, {F_old_diameter_m, 1, 200},
		{F_depth_m, 0.5, 6}, {F_old_depth_m, 0.5, 6}, {F_pond_shelf_depth_m, 0, 0.4}, {F_old_shelf_depth_m, 0, 0.4},
		{F_stream_covered_m, 0, 0.5}, {F_stream_fall_m, 3, 30}, {F_coping_m, 0, 1}, {F_beach_m, 0, 1}, {F_turf_m, 0, 1},
	};

	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
		if (rows[i].id == id) {
			*lo = rows[i].lo;
			*hi = rows[i].hi;
		}
}

static void write_number(struct draw *draw, enum field_id id)
{
	double lo = enquiry_fields[id].lo, hi = enquiry_fields[id].hi;

	narrow(id, &lo, &hi);
	write_double(draw->out, number_within(draw, lo, hi));
}

static void write_whole(struct draw *draw, enum field_id id)
{
	double lo = enquiry_fields[id].lo, hi = enquiry_fields[id].hi;
	uint32_t number = (uint32_t)lo + below(draw, (uint32_t)(hi - lo) + 1);

	if (enquiry_fields[id].kind == FIELD_COUNT && one_in(draw, 3))
		writer_bool(draw->out, one_in(draw, 2));
	else if (one_in(draw, 4))
		writer_print(draw->out, "%u.0", number);
	else
		writer_print(draw->out, "%u", number);
}

static void write_word(struct draw *draw, enum field_id id)
{
	enum word_list list = enquiry_fields[id].list;
	uint32_t count;
	const char *const *words = config_words(draw->config, list, &count);
	struct span editions = draw->config->catalogue.regions[draw->word[F_region]].editions;

	draw->word[id] = below(draw, count);
	if (list == LIST_editions)
		draw->word[id] = editions.first + below(draw, editions.count);
	if (id == F_work && one_in(draw, 3)) /* the only work that needs no pond */
		draw->word[id] = WORK_STREAM;
	if (id == F_pond_profile_kind || id == F_old_profile_kind)
		draw->word[id] = (id == F_pond_profile_kind ? draw->stepped : draw->old_stepped) ? SIDES_STEPPED
												  : below(draw, SIDES_STEPPED);
	writer_string(draw->out, words[draw->word[id]]);
}

static void write_set(struct draw *draw, enum field_id id)
{
	uint32_t count, entries = below(draw, 5);
	const char *const *words = config_words(draw->config, enquiry_fields[id].list, &count);

	writer_array_open(draw->out);
	for (uint32_t i = 0; i < entries; i++)
		writer_string(draw->out, one_in(draw, 6) ? "unknown" : words[below(draw, count)]);
	writer_array_close(draw->out);
}

static void write_months(struct draw *draw)
{
	uint32_t first = 1 + below(draw, 12), last = 1 + below(draw, 12);

	if (one_in(draw, 2))
		writer_print(draw->out, "[%u,%u]", first, last);
	else
		writer_print(draw->out, "\"%u..%u\"", first, last);
}

static void write_date(struct draw *draw, enum field_id id)
{
	int32_t first = draw->config->catalogue.editions[1].from_day;
	char text[DATE_TEXT_SIZE];

	date_text(first + (int32_t)below(draw, 400) + (id == F_start_on ? 400 : 0), text);
	writer_string(draw->out, text);
}

static void write_pair(struct writer *out, double a, double b)
{
	writer_array_open(out);
	write_double(out, a);
	write_double(out, b);
	writer_array_close(out);
}

/* Seen from the middle every corner lies in a direction of its own, so nothing crosses. */
static void write_points(struct draw *draw)
{
	uint32_t count = 3 + below(draw, POINTS_MOST - 2);
	double first[2] = {0, 0};

	for (uint32_t i = 0; i < count; i++) {
		double angle = 6.283185307179586 * (i + 0.5 * between(draw, 0, 1)) / count, radius_m = between(draw, 5, 100);
		double point[2] = {radius_m * cos(angle) + 1e5, radius_m * sin(angle) - 3e4};

		if (i == 0) {
			first[0] = point[0];
			first[1] = point[1];
		}
		write_pair(draw->out, point[0], point[1]);
	}
	if (one_in(draw, 3))
		write_pair(draw->out, first[0], first[1]);
}

static void write_steps(struct draw *draw)
{
	uint32_t count = 1 + below(draw, STEPS_MOST);
	double inset_m = 0, depth_m = 0;

	for (uint32_t i = 0; i < count; i++) {
		inset_m += between(draw, 0, 1);
		depth_m += between(draw, 0.01, 0.3);
		writer_object_open(draw->out);
		writer_key(draw->out, "depth_m");
		write_double(draw->out, depth_m);
		writer_key(draw->out, "inset_m");
		write_double(draw->out, inset_m);
		writer_object_close(draw->out);
	}
}

static void write_cascades(struct draw *draw)
{
	uint32_t count = below(draw, CASCADES_MOST + 1);

	for (uint32_t i = 0; i < count; i++) {
		writer_object_open(draw->out);
		writer_member_string(draw->out, "lip", one_in(draw, 2) ? "flat" : "sharp");
		writer_key(draw->out, "width_m");
		write_double(draw->out, between(draw, 0.05, 10));
		writer_key(draw->out, "drop_m");
		write_double(draw->out, between(draw, 0, 3.0 / CASCADES_MOST));
		writer_object_close(draw->out);
	}
}

static void write_curve(struct draw *draw)
{
	uint32_t count = 2 + below(draw, CURVE_MOST - 1);
	double flow_l_per_h = 0, head_m = 50;

	for (uint32_t i = 0; i < count; i++) {
		write_pair(draw->out, flow_l_per_h, head_m);
		flow_l_per_h += between(draw, 10, 1000);
		head_m -= between(draw, 0.1, 3);
	}
}

static void write_fittings(struct draw *draw)
{
	uint32_t count;
	const char *const *words = config_words(draw->config, LIST_fittings, &count);

	writer_object_open(draw->out);
	for (uint32_t i = count; i-- > 0;)
		if (one_in(draw, 2))
			writer_member_int(draw->out, words[i], below(draw, 4));
	writer_object_close(draw->out);
}

static void write_list(struct draw *draw, enum field_id id)
{
	if (enquiry_fields[id].child == CHILD_fitting) {
		write_fittings(draw);
		return;
	}
	writer_array_open(draw->out);
	if (enquiry_fields[id].child == CHILD_point)
		write_points(draw);
	else if (enquiry_fields[id].child == CHILD_step)
		write_steps(draw);
	else if (enquiry_fields[id].child == CHILD_cascade)
		write_cascades(draw);
	else
		write_curve(draw);
	writer_array_close(draw->out);
}

static void write_value(struct draw *draw, enum field_id id)
{
	switch ((enum field_kind)enquiry_fields[id].kind) {
	case FIELD_OBJECT:
		writer_object_open(draw->out);
		break;
	case FIELD_NUMBER:
		write_number(draw, id);
		break;
	case FIELD_WHOLE:
	case FIELD_COUNT:
		write_whole(draw, id);
		break;
	case FIELD_YESNO:
		writer_bool(draw->out, one_in(draw, 2));
		break;
	case FIELD_CHOICE:
		write_word(draw, id);
		break;
	case FIELD_SET:
		write_set(draw, id);
		break;
	case FIELD_MONTHS:
		write_months(draw);
		break;
	case FIELD_DATE:
		write_date(draw, id);
		break;
	case FIELD_LIST:
		write_list(draw, id);
		break;
	}
}

static bool is_kind(enum field_id id)
{
	return id == F_pond_outline_kind || id == F_pond_profile_kind || id == F_old_outline_kind || id == F_old_profile_kind;
}

static bool wanted(struct draw *draw, enum field_id id)
{
	const struct field *field = &enquiry_fields[id];
	uint16_t parent = draw->config->catalogue.parent[id];

	if ((parent != F_NONE && !draw->given[parent]) ||
	    (field->variant != F_NONE && !(field->variant_mask >> draw->word[field->variant] & 1)) ||
	    (field->how == COMPUTED && draw->given[F_pond]))
		return false;
	if (id == F_depth_m)
		return !draw->stepped;
	if (id == F_pond_profile && draw->stepped)
		return true;
	if (id == F_old_depth_m && draw->old_stepped)
		return false;
	if (parent == F_kept_pump)
		return (id == F_kept_pump_id) == draw->keeps_known_pump;
	if (id == F_pond || id == F_stream)
		return (id == F_stream) == (draw->given[F_work] && draw->word[F_work] == WORK_STREAM) || one_in(draw, 2);
	return field->presence == MUST || is_kind(id) || one_in(draw, 2);
}

static void write_measured(struct draw *draw)
{
	static const enum field_id ids[] = {F_travel_km, F_depth_m, F_run_m, F_stream_length_m};

	writer_key(draw->out, "measured_within");
	if (one_in(draw, 2)) {
		write_double(draw->out, number_within(draw, 0, 0.5));
		return;
	}
	writer_object_open(draw->out);
	for (size_t i = 0; i < sizeof ids / sizeof ids[0]; i++)
		if (draw->given[ids[i]]) {
			writer_key(draw->out, enquiry_fields[ids[i]].pointer);
			write_double(draw->out, number_within(draw, 0, 0.5));
		}
	writer_object_close(draw->out);
}

void random_enquiry_write(struct writer *out, const struct config *config, uint64_t seed)
{
	struct draw draw = {.out = out, .config = config, .state = seed};
	const uint16_t *parent = config->catalogue.parent;
	uint16_t open = F_NONE;

	draw.stepped = one_in(&draw, 4);
	draw.old_stepped = one_in(&draw, 4);
	draw.keeps_known_pump = one_in(&draw, 2);
	writer_object_open(out);
	for (uint32_t i = 0; i < F_COUNT; i++) {
		enum field_id id = (enum field_id)i;

		draw.given[id] = wanted(&draw, id);
		if (!draw.given[id])
			continue;
		for (; open != parent[id]; open = parent[open])
			writer_object_close(out);
		writer_key(out, field_name(id));
		if (enquiry_fields[id].fact && one_in(&draw, 5))
			writer_string(out, "unknown");
		else
			write_value(&draw, id);
		if (enquiry_fields[id].kind == FIELD_OBJECT)
			open = (uint16_t)id;
	}
	for (; open != F_NONE; open = parent[open])
		writer_object_close(out);
	if (one_in(&draw, 2))
		write_measured(&draw);
	writer_object_close(out);
}
