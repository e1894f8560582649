#ifndef PONDWRIGHT_TODAY_H
#define PONDWRIGHT_TODAY_H

#include <stdint.h>

/* The day that it is in UTC, as days since 1970-01-01: the one thing that the service adds to an enquiry. */
int32_t today_day(void);

#endif
