#include "assumption.h"

#include "conditions.h"

const struct unknown *assumption_of(const struct catalogue *catalogue, uint32_t region, const struct value *v,
                                    const double *q, uint32_t subject)
{
	struct span rows = catalogue->unknowns_of[subject];

	for (uint32_t i = rows.first; i < rows.first + rows.count; i++) {
		const struct unknown *row = &catalogue->unknowns[i];

		if (row->region != REGION_ANY && row->region != region)
			continue;
		if (conditions_truth(catalogue, row->when, v, q) == YES)
			return row;
	}
	return NULL;
}
