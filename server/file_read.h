#ifndef PONDWRIGHT_FILE_READ_H
#define PONDWRIGHT_FILE_READ_H

#include <stdbool.h>
#include <stddef.h>

#include "writer.h"

/* The whole of a file, or of standard input where path is "-", after what the writer holds. False after a message on standard
 * error: it cannot be opened or read, or has more than `most` bytes. */
bool file_read(const char *path, size_t most, struct writer *text);

#endif
