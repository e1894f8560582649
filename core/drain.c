#include "drain.h"

#include <assert.h>

#include "units.h"

static double simpson_weight(size_t i, size_t n_nodes)
{
	if (i == 0 || i == n_nodes - 1)
		return 1.0;
	return i % 2 == 1 ? 4.0 : 2.0;
}

bool drain_time_h(const struct pump_curve *curve, const struct pipe_system *full, const double *area_m2,
		  size_t n_areas, double depth_m, double *hours)
{
	struct pipe_system system = *full;
	double spacing_m = depth_m / (double)(n_areas - 1);
	double sum_h_per_m = 0.0;

	assert(n_areas >= 3 && n_areas % 2 == 1);
	for (size_t i = 0; i < n_areas; i++) {
		struct duty duty;

		system.static_m = full->static_m + spacing_m * (double)i;
		duty_point(curve, &system, &duty);
		if (duty.state == DUTY_NO_FLOW)
			return false;
		sum_h_per_m += simpson_weight(i, n_areas) * m3_to_l(area_m2[i]) / duty.flow_l_per_h;
	}
	*hours = sum_h_per_m * spacing_m / 3.0;
	return true;
}
