#include "today.h"

#include "clocks.h"

#define SECONDS_PER_DAY 86400

/* UTC, so that every copy of the service gives the same day wherever it runs. */
int32_t today_day(void)
{
	return (int32_t)(wall_clock_s() / SECONDS_PER_DAY);
}
