#ifndef PONDWRIGHT_WATER_H
#define PONDWRIGHT_WATER_H

/* Properties of clean, air-free water at 0.101325 MPa. Range of all three: 0 to 35 degrees Celsius.
 * Pure, cannot fail; outside the range they extrapolate and mean nothing. */

/* Density. Tanaka et al., Metrologia 38 (2001) 301-309, without the correction for dissolved air.
 * Within 7e-7 of IAPWS R6-95 over the range. */
double water_density_kg_m3(double temperature_c);

/* Dynamic viscosity. IAPWS SR6-08, the formula for liquid water at 0.1 MPa.
 * Within 0.0031 % of IAPWS R12-08 over the range. */
double water_viscosity_pa_s(double temperature_c);

/* Kinematic viscosity, the two above divided: the figure that a Reynolds number needs. */
double water_viscosity_m2_s(double temperature_c);

#endif
