#ifndef PONDWRIGHT_TESTS_ASKED_H
#define PONDWRIGHT_TESTS_ASKED_H

#include <check.h>

#include "program.h"

/* The program as an owner runs it: on the configuration that comes with it, or on a copy that a test changes. */

extern const char *const fixtures[];
enum { NEWT_FOUND = 3, N_FIXTURES };

/* One program for all tests of a case that only ask; an unchecked fixture of Check. */
extern struct program served;
void serve_once(void);
void stop_once(void);

/* The text of a fixture's enquiry; the caller frees it. */
char *enquiry_of(const char *fixture);
/* A fixture's quote, which must be a 200. headers: up to a NULL entry, or NULL. The caller frees the reply. */
void quote_of(const struct program *program, const char *fixture, const char *const *headers, struct reply *reply);
/* The same, read; the caller drops its reference. */
json_t *quote_document(const struct program *program, const char *fixture, const char *const *headers);

/* A copy of the configuration in a directory of the test's own, which takes the log as well. */
struct own {
	char directory[4096], config[4352], path[8192];
	struct program program;
};

/* Makes the copy; whoever serves it calls own_end. */
void own_make(struct own *own);
void own_end(struct own *own);
/* The path of a file in it, until the next call. */
const char *own_file(struct own *own, const char *name);
json_t *own_read(struct own *own, const char *name);
/* Takes the document over. */
void own_write(struct own *own, const char *name, json_t *document);
/* Another text for one member of service.json. */
void own_set(struct own *own, const char *key, const char *value);

/* Runs a suite and frees it: the exit status of a test program. */
int suite_run(Suite *suite);

#endif
