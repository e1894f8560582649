#include <assert.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "answers.h"
#include "json_memory.h"

/* Any bytes in place of one file of a configuration that loads. The input's first line names the file, the rest is what
 * it holds. It is refused with a fault that says where, or it loads, and then a pond can be priced by it.
 * The configuration is the small one of the tests, with the practice.json of the one that is shipped and a
 * language of its own. */

#define TODAY 20782 /* 2026-11-25 */
#define PATH_MOST 128

int LLVMFuzzerInitialize(int *argc, char ***argv);
int LLVMFuzzerTestOneInput(const unsigned char *bytes, size_t size);

static struct config_files files;
static struct room *room;

static void read_files(struct config_files *into, const char *variable, const char *otherwise, const char *below)
{
	const char *directory = getenv(variable);
	struct faults faults;
	char path[4096];
	int length = snprintf(path, sizeof path, "%s%s", directory != NULL ? directory : otherwise, below);

	assert(length > 0 && (size_t)length < sizeof path);
	faults_init(&faults);
	config_files_init(into);
	config_files_read(into, path, &faults);
	faults_print(&faults, stderr);
	if (faults.n_faults > 0)
		exit(1);
	faults_free(&faults);
}

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
	static const char danish[] = "{\"title\":\"Dansk\",\"page\":{},\"fields\":{},\"words\":{},\"texts\":{\"Pump\":\"Pumpe\"}}";
	struct config_files shipped;
	const struct config_file *practice;

	(void)argc;
	(void)argv;
	read_files(&files, "PONDWRIGHT_FIXTURES", "tests/fixtures", "/config-small");
	read_files(&shipped, "PONDWRIGHT_CONFIG", "config", "");
	practice = config_files_find(&shipped, "practice.json");
	room = room_new();
	if (practice == NULL || room == NULL || !config_files_add(&files, practice->path, practice->bytes, practice->size) ||
		!config_files_add(&files, "languages/da.json", danish, strlen(danish)))
		exit(1);
	config_files_free(&shipped);
	return 0;
}

/* Prices the plainest pond; a configuration that loads must not make that fail. */
static void price(const struct config *config)
{
	static const char form[] =
		"{\"region\":\"%s\",\"pond\":{\"outline\":{\"kind\":\"rectangle\",\"length_m\":4,\"width_m\":3},\"depth_m\":1}}";
	char body[512];
	struct writer out;
	struct answer answer;
	int length = snprintf(body, sizeof body, form,
		config_word(config, LIST_regions, config->service.default_region));

	assert(length > 0 && (size_t)length < sizeof body);
	writer_init(&out);
	answer = answer_quote(&(struct ask){.config = config, .room = room, .body = body, .body_length = (size_t)length,
		.today_day = TODAY}, &out);
	assert(answer.status == 200 || answer.status == 422);
	writer_free(&out);
}

static void compile(void)
{
	struct faults faults;
	struct config *config;

	faults_init(&faults);
	config = config_compile(&files, &faults);
	assert((config == NULL) == (faults.n_faults > 0));
	for (uint32_t i = 0; config != NULL && i < config->n_languages; i++)
		price(config_language(config, i));
	config_release(config);
	faults_free(&faults);
}

int LLVMFuzzerTestOneInput(const unsigned char *bytes, size_t size)
{
	const unsigned char *end = memchr(bytes, '\n', size < PATH_MOST ? size : PATH_MOST);
	struct config_file *file;
	struct config_file held;
	char path[PATH_MOST + 1] = "";

	if (end == NULL)
		return -1;
	memcpy(path, bytes, (size_t)(end - bytes));
	file = config_files_find(&files, path);
	if (file == NULL)
		return -1;
	held = *file;
	file->size = size - (size_t)(end + 1 - bytes);
	file->bytes = malloc(file->size + 1); /* of its exact size, so that a step too far is seen */
	assert(file->bytes != NULL);
	memcpy(file->bytes, end + 1, file->size);
	compile();
	free(file->bytes);
	file->bytes = held.bytes;
	file->size = held.size;
	return 0;
}
