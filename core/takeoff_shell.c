#include "takeoff.h"

#include <math.h>

#include "conditions.h"
#include "sheet.h"

/* The shell, layer by layer. Layers are listed from the ground inward; a layer's volume is what the hole for it and
 * everything inside it exceeds the hole for what is inside it, so corners are counted once. */

static bool is_laid(const struct job *job, const struct layer *layer)
{
	return conditions_truth(job->catalogue, layer->when, job->v, job->q) == YES;
}

/* Strip of shell that stands above the water line. */
static double rim_m2(const struct job *job)
{
	return job->q[Q_shell_area_m2] - job->q[Q_wetted_area_m2];
}

static double rounded_up(double length_m, double step_m)
{
	return ceil(length_m / step_m - 1e-9) * step_m; /* 6.4 m is 64 steps of 0.1 m, not 65 */
}

static void sheet(struct job *job, const struct layer *layer)
{
	double *q = job->q, step_m = job_practice(job, P_sheet_step_m), roll_m = job_practice(job, P_roll_width_m);
	double folds = job->shore.kind == OUTLINE_RECTANGLE ? 0 : job_practice(job, P_sheet_fold_share);
	struct sheet size;

	sheet_measure(&job->shore, &job->profile, job->depth_m, job->basin.depth_reached_m, job_number(job, F_freeboard_m),
	              job_practice(job, P_sheet_flap_m), &size);
	q[Q_sheet_length_m] = rounded_up(size.length_m * (1 + folds), step_m);
	q[Q_sheet_width_m] = rounded_up(size.width_m * (1 + folds), step_m);
	q[Q_sheet_by_rule_length_m] = rounded_up(size.by_rule_length_m, step_m);
	q[Q_sheet_by_rule_width_m] = rounded_up(size.by_rule_width_m, step_m);
	q[Q_sheet_m2] = q[Q_sheet_length_m] * q[Q_sheet_width_m];
	q[Q_sheet_short_m] = fmin(q[Q_sheet_length_m], q[Q_sheet_width_m]);
	if (q[Q_sheet_short_m] > roll_m)
		q[Q_sheet_seam_m] = (ceil(q[Q_sheet_short_m] / roll_m) - 1) * fmax(q[Q_sheet_length_m], q[Q_sheet_width_m]);
	q[Q_sheet_kg] = q[Q_sheet_m2] * layer->kg_m2;
}

static void layer_areas(struct job *job, const struct layer *layer)
{
	double *q = job->q, face_m2 = q[Q_shell_area_m2];

	switch ((enum layer_kind)layer->kind) {
	case LAYER_BED:
		q[Q_bed_m2] += q[Q_wetted_area_m2];
		break;
	case LAYER_UNDERLAY: /* as large as the sheet, known when the sheet has been measured */
		q[Q_underlay_m2] += layer->coats;
		break;
	case LAYER_SHEET:
		sheet(job, layer);
		break;
	case LAYER_UNDERDRAIN:
		q[Q_underdrain_m] = q[Q_water_surface_m2] / job_practice(job, P_underdrain_spacing_m);
		q[Q_sump_count] = 1;
		break;
	case LAYER_BLINDING:
		q[Q_blinding_m2] += q[Q_wetted_area_m2];
		break;
	case LAYER_MESH:
		q[Q_mesh_m2] += face_m2 * layer->coats;
		break;
	case LAYER_BOND:
		q[Q_bond_m2] += face_m2 * layer->coats;
		break;
	case LAYER_RENDER:
		q[Q_render_m2] = face_m2;
		q[Q_render_coat_m2] += face_m2 * layer->coats;
		break;
	case LAYER_PAINT:
		q[Q_paint_m2] = face_m2;
		q[Q_paint_coat_m2] += face_m2 * layer->coats;
		break;
	case LAYER_CONCRETE:
	case LAYER_CLAY:
	case LAYER_COVER:
	case LAYER_KINDS:
		break;
	}
}

/* The quantity that a layer's volume belongs to. */
static enum quantity_id volume_of(enum layer_kind kind)
{
	switch (kind) {
	case LAYER_BED: return Q_bed_m3;
	case LAYER_BLINDING: return Q_blinding_m3;
	case LAYER_CONCRETE: return Q_concrete_m3;
	case LAYER_RENDER: return Q_render_m3;
	case LAYER_CLAY: return Q_clay_m3;
	case LAYER_COVER: return Q_cover_m3;
	case LAYER_UNDERLAY:
	case LAYER_SHEET:
	case LAYER_UNDERDRAIN:
	case LAYER_MESH:
	case LAYER_BOND:
	case LAYER_PAINT:
	case LAYER_KINDS: break;
	}
	return Q_none;
}

/* From the innermost layer outward. */
static void layer_volumes(struct job *job)
{
	const struct shell *shell = job->shell;
	double inside_m = 0, inside_m3 = takeoff_hole_m3(job, 0);

	for (uint32_t i = shell->layers.count; i-- > 0;) {
		const struct layer *layer = &job->catalogue->layers[shell->layers.first + i];
		enum quantity_id quantity = volume_of((enum layer_kind)layer->kind);
		double hole;

		if (!is_laid(job, layer))
			continue;
		job->q[Q_shell_kg_m2] += layer->kg_m2;
		if (layer->thickness_m <= 0)
			continue;
		inside_m += layer->thickness_m;
		hole = takeoff_hole_m3(job, inside_m);
		if (quantity != Q_none)
			job->q[quantity] += hole - inside_m3;
		if (quantity == Q_concrete_m3 || quantity == Q_render_m3)
			job->q[quantity] += rim_m2(job) * layer->thickness_m;
		inside_m3 = hole;
	}
	job->q[Q_shell_thickness_m] = inside_m;
}

double takeoff_steep_face_m2(const struct job *job)
{
	if (job->basin.vertical_face_m2 > 0)
		return job->basin.vertical_face_m2;
	return job->basin.wetted_area_m2 - job->basin.floor_area_m2;
}

static void formwork(struct job *job)
{
	if (job->shell->rigid && job->q[Q_concrete_m3] > 0 &&
	    job->q[Q_steepest_side_deg] > job_practice(job, P_formwork_steeper_deg))
		job->q[Q_formwork_m2] = takeoff_steep_face_m2(job) + rim_m2(job);
}

static void cement(struct job *job)
{
	double *q = job->q, render_kg = job_practice(job, P_render_cement_kg_m3);

	q[Q_cement_kg_used] = (q[Q_concrete_m3] + q[Q_blinding_m3] + q[Q_footing_m3] + q[Q_stream_concrete_m3]) *
	                              job_practice(job, P_concrete_cement_kg_m3) +
	                      (q[Q_render_m3] + q[Q_rock_mortar_m3]) * render_kg;
}

void takeoff_shell(struct job *job)
{
	const struct shell *shell = job->shell;

	if (job->has_pond && shell && job->scope->shells) {
		for (uint32_t i = 0; i < shell->layers.count; i++) {
			const struct layer *layer = &job->catalogue->layers[shell->layers.first + i];

			if (is_laid(job, layer))
				layer_areas(job, layer);
		}
		job->q[Q_underlay_m2] *= job->q[Q_sheet_m2];
		layer_volumes(job);
		formwork(job);
	}
	cement(job);
}
