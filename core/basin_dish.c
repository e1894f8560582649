#include <math.h>

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

enum { GAUSS_PAIRS = sizeof gauss / sizeof gauss[0] };

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

/* Integral over from..inradius of a function of the inset. */
static double integrate(double (*function)(const struct dish *, double), const struct dish *dish, double from_m)
{
	double half = (dish->shore->inradius_m - from_m) / 2.0, middle = from_m + half, sum = 0.0;

	for (int i = 0; i < GAUSS_PAIRS; i++)
		sum += gauss[i].weight *
			(function(dish, middle - half * gauss[i].at) + function(dish, middle + half * gauss[i].at));
	return sum * half;
}

/* J of the parallel surface's point that belongs to the dish's at s. */
static double outer_integral(const struct dish *dish, double s)
{
	double grade = dish_grade(dish, s);

	return shore_level(dish->shore, s - dish->thickness_m * grade / sqrt(1.0 + grade * grade)).integral_m3;
}

/* Second derivative of w = sqrt(1 + z'^2), times J. */
static double slant_bend(const struct dish *dish, double s)
{
	double grade = dish_grade(dish, s), slant = sqrt(1.0 + grade * grade);

	return dish->bend_per_m * dish->bend_per_m / (slant * slant * slant) * shore_level(dish->shore, s).integral_m3;
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
