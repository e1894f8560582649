#include "compare_view.h"

static void grid_option(struct writer *out, const struct view *view, uint16_t shell, const struct grid_price *price)
{
	writer_object_open(out);
	compare_shell_member(out, "shell", view, shell);
	writer_member_bool(out, "fits", price->fits);
	if (price->built)
		writer_member_int(out, "price_minor", compare_shown_minor(view, price->now_minor));
	else
		writer_member_null(out, "price_minor");
	if (price->years_known)
		writer_member_int(out, "cost_over_years_minor", compare_shown_minor(view, price->over_years_minor));
	else
		writer_member_null(out, "cost_over_years_minor");
	writer_object_close(out);
}

static const char *form_of(const struct view *view, uint16_t index)
{
	const struct shell *shell;

	if (index == NO_INDEX)
		return NULL;
	shell = &view_catalogue(view)->shells[index];
	if (shell->sheet)
		return "sheet";
	return shell->rigid ? "cast" : "clay";
}

static void write_cell(struct writer *out, const struct view *view, const struct grid_cell *cell, double surface_m2,
	double depth_m)
{
	writer_object_open(out);
	writer_member_number(out, "water_surface_m2", surface_m2);
	writer_member_number(out, "depth_m", depth_m);
	writer_member_number(out, "depth_reached_m", cell->depth_reached_m);
	compare_shell_member(out, "cheapest_now", view, cell->cheapest_now);
	writer_member_string(out, "form_now", form_of(view, cell->cheapest_now));
	compare_shell_member(out, "cheapest_over_years", view, cell->cheapest_over_years);
	writer_member_string(out, "form_over_years", form_of(view, cell->cheapest_over_years));
	writer_key(out, "options");
	writer_array_open(out);
	for (uint16_t shell = 0; shell < view_catalogue(view)->n_shells; shell++)
		grid_option(out, view, shell, &cell->prices[shell]);
	writer_array_close(out);
	writer_object_close(out);
}

static void numbers(struct writer *out, const char *key, const double *values, uint32_t count)
{
	writer_key(out, key);
	writer_array_open(out);
	for (uint32_t i = 0; i < count; i++)
		writer_number(out, values[i]);
	writer_array_close(out);
}

void compare_grid_member(struct writer *out, const struct view *view, const struct grid *grid)
{
	writer_key(out, "grid");
	writer_object_open(out);
	writer_member_string(out, "of", config_phrase(view->config, PHRASE_grid_of));
	writer_member_int(out, "service_years", grid->years);
	numbers(out, "water_surface_m2", grid_surface_m2, GRID_SIZES);
	numbers(out, "depth_m", grid_depth_m, GRID_DEPTHS);
	writer_key(out, "cells");
	writer_array_open(out);
	for (uint32_t i = 0; i < GRID_SIZES; i++)
		for (uint32_t k = 0; k < GRID_DEPTHS; k++)
			write_cell(out, view, &grid->cells[i][k], grid_surface_m2[i], grid_depth_m[k]);
	writer_array_close(out);
	writer_object_close(out);
}
