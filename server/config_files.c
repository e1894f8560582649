#define _GNU_SOURCE
#include "config_files.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { PATH_SIZE = 256, DEPTH_MOST = 2 };

void config_files_init(struct config_files *files)
{
	*files = (struct config_files){0};
}

void config_files_free(struct config_files *files)
{
	for (size_t i = 0; i < files->count; i++) {
		free(files->list[i].path);
		free(files->list[i].bytes);
	}
	free(files->list);
	config_files_init(files);
}

/* Place of a path, or the place where it would stand. */
static size_t place_of(const struct config_files *files, const char *path)
{
	size_t low = 0, high = files->count;

	while (low < high) {
		size_t middle = low + (high - low) / 2;

		if (strcmp(files->list[middle].path, path) < 0)
			low = middle + 1;
		else
			high = middle;
	}
	return low;
}

struct config_file *config_files_find(const struct config_files *files, const char *path)
{
	size_t place = place_of(files, path);

	return place < files->count && strcmp(files->list[place].path, path) == 0 ? &files->list[place] : NULL;
}

static bool has_room(struct config_files *files)
{
	size_t capacity = files->capacity ? 2 * files->capacity : 64;
	struct config_file *list;

	if (files->count < files->capacity)
		return true;
	list = realloc(files->list, capacity * sizeof *list);
	if (list == NULL)
		return false;
	files->list = list;
	files->capacity = capacity;
	return true;
}

/* Takes the bytes over, or frees them. */
static bool file_insert(struct config_files *files, const char *path, char *bytes, size_t size)
{
	struct config_file *there = config_files_find(files, path);
	char *copy = there == NULL ? strdup(path) : NULL;
	size_t place = place_of(files, path);

	if (bytes == NULL || (there == NULL && (copy == NULL || !has_room(files)))) {
		free(copy);
		free(bytes);
		return false;
	}
	if (there != NULL) {
		files->bytes -= there->size;
		free(there->bytes);
		there->bytes = bytes;
		there->size = size;
	} else {
		memmove(files->list + place + 1, files->list + place, (files->count - place) * sizeof *files->list);
		files->list[place] = (struct config_file){.path = copy, .bytes = bytes, .size = size};
		files->count++;
	}
	files->bytes += size;
	return true;
}

bool config_files_add(struct config_files *files, const char *path, const void *bytes, size_t size)
{
	char *copy = malloc(size + 1);

	if (copy != NULL && size > 0)
		memcpy(copy, bytes, size);
	return file_insert(files, path, copy, size);
}

/* What is in the way of reading the open file, or NULL. A file may grow while it is read; the cap holds all the same. */
static const char *read_whole(int descriptor, char **bytes, size_t *size)
{
	ssize_t got;

	*size = 0;
	*bytes = malloc(CONFIG_FILE_BYTES_MOST + 1);
	if (*bytes == NULL)
		return "there is no memory to read it";
	do {
		got = read(descriptor, *bytes + *size, CONFIG_FILE_BYTES_MOST + 1 - *size);
		*size += got > 0 ? (size_t)got : 0;
	} while (got > 0 || (got < 0 && errno == EINTR));
	if (got >= 0 && *size <= CONFIG_FILE_BYTES_MOST)
		return NULL;
	free(*bytes);
	*bytes = NULL;
	return got < 0 ? strerror(errno) : "is bigger than 1 MiB";
}

static char *shrunk(char *bytes, size_t size)
{
	char *copy = malloc(size + 1);

	if (copy != NULL)
		memcpy(copy, bytes, size);
	free(bytes);
	return copy;
}

/* O_NONBLOCK, so that a pipe that nobody writes to does not hold up the start. */
static void read_file(struct config_files *files, int directory, const char *name, const char *path,
	struct faults *faults)
{
	int descriptor = openat(directory, name, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
	const char *reason = NULL;
	struct stat about;
	char *bytes;
	size_t size = 0;

	if (descriptor < 0 || fstat(descriptor, &about) != 0)
		reason = strerror(errno);
	else if (!S_ISREG(about.st_mode))
		reason = "is no plain file";
	else if (files->count == CONFIG_FILES_MOST || files->bytes > CONFIG_BYTES_MOST)
		reason = "is one too many: all files together hold more than this program reads";
	else
		reason = read_whole(descriptor, &bytes, &size);
	if (reason == NULL && !file_insert(files, path, shrunk(bytes, size), size))
		reason = "there is no memory to read it";
	if (reason != NULL)
		faults_add(faults, false, path, "", "%s", reason);
	if (descriptor >= 0)
		close(descriptor);
}

static bool ends_in_json(const char *name)
{
	size_t length = strlen(name);

	return length > 5 && strcmp(name + length - 5, ".json") == 0;
}

static void read_directory(struct config_files *files, int descriptor, const char *inside, int depth, struct faults *faults);

static void read_entry(struct config_files *files, int directory, const char *inside, const char *name, int depth,
	struct faults *faults)
{
	char path[PATH_SIZE];
	struct stat about;

	if (name[0] == '.')
		return;
	if (snprintf(path, sizeof path, "%s%s%s", inside, inside[0] ? "/" : "", name) >= (int)sizeof path) {
		faults_add(faults, false, path, "", "the name is too long");
		return;
	}
	if (fstatat(directory, name, &about, 0) == 0 && S_ISDIR(about.st_mode)) {
		if (depth < DEPTH_MOST)
			read_directory(files, openat(directory, name, O_RDONLY | O_DIRECTORY | O_CLOEXEC), path, depth + 1, faults);
	} else if (ends_in_json(name)) {
		read_file(files, directory, name, path, faults);
	}
}

/* Takes the descriptor over. */
static void read_directory(struct config_files *files, int descriptor, const char *inside, int depth, struct faults *faults)
{
	DIR *entries = descriptor >= 0 ? fdopendir(descriptor) : NULL;
	const struct dirent *entry;

	if (entries == NULL) {
		faults_add(faults, false, inside[0] ? inside : ".", "", "can't read the directory: %s", strerror(errno));
		if (descriptor >= 0)
			close(descriptor);
		return;
	}
	while ((entry = readdir(entries)) != NULL)
		read_entry(files, dirfd(entries), inside, entry->d_name, depth, faults);
	closedir(entries);
}

void config_files_read(struct config_files *files, const char *directory, struct faults *faults)
{
	int descriptor = open(directory, O_RDONLY | O_DIRECTORY | O_CLOEXEC);

	if (descriptor < 0)
		faults_add(faults, false, directory, "", "can't read the directory: %s", strerror(errno));
	else
		read_directory(files, descriptor, "", 0, faults);
}
