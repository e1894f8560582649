#ifndef PONDWRIGHT_CALENDAR_H
#define PONDWRIGHT_CALENDAR_H

#include <stdbool.h>
#include <stdint.h>

#include "catalogue.h"

/* Days since 1970-01-01 in the proleptic Gregorian calendar. Day 0 was a Thursday. */

/* Month of a day, 1 to 12. Howard Hinnant, "chrono-compatible low-level date algorithms", civil_from_days. */
uint32_t day_month(int32_t day);

/* Day of the week, Monday 0 to Sunday 6. */
uint32_t day_weekday(int32_t day);

/* First day of the month after a day's month. */
int32_t day_next_month(int32_t day);

/* Share of a day that a region's crew can work: 0 on its free weekdays and holidays, less what weather takes. */
double day_capacity(const struct catalogue *catalogue, const struct region *region, int32_t day);

/* First day from `day` on whose capacity is above 0. Bounded: a region that never works gives the day itself. */
int32_t day_first_working(const struct catalogue *catalogue, const struct region *region, int32_t day);

#endif
