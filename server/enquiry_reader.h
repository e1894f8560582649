#ifndef PONDWRIGHT_ENQUIRY_READER_H
#define PONDWRIGHT_ENQUIRY_READER_H

#include "enquiry_read.h"
#include "problem.h"

/* Shared by enquiry_read.c and enquiry_lists.c; not for others. */

#define MEASURED_WITHIN "measured_within"
#define POINTER_SIZE 160 /* a prefix, a field's pointer, a place and a member; the longest is 76 */

struct asked_reader {
	const struct config *config;
	const uint16_t *parent; /* of each field, the object that holds it */
	enum route_need need;
	const char *prefix;
	struct enquiry *enquiry;
	struct enquiry_faults *faults;
	json_t *top;
	json_t *given[F_COUNT];        /* each member as it came, or NULL */
	size_t known[F_COUNT + 1];     /* members of each object that are in the table; last, of the top */
};

/* Pointer of a field in the body. */
const char *asked_pointer(const struct asked_reader *reader, enum field_id id, char at[POINTER_SIZE]);
/* A pointer to what lies below another: a member, with its escapes, or an entry. */
void asked_below(char below[POINTER_SIZE], const char *at, const char *member);
void asked_below_entry(char below[POINTER_SIZE], const char *at, size_t entry);
void asked_give(struct asked_reader *reader, enum field_id id, double number);

/* Adds a fault: `needed` is such as "a number". */
void asked_wrong_type(struct asked_reader *reader, const char *at, const char *name, const char *needed, json_t *json);

/* A finite number to twelve significant digits; false for any other type. Minus zero becomes zero. */
bool asked_number(json_t *json, double *number);

/* Reads a number within bounds (none where both are 0), or adds a fault. */
bool asked_bounded(struct asked_reader *reader, const char *at, const char *name, const char *unit, double lo, double hi,
	bool whole, json_t *json, double *number);
/* Reads a word of a list, or adds a fault. */
bool asked_word(struct asked_reader *reader, const char *at, const char *name, enum word_list list, json_t *json,
	uint32_t *place);

/* Reads one member, which belongs where it stands. */
void asked_value(struct asked_reader *reader, enum field_id id, json_t *json);
void asked_list(struct asked_reader *reader, enum field_id id, json_t *json);
/* The one member that is no row: a share, or an object of shares by pointer. */
void asked_measured(struct asked_reader *reader, json_t *json);

#endif
