#ifndef PONDWRIGHT_SHEET_H
#define PONDWRIGHT_SHEET_H

#include "basin.h"

/* The flat sheet that lines a basin, before rounding; along the outline's bounding rectangle of least area.
 *
 * By girth: along each direction chord + 2 E + 2 (rim + flap), where E is what a side of the bed is longer
 * than its plan (basin_side_extra_m) and the rim is the face above the water line (freeboard_m high, longer
 * where it slopes). By the trade's rule: length + 2 x greatest depth + 2 x flap. It never falls short below
 * the water line on a section that goes down once and up once; it knows no freeboard. */
struct sheet {
	double length_m, width_m;
	double by_rule_length_m, by_rule_width_m;
};

/* reached_m: the depth that the basin reaches, as basin_measure says. freeboard_m and flap_m >= 0; flap_m is what lies on the ground on each side. Pure, cannot fail. */
void sheet_measure(const struct shore *shore, const struct profile *profile, double depth_m, double reached_m,
	double freeboard_m, double flap_m, struct sheet *sheet);

#endif
