#ifndef PONDWRIGHT_TESTS_PROGRAM_H
#define PONDWRIGHT_TESTS_PROGRAM_H

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>
#include <sys/types.h>

/* The real program as a child, and one request at a time to it through libcurl. What goes wrong in here aborts the
 * test: nothing is left to check then. */

struct program {
	pid_t pid;
	char url[64];    /* http://127.0.0.1:PORT */
	char log[4096];  /* path of the file that takes its standard error */
};

/* A directory of the test's own under TMPDIR; removed with all that it holds. */
void temporary_make(char path[4096]);
void temporary_remove(const char *path);
/* Copies a tree of plain files. */
void tree_copy(const char *from, const char *to);

/* The whole file, with a NUL after it; the caller frees it. */
char *file_read(const char *path, size_t *length);
void file_write(const char *path, const char *text);
/* An environment variable that ctest sets. */
const char *environment(const char *name);

/* `serve --config config --listen 127.0.0.1:0`, waited for until it listens. logs: directory for its log. */
void program_serve(struct program *program, const char *config, const char *logs);
/* SIGHUP, and waits for the log line that says how the reload went. */
void program_reload(struct program *program);
/* SIGTERM; the exit status, or -1 where a signal ended it. */
int program_stop(struct program *program);

/* Runs the program to its end with arguments up to a NULL. *output is its standard output, the caller's to free. */
int program_run(const char *const *arguments, char **output, size_t *length);
/* The same for its standard error. */
int program_complain(const char *const *arguments, char **complaints);

struct reply {
	long status;
	char *body;
	size_t length;
	char *headers; /* all lines */
};

/* One request. method NULL is GET, or POST where there is a body. headers: up to a NULL entry, or NULL. */
void ask(const struct program *program, const char *method, const char *path, const char *body, const char *const *headers,
	struct reply *reply);
void reply_free(struct reply *reply);
/* Whether a header line stands in the answer, name in lower case or as sent. */
bool reply_has_header(const struct reply *reply, const char *line);

/* A document; a fault in it fails the test. */
json_t *json_of(const struct reply *reply);

#endif
