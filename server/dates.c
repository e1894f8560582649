#include "dates.h"

#include <assert.h>

enum { DAYS_IN_400_YEARS = 146097, DAYS_BEFORE_1970 = 719468, THURSDAY = 3 };

/* Years run from March here, so that a leap day is the last of its year. The day of such a year on which its month
 * begins is (153 m + 2) / 5 for m = 0 in March: H. Fliegel and T. Van Flandern, "A Machine Algorithm for Processing
 * Calendar Dates", Communications of the ACM 11 (1968), in the form that counts eras of 400 years. */
static int32_t day_of(int32_t year, int32_t month, int32_t of_month)
{
	int32_t march_year = year - (month <= 2);
	int32_t era = march_year / 400, in_era = march_year % 400;
	int32_t in_year = (153 * ((month + 9) % 12) + 2) / 5 + of_month - 1;

	return era * DAYS_IN_400_YEARS + in_era * 365 + in_era / 4 - in_era / 100 + in_year - DAYS_BEFORE_1970;
}

static void date_of(int32_t day, int32_t *year, int32_t *month, int32_t *of_month)
{
	int32_t since = day + DAYS_BEFORE_1970;
	int32_t era = since / DAYS_IN_400_YEARS, in_era = since % DAYS_IN_400_YEARS;
	int32_t march_year = (in_era - in_era / 1460 + in_era / 36524 - in_era / 146096) / 365;
	int32_t in_year = in_era - (365 * march_year + march_year / 4 - march_year / 100);
	int32_t from_march = (5 * in_year + 2) / 153;

	*of_month = in_year - (153 * from_march + 2) / 5 + 1;
	*month = from_march < 10 ? from_march + 3 : from_march - 9;
	*year = era * 400 + march_year + (*month <= 2);
}

static bool digits(const char *text, int count, int32_t *value)
{
	*value = 0;
	for (int i = 0; i < count; i++) {
		if (text[i] < '0' || text[i] > '9')
			return false;
		*value = *value * 10 + (text[i] - '0');
	}
	return true;
}

bool date_read(const char *text, size_t length, int32_t *day)
{
	int32_t year, month, of_month, found, back_year, back_month, back_day;

	if (length != DATE_TEXT_SIZE - 1 || text[4] != '-' || text[7] != '-')
		return false;
	if (!digits(text, 4, &year) || !digits(text + 5, 2, &month) || !digits(text + 8, 2, &of_month))
		return false;
	if (month < 1 || month > 12 || of_month < 1)
		return false;
	found = day_of(year, month, of_month);
	if (found < DAY_FIRST || found > DAY_LAST)
		return false;
	date_of(found, &back_year, &back_month, &back_day);
	if (back_month != month || back_day != of_month) /* a 30th of February runs on into March */
		return false;
	*day = found;
	return true;
}

static void put_digits(char *text, int count, int32_t value)
{
	for (int i = count - 1; i >= 0; i--) {
		text[i] = (char)('0' + value % 10);
		value /= 10;
	}
}

void date_text(int32_t day, char text[DATE_TEXT_SIZE])
{
	int32_t year, month, of_month;

	assert(day >= DAY_FIRST && day <= DAY_LAST_TEXT);
	date_of(day, &year, &month, &of_month);
	put_digits(text, 4, year);
	put_digits(text + 5, 2, month);
	put_digits(text + 8, 2, of_month);
	text[4] = text[7] = '-';
	text[10] = '\0';
}

int date_weekday(int32_t day)
{
	return (day + THURSDAY) % 7;
}
