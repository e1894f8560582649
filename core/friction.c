#include "friction.h"

#include <math.h>

#include "units.h"

static const double laminar_to_reynolds = 2000.0;
static const double turbulent_from_reynolds = 4000.0;
static const double laminar_end_factor = 0.032; /* 64 / 2000 */
static const double two_over_ln10 = 0.86858896380650365530;
static const double pi = 3.14159265358979323846;

const char *regime_slug(enum regime regime)
{
	static const char *const slugs[REGIME_COUNT] = {
		[REGIME_LAMINAR] = "laminar",
		[REGIME_TRANSITION] = "transition",
		[REGIME_TURBULENT] = "turbulent",
	};

	return slugs[regime];
}

enum regime regime_at(double reynolds)
{
	if (reynolds <= laminar_to_reynolds)
		return REGIME_LAMINAR;
	return reynolds < turbulent_from_reynolds ? REGIME_TRANSITION : REGIME_TURBULENT;
}

bool roughness_beyond_data(double roughness_ratio)
{
	return roughness_ratio > 0.05;
}

/* Newton on x = 1/sqrt f from Haaland's explicit formula. The Lambert-W form would need no iteration, but its
 * exponential overflows once Re e/D passes about 5700, which a ribbed hose does. The error after a step is of the
 * order of that step's square, so a step below 1e-8 was the last one needed; the cap is never met. */
static struct friction colebrook_white(double reynolds, double roughness_ratio)
{
	double a = roughness_ratio / 3.7;
	double b = 2.51 / reynolds;
	double x = -0.9 * two_over_ln10 * log(pow(a, 1.11) + 6.9 / reynolds);
	double t, step, share;

	for (int i = 0; i < 20; i++) {
		t = a + b * x;
		step = (x + two_over_ln10 * log(t)) / (1.0 + two_over_ln10 * b / t);
		x -= step;
		if (fabs(step) <= 1e-8 * x)
			break;
	}
	share = two_over_ln10 * b / (a + b * x);
	return (struct friction){ .factor = 1.0 / (x * x), .exponent = -2.0 * share / (1.0 + share) };
}

static struct friction transition_line(double reynolds, double roughness_ratio)
{
	double end_factor = colebrook_white(turbulent_from_reynolds, roughness_ratio).factor;
	double slope = (end_factor - laminar_end_factor) / (turbulent_from_reynolds - laminar_to_reynolds);
	double factor = laminar_end_factor + slope * (reynolds - laminar_to_reynolds);

	return (struct friction){ .factor = factor, .exponent = slope * reynolds / factor };
}

struct friction friction_at(double reynolds, double roughness_ratio)
{
	switch (regime_at(reynolds)) {
	case REGIME_TURBULENT:
		return colebrook_white(reynolds, roughness_ratio);
	case REGIME_TRANSITION:
		return transition_line(reynolds, roughness_ratio);
	case REGIME_LAMINAR:
	case REGIME_COUNT:
		break;
	}
	return (struct friction){ .factor = 64.0 / reynolds, .exponent = -1.0 };
}

double friction_factor(double reynolds, double roughness_ratio)
{
	return friction_at(reynolds, roughness_ratio).factor;
}

struct pipe_loss pipe_loss_at(const struct pipe_system *system, double flow_l_per_h)
{
	double bore_m = mm_to_m(system->bore_mm);
	double velocity_m_s = l_per_h_to_m3_per_s(flow_l_per_h) / (0.25 * pi * bore_m * bore_m);
	double velocity_head_m = velocity_m_s * velocity_m_s / (2.0 * GRAVITY_M_S2);
	struct pipe_loss loss = { .regime = REGIME_LAMINAR };
	struct friction friction;

	if (!(flow_l_per_h > 0.0)) /* 64/Re has no value at 0; the loss has */
		return loss;
	loss.velocity_m_s = velocity_m_s;
	loss.reynolds = velocity_m_s * bore_m / system->viscosity_m2_s;
	loss.regime = regime_at(loss.reynolds);
	friction = friction_at(loss.reynolds, system->roughness_mm / system->bore_mm);
	loss.friction_factor = friction.factor;
	loss.friction_m = friction.factor * system->length_m / bore_m * velocity_head_m;
	loss.minor_m = system->sum_k * velocity_head_m;
	loss.slope_m_per_l_per_h =
		((2.0 + friction.exponent) * loss.friction_m + 2.0 * loss.minor_m) / flow_l_per_h;
	return loss;
}

double system_head_m(const struct pipe_system *system, double flow_l_per_h)
{
	struct pipe_loss loss = pipe_loss_at(system, flow_l_per_h);

	return system->static_m + (loss.friction_m + loss.minor_m);
}

double hose_tail_k(double bore_ratio)
{
	double area_ratio = bore_ratio * bore_ratio;
	double enlargement = 1.0 - area_ratio;

	return (0.5 * enlargement + enlargement * enlargement) / (area_ratio * area_ratio);
}
