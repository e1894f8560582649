#include "answer_view.h"

#include "assumption.h"
#include "enquiry_write.h"

static void value_of(struct writer *out, const struct view *view, uint32_t id)
{
	enquiry_write_value(out, view->config, (enum field_id)id, &view->quote->resolved.v[id]);
}

static bool is_assumed(const struct view *view, uint32_t id)
{
	return view->quote->resolved.v[id].origin == BY_ASSUMPTION;
}

/* Said together with the kind that it belongs to, where that is assumed too. */
static bool said_with_its_kind(const struct view *view, uint32_t id)
{
	uint16_t kind = enquiry_fields[id].variant;

	return kind != F_NONE && is_assumed(view, kind);
}

static void grouped_value(struct writer *out, const struct view *view, uint32_t kind)
{
	writer_object_open(out);
	writer_key(out, field_name((enum field_id)kind));
	value_of(out, view, kind);
	for (uint32_t id = kind + 1; id < F_COUNT && enquiry_fields[id].variant != F_NONE; id++) {
		if (enquiry_fields[id].variant != kind || enquiry_fields[id].kind == FIELD_LIST ||
			!value_is_known(&view->quote->resolved.v[id]) || view->quote->resolved.v[id].origin == NOT_APPLICABLE)
			continue;
		writer_key(out, field_name((enum field_id)id));
		value_of(out, view, id);
	}
	writer_object_close(out);
}

static void reasons(struct writer *out, const struct view *view, uint32_t id)
{
	const struct unknown *row = assumption_of(view_catalogue(view), view->edition->region, view->quote->resolved.v,
		view->quote->q, id);

	if (row != NULL) {
		write_said(out, &view->config->said_of_unknowns[row - view_catalogue(view)->unknowns]);
		return;
	}
	writer_member_null(out, "because");
	writer_member_null(out, "question");
	writer_member_null(out, "where");
}

static void write_assumed(struct writer *out, const struct view *view, uint32_t id)
{
	bool grouped = field_decides_others((enum field_id)id);
	uint16_t holder = view_catalogue(view)->parent[id];

	writer_object_open(out);
	writer_member_string(out, "pointer", grouped ? enquiry_fields[holder].pointer : enquiry_fields[id].pointer);
	writer_key(out, "value");
	if (grouped)
		grouped_value(out, view, id);
	else
		value_of(out, view, id);
	reasons(out, view, id);
	writer_object_close(out);
}

static bool usual_edge_used(const struct view *view)
{
	return view->quote->q[Q_usual_edge_m] > 0;
}

/* The rim that nobody spoke of, in metres. */
static void write_usual_edge(struct writer *out, const struct view *view)
{
	writer_object_open(out);
	writer_member_string(out, "pointer", enquiry_fields[F_edge].pointer);
	writer_member_number(out, "value", view->quote->q[Q_usual_edge_m]);
	writer_member_string(out, "because", config_phrase(view->config, PHRASE_usual_edge));
	writer_member_string(out, "question", config_phrase(view->config, PHRASE_ask_edge));
	writer_member_string(out, "where", "phone");
	writer_object_close(out);
}

void answer_assumed(struct writer *out, const struct view *view)
{
	writer_key(out, "assumed");
	writer_array_open(out);
	for (uint32_t id = 0; id < F_COUNT; id++) {
		if (id == F_edge && usual_edge_used(view))
			write_usual_edge(out, view);
		if (is_assumed(view, id) && !said_with_its_kind(view, id))
			write_assumed(out, view, id);
	}
	writer_array_close(out);
}

bool view_assumes(const struct view *view)
{
	for (uint32_t id = 0; id < F_COUNT; id++)
		if (is_assumed(view, id))
			return true;
	return usual_edge_used(view);
}
