#ifndef PONDWRIGHT_OPEN_FACTS_H
#define PONDWRIGHT_OPEN_FACTS_H

#include "answer_view.h"

/* The facts that nobody told, each with the rule whose question is read out for it: the first that waits for this
 * fact alone, else the first that waits for it. */
struct open_facts {
	uint16_t rule_of[F_COUNT]; /* or NO_INDEX */
	bool alone[F_COUNT];
};

/* From the flags of the view's quote that an unknown raised. */
void open_facts_gather(const struct view *view, struct open_facts *facts);

#endif
