#ifndef PONDWRIGHT_VARIATION_PARTS_H
#define PONDWRIGHT_VARIATION_PARTS_H

#include "variation.h"

/* Private to core/variation*.c: what the parts share while one variation is worked out. */
struct account {
	const struct catalogue *catalogue;
	const struct edition *edition;
	const struct quote *agreed, *now;
	struct variation *out;
	double spare[ITEMS_MOST]; /* of what omitted lines no longer need, the share that the whole job has to spare */
};

/* The lines that a row compares, NULL where a quote has none. */
static inline const struct line *variation_agreed(const struct account *account, const struct variation_line *line)
{
	return line->agreed == NO_INDEX ? NULL : &account->agreed->lines[line->agreed];
}

static inline const struct line *variation_now(const struct account *account, const struct variation_line *line)
{
	return line->now == NO_INDEX ? NULL : &account->now->lines[line->now];
}

/* variation_bought.c: fills spare; then what one omitted line is charged for. Needs omission_minor of every line. */
void variation_find_spare(struct account *account, uint16_t stage);
enum status variation_charge(const struct account *account, struct variation_line *line);

/* variation_tax.c: classes and tax of the final account. Needs final_minor and every line. */
enum status variation_tax(struct account *account);

#endif
