#include "water.h"

#include <math.h>

/* Both formulas are from memory of the publication; the tests hold them against the IAPWS tables. */

double water_density_kg_m3(double temperature_c)
{
	double a = temperature_c - 3.983035;

	return 999.974950 * (1.0 - a * a * (temperature_c + 301.797) / (522528.9 * (temperature_c + 69.34881)));
}

double water_viscosity_pa_s(double temperature_c)
{
	double t = (temperature_c + 273.15) / 300.0;

	return 1e-6 * (280.68 * pow(t, -1.9) + 511.45 * pow(t, -7.7) + 61.131 * pow(t, -19.6) + 0.45903 * pow(t, -40.0));
}

double water_viscosity_m2_s(double temperature_c)
{
	return water_viscosity_pa_s(temperature_c) / water_density_kg_m3(temperature_c);
}
