#ifndef PONDWRIGHT_CONFIG_FILES_H
#define PONDWRIGHT_CONFIG_FILES_H

#include <stdbool.h>
#include <stddef.h>

#include "faults.h"

/* The bytes of every *.json file of a config directory, read once: what is compiled is what the digest names. */
struct config_file {
	char *path;  /* inside the directory: "pumps.json", "regions/demo-north/2026-10.json" */
	char *bytes;
	size_t size;
	bool read;   /* something asked for it */
	bool failed; /* it is no JSON object, which was said */
};

/* Sorted by path, byte by byte. */
struct config_files {
	struct config_file *list;
	size_t count, capacity;
	size_t bytes; /* of all files */
};

enum {
	CONFIG_FILE_BYTES_MOST = 1 << 20,
	CONFIG_FILES_MOST = 10000,
	CONFIG_BYTES_MOST = 128 << 20
};

void config_files_init(struct config_files *files);
void config_files_free(struct config_files *files);

/* Copies one file in, in place of one with that path. False when memory is short. */
bool config_files_add(struct config_files *files, const char *path, const void *bytes, size_t size);

/* Reads a directory, and the directories in it two deep. Names that start with a dot and names that do not end in
 * .json are passed over; links are followed. What can't be read, is no plain file or is too big is a fault. */
void config_files_read(struct config_files *files, const char *directory, struct faults *faults);

/* The file of a path, or NULL. */
struct config_file *config_files_find(const struct config_files *files, const char *path);

#endif
