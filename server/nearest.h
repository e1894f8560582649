#ifndef PONDWRIGHT_NEAREST_H
#define PONDWRIGHT_NEAREST_H

#include <stddef.h>

/* The known word that someone who wrote another one most likely meant. Candidates are offered one by one; the first
 * of the nearest stays. */
struct nearest {
	const char *word;
	const char *best; /* NULL until a candidate is near enough */
	size_t distance;
};

/* Insertions, deletions, changes and swaps of neighbours that turn one word into the other (optimal string
 * alignment, so no part is changed twice). Words over 64 bytes count as infinitely far. */
size_t edit_distance(const char *a, const char *b);

struct nearest nearest_to(const char *word);

/* Near enough is one change for each three bytes of the word, at least one and at most four. */
void nearest_offer(struct nearest *nearest, const char *candidate);

/* "; did you mean " and the word, or "": for the end of a message. */
#define NEAREST_HINT_SIZE 96
const char *nearest_hint(const struct nearest *nearest, char text[NEAREST_HINT_SIZE]);

#endif
