#ifndef PONDWRIGHT_ENQUIRY_FAULTS_H
#define PONDWRIGHT_ENQUIRY_FAULTS_H

#include <stdbool.h>
#include <stdint.h>

#include "writer.h"

/* Everything that is wrong with one body, gathered while it is read and checked. Codes are public: they never change.
 *   json               400: not JSON, or not an object at the top
 *   missing            a member that must be given; the pointer names it
 *   unknown-member     a member that nobody knows
 *   wrong-type         another type of JSON value is needed
 *   out-of-range       outside the bounds of its row
 *   not-a-choice       a word that is not of the list
 *   unknown-id         a word that is not in the configuration
 *   not-applicable     belongs to another kind, or says something about what is not given
 *   too-many, too-few  entries of a list
 *   crossing, folds    an outline
 *   not-a-date         not a day, 1970-01-01 to 2200-12-31
 *   no-edition         the region had no rates on that day
 *   conflict           two values that can't both be so
 *   computed           a fact that the pond beside it decides */

enum { FAULTS_MOST = 100 };

struct enquiry_fault {
	size_t pointer, detail; /* where their text begins */
	const char *code;
};

struct enquiry_faults {
	uint32_t count; /* all that were found; the first FAULTS_MOST are kept */
	struct enquiry_fault kept[FAULTS_MOST];
	struct writer texts; /* its flag says that memory was short: the list is not whole then */
};

void enquiry_faults_init(struct enquiry_faults *faults);
void enquiry_faults_free(struct enquiry_faults *faults);

/* Whether one more would only be counted. True has it counted: no work for a sentence that nobody gets. */
bool enquiry_faults_full(struct enquiry_faults *faults);

/* One more fault. The pointer is base, then member with its escapes where it is not NULL; code a constant word. A
 * detail longer than 600 bytes is cut. */
void enquiry_fault_add(struct enquiry_faults *faults, const char *base, const char *member, const char *code,
	const char *format, ...) __attribute__((format(printf, 5, 6)));

/* Of the fault at a place below count and FAULTS_MOST; valid until the next fault is added. */
const char *enquiry_fault_pointer(const struct enquiry_faults *faults, uint32_t at);
const char *enquiry_fault_detail(const struct enquiry_faults *faults, uint32_t at);

/* The whole problem, 400 or 422, in an empty writer. In the order of the table: what is wrong with values; then what
 * is missing; then unknown members; then what disagrees. */
void enquiry_faults_problem(struct writer *out, const struct enquiry_faults *faults, unsigned status,
	const char *instance);

#endif
