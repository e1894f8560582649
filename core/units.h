#ifndef PONDWRIGHT_UNITS_H
#define PONDWRIGHT_UNITS_H

/* Conversions, each naming both ends, and the constants that are fixed by definition.
 * Inside the core: m, m2, m3, kg, h; flow of water in L/h at every interface and m3/s inside a formula.
 * Source of the customary units: NIST SP 811 (2008), Appendix B; NIST Handbook 44, Appendix C. All are exact. */

#define PI 3.14159265358979323846
#define SQRT_2 1.41421356237309504880

#define GRAVITY_M_S2 9.80665 /* standard acceleration of free fall, NIST SP 811 App. B.8 */

#define M_PER_FT 0.3048
#define M_PER_IN 0.0254
#define KG_PER_LB 0.45359237
#define L_PER_US_GAL 3.785411784 /* 231 cubic inches */
#define L_PER_IMPERIAL_GAL 4.54609

static inline double mm_to_m(double mm)
{
	return mm / 1000.0;
}

static inline double m_to_mm(double m)
{
	return m * 1000.0;
}

static inline double m3_to_l(double m3)
{
	return m3 * 1000.0;
}

static inline double l_to_m3(double l)
{
	return l / 1000.0;
}

static inline double l_per_h_to_m3_per_s(double l_per_h)
{
	return l_per_h / 3.6e6;
}

static inline double m3_per_s_to_l_per_h(double m3_per_s)
{
	return m3_per_s * 3.6e6;
}

#endif
