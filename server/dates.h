#ifndef PONDWRIGHT_DATES_H
#define PONDWRIGHT_DATES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Days of the Gregorian calendar, counted from 1970-01-01 as day 0. */

enum {
	DAY_FIRST = 0,            /* 1970-01-01 */
	DAY_LAST = 84370,         /* 2200-12-31: the last that anybody may ask for */
	DAY_LAST_TEXT = 2932896,  /* 9999-12-31: work that is asked for then ends later */
	DATE_TEXT_SIZE = 11
};

/* Reads an ISO 8601 calendar day in its extended form, YYYY-MM-DD, from DAY_FIRST to DAY_LAST. Nothing else is
 * taken: no sign, blank, week or ordinal form, no day that its month does not have. */
bool date_read(const char *text, size_t length, int32_t *day);

/* YYYY-MM-DD with its NUL, for a day from DAY_FIRST to DAY_LAST_TEXT. */
void date_text(int32_t day, char text[DATE_TEXT_SIZE]);

/* 0 for Monday to 6 for Sunday; day >= 0. */
int date_weekday(int32_t day);

#endif
