#include "media.h"

#include <string.h>
#include <strings.h>

#define FULL_WEIGHT 1000

static size_t blanks(const char *text)
{
	return strspn(text, " \t");
}

/* The length of a range or type up to its parameters, without trailing blanks. */
static size_t range_length(const char *text)
{
	size_t length = strcspn(text, ";,");

	while (length > 0 && (text[length - 1] == ' ' || text[length - 1] == '\t'))
		length--;
	return length;
}

bool media_is(const char *value, const char *type)
{
	size_t length;

	if (value == NULL)
		return false;
	value += blanks(value);
	length = range_length(value);
	return length == strlen(type) && strncasecmp(value, type, length) == 0 && strchr(value, ',') == NULL;
}

/* 3 for the type itself, 2 for its family, 1 for anything, 0 for no match. */
static int range_precision(const char *range, size_t length, const char *type)
{
	size_t family = strcspn(type, "/") + 1;

	if (length == strlen(type) && strncasecmp(range, type, length) == 0)
		return 3;
	if (length == family + 1 && range[family] == '*' && strncasecmp(range, type, family) == 0)
		return 2;
	return length == 3 && memcmp(range, "*/*", 3) == 0 ? 1 : 0;
}

/* A q value in thousandths; what is not one counts as 1, as if it were not there. */
static unsigned weight_read(const char *text)
{
	unsigned weight = 0;
	unsigned place = 100;

	if (*text != '0')
		return FULL_WEIGHT;
	if (*++text != '.')
		return 0;
	for (text++; *text >= '0' && *text <= '9' && place > 0; text++, place /= 10)
		weight += place * (unsigned)(*text - '0');
	return weight;
}

/* The weight among the parameters of one range, which end at stop. Quoted strings are not expected in Accept. */
static unsigned range_weight(const char *parameters, const char *stop)
{
	const char *at = parameters;

	while (at < stop) {
		at += strspn(at, "; \t");
		if ((at[0] == 'q' || at[0] == 'Q') && at[1] == '=')
			return weight_read(at + 2);
		at += strcspn(at, ";,");
		if (*at == ',')
			break;
	}
	return FULL_WEIGHT;
}

unsigned media_weight(const char *accept, const char *type)
{
	int best_precision = 0;
	unsigned weight = 0;

	if (accept == NULL || accept[blanks(accept)] == '\0')
		return FULL_WEIGHT;
	while (*accept != '\0') {
		size_t whole;
		int precision;

		accept += strspn(accept, ", \t");
		whole = strcspn(accept, ",");
		precision = range_precision(accept, range_length(accept), type);
		if (precision > best_precision) {
			best_precision = precision;
			weight = range_weight(accept + range_length(accept), accept + whole);
		}
		accept += whole;
	}
	return weight;
}

/* The language that a range stands for, or count. */
static size_t range_language(const char *range, size_t length, const char *const *tags, size_t count)
{
	if (length == 1 && *range == '*')
		return 0;
	for (size_t i = 0; i < count; i++) {
		size_t whole = strlen(tags[i]);

		if (length >= whole && strncasecmp(range, tags[i], whole) == 0 && (length == whole || range[whole] == '-'))
			return i;
	}
	return count;
}

size_t media_language(const char *accept, const char *const *tags, size_t count)
{
	unsigned best_weight = 0;
	size_t best = 0;

	while (accept != NULL && *accept != '\0') {
		size_t whole, length, language;
		unsigned weight;

		accept += strspn(accept, ", \t");
		whole = strcspn(accept, ",");
		length = range_length(accept);
		language = range_language(accept, length, tags, count);
		weight = range_weight(accept + length, accept + whole);
		if (language < count && weight > best_weight) {
			best_weight = weight;
			best = language;
		}
		accept += whole;
	}
	return best;
}
