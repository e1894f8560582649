#ifndef PONDWRIGHT_DRAIN_H
#define PONDWRIGHT_DRAIN_H

#include <stdbool.h>
#include <stddef.h>

#include "pump.h"

/* Hours to pump a basin down, t = integral of A(z) / Q(z) dz by Simpson's rule: the lift grows as the level falls,
 * so the starting flow alone would promise too little.
 *   full         the system with the basin full; static_m rises by the depth drawn
 *   area_m2      water surface at evenly spaced levels, the full one first, the drawn one last; each >= 0
 *   n_areas      odd, >= 3; three will do for a vertical wall, 9 for a shaped one
 *   depth_m      from the first level to the last, >= 0
 * Where the pump is beyond its curve the last point's flow is used, so the time is if anything too long. Not
 * counted: sludge that the pump cannot lift, and water that runs in meanwhile.
 * True and hours set; false, hours untouched, where the pump stalls at some level on the way. */
bool drain_time_h(const struct pump_curve *curve, const struct pipe_system *full, const double *area_m2,
		  size_t n_areas, double depth_m, double *hours);

#endif
