#ifndef PONDWRIGHT_ORDERS_H
#define PONDWRIGHT_ORDERS_H

#include "quote.h"

/* What a priced job makes its owner order: the packs of the whole job, from whom, and by which day. */

/* One item. How many of each pack are in quote.bought, at the item's packs. */
struct order {
	uint16_t item;
	uint16_t task;            /* that needs it first */
	int32_t needed_day;       /* first day of that task */
	int32_t order_by_day;     /* needed_day less the lead time, in calendar days, and back to a working day */
	double bought;            /* of the item's unit: what all its packs hold */
	double weight_kg;         /* of a material, else 0 */
	double heaviest_lift_kg;  /* heaviest thing that somebody or something lifts; 0 where it is poured, tipped or no material */
	bool returnable;          /* every pack that is bought can go back unopened */
};

/* What one kind of supplier brings at one time: things for work that begins within the practice's visit gap. */
struct delivery {
	uint16_t supplier;        /* text of the kind of supplier */
	int32_t needed_day, order_by_day; /* the earliest of its orders */
	double weight_kg, heaviest_lift_kg;
	struct span orders;
};

struct order_list {
	uint32_t n_deliveries, n_orders;
	struct delivery deliveries[ITEMS_MOST]; /* by order_by_day, then needed_day, then as the catalogue lists items */
	struct order orders[ITEMS_MOST];        /* by delivery; within one by needed_day, then as the catalogue lists items */
};

/* Lists every item that the job buys, hires, tips or sends for. Left out are items without a supplier and services
 * without a lead time: nobody orders the firm's own van. Work after hand-over has no dates of its own; what it needs is
 * needed on the day after the programme ends. Pure, cannot fail on a priced quote. */
void order_list(const struct catalogue *catalogue, const struct edition *edition, const struct quote *quote,
	struct order_list *list);

#endif
