#ifndef PONDWRIGHT_FAULTS_H
#define PONDWRIGHT_FAULTS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/* What is wrong with a configuration, all of it at once, in the order in which it was found. A warning is printed
 * like a fault but refuses nothing. */
struct fault {
	char *file;    /* path inside the config directory, or the directory */
	char *pointer; /* JSON Pointer of the member, "" for a whole file */
	char *reason;  /* one clause without a full stop */
	bool warning;
};

enum { FAULTS_KEPT_MOST = 1000 };

struct faults {
	struct fault *list; /* at most FAULTS_KEPT_MOST */
	size_t n_kept, capacity;
	size_t n_faults, n_warnings; /* all, the ones that were not kept too */
};

void faults_init(struct faults *faults);
void faults_free(struct faults *faults);

/* Keep one more. Bytes that would upset a terminal or a log become '?'. Without memory it is counted only. */
void faults_add(struct faults *faults, bool warning, const char *file, const char *pointer, const char *format, ...)
	__attribute__((format(printf, 5, 6)));

/* One line each: "pumps.json: /pumps/0/curve: the head must fall". */
void faults_print(const struct faults *faults, FILE *out);

#endif
