#ifndef PONDWRIGHT_TESTS_SMALL_H
#define PONDWRIGHT_TESTS_SMALL_H

#include <jansson.h>

#include "program.h"

/* The program on the small configuration of the tests, which keeps a reload short, in a folder that a test may spoil.
 * Check fixtures: small_begin and small_end make and remove the folder, the other two also start and stop the
 * program. */

extern struct program small_program;
extern const char *const small_body; /* an enquiry that it prices */

void small_begin(void);
void small_end(void);
void small_begin_serving(void);
void small_end_serving(void);

/* The configuration's folder, and the path of a file in it until the next call. */
const char *small_config(void);
const char *small_file(const char *name);
/* The folder as it was at first. */
void small_restore(void);
/* Starts the program, where small_begin_serving did not. */
void small_serve(void);

/* Another value of a member of service.json, taken over. */
void small_set(const char *key, json_t *value);
/* SIGHUP, and waits until the metric says that one more reload went that way: "done" or "refused". */
void small_reload(const char *result);
long small_reloads(const char *result);

#endif
