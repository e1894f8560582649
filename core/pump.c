#include "pump.h"

#include <math.h>

#include "units.h"

static double secant(const double (*points)[2], size_t i)
{
	return (points[i + 1][1] - points[i][1]) / (points[i + 1][0] - points[i][0]);
}

static enum status points_check(const double (*points)[2], size_t n_points)
{
	if (n_points < 2 || n_points > PUMP_POINTS_MAX || points[0][0] != 0.0)
		return ST_CURVE_POINTS;
	for (size_t i = 0; i + 1 < n_points; i++) {
		if (!(points[i + 1][0] > points[i][0]) || !(points[i + 1][1] < points[i][1]))
			return ST_CURVE_RISES;
		if (!(secant(points, i) > -1e9)) /* no pump; and infinite slopes would turn heads into NaN */
			return ST_CURVE_RISES;
	}
	return isfinite(points[n_points - 1][0]) && isfinite(points[0][1]) && isfinite(points[n_points - 1][1])
		? ST_OK : ST_CURVE_RISES;
}

/* Fritsch and Butland 1984: the weighted harmonic mean of the two secants. */
static double inner_slope(double h_left, double h_right, double d_left, double d_right)
{
	double w1 = 2.0 * h_right + h_left;
	double w2 = h_right + 2.0 * h_left;

	if (d_left * d_right <= 0.0)
		return 0.0;
	return (w1 + w2) / (w1 / d_left + w2 / d_right);
}

/* One-sided three-point slope, kept from turning back. PCHIP's third case, neighbours of opposite sign, cannot
 * arise: every secant of a falling curve is negative. */
static double end_slope(double h0, double h1, double d0, double d1)
{
	double slope = ((2.0 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);

	return slope < 0.0 ? slope : 0.0;
}

static double slope_at(const double (*points)[2], size_t n_points, size_t i)
{
	size_t last = n_points - 1;

	if (n_points == 2)
		return secant(points, 0);
	if (i == 0)
		return end_slope(points[1][0] - points[0][0], points[2][0] - points[1][0],
				 secant(points, 0), secant(points, 1));
	if (i == last)
		return end_slope(points[last][0] - points[last - 1][0], points[last - 1][0] - points[last - 2][0],
				 secant(points, last - 1), secant(points, last - 2));
	return inner_slope(points[i][0] - points[i - 1][0], points[i + 1][0] - points[i][0],
			   secant(points, i - 1), secant(points, i));
}

enum status pump_curve_prepare(const double (*points)[2], size_t n_points, struct pump_curve *curve)
{
	enum status status = points_check(points, n_points);

	if (status != ST_OK)
		return status;
	*curve = (struct pump_curve){ .n_points = n_points };
	for (size_t i = 0; i < n_points; i++) {
		curve->flow_l_per_h[i] = points[i][0];
		curve->head_m[i] = points[i][1];
		curve->slope_m_per_l_per_h[i] = slope_at(points, n_points, i);
	}
	return ST_OK;
}

double pump_shut_off_m(const struct pump_curve *curve)
{
	return curve->head_m[0];
}

double pump_last_flow_l_per_h(const struct pump_curve *curve)
{
	return curve->flow_l_per_h[curve->n_points - 1];
}

/* A height and its slope at one flow. */
struct tangent { double m, m_per_l_per_h; };

/* Hermite piece as a polynomial in the distance from its left end. */
static struct tangent pump_tangent(const struct pump_curve *curve, double flow_l_per_h)
{
	double s, h, d, m0, m1, c2, c3;
	size_t i = 0;

	while (i + 2 < curve->n_points && flow_l_per_h > curve->flow_l_per_h[i + 1])
		i++;
	s = flow_l_per_h - curve->flow_l_per_h[i];
	h = curve->flow_l_per_h[i + 1] - curve->flow_l_per_h[i];
	d = (curve->head_m[i + 1] - curve->head_m[i]) / h;
	m0 = curve->slope_m_per_l_per_h[i];
	m1 = curve->slope_m_per_l_per_h[i + 1];
	c2 = (3.0 * d - 2.0 * m0 - m1) / h;
	c3 = (m0 + m1 - 2.0 * d) / (h * h);
	return (struct tangent){
		.m = curve->head_m[i] + s * (m0 + s * (c2 + s * c3)),
		.m_per_l_per_h = m0 + s * (2.0 * c2 + 3.0 * s * c3),
	};
}

double pump_head_m(const struct pump_curve *curve, double flow_l_per_h)
{
	if (flow_l_per_h <= 0.0)
		return curve->head_m[0];
	if (flow_l_per_h >= pump_last_flow_l_per_h(curve))
		return curve->head_m[curve->n_points - 1];
	return pump_tangent(curve, flow_l_per_h).m;
}

const char *duty_state_slug(enum duty_state state)
{
	static const char *const slugs[DUTY_STATE_COUNT] = {
		[DUTY_OK] = "ok",
		[DUTY_NO_FLOW] = "no-flow",
		[DUTY_BEYOND_CURVE] = "beyond-curve",
	};

	return slugs[state];
}

double hydraulic_power_w(double density_kg_m3, double flow_l_per_h, double head_m)
{
	return density_kg_m3 * GRAVITY_M_S2 * l_per_h_to_m3_per_s(flow_l_per_h) * head_m;
}

double energy_kwh_per_year(double power_w, double hours_per_day)
{
	return power_w * hours_per_day * 365.25 / 1000.0;
}

/* What the system does at a flow, and the step by which Newton's method would better that flow. */
struct look { struct pipe_loss loss; double surplus_m, step_l_per_h; };

static struct look look_at(const struct pump_curve *curve, const struct pipe_system *system, double flow_l_per_h)
{
	struct tangent pump = pump_tangent(curve, flow_l_per_h);
	struct pipe_loss loss = pipe_loss_at(system, flow_l_per_h);
	double surplus_m = pump.m - (system->static_m + (loss.friction_m + loss.minor_m));

	return (struct look){
		.loss = loss,
		.surplus_m = surplus_m,
		.step_l_per_h = surplus_m / (loss.slope_m_per_l_per_h - pump.m_per_l_per_h),
	};
}

/* Newton inside a bracket that every look narrows, with halvings forced between once it drags (the loss has a kink
 * at Re 2000 and 4000, and a curve's end may be level). Called with a surplus at 0 and none at the last flow. The
 * cap leaves room for 95 halvings, so the bracket itself is the answer long before it is met.
 * The start takes both curves for parabolas through their ends: two or three steps away as a rule. */
static double balance_l_per_h(const struct pump_curve *curve, const struct pipe_system *system,
			      struct pipe_loss *loss)
{
	double low = 0.0;
	double high = pump_last_flow_l_per_h(curve);
	double fall_m = pump_shut_off_m(curve) - curve->head_m[curve->n_points - 1] + loss->friction_m + loss->minor_m;
	double flow = high * sqrt((pump_shut_off_m(curve) - system->static_m) / fall_m);
	struct look look = look_at(curve, system, flow);

	for (int i = 0; i < 200 && look.surplus_m != 0.0 && !(fabs(look.step_l_per_h) <= 1e-12 * flow); i++) {
		if (look.surplus_m > 0.0)
			low = flow;
		else
			high = flow;
		flow += look.step_l_per_h;
		if (!(flow > low && flow < high) || (i > 8 && i % 2 == 0))
			flow = 0.5 * (low + high);
		look = look_at(curve, system, flow);
	}
	*loss = look.loss;
	return flow;
}

static struct duty duty_at(const struct pipe_system *system, double flow_l_per_h, const struct pipe_loss *loss)
{
	double head_m = system->static_m + (loss->friction_m + loss->minor_m);

	return (struct duty){
		.state = DUTY_OK,
		.flow_l_per_h = flow_l_per_h,
		.head_m = head_m,
		.velocity_m_s = loss->velocity_m_s,
		.reynolds = loss->reynolds,
		.friction_factor = loss->friction_factor,
		.friction_m = loss->friction_m,
		.minor_m = loss->minor_m,
		.hydraulic_w = hydraulic_power_w(system->density_kg_m3, flow_l_per_h, head_m),
		.regime = loss->regime,
		.rough_beyond_data = roughness_beyond_data(system->roughness_mm / system->bore_mm),
	};
}

void duty_point(const struct pump_curve *curve, const struct pipe_system *system, struct duty *duty)
{
	double flow_l_per_h = pump_last_flow_l_per_h(curve);
	struct pipe_loss loss = pipe_loss_at(system, flow_l_per_h);

	if (system->static_m >= pump_shut_off_m(curve)) {
		loss = pipe_loss_at(system, 0.0);
		*duty = duty_at(system, 0.0, &loss);
		duty->state = DUTY_NO_FLOW;
		duty->head_m = pump_shut_off_m(curve);
	} else if (curve->head_m[curve->n_points - 1] > system->static_m + (loss.friction_m + loss.minor_m)) {
		*duty = duty_at(system, flow_l_per_h, &loss);
		duty->state = DUTY_BEYOND_CURVE;
	} else {
		flow_l_per_h = balance_l_per_h(curve, system, &loss);
		*duty = duty_at(system, flow_l_per_h, &loss);
	}
}
