#ifndef PONDWRIGHT_PACKS_H
#define PONDWRIGHT_PACKS_H

#include <stdint.h>

#include "catalogue.h"
#include "status.h"

/* Cheapest cover of a need by whole packs. */

struct pack_offer {
	int64_t size_micro;  /* what one pack holds, in millionths of the item's unit, > 0 */
	int64_t milliminor;  /* its price, >= 0 */
};

struct pack_cover {
	uint32_t bought[PACKS_OF_ITEM_MOST]; /* of each offer */
	int64_t milliminor;                  /* what they cost together */
};

/* The cheapest numbers of packs that together hold at least need_micro (>= 0). Exact: a branch and bound over all
 * covers, cheapest unit price first. Among equally cheap covers the one that the search meets first: most of the
 * pack with the lowest unit price, then of the next.
 *   n   1 to PACKS_OF_ITEM_MOST offers
 * ST_QUANTITY_RANGE where more than 1e6 packs of one kind would be needed; ST_MONEY_RANGE beyond exact money. */
enum status packs_cover(const struct pack_offer *offers, uint32_t n, int64_t need_micro, struct pack_cover *cover);

#endif
