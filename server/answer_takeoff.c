#include "answer_view.h"

#include <string.h>

/* Said of every pond, 0 or not, and first. */
#define ALWAYS_SAID(Q) \
	Q(water_surface_m2) Q(perimeter_m) Q(inradius_m) Q(depth_reached_m) Q(water_volume_m3) Q(wetted_area_m2) Q(floor_area_m2) \
	Q(shell_area_m2) Q(dig_m3) Q(spoil_loose_m3) Q(sheet_length_m) Q(sheet_width_m) Q(sheet_by_rule_length_m) \
	Q(sheet_by_rule_width_m) Q(concrete_m3) Q(render_m2)
#define PLACE(id) Q_##id,
#define SAID(id) [Q_##id] = true,

static const uint16_t always_said[] = {ALWAYS_SAID(PLACE)};
#define N_ALWAYS_SAID (sizeof always_said / sizeof always_said[0])

static bool is_always_said(uint32_t id)
{
	static const bool said[Q_COUNT] = {ALWAYS_SAID(SAID)};

	return said[id];
}

/* Claims, words and sets are for conditions; the rest are measures. */
static bool is_measure(const struct quantity *quantity)
{
	return quantity->stage == AT_TAKEOFF && strcmp(quantity->unit, "yes") != 0 && strcmp(quantity->unit, "word") != 0 &&
		strcmp(quantity->unit, "set") != 0;
}

bool takeoff_tells(uint32_t id, bool *always)
{
	*always = is_always_said(id);
	return *always || (id != Q_job && is_measure(&quantity_table[id]));
}

void answer_takeoff(struct writer *out, const struct view *view)
{
	const double *q = view->quote->q;
	bool always;

	writer_key(out, "takeoff");
	writer_object_open(out);
	for (size_t i = 0; i < N_ALWAYS_SAID; i++)
		writer_member_number(out, quantity_table[always_said[i]].name, q[always_said[i]]);
	for (uint32_t id = 0; id < Q_COUNT; id++)
		if (q[id] != 0 && takeoff_tells(id, &always) && !always)
			writer_member_number(out, quantity_table[id].name, q[id]);
	writer_object_close(out);
}
