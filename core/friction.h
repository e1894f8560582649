#ifndef PONDWRIGHT_FRICTION_H
#define PONDWRIGHT_FRICTION_H

#include <stdbool.h>

/* Loss of head in a full pipe. The factor is Darcy's (four times Fanning's); the bore is the inside diameter.
 *   friction   h = f L/D v2/2g        v = 4 Q / (pi D2), Re = v D / nu, g = 9.80665 m/s2
 *   minor      h = (sum of K) v2/2g   the velocity head lost at the outlet is K = 1 of that sum, added nowhere else */

enum regime { REGIME_LAMINAR, REGIME_TRANSITION, REGIME_TURBULENT, REGIME_COUNT };

/* Public word: laminar, transition, turbulent. A constant. */
const char *regime_slug(enum regime regime);

/* Laminar up to Re 2000, turbulent from Re 4000, transition strictly between. */
enum regime regime_at(double reynolds);

/* Colebrook-White has no data above a roughness of 0.05 bores: true says that the factor is an extrapolation. */
bool roughness_beyond_data(double roughness_ratio);

struct friction {
	double factor;   /* Darcy f */
	double exponent; /* d ln f / d ln Re: -1 in laminar flow, 0 in fully rough flow, above 0 in transition */
};

/* Darcy factor and how it changes.
 *   reynolds          > 0
 *   roughness_ratio   e/D, 0 (a smooth wall) to 1
 * Re <= 2000: f = 64/Re. Re >= 4000: Colebrook-White, 1/sqrt f = -2 log10(e/(3.7 D) + 2.51/(Re sqrt f)), to the
 * last bits of a double. Between: a straight line in Re from 0.032 to the Colebrook value at 4000 for the same
 * e/D (common practice, no agreed law), so f is continuous and the loss still rises with flow. Other published
 * bridges differ by -14 % to +20 % there: call the answer uncertain. Pure, cannot fail. */
struct friction friction_at(double reynolds, double roughness_ratio);

/* The factor alone. */
double friction_factor(double reynolds, double roughness_ratio);

/* What the water has to overcome, from pond to outlet. */
struct pipe_system {
	double static_m;       /* outlet level (lip, if it spills free) less pond level; below 0 if it runs downhill */
	double bore_mm;        /* inside diameter, > 0 */
	double roughness_mm;   /* e of the wall, 0 to bore_mm */
	double length_m;       /* >= 0 */
	double sum_k;          /* sum of minor loss coefficients on the velocity in the bore, >= 0 */
	double density_kg_m3;  /* > 0 */
	double viscosity_m2_s; /* kinematic, > 0 */
};

struct pipe_loss {
	double velocity_m_s, reynolds;
	double friction_factor;         /* 0 where nothing flows */
	double friction_m, minor_m;     /* head lost along the wall, and in fittings, entrance and outlet */
	double slope_m_per_l_per_h;     /* d (friction_m + minor_m) / d flow; 0 where nothing flows */
	enum regime regime;
};

/* Losses at a flow >= 0 L/h. At 0 every figure is 0 and the regime laminar. Pure, cannot fail. */
struct pipe_loss pipe_loss_at(const struct pipe_system *system, double flow_l_per_h);

/* Head that the system asks of a pump at a flow >= 0: static and losses. Strictly rising with flow unless the pipe
 * has neither length nor fittings. */
double system_head_m(const struct pipe_system *system, double flow_l_per_h);

/* K of one hose tail or sudden reducer on the hose's own velocity: contraction and enlargement,
 * (0.5 (1 - b2) + (1 - b2)2) / b4 for bore ratio b = tail / hose, 0 < b <= 1 (Borda-Carnot, and half of it for the
 * contraction; common practice). */
double hose_tail_k(double bore_ratio);

#endif
