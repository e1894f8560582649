#include "friction.h"

#include <math.h>

#include "units.h"

static const double laminar_to_reynolds = 2000.0;
static const double turbulent_from_reynolds = 4000.0;
static const double laminar_end_factor = 0.032; /* 64 / 2000 */
static const double ln10 = 2.30258509299404568402;
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

/* Clamond, "Efficient resolution of the Colebrook equation", Ind. Eng. Chem. Res. 48(7), 2009, pages 3665-3671: of
 * 1/sqrt f = (2/ln 10) F the equation is F + ln(F + rough) = smooth. A turn leaves the fourth power of the error before it:
 * 2e-4 after the first, and after the second 2e-15 at most, which is rounding (against 40 digits at 4,000 places). The
 * Lambert-W form would need no turns, but its exponential overflows once Re e/D passes about 5700, which a ribbed hose does. */
static struct friction colebrook_white(double reynolds, double roughness_ratio)
{
	double rough = reynolds * roughness_ratio * ln10 / (2.0 * 2.51 * 3.7);
	double smooth = log(reynolds * ln10 / (2.0 * 2.51));
	double f = smooth - 0.2, sum, error;

	for (int turn = 0; turn < 2; turn++) {
		sum = f + rough;
		error = (log(sum) + f - smooth) / (1.0 + sum);
		f -= (1.0 + sum + 0.5 * error) * error * sum / (1.0 + sum + error * (1.0 + error / 3.0));
	}
	sum = f + rough;
	return (struct friction){ .factor = 0.25 * ln10 * ln10 / (f * f), .exponent = -2.0 / (1.0 + sum) };
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
