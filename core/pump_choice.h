#ifndef PONDWRIGHT_PUMP_CHOICE_H
#define PONDWRIGHT_PUMP_CHOICE_H

#include "job.h"

/* Which pump on which bore. Both need quote->water with lift, run, losses, water and the flow that is wanted, and fill
 * its pump, bore, duty and whether it is enough. */

/* Of all pumps on all bores (or on the caller's) the pair that delivers what is wanted, within the velocity that is aimed
 * at before one beyond it, never beyond what it must not pass; among those the cheapest in pump, pipe and electricity over
 * the pump's years; ties to the narrower bore, then the earlier pump. Where none delivers: the pair that brings most, and
 * PUMP_NONE_DELIVERS. */
void choose_pump(struct job *job);

/* The pump that stays: on the caller's bore; else, of the bores that keep to the aimed velocity, on the cheapest one that
 * delivers what is wanted, or where none does on the cheapest one that brings at least 95 % of what the best one brings. */
void keep_pump(struct job *job);

#endif
