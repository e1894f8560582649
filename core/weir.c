#include "weir.h"

#include <math.h>

#include "units.h"

/* c of Q = c b h^1.5 in metres and seconds. */
static double lip_coefficient(enum crest crest)
{
	if (crest == CREST_SHARP)
		return 1.84; /* Francis 1883: 3.33 in feet, in the rounding that metric handbooks print */
	return 0.848 * (2.0 / 3.0) * sqrt(2.0 / 3.0 * GRAVITY_M_S2); /* 0.848: Bos; Sturm. Lists run to 0.86 */
}

double lip_flow_l_per_h(enum crest crest, double width_m, double head_m)
{
	return m3_per_s_to_l_per_h(lip_coefficient(crest) * width_m * head_m * sqrt(head_m));
}

double lip_head_m(enum crest crest, double width_m, double flow_l_per_h)
{
	double ratio = l_per_h_to_m3_per_s(flow_l_per_h) / (lip_coefficient(crest) * width_m);

	return cbrt(ratio * ratio);
}

double critical_depth_m(double width_m, double flow_l_per_h)
{
	double flow_m2_s = l_per_h_to_m3_per_s(flow_l_per_h) / width_m;

	return cbrt(flow_m2_s * flow_m2_s / GRAVITY_M_S2);
}
