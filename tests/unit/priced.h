#ifndef PONDWRIGHT_TEST_PRICED_H
#define PONDWRIGHT_TEST_PRICED_H

#include "config.h"
#include "quote.h"

/* Quotes of the shipped configuration, for tests that make a claim about one. Everything stops the test where an enquiry
 * is faulty. */

/* The configuration in PONDWRIGHT_CONFIG, loaded once. */
const struct config *shipped(void);

/* Prices an enquiry in JSON. The quote is good until the next call. The text may use ' for ". */
const struct quote *priced(const char *json);

/* The same with a printf format. */
const struct quote *priced_with(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* By a catalogue that is the shipped one but for what a test changed in its copy; its editions are the shipped ones. */
const struct quote *priced_by(const struct catalogue *catalogue, const char *json);

/* Pump and pipe alone. */
const struct quote *watered(const char *json);

/* Flags alone. */
const struct quote *screened(const char *json);

/* The quantity of the line of a build-up, NaN where the quote has no such line. */
double line_quantity(const struct quote *quote, const char *build_up);
const struct line *line_of(const struct quote *quote, const char *build_up);

/* Whether a rule raised a flag of a level, by a fact or by an unknown. */
bool flagged(const struct quote *quote, const char *rule, enum level level, enum raised_by by);

/* Result of a task. */
const struct task_result *task_of(const struct quote *quote, const char *task);

/* Words of the catalogue. */
uint32_t shipped_word(enum word_list list, const char *word);

#endif
