#include "answer_view.h"

static const char *const choice_words[] = {
	[PUMP_NOT_NEEDED] = "not-needed", [PUMP_CHOSEN] = "chosen", [PUMP_KEPT] = "kept", [PUMP_NONE_DELIVERS] = "none-delivers",
};

static bool has_duty(const struct water_result *water)
{
	return water->choice == PUMP_CHOSEN || water->choice == PUMP_KEPT;
}

static void duty_member(struct writer *out, const struct water_result *water)
{
	const struct duty *duty = &water->duty;

	writer_key(out, "duty");
	if (!has_duty(water)) {
		writer_null(out);
		return;
	}
	writer_object_open(out);
	writer_member_string(out, "status", duty_state_slug(duty->state));
	writer_member_number(out, "flow_l_per_h", duty->flow_l_per_h);
	writer_member_number(out, "head_m", duty->head_m);
	writer_member_number(out, "velocity_m_s", duty->velocity_m_s);
	writer_member_number(out, "reynolds", duty->reynolds);
	writer_member_string(out, "regime", regime_slug(duty->regime));
	writer_member_number(out, "friction_factor", duty->friction_factor);
	writer_member_number(out, "friction_m", duty->friction_m);
	writer_member_number(out, "minor_m", duty->minor_m);
	writer_member_number(out, "hydraulic_w", duty->hydraulic_w);
	writer_object_close(out);
}

static void enough_member(struct writer *out, bool known, bool enough)
{
	if (known)
		writer_member_bool(out, "enough", enough);
	else
		writer_member_null(out, "enough");
}

/* The same pump on every other bore of the list: what a wider delivery would bring. */
static void other_bores(struct writer *out, const struct view *view)
{
	const struct water_result *water = &view->quote->water;
	const struct catalogue *catalogue = view_catalogue(view);
	struct bore_result results[BORES_MOST];

	if (has_duty(water))
		quote_other_bores(catalogue, view->quote, results);
	writer_key(out, "other_bores");
	writer_array_open(out);
	for (uint32_t i = 0; i < catalogue->n_bores && has_duty(water); i++) {
		const struct bore_result *result = &results[i];
		const struct text *text = view_text(view, catalogue->bores[i].text);

		if (i == water->bore || catalogue->bores[i].bore_mm == water->bore_mm)
			continue;
		writer_object_open(out);
		writer_member_number(out, "bore_mm", catalogue->bores[i].bore_mm);
		writer_member_string(out, "title", text->title);
		writer_member_number(out, "roughness_mm", catalogue->bores[i].roughness_mm);
		writer_member_string(out, "status", duty_state_slug((enum duty_state)result->state));
		writer_member_number(out, "flow_l_per_h", result->flow_l_per_h);
		writer_member_number(out, "velocity_m_s", result->velocity_m_s);
		enough_member(out, water->enough_known, result->enough);
		writer_object_close(out);
	}
	writer_array_close(out);
}

/* The kept pump may have a curve of its own and no name. */
static void pump_member(struct writer *out, const struct view *view)
{
	const struct water_result *water = &view->quote->water;
	const struct text *text;

	if (!has_duty(water)) {
		writer_member_null(out, "pump");
		writer_member_null(out, "pump_title");
	} else if (water->pump == NO_INDEX) {
		writer_member_string(out, "pump", "kept");
		writer_member_string(out, "pump_title", config_phrase(view->config, PHRASE_kept_pump));
	} else {
		text = view_text(view, view_catalogue(view)->pumps[water->pump].text);
		writer_member_string(out, "pump", text->id);
		writer_member_string(out, "pump_title", text->title);
	}
}

static void pipe_members(struct writer *out, const struct water_result *water)
{
	if (has_duty(water)) {
		writer_member_number(out, "bore_mm", water->bore_mm);
		writer_member_number(out, "sum_k", water->sum_k);
	} else {
		writer_member_null(out, "bore_mm");
		writer_member_null(out, "sum_k");
	}
	writer_member_number(out, "density_kg_m3", water->density_kg_m3);
	writer_member_number(out, "viscosity_m2_s", water->viscosity_m2_s);
}

void answer_water_member(struct writer *out, const struct view *view)
{
	const struct water_result *water = &view->quote->water;

	writer_key(out, "water");
	writer_object_open(out);
	writer_member_number(out, "demand_l_per_h", water->demand_l_per_h);
	writer_member_number(out, "static_m", water->static_m);
	pipe_members(out, water);
	pump_member(out, view);
	enough_member(out, water->enough_known, water->enough);
	duty_member(out, water);
	other_bores(out, view);
	writer_member_number(out, "kwh_per_year", water->kwh_per_year);
	writer_member_int(out, "running_cost_per_year_minor", water->running_cost_minor);
	writer_member_string(out, "choice", choice_words[water->choice]);
	if (has_duty(water)) {
		writer_member_number(out, "run_m", water->run_m);
		writer_member_number(out, "roughness_mm", water->roughness_mm);
		writer_member_number(out, "power_w", water->power_w);
	}
	writer_object_close(out);
}
