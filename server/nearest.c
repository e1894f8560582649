#include "nearest.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

enum { LENGTH_MOST = 64 };

static size_t least(size_t a, size_t b)
{
	return a < b ? a : b;
}

size_t edit_distance(const char *a, const char *b)
{
	size_t rows[3][LENGTH_MOST + 1];
	size_t n = strlen(a), m = strlen(b);

	if (n > LENGTH_MOST || m > LENGTH_MOST)
		return SIZE_MAX;
	for (size_t i = 0; i <= n; i++) {
		size_t *now = rows[i % 3], *before = rows[(i + 2) % 3], *earlier = rows[(i + 1) % 3];

		now[0] = i;
		for (size_t j = 1; j <= m; j++) {
			if (i == 0) {
				now[j] = j;
				continue;
			}
			now[j] = least(least(now[j - 1], before[j]) + 1, before[j - 1] + (a[i - 1] != b[j - 1]));
			if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
				now[j] = least(now[j], earlier[j - 2] + 1);
		}
	}
	return rows[n % 3][m];
}

struct nearest nearest_to(const char *word)
{
	size_t allowed = strlen(word) / 3;

	return (struct nearest){.word = word, .distance = (allowed < 1 ? 1 : least(allowed, 4)) + 1};
}

/* Every step of difference in length is an edit: most candidates of a long list need no closer look. */
static bool is_too_long_or_short(const struct nearest *nearest, const char *candidate)
{
	size_t n = strlen(nearest->word), m = strlen(candidate);

	return (n > m ? n - m : m - n) >= nearest->distance;
}

void nearest_offer(struct nearest *nearest, const char *candidate)
{
	size_t distance;

	if (is_too_long_or_short(nearest, candidate))
		return;
	distance = edit_distance(nearest->word, candidate);
	if (distance < nearest->distance) {
		nearest->distance = distance;
		nearest->best = candidate;
	}
}

const char *nearest_hint(const struct nearest *nearest, char text[NEAREST_HINT_SIZE])
{
	text[0] = '\0';
	if (nearest->best != NULL)
		snprintf(text, NEAREST_HINT_SIZE, "; did you mean %s", nearest->best);
	return text;
}
