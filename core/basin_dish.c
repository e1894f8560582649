#include <math.h>
#include <stddef.h>

#include "basin_parts.h"

/* Gauss-Legendre, 16 points on -1..1: Abramowitz and Stegun, Handbook of Mathematical Functions, Table 25.4. */
static const struct {
	double at, weight;
} gauss[] = {
	{0.0950125098376374402, 0.189450610455068496},
	{0.281603550779258913, 0.182603415044923589},
	{0.458016777657227386, 0.169156519395002538},
	{0.617876244402643748, 0.149595988816576732},
	{0.755404408355003034, 0.124628971255533872},
	{0.865631202387831744, 0.0951585116824927848},
	{0.944575023073232576, 0.0622535239386478929},
	{0.989400934991649933, 0.0271524594117540949},
};

enum { NODES = 2 * sizeof gauss / sizeof gauss[0] };
_Static_assert(NODES == sizeof((struct shore *)0)->dish_integral_m3 / sizeof(double), "a shore keeps J at every node");

/* z' = bend (s - T), z'' = bend. */
struct dish {
	const struct shore *shore;
	double bend_per_m, thickness_m;
};

static struct dish dish_of(const struct shore *shore, double depth_m, double thickness_m)
{
	return (struct dish){shore, -2.0 * depth_m / (shore->inradius_m * shore->inradius_m), thickness_m};
}

static double dish_grade(const struct dish *dish, double s)
{
	return dish->bend_per_m * (s - dish->shore->inradius_m);
}

/* Inset of a node of the integral over from..inradius: pairs about the middle, the nearer to the water line first. */
static double node_inset_m(double from_m, double inradius_m, int node)
{
	double half = (inradius_m - from_m) / 2.0, off = half * gauss[node / 2].at;

	return from_m + half + (node % 2 == 0 ? -off : off);
}

void basin_prepare_dish(struct shore *shore)
{
	double inradius_m = shore->inradius_m / shore->scale;

	for (int node = 0; node < NODES && !shore->dish_ready; node++)
		shore->dish_integral_m3[node] = shore_level_as_drawn(shore, node_inset_m(0.0, inradius_m, node)).integral_m3;
	shore->dish_ready = true;
}

/* What is integrated: at an inset, with J there where it is known already. */
typedef double integrand(const struct dish *dish, double s, const double *integral_m3);

static double integral_at_m3(const struct dish *dish, double s, const double *integral_m3)
{
	return integral_m3 != NULL ? *integral_m3 : shore_level(dish->shore, s).integral_m3;
}

/* Integral over from..inradius of a function of the inset. */
static double integrate(integrand *function, const struct dish *dish, double from_m)
{
	const struct shore *shore = dish->shore;
	double cube = shore->scale * shore->scale * shore->scale, half = (shore->inradius_m - from_m) / 2.0, sum = 0.0;

	for (int node = 0; node < NODES; node++) {
		double known_m3 = shore->dish_integral_m3[node] * cube, s = node_inset_m(from_m, shore->inradius_m, node);

		sum += gauss[node / 2].weight * function(dish, s, shore->dish_ready && from_m == 0.0 ? &known_m3 : NULL);
	}
	return sum * half;
}

/* J of the parallel surface's point that belongs to the dish's at s. */
static double outer_integral(const struct dish *dish, double s, const double *integral_m3)
{
	double grade = dish_grade(dish, s);

	if (dish->thickness_m == 0.0)
		return integral_at_m3(dish, s, integral_m3);
	return shore_level(dish->shore, s - dish->thickness_m * grade / sqrt(1.0 + grade * grade)).integral_m3;
}

/* Second derivative of w = sqrt(1 + z'^2), times J. */
static double slant_bend(const struct dish *dish, double s, const double *integral_m3)
{
	double grade = dish_grade(dish, s), slant = sqrt(1.0 + grade * grade);

	return dish->bend_per_m * dish->bend_per_m / (slant * slant * slant) * integral_at_m3(dish, s, integral_m3);
}

double dish_inset_m(const struct shore *shore, double depth_m, double level_m)
{
	return shore->inradius_m * (1.0 - sqrt(fmax(0.0, 1.0 - fmax(0.0, level_m) / depth_m)));
}

/* Integral of A z' ds = z'(s) J(s) + the integral of z'' J. */
double dish_volume_below_m3(const struct shore *shore, double depth_m, double inset_m)
{
	struct dish dish = dish_of(shore, depth_m, 0.0);

	return dish_grade(&dish, inset_m) * shore_level(shore, inset_m).integral_m3 +
		dish.bend_per_m * integrate(outer_integral, &dish, inset_m);
}

/* Integral of w P ds = w(0) A(0) + w'(0) J(0) + the integral of w'' J, where w = sqrt(1 + z'^2). */
double dish_wetted_m2(const struct shore *shore, double depth_m)
{
	struct dish dish = dish_of(shore, depth_m, 0.0);
	double grade = dish_grade(&dish, 0.0), slant = sqrt(1.0 + grade * grade);

	return slant * shore->surface_m2 + grade * dish.bend_per_m / slant * shore->integral_m3 +
		integrate(slant_bend, &dish, 0.0);
}

/* A parabola's arc from its vertex, less the inradius. */
double dish_side_extra_m(const struct shore *shore, double depth_m)
{
	double grade = 2.0 * depth_m / shore->inradius_m;

	return shore->inradius_m * ((sqrt(1.0 + grade * grade) + asinh(grade) / grade) / 2.0 - 1.0);
}

/* A parallel surface has the same slopes, so its integral of A dz is by parts that of J dz', and dz' is the
 * dish's own. Above the point that belongs to the dish's edge it goes straight on to the water line, which
 * only moves the first term. */
double dish_dig_m3(const struct shore *shore, double depth_m, double thickness_m, double out_m, double upright_m)
{
	struct dish dish = dish_of(shore, depth_m, thickness_m);
	struct shore_level edge = shore_level(shore, -out_m);

	return upright_m * edge.area_m2 + dish_grade(&dish, 0.0) * edge.integral_m3 +
		dish.bend_per_m * integrate(outer_integral, &dish, 0.0);
}
