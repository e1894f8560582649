#ifndef PONDWRIGHT_TEST_OUTCOMES_H
#define PONDWRIGHT_TEST_OUTCOMES_H

#include <jansson.h>

#include "enquiry_read.h"
#include "priced.h"

/* Quotes of enquiries that are held as JSON values, and whether two quotes differ in anything that a client sees. Uses
 * the shipped configuration. */

/* Prices an enquiry, or screens it where need is NEED_SCREEN. shell: index, or NO_INDEX for the caller's or the
 * cheapest. False where the enquiry is refused. */
bool outcome_of(json_t *enquiry, enum route_need need, uint16_t shell, struct quote *quote);

/* The same quote with one trade constant of config/practice.json multiplied. */
bool outcome_with_practice(json_t *enquiry, enum practice_id id, double times, struct quote *quote);

/* What the two differ in: a quantity, a line, a date, a flag … as words in a text that is good until the next call; NULL
 * where they agree. What merely repeats the enquiry (quantities of stage GIVEN) does not count. */
const char *outcome_change(const struct quote *one, const struct quote *other);

/* A text with ' for " as JSON. Stops the test where it is none. */
json_t *outcome_json(const char *text);

/* Calls back with the enquiry of every fixture that has one; the text of a name is good during the call. */
typedef void fixture_function(const char *name, json_t *enquiry, void *context);
void outcome_fixtures(fixture_function *function, void *context);

/* The member at a JSON Pointer of an enquiry, or NULL. */
json_t *outcome_get(json_t *enquiry, const char *pointer);

/* Sets it, making the objects on the way only where they are mere brackets of the table; takes the value. False where an
 * object that it belongs to is not there. NULL takes the member away. */
bool outcome_set(json_t *enquiry, const char *pointer, json_t *value);

#endif
