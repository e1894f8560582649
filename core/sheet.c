#include "sheet.h"

void sheet_measure(const struct shore *shore, const struct profile *profile, double depth_m, double reached_m,
	double freeboard_m, double flap_m, struct sheet *sheet)
{
	double rim_m = basin_rim_slant_m(shore, profile, depth_m, freeboard_m);
	double side_m = basin_side_extra_m(shore, profile, depth_m) + rim_m + flap_m;

	sheet->length_m = shore->bound_length_m + 2.0 * side_m;
	sheet->width_m = shore->bound_width_m + 2.0 * side_m;
	sheet->by_rule_length_m = shore->bound_length_m + 2.0 * (reached_m + flap_m);
	sheet->by_rule_width_m = shore->bound_width_m + 2.0 * (reached_m + flap_m);
}
