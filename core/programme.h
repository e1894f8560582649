#ifndef PONDWRIGHT_PROGRAMME_H
#define PONDWRIGHT_PROGRAMME_H

#include "job.h"

/* Work content to visits and dates. Two passes of one scheduler: the crew takes the earliest task that is ready, in
 * the catalogue's order; a task is ready when all that it follows is done and has waited; waits overlap other work. */

/* Undisturbed pass, for the price: no weather, no holidays. Needs quote->lines. Fills visits, half-days, days, weeks
 * and work_hours. */
void programme_undisturbed(struct job *job);

/* Calendar pass, for dates: the region's week, holidays, weather and frost. Needs the undisturbed pass. Fills
 * quote->programme and the quantities of stage AT_PROGRAMME. */
void programme_dates(struct job *job);

/* The months, bit m for month m, that the work would touch if it began on a day. Needs the undisturbed pass. */
uint32_t programme_months(const struct job *job, int32_t start_day);

#endif
