#ifndef PONDWRIGHT_LOG_H
#define PONDWRIGHT_LOG_H

#include <stdarg.h>
#include <stdint.h>

#include "writer.h"

/* One JSON object a line on standard error. A line is written whole or dropped and counted: a reader that
 * stopped reading never holds up a worker. Safe from any thread. A line stays below PIPE_BUF, so that lines of
 * several threads never mix in a pipe.
 * Lines hold no body, no query, no user agent and no client address. */
enum log_level { LEVEL_INFO, LEVEL_WARN, LEVEL_ERROR };

#define LOG_LINE_SIZE 4096

struct log_line {
	struct writer out; /* members may be added between log_begin and log_end */
	char storage[LOG_LINE_SIZE];
};

/* Finds out how to write to the descriptor without ever waiting. Called once, before threads start;
 * until then lines go to standard error as they come. The descriptor stays the caller's. */
void log_open(int descriptor);

/* Starts a line with its time, level, event (a constant word) and message. */
void log_begin(struct log_line *line, enum log_level level, const char *event, const char *message);
void log_end(struct log_line *line);

/* A whole line. The message is cut at 600 bytes. */
void log_event(enum log_level level, const char *event, const char *format, ...) __attribute__((format(printf, 3, 4)));

/* Takes libmicrohttpd's own messages: at most ten a second pass, the rest are counted in the next that does. */
void log_library(void *unused, const char *format, va_list arguments) __attribute__((format(printf, 2, 0)));

/* Lines dropped since the start because nobody read them. */
uint64_t log_dropped(void);

#endif
