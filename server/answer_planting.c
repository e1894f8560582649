#include "answer_view.h"

/* What grows where: how many plants of each role, and the region's native species that suit this pond. */

struct role {
	const char *id;
	enum plant_role role;
	uint16_t plants; /* quantity */
};
static const struct role roles[] = {
	{"bog", ROLE_BOG, Q_plants_bog},
	{"margin", ROLE_MARGIN, Q_plants_margin},
	{"emergent", ROLE_EMERGENT, Q_plants_emergent},
	{"floating", ROLE_FLOATING, Q_plants_floating},
	{"submerged", ROLE_SUBMERGED, Q_plants_submerged},
};

/* A species of the role and the region's climate for which some of the pond is deep enough. */
static bool suits(const struct view *view, const struct plant *plant, enum plant_role role)
{
	uint32_t climate = view->config->region_cards[view->edition->region].climate;

	return plant->role == role && (plant->climates & climate) != 0 &&
		plant->least_depth_m <= view->quote->q[Q_depth_reached_m];
}

static void species(struct writer *out, const struct view *view, enum plant_role role)
{
	writer_key(out, "species");
	writer_array_open(out);
	for (uint32_t i = 0; i < view->config->n_plants; i++) {
		const struct plant *plant = &view->config->plants[i];

		if (!suits(view, plant, role))
			continue;
		writer_object_open(out);
		write_said(out, &view->config->said_of_plants[i]);
		writer_object_close(out);
	}
	writer_array_close(out);
}

void answer_planting(struct writer *out, const struct view *view)
{
	const double *q = view->quote->q;

	writer_key(out, "planting");
	writer_object_open(out);
	writer_member_string(out, "climate", view_text(view, view_catalogue(view)->regions[view->edition->region].text)->climate);
	writer_member_number(out, "salvaged", q[Q_plants_salvaged]);
	writer_key(out, "roles");
	writer_array_open(out);
	for (size_t i = 0; i < sizeof roles / sizeof roles[0]; i++) {
		if (!(q[roles[i].plants] > 0))
			continue;
		writer_object_open(out);
		writer_member_string(out, "id", roles[i].id);
		writer_member_number(out, "plants", q[roles[i].plants]);
		species(out, view, roles[i].role);
		writer_object_close(out);
	}
	writer_array_close(out);
	writer_object_close(out);
}
