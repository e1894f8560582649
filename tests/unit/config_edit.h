#ifndef CONFIG_EDIT_H
#define CONFIG_EDIT_H

#include "config.h"

/* A small valid configuration in memory, from tests/fixtures/config-small and the table of practice, to be spoilt in one
 * place. Everything stops the test where it can't be done. */

/* Reads the fixture; free with config_files_free. */
void small_config(struct config_files *files);

/* The same as a Check fixture, with the faults that are found in it. */
extern struct config_files small_files;
extern struct faults small_faults;
void open_small(void);
void close_small(void);

/* Sets the value at a JSON Pointer of a file to a JSON text; NULL takes the member away, and "-" as the last step of
 * the pointer adds to a list. The file comes back as jansson writes it. */
void config_edit(struct config_files *files, const char *path, const char *pointer, const char *json);

/* Whether a fault of that file and pointer has a reason that holds the words. */
bool has_fault(const struct faults *faults, const char *file, const char *pointer, const char *words);

#endif
