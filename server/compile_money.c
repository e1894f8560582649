#include "compile.h"

#include <math.h>

#include "money.h"

static const double power_of_ten[] = {1, 10, 100, 1e3, 1e4, 1e5, 1e6};

/* The whole number that an amount is in units of 10^-decimals. An amount is refused where that is no whole number, to
 * 1e-6 of such a unit; for big amounts the last bit of the double counts, which is far below the next decimal. */
static bool whole_units(double amount, unsigned decimals, int64_t *units)
{
	double exact = amount * power_of_ten[decimals];
	double nearest = round(exact);

	if (!(fabs(exact) < 1e15) || fabs(exact - nearest) > 1e-6 + 4e-16 * fabs(exact))
		return false;
	*units = (int64_t)nearest;
	return true;
}

static bool money_units(const struct place *at, json_t *value, unsigned decimals, int64_t *units)
{
	double amount;

	*units = 0;
	if (!value_number(at, value, 0, 1e9, &amount))
		return false;
	if (whole_units(amount, decimals, units))
		return true;
	place_fault(at, "has more than %u decimals", decimals);
	return false;
}

bool money_milliminor(const struct place *at, json_t *value, uint8_t minor_digits, int64_t *milliminor)
{
	return money_units(at, value, minor_digits + 3u, milliminor);
}

int64_t reader_milliminor(struct reader *reader, const char *key, enum requirement need, uint8_t minor_digits)
{
	json_t *value = reader_value(reader, key, need);
	struct place at = place_member(&reader->at, key);
	int64_t milliminor = 0;

	if (value != NULL)
		money_milliminor(&at, value, minor_digits, &milliminor);
	return milliminor;
}

int64_t reader_minor(struct reader *reader, const char *key, enum requirement need, uint8_t minor_digits)
{
	json_t *value = reader_value(reader, key, need);
	struct place at = place_member(&reader->at, key);
	int64_t minor = 0;

	if (value != NULL)
		money_units(&at, value, minor_digits, &minor);
	return minor;
}

int64_t reader_ppm(struct reader *reader, const char *key, enum requirement need, double hi)
{
	json_t *value = reader_value(reader, key, need);
	struct place at = place_member(&reader->at, key);
	int64_t ppm = 0;
	double share;

	if (value != NULL && value_number(&at, value, 0, hi, &share) && !whole_units(share, 6, &ppm))
		place_fault(&at, "has more than 6 decimals");
	return ppm;
}
