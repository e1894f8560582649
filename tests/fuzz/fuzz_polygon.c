#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "basin.h"

/* Any bytes as an outline and a profile. What outline_check and profile_check let through can be prepared and measured:
 * every figure finite and none negative, less left the further in, and no more water than the depth could hold. */

int LLVMFuzzerTestOneInput(const unsigned char *bytes, size_t size);

struct input {
	const unsigned char *at;
	size_t left;
};

static unsigned take_byte(struct input *input)
{
	if (input->left == 0)
		return 0;
	input->left--;
	return *input->at++;
}

/* Centimetres in two bytes, or the eight bytes of any double. */
static double take_number(struct input *input, bool any)
{
	double number = 0;

	if (!any) {
		unsigned high = take_byte(input);

		return (double)(int16_t)(high << 8 | take_byte(input)) / 100;
	}
	for (size_t i = 0; i < sizeof number; i++)
		((unsigned char *)&number)[i] = (unsigned char)take_byte(input);
	return number;
}

static void take_outline(struct input *input, bool any, struct outline *outline)
{
	memset(outline, 0, sizeof *outline);
	outline->kind = (enum outline_kind)(take_byte(input) % 5);
	outline->length_m = take_number(input, any);
	outline->width_m = take_number(input, any);
	outline->corner_radius_m = take_number(input, any);
	outline->diameter_m = take_number(input, any);
	while (outline->kind == OUTLINE_POLYGON && input->left > 0 && outline->n_points < OUTLINE_POINTS_MAX) {
		outline->points[outline->n_points].x_m = take_number(input, any);
		outline->points[outline->n_points++].y_m = take_number(input, any);
	}
}

static void take_profile(struct input *input, bool any, struct profile *profile)
{
	memset(profile, 0, sizeof *profile);
	profile->kind = (enum profile_kind)(take_byte(input) % 4);
	profile->side_slope = take_number(input, any);
	profile->shelf_width_m = take_number(input, any);
	profile->shelf_depth_m = take_number(input, any);
	profile->n_steps = take_byte(input) % (PROFILE_STEPS_MAX + 1);
	for (uint32_t i = 0; i < profile->n_steps; i++) {
		profile->steps[i].inset_m = take_number(input, any);
		profile->steps[i].depth_m = take_number(input, any);
	}
}

static bool is_sound(double number)
{
	return isfinite(number) && number >= 0;
}

/* Rounding may show in the last of about ten digits. */
static bool is_at_most(double less, double more)
{
	return less <= more + 1e-9 * (1 + fabs(more));
}

static void look_inside(const struct shore *shore)
{
	double before_m2 = shore->surface_m2;

	for (int i = 0; i <= 16; i++) {
		struct shore_level level = shore_level(shore, shore->inradius_m * i / 16);

		assert(is_sound(level.area_m2) && is_sound(level.perimeter_m) && is_sound(level.integral_m3));
		assert(is_at_most(level.area_m2, before_m2));
		before_m2 = level.area_m2;
	}
	assert(shore_area_m2(shore, shore->inradius_m * 1.001 + 1e-6) == 0);
	assert(isfinite(shore_area_m2(shore, -0.5)) && shore_area_m2(shore, -0.5) >= shore->surface_m2);
}

static void dig(const struct shore *shore, const struct profile *profile, double depth_m)
{
	struct basin basin;

	if (profile_check(profile, depth_m) != ST_OK || !(profile_depth_m(profile, depth_m) <= 6))
		return;
	basin_measure(shore, profile, depth_m, &basin);
	assert(is_sound(basin.depth_reached_m) && is_sound(basin.water_volume_m3) && is_sound(basin.wetted_area_m2));
	assert(is_sound(basin.floor_area_m2) && is_sound(basin.vertical_face_m2) && is_sound(basin.mean_depth_m));
	assert(is_at_most(basin.depth_reached_m, profile_depth_m(profile, depth_m)));
	assert(is_at_most(basin.water_volume_m3, basin.surface_m2 * basin.depth_reached_m));
	assert(is_at_most(basin.surface_m2, basin.wetted_area_m2));
	assert(is_sound(basin_dig_m3(shore, profile, depth_m, 0.15)));
	assert(is_sound(basin_rim_m2(shore, profile, depth_m, 0.1)));
}

int LLVMFuzzerTestOneInput(const unsigned char *bytes, size_t size)
{
	static struct shore shore; /* too large for a stack */
	struct input input = {bytes, size};
	bool any = take_byte(&input) % 8 == 7;
	struct outline_fault fault;
	struct outline outline;
	struct profile profile;
	double depth_m;

	depth_m = take_number(&input, any);
	take_profile(&input, any, &profile);
	take_outline(&input, any, &outline);
	if (outline_check(&outline, &fault) != ST_OK || outline_prepare(&outline, &shore) != ST_OK)
		return 0;
	assert(is_sound(shore.surface_m2) && is_sound(shore.perimeter_m) && is_sound(shore.inradius_m));
	look_inside(&shore);
	dig(&shore, &profile, depth_m);
	return 0;
}
