#ifndef PONDWRIGHT_JSON_READ_H
#define PONDWRIGHT_JSON_READ_H

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "faults.h"
#include "nearest.h"

/* Strict reading of configuration. Every reader reports what is wrong with file, place and reason, and then gives a
 * harmless value, so that one run finds every fault. A member that nobody asked for is a fault too. */

/* Where in a file a value stands. Places chain up to the top of their file and live on the stack. */
struct place {
	struct faults *faults;
	const char *file;
	const struct place *up; /* NULL for the top */
	const char *key;        /* member's name, or NULL: an entry of a list */
	size_t index;
};

struct place place_top(struct faults *faults, const char *file);
struct place place_member(const struct place *up, const char *key);
struct place place_entry(const struct place *up, size_t index);

/* The place as a JSON Pointer (RFC 6901), cut to the size. */
#define POINTER_SIZE 256
void place_pointer(const struct place *at, char text[POINTER_SIZE]);

void place_fault(const struct place *at, const char *format, ...) __attribute__((format(printf, 2, 3)));
void place_warning(const struct place *at, const char *format, ...) __attribute__((format(printf, 2, 3)));

enum requirement { NEEDED, MAY_MISS };

/* One object while it is read. Members that were asked for are remembered; `close` refuses the others. */
enum { READER_MEMBERS_MOST = 48 };
struct reader {
	struct place at;
	json_t *object; /* NULL where the value is no object: every reading then gives nothing, silently */
	const char *known[READER_MEMBERS_MOST];
	size_t n_known;
};

void reader_open(struct reader *reader, const struct place *at, json_t *value);
void reader_close(struct reader *reader);

/* A member as it is, or NULL. A missing one that is needed is a fault; so is null. */
json_t *reader_value(struct reader *reader, const char *key, enum requirement need);

/* A string with something in it, at most 2000 bytes and without control characters; NULL where there is none.
 * It lives as long as the document. */
const char *reader_string(struct reader *reader, const char *key, enum requirement need);
/* The same for one that names things: lower-case letters, digits and single hyphens, at most 60. */
const char *reader_id(struct reader *reader, const char *key);
bool id_is_well_formed(const char *text);

/* A number within bounds, both allowed; left_out where it is missing or wrong. */
double reader_number(struct reader *reader, const char *key, enum requirement need, double lo, double hi, double left_out);
double reader_whole(struct reader *reader, const char *key, enum requirement need, double lo, double hi, double left_out);
bool reader_flag(struct reader *reader, const char *key, enum requirement need, bool left_out);
/* Days since 1970-01-01 of a date. */
int32_t reader_day(struct reader *reader, const char *key, enum requirement need);

/* Index of one of the words; left_out where it is missing or wrong. */
uint32_t reader_word(struct reader *reader, const char *key, enum requirement need, const char *const *words,
	uint32_t n_words, uint32_t left_out);

/* An array with so many entries, or NULL. */
json_t *reader_list(struct reader *reader, const char *key, enum requirement need, size_t least, size_t most);

/* The same on a value that stands at a place. */
bool value_number(const struct place *at, json_t *value, double lo, double hi, double *number);
bool value_whole(const struct place *at, json_t *value, double lo, double hi, double *number);
bool value_flag(const struct place *at, json_t *value, bool *flag);
const char *value_string(const struct place *at, json_t *value);
bool value_day(const struct place *at, json_t *value, int32_t *day);

/* Index of `word` among the words; a fault that names the nearest where it is none of them. */
bool word_index(const struct place *at, const char *word, const char *const *words, uint32_t n_words, uint32_t *index);

#endif
