#ifndef PONDWRIGHT_PUMP_H
#define PONDWRIGHT_PUMP_H

#include <stdbool.h>
#include <stddef.h>

#include "friction.h"
#include "status.h"

enum { PUMP_POINTS_MAX = 16 };

/* A pump's head against its flow: points joined by a monotone cubic (Hermite pieces with Fritsch-Butland slopes,
 * what SciPy and MATLAB call PCHIP). Filled by pump_curve_prepare, then only read. */
struct pump_curve {
	size_t n_points;
	double flow_l_per_h[PUMP_POINTS_MAX];
	double head_m[PUMP_POINTS_MAX];
	double slope_m_per_l_per_h[PUMP_POINTS_MAX];
};

/* Check a curve's points and work out its slopes. points[i] is {L/h, m}; two points mean a straight line.
 *   ST_CURVE_POINTS   not 2 to 16 points, or the first not at flow 0 (such a curve cannot say "no flow")
 *   ST_CURVE_RISES    a flow that does not rise or a head that does not fall, a number that is not finite, or a
 *                     step steeper than 1e9 m per L/h
 * On a fault curve is left untouched. curve holds no pointer into points. */
enum status pump_curve_prepare(const double (*points)[2], size_t n_points, struct pump_curve *curve);

/* Head at no flow, and the flow at the curve's last point. */
double pump_shut_off_m(const struct pump_curve *curve);
double pump_last_flow_l_per_h(const struct pump_curve *curve);

/* Head at a flow from 0 to the last; a flow outside is taken to the nearer end, never extrapolated. */
double pump_head_m(const struct pump_curve *curve, double flow_l_per_h);

enum duty_state { DUTY_OK, DUTY_NO_FLOW, DUTY_BEYOND_CURVE, DUTY_STATE_COUNT };

/* Public word: ok, no-flow, beyond-curve. A constant. */
const char *duty_state_slug(enum duty_state state);

struct duty {
	enum duty_state state;
	double flow_l_per_h;
	double head_m;          /* of pump and system alike, static included */
	double velocity_m_s, reynolds, friction_factor;
	double friction_m, minor_m;
	double hydraulic_w;     /* density g Q H */
	enum regime regime;     /* in transition the answer is uncertain */
	bool rough_beyond_data; /* wall rougher than 0.05 bores */
};

/* Where pump and system balance. The pump's head falls with flow and the system's does not, so there is one answer.
 *   ok             the balance, to 1e-12 of the flow or to the rounding of the heads, whichever is coarser
 *   no-flow        static at or above the shut-off head: flow and every other figure exactly 0, regime laminar,
 *                  head_m the shut-off head, which is all that the pump can hold
 *   beyond-curve   the pump still wins at its last point: that point's flow, not extrapolated, with head_m and the
 *                  rest what the system asks there; the true flow is larger
 * Pure, cannot fail. */
void duty_point(const struct pump_curve *curve, const struct pipe_system *system, struct duty *duty);

/* Power that leaves the pump in the water. */
double hydraulic_power_w(double density_kg_m3, double flow_l_per_h, double head_m);

/* Energy in a year of 365.25 days of a load that runs hours_per_day, 0 to 24. */
double energy_kwh_per_year(double power_w, double hours_per_day);

#endif
