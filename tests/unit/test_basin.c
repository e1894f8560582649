#include <check.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include "basin.h"

/* Check values are printed to five decimals and were worked out by two independent methods that agree to
 * 3e-6 on straight edges and 3e-5 on curves; where ours is a polynomial in the inset it must reproduce the
 * last digit. */
#define POLYNOMIAL 1e-6
#define CURVED 3e-5
#define DIGIT 0.51e-5

static const double pi = 3.14159265358979323846;

static struct shore shore;

static void prepare(const struct outline *outline)
{
	struct outline_fault fault;

	ck_assert_int_eq(outline_check(outline, &fault), ST_OK);
	ck_assert_int_eq(outline_prepare(outline, &shore), ST_OK);
}

#define RECTANGLE(l, w, q) \
	{ \
		.kind = OUTLINE_RECTANGLE, .length_m = l, .width_m = w, .corner_radius_m = q \
	}
#define CIRCLE(d) \
	{ \
		.kind = OUTLINE_CIRCLE, .diameter_m = d \
	}
#define ELLIPSE(l, w) \
	{ \
		.kind = OUTLINE_ELLIPSE, .length_m = l, .width_m = w \
	}
#define STADIUM(l, w) \
	{ \
		.kind = OUTLINE_STADIUM, .length_m = l, .width_m = w \
	}
#define POLYGON(n, ...) \
	{ \
		.kind = OUTLINE_POLYGON, .n_points = n, .points = { __VA_ARGS__ } \
	}
#define ELL POLYGON(6, {0, 0}, {6, 0}, {6, 3}, {3, 3}, {3, 6}, {0, 6})
#define TRIANGLE POLYGON(3, {0, 0}, {4, 0}, {0, 3})
#define CROSS \
	POLYGON(12, {2, 0}, {4, 0}, {4, 2}, {6, 2}, {6, 4}, {4, 4}, {4, 6}, {2, 6}, {2, 4}, {0, 4}, {0, 2}, {2, 2})
#define STEPPED(n, ...) \
	{ \
		.kind = PROFILE_STEPPED, .n_steps = n, .steps = { __VA_ARGS__ } \
	}

/* The dish of depth 1.2 on a circle of 6 m, as ten straight pieces. */
#define DISH_PIECE(s) \
	{ \
		s, 1.2 * (1.0 - (1.0 - (s) / 3.0) * (1.0 - (s) / 3.0)) \
	}

static const struct {
	struct outline outline;
	struct profile profile;
	double surface_m2, perimeter_m, volume_m3, wetted_m2, floor_m2;
	double depth_reached_m, tolerance;
} rows[] = {
	{RECTANGLE(6, 4, 0), STEPPED(1, {0, 1.2}), 24, 20, 28.8, 48, 24, 1.2, POLYNOMIAL},
	{RECTANGLE(8, 5, 0), STEPPED(1, {0.9, 0.9}), 40, 26, 26.442, 48.35055, 19.84, 0.9, POLYNOMIAL},
	{RECTANGLE(8, 5, 0), STEPPED(3, {0, 0.3}, {0.4, 0.3}, {0.9, 1.2}), 40, 26, 34.386, 58.81491, 19.84, 1.2,
		POLYNOMIAL},
	{RECTANGLE(4, 4, 0), STEPPED(1, {2, 1}), 16, 16, 5.33333, 17.88854, 0, 1, POLYNOMIAL},
	{CIRCLE(5), STEPPED(1, {0, 0.8}), 19.63495, 15.70796, 15.70796, 32.20132, 19.63495, 0.8, POLYNOMIAL},
	{CIRCLE(6), STEPPED(1, {1.2, 0.9}), 28.27433, 18.84956, 16.62531, 32.79823, 10.17876, 0.9, POLYNOMIAL},
	{CIRCLE(3), STEPPED(1, {2, 1}), 7.06858, 9.42478, 1.76715, 7.90292, 0, 0.75, POLYNOMIAL},
	{CIRCLE(6),
		STEPPED(10, DISH_PIECE(0.3), DISH_PIECE(0.6), DISH_PIECE(0.9), DISH_PIECE(1.2), DISH_PIECE(1.5),
			DISH_PIECE(1.8), DISH_PIECE(2.1), DISH_PIECE(2.4), DISH_PIECE(2.7), DISH_PIECE(3.0)),
		28.27433, 18.84956, 16.90805, 32.38590, 0, 1.2, POLYNOMIAL},
	{ELLIPSE(6, 4), STEPPED(1, {0, 1}), 18.84956, 15.86544, 18.84956, 34.71500, 18.84956, 1, POLYNOMIAL},
	{ELLIPSE(6, 4), STEPPED(1, {1, 1}), 18.84956, 15.86544, 11.96403, 24.11995, 6.12571, 1, CURVED},
	{ELLIPSE(8, 3), STEPPED(1, {1, 1}), 18.84956, 18.18343, 10.81188, 25.05069, 3.87871, 1, CURVED},
	{STADIUM(7, 3), STEPPED(1, {0.6, 0.8}), 19.06858, 17.42478, 11.37451, 25.28451, 9.74469, 0.8, POLYNOMIAL},
	{RECTANGLE(6, 4, 0.8), STEPPED(1, {0.5, 0.5}), 23.45062, 18.62655, 9.52789, 26.98298, 14.92274, 0.5,
		POLYNOMIAL},
	{RECTANGLE(6, 4, 0.8), STEPPED(1, {1.2, 0.9}), 23.45062, 18.62655, 12.41812, 27.87327, 5.76, 0.9, POLYNOMIAL},
	{ELL, STEPPED(1, {0.7, 0.7}), 27, 24, 13.50187, 33.10337, 12.26515, 0.7, POLYNOMIAL},
	{ELL, STEPPED(2, {0.4, 0.2}, {0.4, 0.9}), 27, 24, 17.13699, 42.49335, 18.07434, 0.9, POLYNOMIAL},
	{TRIANGLE, STEPPED(1, {0.5, 0.5}), 6, 12, 1.75, 7.86396, 1.5, 0.5, POLYNOMIAL},
	{CROSS, STEPPED(1, {0.5, 0.5}), 20, 24, 7.20243, 24.46746, 9.21460, 0.5, POLYNOMIAL},
	{CROSS, STEPPED(1, {1.2, 1.2}), 20, 24, 9.71371, 28.20294, 0.19636, 1.2, CURVED},
	{CIRCLE(6), {.kind = PROFILE_DISH}, 28.27433, 18.84956, 16.96460, 32.40429, 0, 1.2, POLYNOMIAL},
};

enum { ROWS = sizeof rows / sizeof rows[0] };

START_TEST(basins_hold_what_two_other_methods_say)
{
	double share = rows[_i].tolerance;
	struct basin basin;

	prepare(&rows[_i].outline);
	ck_assert_int_eq(profile_check(&rows[_i].profile, 1.2), ST_OK);
	basin_measure(&shore, &rows[_i].profile, 1.2, &basin);
	ck_assert_double_eq_tol(basin.surface_m2, rows[_i].surface_m2, DIGIT);
	ck_assert_double_eq_tol(basin.perimeter_m, rows[_i].perimeter_m, DIGIT);
	ck_assert_double_eq_tol(basin.water_volume_m3, rows[_i].volume_m3, fmax(DIGIT, share * rows[_i].volume_m3));
	ck_assert_double_eq_tol(basin.wetted_area_m2, rows[_i].wetted_m2, fmax(DIGIT, share * rows[_i].wetted_m2));
	ck_assert_double_eq_tol(basin.floor_area_m2, rows[_i].floor_m2, fmax(DIGIT, share * rows[_i].floor_m2));
	ck_assert_double_eq_tol(basin.depth_reached_m, rows[_i].depth_reached_m, 1e-9);
	ck_assert(basin.bottoms_out == (basin.depth_reached_m < profile_depth_m(&rows[_i].profile, 1.2) - 1e-9));
	ck_assert_double_eq_tol(basin.mean_depth_m, rows[_i].volume_m3 / rows[_i].surface_m2, 1e-4);
}
END_TEST

/* Twice Richardson: errors of second and of fourth order in the chord cancel. */
static double extrapolate(const double coarse_to_fine[3])
{
	double first = coarse_to_fine[1] + (coarse_to_fine[1] - coarse_to_fine[0]) / 3.0;
	double second = coarse_to_fine[2] + (coarse_to_fine[2] - coarse_to_fine[1]) / 3.0;

	return second + (second - first) / 15.0;
}

/* A spherical cap of R 3, h 1.2, as 4, 8 and 16 chords in equal angles. It is no profile of ours; the sum
 * over its pieces is, and what that tends to is the closed form. */
START_TEST(chords_of_a_spherical_cap_tend_to_it)
{
	struct outline circle = CIRCLE(6);
	double h = 1.2, radius = (9.0 + h * h) / (2 * h), whole = asin(3.0 / radius);
	double volume_m3[3], wetted_m2[3];

	prepare(&circle);
	for (uint32_t k = 0; k < 3; k++) {
		struct profile profile = {.kind = PROFILE_STEPPED, .n_steps = 4u << k};
		struct basin basin;

		for (uint32_t i = 0; i < profile.n_steps; i++) {
			double turn = whole * (1.0 - (i + 1.0) / profile.n_steps);

			profile.steps[i].inset_m = 3.0 - radius * sin(turn);
			profile.steps[i].depth_m = h - radius * (1.0 - cos(turn));
		}
		basin_measure(&shore, &profile, h, &basin);
		volume_m3[k] = basin.water_volume_m3;
		wetted_m2[k] = basin.wetted_area_m2;
	}
	ck_assert_double_eq_tol(extrapolate(volume_m3), 17.86938, DIGIT);
	ck_assert_double_eq_tol(extrapolate(wetted_m2), 32.79823, DIGIT);
}
END_TEST

static const struct profile battered_1 = {.kind = PROFILE_BATTERED, .side_slope = 1.0};
static const struct profile upright = {.kind = PROFILE_VERTICAL};
static const struct profile dish = {.kind = PROFILE_DISH};
static const struct profile shelved = {
	.kind = PROFILE_BATTERED, .side_slope = 0.5, .shelf_width_m = 0.3, .shelf_depth_m = 0.25};

START_TEST(an_ellipse_by_hand)
{
	struct outline ellipse = ELLIPSE(5.5, 3.5);
	struct basin basin;

	prepare(&ellipse);
	basin_measure(&shore, &upright, 0.6, &basin);
	ck_assert_double_eq_tol(basin.water_volume_m3, 9.07, 0.0051);
	ck_assert_double_eq_tol(basin.vertical_face_m2, 0.6 * shore.perimeter_m, 1e-12);
	basin_measure(&shore, &battered_1, 0.6, &basin);
	ck_assert_double_eq_tol(basin.water_volume_m3, 6.72, 0.0051);
	basin_measure(&shore, &dish, 0.6, &basin);
	ck_assert_double_eq_tol(basin.water_volume_m3, 5.03, 0.0051);
	ck_assert_double_eq_tol(basin_dig_m3(&shore, &battered_1, 0.6, 0.05), 7.7, 0.051);
}
END_TEST

START_TEST(a_battered_profile_is_the_steps_it_stands_for)
{
	struct outline rectangle = RECTANGLE(6, 4, 0.5);
	struct profile steps = STEPPED(4, {0, 0}, {0.125, 0.25}, {0.425, 0.25}, {0.7, 0.8});
	struct basin one, two;

	prepare(&rectangle);
	basin_measure(&shore, &shelved, 0.8, &one);
	basin_measure(&shore, &steps, 0.0, &two);
	ck_assert_double_eq_tol(one.water_volume_m3, two.water_volume_m3, 1e-12);
	ck_assert_double_eq_tol(one.wetted_area_m2, two.wetted_area_m2, 1e-12);
	ck_assert_double_eq_tol(one.floor_area_m2, two.floor_area_m2, 1e-12);
	ck_assert_double_eq_tol(one.top_deg, atan(2.0) * 180.0 / pi, 1e-9);
	ck_assert_double_eq_tol(one.steepest_deg, one.top_deg, 1e-9);
	ck_assert_double_eq(profile_depth_m(&steps, 0.0), 0.8);
}
END_TEST

/* The floor tends to nothing, and the volume to that of the V, whichever side the inset comes from. */
START_TEST(bottoming_out_is_smooth_and_never_negative)
{
	struct outline rectangle = RECTANGLE(6, 4, 0);
	struct profile steps = STEPPED(1, {2.0, 1.0});
	double last_m3 = 0.0;

	prepare(&rectangle);
	for (int i = -20; i <= 20; i++) {
		struct basin basin;
		double inset_m = 2.0 + i * 1e-3;

		steps.steps[0] = (struct profile_step){inset_m, inset_m / 2.0}; /* always 1 in 2 */
		basin_measure(&shore, &steps, 1.0, &basin);
		ck_assert_double_ge(basin.floor_area_m2, 0.0);
		ck_assert_double_eq_tol(basin.depth_reached_m, fmin(inset_m, 2.0) / 2.0, 1e-12);
		ck_assert(basin.bottoms_out == (i > 0));
		ck_assert_double_ge(basin.water_volume_m3, last_m3 - 1e-12);
		last_m3 = basin.water_volume_m3;
	}
	ck_assert_double_eq_tol(
		last_m3, 1.0 / 6.0 * 4.0 * (3.0 * 6.0 - 4.0), 1e-12); /* a hipped roof: w h (3 l - w) / 6 */
}
END_TEST

START_TEST(a_wall_beyond_the_inradius_is_not_there)
{
	struct outline circle = CIRCLE(3);
	struct profile steps = STEPPED(2, {1.5, 0.5}, {1.5, 2.0});
	struct basin basin;

	prepare(&circle);
	basin_measure(&shore, &steps, 2.0, &basin);
	ck_assert(basin.bottoms_out);
	ck_assert_double_eq_tol(basin.depth_reached_m, 0.5, 1e-12);
	ck_assert_double_eq(basin.vertical_face_m2, 0.0);
	ck_assert_double_eq_tol(basin.steepest_deg, atan(1.0 / 3.0) * 180.0 / pi, 1e-9);
}
END_TEST

/* -- levels and zones -- */

START_TEST(zones_count_treads_at_both_ends)
{
	struct outline rectangle = RECTANGLE(8, 5, 0);
	struct profile steps = STEPPED(3, {0, 0.3}, {0.4, 0.3}, {0.9, 1.2});
	double shelf_m2 = 40.0 - 7.2 * 4.2, floor_m2 = 6.2 * 3.2, side_m2 = 7.2 * 4.2 - floor_m2;

	prepare(&rectangle);
	ck_assert_double_eq_tol(basin_area_between_m2(&shore, &steps, 0, 0.1 + 0.2, 0.9),
		shelf_m2 + 40 - shelf_m2 - (8 - 2 * (0.4 + 0.5 * 2 / 3)) * (5 - 2 * (0.4 + 0.5 * 2 / 3)), 1e-7);
	ck_assert_double_eq_tol(basin_area_between_m2(&shore, &steps, 0, 0.0, 0.3), shelf_m2, 1e-7);
	ck_assert_double_eq_tol(basin_area_between_m2(&shore, &steps, 0, 0.0, 0.299), 0.0, 1e-7);
	ck_assert_double_eq_tol(basin_area_between_m2(&shore, &steps, 0, 0.301, 1.2), floor_m2 + side_m2, 0.02);
	ck_assert_double_eq_tol(basin_area_between_m2(&shore, &steps, 0, 1.2, 2.0), floor_m2, 1e-7);
	ck_assert_double_eq_tol(basin_area_between_m2(&shore, &steps, 0, 0.0, 5.0), 40.0, 1e-7);
	ck_assert_double_eq(basin_area_between_m2(&shore, &steps, 0, 1.3, 2.0), 0.0);
	ck_assert_double_eq_tol(basin_area_between_m2(&shore, &dish, 1.0, 0.0, 0.75), 40.0 - 5.5 * 2.5, 1e-6);
}
END_TEST

START_TEST(levels_cut_the_basin)
{
	struct outline rectangle = RECTANGLE(8, 5, 0);
	struct profile steps = STEPPED(3, {0, 0.3}, {0.4, 0.3}, {0.9, 1.2});
	double below_m3 = 34.386 - 12.0;

	prepare(&rectangle);
	ck_assert_double_eq_tol(basin_volume_below_m3(&shore, &steps, 0, 0.0), 34.386, 1e-9);
	ck_assert_double_eq_tol(basin_volume_below_m3(&shore, &steps, 0, 0.3), below_m3, 1e-9);
	ck_assert_double_eq_tol(basin_volume_below_m3(&shore, &steps, 0, 0.2), below_m3 + 4.0, 1e-9);
	ck_assert_double_eq(basin_volume_below_m3(&shore, &steps, 0, 1.2), 0.0);
	ck_assert_double_eq_tol(basin_area_at_m2(&shore, &steps, 0, 0.3), 40.0, 1e-6);
	ck_assert_double_eq_tol(basin_area_at_m2(&shore, &steps, 0, 0.75), 6.7 * 3.7, 1e-6);
	ck_assert_double_eq_tol(basin_area_at_m2(&shore, &steps, 0, 1.2), 6.2 * 3.2, 1e-6);
	ck_assert_double_eq(basin_area_at_m2(&shore, &steps, 0, 1.21), 0.0);
}
END_TEST

/* -- the dig -- */

START_TEST(a_shell_square_to_the_faces_is_dug_for)
{
	struct outline rectangle = RECTANGLE(6, 4, 0);

	prepare(&rectangle);
	ck_assert_double_eq_tol(basin_dig_m3(&shore, &upright, 1.0, 0.15), 31.153, 0.00051);
	ck_assert_double_eq_tol(basin_dig_m3(&shore, &battered_1, 1.0, 0.15), 20.367, 0.00051);
}
END_TEST

/* Tread and walls, t = 0.1: the outline 0.1 out, the shelf 0.1 lower and as wide, the floor 0.1 lower. */
START_TEST(a_shelf_of_walls_and_treads_moves_whole)
{
	struct outline rectangle = RECTANGLE(6, 4, 0);
	struct profile steps = STEPPED(3, {0, 0.3}, {0.5, 0.3}, {0.5, 1.0});

	prepare(&rectangle);
	ck_assert_double_eq_tol(basin_dig_m3(&shore, &steps, 1.0, 0.1), 6.2 * 4.2 * 0.4 + 5.2 * 3.2 * 0.7, 1e-9);
}
END_TEST

/* A paraboloid's parallel surface by a fine polyline of its own. */
START_TEST(a_dish_is_dug_along_its_parallel)
{
	struct outline circle = CIRCLE(6);
	double t = 0.15, depth_m = 1.2, last_s = -t / sin(atan(0.8)), last_z = 0.0, sum_m3 = 0.0;

	prepare(&circle);
	for (int i = 0; i <= 20000; i++) {
		double s = 3.0 * i / 20000, turn = atan(2 * depth_m / 3.0 * (1 - s / 3.0));
		double out_s = s - t * sin(turn), out_z = depth_m * (1 - (1 - s / 3) * (1 - s / 3)) + t * cos(turn);

		sum_m3 += (out_z - last_z) * pi *
			(pow(3 - out_s, 2) + pow(3 - last_s, 2) + (3 - out_s) * (3 - last_s)) / 3;
		last_s = out_s;
		last_z = out_z;
	}
	ck_assert_double_eq_tol(basin_dig_m3(&shore, &dish, depth_m, t), sum_m3, 1e-6);
}
END_TEST

/* A beach of 1 in 20: t / sin would be 20 t. The edge is cut off 6 t out, from where the parallel goes on. */
START_TEST(a_flat_edge_is_cut_off)
{
	struct outline rectangle = RECTANGLE(20, 10, 0);
	struct profile steps = STEPPED(1, {4.0, 0.2});
	double t = 0.1, slant = sqrt(401.0), cut_m = t * slant / 20 - 0.6 / 20, edge_m = 4.0 - t * (slant - 20.0);
	double slope_m3 = 0.0;

	prepare(&rectangle);
	slope_m3 = (0.3 - cut_m) / (edge_m + 0.6) * shore_area_integral_m3(&shore, -0.6, edge_m);
	ck_assert_double_eq_tol(basin_dig_m3(&shore, &steps, 0.2, t), cut_m * 21.2 * 11.2 + slope_m3, 1e-9);
}
END_TEST

START_TEST(the_rim_goes_on_outward)
{
	struct outline rectangle = RECTANGLE(6, 4, 0);

	prepare(&rectangle);
	ck_assert_double_eq_tol(basin_rim_m2(&shore, &upright, 1.0, 0.1), 2.0, 1e-12);
	ck_assert_double_eq_tol(basin_rim_slant_m(&shore, &upright, 1.0, 0.1), 0.1, 1e-12);
	ck_assert_double_eq_tol(basin_rim_m2(&shore, &battered_1, 1.0, 0.1), (6.2 * 4.2 - 24.0) * sqrt(2.0), 1e-12);
	ck_assert_double_eq_tol(basin_rim_slant_m(&shore, &battered_1, 1.0, 0.1), 0.1 * sqrt(2.0), 1e-12);
}
END_TEST

/* -- laws -- */

static struct profile law_profile(int i)
{
	static const struct profile profiles[] = {
		{.kind = PROFILE_VERTICAL},
		{.kind = PROFILE_BATTERED, .side_slope = 0.0, .shelf_width_m = 0.4, .shelf_depth_m = 0.3},
		{.kind = PROFILE_BATTERED, .side_slope = 1.5},
		{.kind = PROFILE_BATTERED, .side_slope = 3.0, .shelf_width_m = 0.2, .shelf_depth_m = 0.0},
		{.kind = PROFILE_DISH},
		STEPPED(5, {0.3, 0}, {0.31, 0.2}, {0.35, 0.2}, {0.35, 0.5}, {0.9, 0.7}),
	};

	return profiles[i % 6];
}

enum { LAW_PROFILES = 6, LAWS = ROWS * LAW_PROFILES };

START_TEST(a_thicker_shell_is_never_less_to_dig)
{
	struct profile profile = law_profile(_i);
	struct basin basin;
	double last_m3;

	prepare(&rows[_i / LAW_PROFILES].outline);
	basin_measure(&shore, &profile, 0.7, &basin);
	last_m3 = basin_dig_m3(&shore, &profile, 0.7, 0.0);
	ck_assert_double_eq_tol(last_m3, basin.water_volume_m3, 1e-9);
	for (double t = 0.01; t < 0.6; t += 0.01) {
		double dig_m3 = basin_dig_m3(&shore, &profile, 0.7, t);

		/* at least a plate under the whole outline */
		ck_assert_double_ge(dig_m3, last_m3 + 0.009 * shore.surface_m2);
		last_m3 = dig_m3;
	}
}
END_TEST

START_TEST(a_deeper_pond_never_holds_less)
{
	struct profile profile = law_profile(_i);
	struct basin last = {0};

	if (profile.kind == PROFILE_STEPPED)
		profile = rows[1].profile;
	prepare(&rows[_i / LAW_PROFILES].outline);
	for (double depth_m = 0.35; depth_m < 3.0; depth_m += 0.05) {
		struct basin basin;

		if (profile.kind == PROFILE_STEPPED)
			profile.steps[0].depth_m = depth_m;
		basin_measure(&shore, &profile, depth_m, &basin);
		ck_assert_double_ge(basin.water_volume_m3, last.water_volume_m3 - 1e-9);
		ck_assert_double_ge(basin.wetted_area_m2, last.wetted_area_m2 - 1e-9);
		ck_assert_double_ge(basin.wetted_area_m2, basin.surface_m2 - 1e-9);
		ck_assert_double_ge(basin.depth_reached_m, last.depth_reached_m - 1e-9);
		ck_assert_double_ge(basin_dig_m3(&shore, &profile, depth_m, 0.15), basin.water_volume_m3);
		ck_assert_double_ge(basin_side_extra_m(&shore, &profile, depth_m), 0.0);
		ck_assert_double_le(basin_side_extra_m(&shore, &profile, depth_m), basin.depth_reached_m + 1e-9);
		last = basin;
	}
}
END_TEST

/* Water below a level, by adding up areas at levels: midpoints of 2000 layers. */
START_TEST(volume_is_the_sum_of_its_layers)
{
	struct profile profile = law_profile(_i);
	struct basin basin;
	double sum_m3 = 0.0, layer_m = 0.7 / 2000;

	prepare(&rows[_i / LAW_PROFILES].outline);
	basin_measure(&shore, &profile, 0.7, &basin);
	ck_assert_double_eq_tol(basin_volume_below_m3(&shore, &profile, 0.7, 0.0), basin.water_volume_m3, 1e-9);
	for (int i = 1999; i >= 0; i--) {
		sum_m3 += layer_m * basin_area_at_m2(&shore, &profile, 0.7, (i + 0.5) * layer_m);
		if (i % 400 == 0) /* a tread in the middle of a layer costs up to half of it */
			ck_assert_double_eq_tol(basin_volume_below_m3(&shore, &profile, 0.7, i * layer_m), sum_m3,
				0.51 * layer_m * basin.surface_m2);
	}
}
END_TEST

/* A dish on any outline is what many straight pieces tend to: four basins of 16 steps would not show it, so
 * the sums are taken here, from A and P themselves. 2e-5: an outline whose P jumps costs the 16-point rule
 * that much. */
START_TEST(a_dish_is_smooth_on_every_outline)
{
	struct basin basin;
	double volume_m3 = 0.0, wetted_m2 = 0.0;
	const int steps = 4000;

	prepare(&rows[_i].outline);
	for (int i = 0; i < steps; i++) {
		double from_m = shore.inradius_m * i / steps, to_m = shore.inradius_m * (i + 1) / steps;
		double grade = 2 * 0.7 / shore.inradius_m * (1 - (i + 0.5) / steps);

		volume_m3 += grade * shore_area_integral_m3(&shore, from_m, to_m);
		wetted_m2 += hypot(1.0, grade) * (shore_area_m2(&shore, from_m) - shore_area_m2(&shore, to_m));
	}
	basin_measure(&shore, &dish, 0.7, &basin);
	ck_assert_double_eq_tol(basin.water_volume_m3 / volume_m3, 1.0, 2e-5);
	ck_assert_double_eq_tol(basin.wetted_area_m2 / wetted_m2, 1.0, 2e-5);
}
END_TEST

/* What is looked up is what would be worked out, at every scale and depth. */
START_TEST(a_prepared_dish_is_the_same)
{
	static const double scales[] = {1.0, 0.37, 5.5}, depths_m[] = {0.3, 1.9};
	struct basin worked_out, looked_up;

	for (size_t i = 0; i < 6; i++) {
		double depth_m = depths_m[i % 2], dig_m3;

		prepare(&rows[_i].outline);
		shore_rescale(&shore, scales[i / 2]);
		basin_measure(&shore, &dish, depth_m, &worked_out);
		dig_m3 = basin_dig_m3(&shore, &dish, depth_m, 0.0);
		basin_prepare_dish(&shore);
		basin_measure(&shore, &dish, depth_m, &looked_up);
		ck_assert_double_eq_tol(looked_up.water_volume_m3 / worked_out.water_volume_m3, 1.0, 1e-12);
		ck_assert_double_eq_tol(looked_up.wetted_area_m2 / worked_out.wetted_area_m2, 1.0, 1e-12);
		ck_assert_double_eq_tol(basin_dig_m3(&shore, &dish, depth_m, 0.0) / dig_m3, 1.0, 1e-12);
	}
}
END_TEST

START_TEST(profiles_are_the_same_by_what_is_read)
{
	static const struct profile steps = STEPPED(2, {0.5, 0.5}, {0.6, 0.9}), other = STEPPED(2, {0.5, 0.5}, {0.6, 1.0});
	static const struct profile fewer = STEPPED(1, {0.5, 0.5}), shelf = {.kind = PROFILE_BATTERED, .shelf_width_m = 0.3};
	struct profile spoilt = dish;

	spoilt.side_slope = 7;
	ck_assert(profile_same(&dish, &spoilt));
	spoilt = battered_1;
	spoilt.shelf_depth_m = 7;
	ck_assert(profile_same(&battered_1, &spoilt));
	spoilt.side_slope += 1;
	ck_assert(!profile_same(&battered_1, &spoilt));
	spoilt = shelf;
	spoilt.shelf_depth_m = 0.2;
	ck_assert(!profile_same(&shelf, &spoilt));
	ck_assert(!profile_same(&dish, &upright));
	ck_assert(profile_same(&steps, &steps));
	ck_assert(!profile_same(&steps, &other));
	ck_assert(!profile_same(&steps, &fewer));
	ck_assert(!profile_same(&fewer, &steps));
}
END_TEST

/* -- refusals -- */

static const struct {
	struct profile profile;
	double depth_m;
	enum status status;
} refused[] = {
	{{.kind = PROFILE_VERTICAL}, 0.0, ST_PROFILE_DEPTH},
	{{.kind = PROFILE_DISH}, (double)NAN, ST_PROFILE_DEPTH},
	{{.kind = PROFILE_BATTERED, .side_slope = 1}, (double)INFINITY, ST_PROFILE_DEPTH},
	{{.kind = PROFILE_BATTERED, .side_slope = -0.1}, 1.0, ST_PROFILE_SLOPE},
	{{.kind = PROFILE_BATTERED, .side_slope = (double)NAN}, 1.0, ST_PROFILE_SLOPE},
	{{.kind = PROFILE_BATTERED, .shelf_width_m = 0.3, .shelf_depth_m = 1.0}, 1.0, ST_PROFILE_SHELF},
	{{.kind = PROFILE_BATTERED, .shelf_width_m = -0.3, .shelf_depth_m = 0.3}, 1.0, ST_PROFILE_SHELF},
	{{.kind = PROFILE_BATTERED, .shelf_width_m = 0.0, .shelf_depth_m = 2.0}, 1.0, ST_OK},
	{STEPPED(0, {0, 0}), 1.0, ST_PROFILE_STEPS},
	{STEPPED(17, {0, 1}), 1.0, ST_PROFILE_STEPS},
	{STEPPED(1, {1, 0}), 1.0, ST_PROFILE_STEPS},
	{STEPPED(2, {0.5, 0.5}, {0.4, 0.6}), 1.0, ST_PROFILE_STEPS},
	{STEPPED(2, {0.5, 0.5}, {0.6, 0.4}), 1.0, ST_PROFILE_STEPS},
	{STEPPED(1, {-0.5, 0.5}), 1.0, ST_PROFILE_STEPS},
	{STEPPED(1, {(double)NAN, 0.5}), 1.0, ST_PROFILE_STEPS},
	{STEPPED(2, {0.0, 0.5}, {(double)INFINITY, 0.6}), 1.0, ST_PROFILE_STEPS},
};

START_TEST(profiles_that_rise_are_refused)
{
	ck_assert_int_eq(profile_check(&refused[_i].profile, refused[_i].depth_m), refused[_i].status);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("basin");
	TCase *values = tcase_create("values"), *laws = tcase_create("laws"), *checks = tcase_create("checks");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_set_timeout(laws, 0);
	tcase_add_loop_test(values, basins_hold_what_two_other_methods_say, 0, ROWS);
	tcase_add_test(values, chords_of_a_spherical_cap_tend_to_it);
	tcase_add_test(values, an_ellipse_by_hand);
	tcase_add_test(values, a_battered_profile_is_the_steps_it_stands_for);
	tcase_add_test(values, bottoming_out_is_smooth_and_never_negative);
	tcase_add_test(values, a_wall_beyond_the_inradius_is_not_there);
	tcase_add_test(values, zones_count_treads_at_both_ends);
	tcase_add_test(values, levels_cut_the_basin);
	tcase_add_test(values, a_shell_square_to_the_faces_is_dug_for);
	tcase_add_test(values, a_shelf_of_walls_and_treads_moves_whole);
	tcase_add_test(values, a_dish_is_dug_along_its_parallel);
	tcase_add_test(values, a_flat_edge_is_cut_off);
	tcase_add_test(values, the_rim_goes_on_outward);
	tcase_add_loop_test(laws, a_thicker_shell_is_never_less_to_dig, 0, LAWS);
	tcase_add_loop_test(laws, a_deeper_pond_never_holds_less, 0, LAWS);
	tcase_add_loop_test(laws, volume_is_the_sum_of_its_layers, 0, LAWS);
	tcase_add_test(laws, profiles_are_the_same_by_what_is_read);
	tcase_add_loop_test(laws, a_dish_is_smooth_on_every_outline, 0, ROWS);
	tcase_add_loop_test(laws, a_prepared_dish_is_the_same, 0, ROWS);
	tcase_add_loop_test(checks, profiles_that_rise_are_refused, 0, sizeof refused / sizeof refused[0]);
	suite_add_tcase(suite, values);
	suite_add_tcase(suite, laws);
	suite_add_tcase(suite, checks);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
