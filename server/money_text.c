#include "money_text.h"

#include <inttypes.h>
#include <stdio.h>

static uint64_t size_of(int64_t amount)
{
	return amount < 0 ? -(uint64_t)amount : (uint64_t)amount;
}

static uint64_t coins_of(uint8_t minor_digits)
{
	static const uint64_t powers[] = {1, 10, 100, 1000};

	return powers[minor_digits < 3 ? minor_digits : 3];
}

/* The point and the digits behind it; the text has room for them. */
static void add_coins(char *text, uint64_t minor, uint8_t minor_digits)
{
	uint8_t digits = minor_digits < 3 ? minor_digits : 3;

	if (digits == 0)
		return;
	*text++ = '.';
	for (uint64_t power = coins_of(digits) / 10; power > 0; power /= 10)
		*text++ = (char)('0' + minor / power % 10);
	*text = '\0';
}

/* Digits with a comma before each three. */
static void group_digits(uint64_t whole, char text[32])
{
	char digits[24];
	size_t n = (size_t)snprintf(digits, sizeof digits, "%" PRIu64, whole), at = 0;

	for (size_t i = 0; i < n; i++) {
		if (i > 0 && (n - i) % 3 == 0)
			text[at++] = ',';
		text[at++] = digits[i];
	}
	text[at] = '\0';
}

void money_text(int64_t amount_minor, const char *symbol, uint8_t minor_digits, char text[MONEY_TEXT_SIZE])
{
	uint64_t minor = size_of(amount_minor);
	char groups[32];
	size_t length;

	group_digits(minor / coins_of(minor_digits), groups);
	length = (size_t)snprintf(text, MONEY_TEXT_SIZE, "%s%.15s%s", amount_minor < 0 ? "-" : "", symbol ? symbol : "", groups);
	add_coins(text + length, minor, minor_digits);
}

void money_plain_text(int64_t amount_minor, uint8_t minor_digits, char text[MONEY_TEXT_SIZE])
{
	uint64_t minor = size_of(amount_minor);
	size_t length = (size_t)snprintf(text, MONEY_TEXT_SIZE, "%s%" PRIu64, amount_minor < 0 ? "-" : "",
		minor / coins_of(minor_digits));

	add_coins(text + length, minor, minor_digits);
}
