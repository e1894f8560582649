#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A fuzzer without its engine: every file of the folders that are named, once. It shows that the inputs that are kept still
 * hold, with any compiler. */

int LLVMFuzzerInitialize(int *argc, char ***argv) __attribute__((weak));
int LLVMFuzzerTestOneInput(const unsigned char *bytes, size_t size);

static int replay_file(const char *path)
{
	FILE *file = fopen(path, "rb");
	unsigned char *bytes;
	long size;

	if (file == NULL || fseek(file, 0, SEEK_END) != 0 || (size = ftell(file)) < 0) {
		perror(path);
		exit(1);
	}
	rewind(file);
	bytes = malloc(size > 0 ? (size_t)size : 1); /* of its exact size, so that a step too far is seen */
	if (bytes == NULL || fread(bytes, 1, (size_t)size, file) != (size_t)size)
		exit(1);
	fclose(file);
	LLVMFuzzerTestOneInput(bytes, (size_t)size);
	free(bytes);
	return 1;
}

static int replay_folder(const char *name)
{
	DIR *folder = opendir(name);
	struct dirent *entry;
	int files = 0;

	if (folder == NULL) {
		perror(name);
		exit(1);
	}
	while ((entry = readdir(folder)) != NULL) {
		char path[4096];

		if (entry->d_name[0] == '.')
			continue;
		snprintf(path, sizeof path, "%s/%s", name, entry->d_name);
		files += replay_file(path);
	}
	closedir(folder);
	return files;
}

int main(int count, char **arguments)
{
	int files = 0;

	if (LLVMFuzzerInitialize != NULL)
		LLVMFuzzerInitialize(&count, &arguments);
	for (int i = 1; i < count; i++)
		files += replay_folder(arguments[i]);
	printf("%d inputs\n", files);
	return files > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
