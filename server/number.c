#include "number.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#define SIGNIFICANT 12
#define LEAST_PLAIN 1e-4 /* below it, %.12g turns to an exponent */
#define LEAST_WIDE 1e12  /* and from here up */

/* Every one of these powers is exact in a double. */
static const double power_of_ten[] = {
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16};

static const char digit_pair[] = "00010203040506070809101112131415161718192021222324252627282930313233343536373839"
				 "40414243444546474849505152535455565758596061626364656667686970717273747576777879"
				 "8081828384858687888990919293949596979899";

static size_t unsigned_text(uint64_t value, char *text)
{
	char reversed[20];
	size_t first = sizeof reversed;

	while (value >= 100) {
		first -= 2;
		memcpy(reversed + first, digit_pair + 2 * (value % 100), 2);
		value /= 100;
	}
	if (value >= 10) {
		first -= 2;
		memcpy(reversed + first, digit_pair + 2 * value, 2);
	} else {
		reversed[--first] = (char)('0' + value);
	}
	memcpy(text, reversed + first, sizeof reversed - first);
	return sizeof reversed - first;
}

/* The exponent e with 10^e <= magnitude < 10^(e+1), for 1e-4 <= magnitude < 1e12.
 * The doubles 0.1, 0.01 and 0.001 lie just above the powers that they stand for and their neighbours
 * below lie under them, so these comparisons decide as exact ones would. */
static int decimal_exponent(double magnitude)
{
	int exponent = 0;

	if (magnitude < 1.0)
		return magnitude >= 0.1 ? -1 : magnitude >= 0.01 ? -2 : magnitude >= 0.001 ? -3 : -4;
	while (exponent < SIGNIFICANT - 1 && magnitude >= power_of_ten[exponent + 1])
		exponent++;
	return exponent;
}

/* Twelve digits as an integer, 10^11 to 10^12, or false where one multiplication does not settle the last one.
 * The power is exact, so the product is off by at most half a unit in its last place; below 2^40 that is 2^-14.
 * Farther than 2^-13 from a half, rounding the product is therefore rounding the true decimal value. */
static bool significant_digits(double magnitude, int exponent, uint64_t *digits)
{
	double scaled = magnitude * power_of_ten[SIGNIFICANT - 1 - exponent];
	uint64_t whole = (uint64_t)scaled;
	double from_half = scaled - (double)whole - 0.5;

	if (fabs(from_half) <= 0x1p-13)
		return false;
	*digits = whole + (from_half > 0.0);
	return true;
}

static size_t plain_text(uint64_t digits, int exponent, char *text)
{
	char digit[SIGNIFICANT + 8];
	size_t kept = unsigned_text(digits, digit);
	size_t whole = exponent < 0 ? 0 : (size_t)exponent + 1;
	size_t length = 0;

	while (kept > 1 && digit[kept - 1] == '0')
		kept--;
	if (exponent < 0) {
		memcpy(text, "0.000", 5);
		length = (size_t)(1 - exponent);
	} else {
		memcpy(text, digit, whole);
		length = whole;
		if (kept > whole)
			text[length++] = '.';
	}
	if (kept > whole) {
		memcpy(text + length, digit + whole, kept - whole);
		length += kept - whole;
	}
	return length;
}

/* The quick way for what prices and quantities look like; false sends the number to printf. */
static bool number_text_quick(double magnitude, char *text, size_t *length)
{
	int exponent;
	uint64_t digits;

	if (!(magnitude >= LEAST_PLAIN && magnitude < LEAST_WIDE))
		return false;
	if (magnitude == (double)(uint64_t)magnitude) {
		*length = unsigned_text((uint64_t)magnitude, text);
		return true;
	}
	exponent = decimal_exponent(magnitude);
	if (!significant_digits(magnitude, exponent, &digits))
		return false;
	if (digits == 1000000000000U) { /* 9.9999999999996 rounds up into the next decade */
		if (exponent == SIGNIFICANT - 1)
			return false;
		exponent++;
	}
	*length = plain_text(digits, exponent, text);
	return true;
}

size_t number_text(double value, char text[NUMBER_TEXT_SIZE])
{
	size_t sign = value < 0.0;
	size_t length;

	text[0] = '-';
	if (value == 0.0) {
		text[0] = '0';
		length = 1;
	} else if (number_text_quick(fabs(value), text + sign, &length)) {
		length += sign;
	} else {
		length = (size_t)snprintf(text, NUMBER_TEXT_SIZE, "%.12g", value);
	}
	text[length] = '\0';
	return length;
}

size_t integer_text(int64_t value, char text[NUMBER_TEXT_SIZE])
{
	size_t sign = value < 0;
	uint64_t magnitude = sign ? 0 - (uint64_t)value : (uint64_t)value;
	size_t length;

	text[0] = '-';
	length = sign + unsigned_text(magnitude, text + sign);
	text[length] = '\0';
	return length;
}
