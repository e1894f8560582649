#ifndef PONDWRIGHT_TESTS_LOOK_H
#define PONDWRIGHT_TESTS_LOOK_H

#include <jansson.h>
#include <stdbool.h>

/* Looking into an answer. What is not there, or is of another type, fails the test and is named. Nothing is handed
 * over: what is returned belongs to the document. */

json_t *member(json_t *object, const char *key);
json_int_t amount(json_t *object, const char *key);
double number(json_t *object, const char *key);
const char *word(json_t *object, const char *key);
/* Of one member, an integer, over a list of objects. */
json_int_t sum_of(json_t *list, const char *key);
/* The entry of a list whose member is such a word, or NULL. */
json_t *entry_of(json_t *list, const char *key, const char *value);
/* Whether a word is among the entries of a list. */
bool holds_word(json_t *list, const char *value);

#endif
