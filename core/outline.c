#include "outline.h"

#include <math.h>

#include "outline_parts.h"

/* Rectangle, rounded rectangle, circle and stadium are one family: a circle is a square whose corner radius
 * is half its side, a stadium the same of a rectangle. k is what is left of the corner radius; a sharp
 * corner stays sharp, even outward. */
static struct shore_level rounded_level(const struct shore *shore, double s)
{
	double k = shore->corner_m > 0.0 ? fmax(shore->corner_m - s, 0.0) : 0.0;
	double straight = shore->length_m - shore->width_m, y = shore->width_m - 2.0 * s;

	return (struct shore_level){
		.area_m2 = y * (straight + y) - (4.0 - OUTLINE_PI) * k * k,
		.perimeter_m = 2.0 * straight + 4.0 * y - (8.0 - 2.0 * OUTLINE_PI) * k,
		.integral_m3 = y * y * (straight / 4.0 + y / 6.0) - (4.0 - OUTLINE_PI) * k * k * k / 3.0,
	};
}

static struct shore_level level_as_prepared(const struct shore *shore, double inset_m)
{
	switch (shore->kind) {
	case OUTLINE_RECTANGLE:
	case OUTLINE_CIRCLE:
	case OUTLINE_STADIUM:
		return rounded_level(shore, inset_m);
	case OUTLINE_ELLIPSE:
		return ellipse_level(shore, inset_m);
	case OUTLINE_POLYGON:
		break;
	}
	return polygon_level(shore, inset_m);
}

/* A scaled outline at an inset is the prepared one at the inset over the scale, scaled. */
struct shore_level shore_level(const struct shore *shore, double inset_m)
{
	double k = shore->scale;
	struct shore_level level;

	if (inset_m >= shore->inradius_m)
		return (struct shore_level){0.0, 0.0, 0.0};
	level = level_as_prepared(shore, inset_m / k);
	return (struct shore_level){level.area_m2 * k * k, level.perimeter_m * k, level.integral_m3 * k * k * k};
}

struct shore_level shore_level_as_drawn(const struct shore *shore, double inset_m)
{
	if (inset_m >= shore->inradius_m / shore->scale)
		return (struct shore_level){0.0, 0.0, 0.0};
	return level_as_prepared(shore, inset_m);
}

void shore_rescale(struct shore *shore, double scale)
{
	double k = scale / shore->scale;

	shore->scale = scale;
	shore->surface_m2 *= k * k;
	shore->perimeter_m *= k;
	shore->inradius_m *= k;
	shore->bound_length_m *= k;
	shore->bound_width_m *= k;
	shore->longest_m *= k;
	shore->integral_m3 *= k * k * k;
}

double shore_area_m2(const struct shore *shore, double inset_m)
{
	return shore_level(shore, inset_m).area_m2;
}

double shore_perimeter_m(const struct shore *shore, double inset_m)
{
	return shore_level(shore, inset_m).perimeter_m;
}

double shore_area_integral_m3(const struct shore *shore, double from_inset_m, double to_inset_m)
{
	return shore_level(shore, from_inset_m).integral_m3 - shore_level(shore, to_inset_m).integral_m3;
}

static void prepare_sides(struct shore *shore, double one_m, double other_m)
{
	shore->length_m = shore->bound_length_m = fmax(one_m, other_m);
	shore->width_m = shore->bound_width_m = fmin(one_m, other_m);
	shore->inradius_m = shore->width_m / 2.0;
}

static void prepare_rounded(struct shore *shore, double corner_m)
{
	double round_m = 2.0 * corner_m;
	struct shore_level whole;

	shore->corner_m = corner_m;
	whole = rounded_level(shore, 0.0);
	shore->surface_m2 = whole.area_m2;
	shore->perimeter_m = whole.perimeter_m;
	shore->integral_m3 = whole.integral_m3;
	shore->longest_m = round_m + hypot(shore->length_m - round_m, shore->width_m - round_m);
}

static void prepare_ellipse(struct shore *shore)
{
	double a = shore->length_m / 2.0, b = shore->width_m / 2.0;

	shore->corner_m = 0.0;
	shore->surface_m2 = OUTLINE_PI * a * b;
	shore->perimeter_m = ellipse_perimeter_m(a, b);
	shore->integral_m3 = ellipse_integral_m3(a, b);
	shore->longest_m = shore->length_m;
}

static enum status prepare_kind(const struct outline *outline, struct shore *shore)
{
	switch (outline->kind) {
	case OUTLINE_RECTANGLE:
		prepare_sides(shore, outline->length_m, outline->width_m);
		prepare_rounded(shore, outline->corner_radius_m);
		return ST_OK;
	case OUTLINE_CIRCLE:
		prepare_sides(shore, outline->diameter_m, outline->diameter_m);
		prepare_rounded(shore, shore->inradius_m);
		return ST_OK;
	case OUTLINE_STADIUM:
		prepare_sides(shore, outline->length_m, outline->width_m);
		prepare_rounded(shore, shore->inradius_m);
		return ST_OK;
	case OUTLINE_ELLIPSE:
		prepare_sides(shore, outline->length_m, outline->width_m);
		prepare_ellipse(shore);
		return ST_OK;
	case OUTLINE_POLYGON:
		break;
	}
	return polygon_prepare(outline, shore);
}

double outline_perimeter_m(const struct outline *outline)
{
	double length_m = fmax(outline->length_m, outline->width_m), width_m = fmin(outline->length_m, outline->width_m);

	switch (outline->kind) {
	case OUTLINE_RECTANGLE: return 2.0 * (length_m + width_m) - (8.0 - 2.0 * OUTLINE_PI) * outline->corner_radius_m;
	case OUTLINE_CIRCLE: return OUTLINE_PI * outline->diameter_m;
	case OUTLINE_STADIUM: return 2.0 * (length_m - width_m) + OUTLINE_PI * width_m;
	case OUTLINE_ELLIPSE: return ellipse_perimeter_m(length_m / 2.0, width_m / 2.0);
	case OUTLINE_POLYGON: break;
	}
	return polygon_perimeter_m(outline);
}

enum status outline_prepare(const struct outline *outline, struct shore *shore)
{
	enum status status;

	shore->kind = outline->kind;
	shore->scale = 1.0;
	shore->dish_ready = false;
	status = prepare_kind(outline, shore);
	shore->drawn = (struct shore_level){shore->surface_m2, shore->perimeter_m, shore->integral_m3};
	return status;
}
