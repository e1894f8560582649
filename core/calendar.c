#include "calendar.h"

enum { DAYS_OF_ERA = 146097, EPOCH_OF_ERAS = 719468, LONGEST_BREAK_DAYS = 400 };

struct civil { int32_t year, month, day; };

static struct civil civil_of(int32_t days)
{
	int32_t shifted = days + EPOCH_OF_ERAS; /* days since 0000-03-01 */
	int32_t era = (shifted >= 0 ? shifted : shifted - (DAYS_OF_ERA - 1)) / DAYS_OF_ERA;
	int32_t of_era = shifted - era * DAYS_OF_ERA;
	int32_t year = (of_era - of_era / 1460 + of_era / 36524 - of_era / 146096) / 365;
	int32_t of_year = of_era - (365 * year + year / 4 - year / 100);
	int32_t month = (5 * of_year + 2) / 153; /* from March */

	return (struct civil){year + era * 400 + (month >= 10), month < 10 ? month + 3 : month - 9,
	                      of_year - (153 * month + 2) / 5 + 1};
}

uint32_t day_month(int32_t day)
{
	return (uint32_t)civil_of(day).month;
}

uint32_t day_weekday(int32_t day)
{
	return (uint32_t)(((day + 3) % 7 + 7) % 7);
}

int32_t day_next_month(int32_t day)
{
	int32_t next = day + 32 - civil_of(day).day; /* surely in the next month */

	return next - civil_of(next).day + 1;
}

static bool is_holiday(const struct catalogue *catalogue, struct span holidays, int32_t day)
{
	uint32_t low = holidays.first, high = holidays.first + holidays.count;

	while (low < high) {
		uint32_t middle = low + (high - low) / 2;

		if (catalogue->holidays[middle] == day)
			return true;
		if (catalogue->holidays[middle] < day)
			low = middle + 1;
		else
			high = middle;
	}
	return false;
}

double day_capacity(const struct catalogue *catalogue, const struct region *region, int32_t day)
{
	if (!region->works[day_weekday(day)] || is_holiday(catalogue, region->holidays, day))
		return 0;
	return 1 - region->weather_lost[day_month(day) - 1];
}

int32_t day_first_working(const struct catalogue *catalogue, const struct region *region, int32_t day)
{
	for (int32_t later = day; later < day + LONGEST_BREAK_DAYS; later++)
		if (day_capacity(catalogue, region, later) > 0)
			return later;
	return day;
}
