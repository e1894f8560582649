#include "resolve.h"

#include <string.h>

#include "assumption.h"

const struct work_scope work_scopes[work_COUNT] = {
	[WORK_NEW] = {.digs = true, .shells = true, .edges = true, .plants = true, .streams = true, .pumps = true, .fills = true},
	[WORK_REBUILD] = {.empties = true, .rescues = true, .strips = true, .desilts = true, .digs = true, .shells = true,
	                  .edges = true, .plants = true, .streams = true, .pumps = true, .fills = true},
	[WORK_RELINE] = {.empties = true, .rescues = true, .strips = true, .desilts = true, .shells = true, .edges = true,
	                 .streams = true, .pumps = true, .fills = true},
	[WORK_DESILT] = {.empties = true, .rescues = true, .desilts = true, .fills = true},
	[WORK_STREAM] = {.streams = true, .pumps = true},
	[WORK_REPAIR] = {.empties = true, .rescues = true, .desilts = true, .repairs = true, .fills = true},
	[WORK_INFILL] = {.empties = true, .rescues = true, .strips = true, .infills = true},
};

static size_t entries(const struct enquiry *enquiry, enum field_id list)
{
	return (size_t)enquiry->v[list].number;
}

void enquiry_copy(struct enquiry *to, const struct enquiry *from)
{
	memcpy(to->v, from->v, sizeof to->v);
	memcpy(to->pond_points, from->pond_points, entries(from, F_pond_points_m) * sizeof to->pond_points[0]);
	memcpy(to->old_points, from->old_points, entries(from, F_old_points_m) * sizeof to->old_points[0]);
	memcpy(to->pond_steps, from->pond_steps, entries(from, F_pond_steps) * sizeof to->pond_steps[0]);
	memcpy(to->old_steps, from->old_steps, entries(from, F_old_steps) * sizeof to->old_steps[0]);
	memcpy(to->cascades, from->cascades, entries(from, F_cascades) * sizeof to->cascades[0]);
	memcpy(to->kept_curve, from->kept_curve, entries(from, F_kept_pump_curve) * sizeof to->kept_curve[0]);
	memcpy(to->fittings, from->fittings, sizeof to->fittings);
	to->measured_given = from->measured_given;
	to->measured_share = from->measured_share;
	to->n_measured = from->n_measured;
	memcpy(to->measured, from->measured, from->n_measured * sizeof to->measured[0]);
}

static void set(struct value *value, double number, enum origin origin)
{
	value->number = number;
	value->origin = (uint8_t)origin;
}

static bool work_needs_old_pond(uint32_t work)
{
	return work != WORK_NEW && work != WORK_STREAM;
}

static void resolve_work(struct enquiry *enquiry)
{
	struct value *work = &enquiry->v[F_work];
	bool old_pond = field_given(enquiry, F_old_pond);

	if (work->origin == LEFT_OUT)
		set(work, old_pond ? WORK_REBUILD : WORK_NEW, BY_DERIVATION);
	if (!old_pond && work_needs_old_pond((uint32_t)work->number))
		set(&enquiry->v[F_old_pond], 1, BY_DERIVATION);
}

static bool applies(const struct catalogue *catalogue, const struct enquiry *enquiry, enum field_id id)
{
	const struct field *field = &enquiry_fields[id];
	uint16_t parent = catalogue->parent[id];

	if (parent != F_NONE && enquiry->v[parent].number == 0)
		return false;
	if (field->variant == F_NONE)
		return true;
	return enquiry->v[field->variant].origin != NOT_APPLICABLE &&
	       (field->variant_mask >> (uint32_t)enquiry->v[field->variant].number & 1);
}

static void assume(const struct catalogue *catalogue, uint16_t region, struct enquiry *enquiry, const double *q,
                   enum field_id id)
{
	const struct unknown *unknown = assumption_of(catalogue, region, enquiry->v, q, id);

	/* a catalogue that was loaded has a row for every field that may be assumed */
	set(&enquiry->v[id], unknown ? unknown->likely : enquiry_fields[id].left_out, BY_ASSUMPTION);
}

static double preset_or_default(const struct catalogue *catalogue, const struct region *region, enum field_id id)
{
	for (uint32_t i = region->presets.first; i < region->presets.first + region->presets.count; i++)
		if (catalogue->presets[i].field == id)
			return catalogue->presets[i].number;
	return enquiry_fields[id].left_out;
}

static void resolve_field(const struct catalogue *catalogue, const struct edition *edition, struct enquiry *enquiry,
                          const double *q, enum field_id id)
{
	struct value *value = &enquiry->v[id];
	uint8_t presence = enquiry_fields[id].presence;

	if (!applies(catalogue, enquiry, id))
		*value = (struct value){.origin = NOT_APPLICABLE};
	else if (value->origin != LEFT_OUT)
		return;
	else if (presence == ALWAYS)
		set(value, 1, BY_DEFAULT);
	else if (presence == OPTIONAL && enquiry_fields[id].kind == FIELD_OBJECT)
		*value = (struct value){.origin = NOT_APPLICABLE};
	else if (presence == ASSUMED)
		assume(catalogue, edition->region, enquiry, q, id);
	else if (presence == DEFAULTED)
		set(value, preset_or_default(catalogue, &catalogue->regions[edition->region], id), BY_DEFAULT);
}

/* Facts have neither parents that may be absent nor presets. */
static void resolve_facts(struct enquiry *enquiry)
{
	for (uint32_t id = F_facts + 1; id < F_COUNT; id++) {
		struct value *value = &enquiry->v[id];

		if (value->origin != LEFT_OUT)
			continue;
		value->origin = enquiry_fields[id].presence == UNKNOWN ? NOT_KNOWN : BY_DEFAULT;
		value->number = enquiry_fields[id].left_out;
	}
}

/* A shelf that was only assumed gives way where the pond is shallower than it. */
static void fit_assumed_shelf(struct enquiry *enquiry)
{
	struct value *width = &enquiry->v[F_pond_shelf_width_m], *depth = &enquiry->v[F_pond_shelf_depth_m];

	if (depth->number < enquiry->v[F_depth_m].number)
		return;
	if (width->origin == BY_ASSUMPTION || depth->origin == BY_ASSUMPTION) {
		width->number = 0;
		depth->number = 0;
	}
}

void enquiry_assume_again(const struct catalogue *catalogue, uint16_t region, struct enquiry *enquiry, const double *q,
                          const uint16_t *fields, uint32_t n_fields, value_chooser *choose, void *with)
{
	for (uint32_t i = 0; i < n_fields; i++) {
		struct value *value = &enquiry->v[fields[i]];
		const struct unknown *row;

		*value = (struct value){.origin = NOT_APPLICABLE};
		if (!applies(catalogue, enquiry, (enum field_id)fields[i]))
			continue;
		row = assumption_of(catalogue, region, enquiry->v, q, fields[i]);
		set(value, row ? choose(with, i, row) : enquiry_fields[fields[i]].left_out, BY_ASSUMPTION);
	}
	fit_assumed_shelf(enquiry);
}

static uint32_t kinds_of_work(const struct enquiry *enquiry)
{
	static const uint32_t kinds[work_COUNT] = {
		[WORK_NEW] = 1u << WORK_KIND_NEW_POND, [WORK_REBUILD] = 1u << WORK_KIND_REBUILD | 1u << WORK_KIND_DRAIN_DOWN,
		[WORK_RELINE] = 1u << WORK_KIND_RELINE | 1u << WORK_KIND_DRAIN_DOWN,
		[WORK_DESILT] = 1u << WORK_KIND_DESILT | 1u << WORK_KIND_DRAIN_DOWN,
		[WORK_STREAM] = 1u << WORK_KIND_STREAM_OR_CASCADE, [WORK_REPAIR] = 1u << WORK_KIND_DRAIN_DOWN,
		[WORK_INFILL] = 1u << WORK_KIND_INFILL | 1u << WORK_KIND_DRAIN_DOWN,
	};
	uint32_t set_of = kinds[(uint32_t)enquiry->v[F_work].number];

	return enquiry->v[F_stream].number > 0 ? set_of | 1u << WORK_KIND_STREAM_OR_CASCADE : set_of;
}

static void given_quantities(const struct catalogue *catalogue, const struct edition *edition, const struct enquiry *enquiry,
                             double *q)
{
	const struct work_scope *scope = &work_scopes[(uint32_t)enquiry->v[F_work].number];
	bool pond = enquiry->v[F_pond].number > 0;

	q[Q_job] = 1;
	q[Q_old_pond_present] = enquiry->v[F_old_pond].number > 0;
	q[Q_stream_present] = enquiry->v[F_stream].number > 0;
	q[Q_work_opens_ground] = pond && (scope->digs || scope->strips || scope->shells || scope->infills);
	q[Q_work_new_shell] = pond && scope->shells;
	q[Q_nation] = catalogue->regions[edition->region].nation;
	q[Q_client_kind] = enquiry->v[F_client_kind].number;
	q[Q_work_kinds] = kinds_of_work(enquiry);
}

void enquiry_resolve(const struct catalogue *catalogue, const struct edition *edition, struct enquiry *enquiry, double *q)
{
	resolve_work(enquiry);
	enquiry->v[F_edition].number = (double)(edition - catalogue->editions);
	given_quantities(catalogue, edition, enquiry, q); /* conditions of unknowns read them */
	resolve_facts(enquiry);
	/* assumptions last: their conditions may read defaults of the whole table, and assumptions before them */
	for (int assumed = 0; assumed < 2; assumed++)
		for (uint32_t id = F_issued_on; id <= F_facts; id++)
			if ((enquiry_fields[id].presence == ASSUMED) == assumed)
				resolve_field(catalogue, edition, enquiry, q, (enum field_id)id);
	fit_assumed_shelf(enquiry);
	q[Q_client_kind] = enquiry->v[F_client_kind].number; /* a region may have a usual kind of its own */
}

void facts_from_quantities(const struct enquiry *asked, struct enquiry *enquiry, const double *q, enum stage stage)
{
	for (uint32_t i = 0; i < inferred_fact_count; i++) {
		uint16_t id = inferred_facts[i];
		const struct field *field = &enquiry_fields[id];
		struct value *value = &enquiry->v[id];

		if (quantity_table[field->quantity].stage != stage || asked->v[id].origin != LEFT_OUT)
			continue;
		value->origin = BY_DERIVATION;
		value->number = field->kind == FIELD_YESNO ? q[field->quantity] > 0 : q[field->quantity];
		if (field->kind == FIELD_SET || field->kind == FIELD_MONTHS)
			value->set = (uint32_t)q[field->quantity];
	}
}
