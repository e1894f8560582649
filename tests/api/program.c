#define _GNU_SOURCE 1
#include "program.h"

#include <check.h>
#include <curl/curl.h>
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <ftw.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#define WAIT_STEPS 3000
#define WAIT_STEP_NS 10000000L

const char *environment(const char *name)
{
	const char *value = getenv(name);

	ck_assert_msg(value != NULL, "%s is not set: run this by ctest", name);
	return value;
}

/* ---- files ---- */

void temporary_make(char path[4096])
{
	const char *base = getenv("TMPDIR");

	snprintf(path, 4096, "%s/pondwright-test-XXXXXX", base != NULL ? base : "/tmp");
	ck_assert_ptr_nonnull(mkdtemp(path));
}

static int remove_entry(const char *path, const struct stat *state, int kind, struct FTW *walk)
{
	(void)state;
	(void)kind;
	(void)walk;
	return remove(path);
}

void temporary_remove(const char *path)
{
	ck_assert_int_eq(nftw(path, remove_entry, 8, FTW_DEPTH | FTW_PHYS), 0);
}

char *file_read(const char *path, size_t *length)
{
	FILE *file = fopen(path, "rb");
	char *bytes;
	long size;

	ck_assert_msg(file != NULL, "%s: %s", path, strerror(errno));
	ck_assert_int_eq(fseek(file, 0, SEEK_END), 0);
	size = ftell(file);
	ck_assert_int_ge(size, 0);
	rewind(file);
	bytes = malloc((size_t)size + 1);
	ck_assert_ptr_nonnull(bytes);
	ck_assert_uint_eq(fread(bytes, 1, (size_t)size, file), (size_t)size);
	bytes[size] = '\0';
	fclose(file);
	if (length != NULL)
		*length = (size_t)size;
	return bytes;
}

static void file_write_bytes(const char *path, const char *bytes, size_t length)
{
	FILE *file = fopen(path, "wb");

	ck_assert_msg(file != NULL, "%s: %s", path, strerror(errno));
	ck_assert_uint_eq(fwrite(bytes, 1, length, file), length);
	ck_assert_int_eq(fclose(file), 0);
}

void file_write(const char *path, const char *text)
{
	file_write_bytes(path, text, strlen(text));
}

static void copy_entry(const char *from, const char *to)
{
	struct stat state;
	size_t length;
	char *bytes;

	ck_assert_int_eq(stat(from, &state), 0);
	if (S_ISDIR(state.st_mode)) {
		tree_copy(from, to);
		return;
	}
	bytes = file_read(from, &length);
	file_write_bytes(to, bytes, length);
	free(bytes);
}

void tree_copy(const char *from, const char *to)
{
	char source[8192], target[8192];
	DIR *directory = opendir(from);

	ck_assert_msg(directory != NULL, "%s: %s", from, strerror(errno));
	ck_assert(mkdir(to, 0700) == 0 || errno == EEXIST);
	for (struct dirent *entry; (entry = readdir(directory)) != NULL;) {
		if (entry->d_name[0] == '.')
			continue;
		snprintf(source, sizeof source, "%s/%s", from, entry->d_name);
		snprintf(target, sizeof target, "%s/%s", to, entry->d_name);
		copy_entry(source, target);
	}
	closedir(directory);
}

/* ---- the child ---- */

static void wait_step(void)
{
	nanosleep(&(struct timespec){.tv_nsec = WAIT_STEP_NS}, NULL);
}

static void exec_program(const char *const *arguments)
{
	char *copy[16];
	size_t n = 0;

	copy[n++] = strdup(environment("PONDWRIGHT_BIN"));
	for (; arguments[n - 1] != NULL; n++)
		copy[n] = strdup(arguments[n - 1]);
	copy[n] = NULL;
	execv(copy[0], copy);
	_exit(127);
}

static size_t count_of(const char *text, const char *part)
{
	size_t n = 0;

	for (const char *at = text; (at = strstr(at, part)) != NULL; at += strlen(part))
		n++;
	return n;
}

static size_t log_count(const struct program *program, const char *part)
{
	char *text = file_read(program->log, NULL);
	size_t n = count_of(text, part);

	free(text);
	return n;
}

/* Waits until the log holds the part more than `before` times; the child must go on running. */
static void log_wait(struct program *program, const char *part, size_t before)
{
	for (int i = 0; i < WAIT_STEPS && log_count(program, part) <= before; i++) {
		int status;

		if (waitpid(program->pid, &status, WNOHANG) == program->pid) {
			char *text = file_read(program->log, NULL);

			ck_abort_msg("the program ended while \"%s\" was waited for:\n%s", part, text);
		}
		wait_step();
	}
	ck_assert_msg(log_count(program, part) > before, "\"%s\" never came", part);
}

static void read_address(struct program *program)
{
	static const char key[] = "\"address\":\"";
	char *text = file_read(program->log, NULL);
	const char *from = strstr(text, "\"listening\"");
	const char *address = from != NULL ? strstr(from, key) : NULL;

	ck_assert_msg(address != NULL, "no address in the log:\n%s", text);
	address += sizeof key - 1;
	snprintf(program->url, sizeof program->url, "http://%.*s", (int)strcspn(address, "\""), address);
	free(text);
}

void program_serve(struct program *program, const char *config, const char *logs)
{
	const char *arguments[] = {"serve", "--config", config, "--listen", "127.0.0.1:0", NULL};

	snprintf(program->log, sizeof program->log, "%s/log", logs);
	file_write(program->log, "");
	program->pid = fork();
	ck_assert_int_ge(program->pid, 0);
	if (program->pid == 0) {
		int log = open(program->log, O_WRONLY | O_APPEND);

		dup2(log, STDERR_FILENO);
		exec_program(arguments);
	}
	log_wait(program, "\"listening\"", 0);
	read_address(program);
}

void program_reload(struct program *program)
{
	size_t before = log_count(program, "\"event\":\"reload\"");

	ck_assert_int_eq(kill(program->pid, SIGHUP), 0);
	log_wait(program, "\"event\":\"reload\"", before);
}

static int exit_status(pid_t pid)
{
	int status;

	ck_assert_int_eq(waitpid(pid, &status, 0), pid);
	return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

int program_stop(struct program *program)
{
	ck_assert_int_eq(kill(program->pid, SIGTERM), 0);
	return exit_status(program->pid);
}

static char *read_all(int descriptor, size_t *length)
{
	size_t room = 65536;
	char *bytes = malloc(room);
	ssize_t got;

	*length = 0;
	ck_assert_ptr_nonnull(bytes);
	while ((got = read(descriptor, bytes + *length, room - *length - 1)) > 0) {
		*length += (size_t)got;
		if (room - *length < 4096) {
			room *= 2;
			bytes = realloc(bytes, room);
			ck_assert_ptr_nonnull(bytes);
		}
	}
	bytes[*length] = '\0';
	return bytes;
}

/* Runs it to its end and keeps what it writes to one descriptor. */
static int run_keeping(int descriptor, const char *const *arguments, char **text, size_t *length)
{
	int ends[2];
	pid_t pid;

	ck_assert_int_eq(pipe(ends), 0);
	pid = fork();
	ck_assert_int_ge(pid, 0);
	if (pid == 0) {
		dup2(ends[1], descriptor);
		close(ends[0]);
		close(ends[1]);
		exec_program(arguments);
	}
	close(ends[1]);
	*text = read_all(ends[0], length);
	close(ends[0]);
	return exit_status(pid);
}

int program_run(const char *const *arguments, char **output, size_t *length)
{
	return run_keeping(STDOUT_FILENO, arguments, output, length);
}

int program_complain(const char *const *arguments, char **complaints)
{
	size_t length;

	return run_keeping(STDERR_FILENO, arguments, complaints, &length);
}

/* ---- requests ---- */

struct bytes {
	char *text;
	size_t length;
};

static size_t keep(char *data, size_t size, size_t count, void *context)
{
	struct bytes *bytes = context;
	char *text = realloc(bytes->text, bytes->length + size * count + 1);

	if (text == NULL)
		return 0;
	memcpy(text + bytes->length, data, size * count);
	bytes->text = text;
	bytes->length += size * count;
	text[bytes->length] = '\0';
	return size * count;
}

static struct curl_slist *header_list(const char *const *headers, bool has_body)
{
	struct curl_slist *list = has_body ? curl_slist_append(NULL, "Content-Type: application/json") : NULL;

	for (size_t i = 0; headers != NULL && headers[i] != NULL; i++)
		list = curl_slist_append(list, headers[i]);
	return list;
}

void ask(const struct program *program, const char *method, const char *path, const char *body, const char *const *headers,
	struct reply *reply)
{
	struct curl_slist *list = header_list(headers, body != NULL);
	struct bytes text = {0}, head = {0};
	CURL *curl = curl_easy_init();
	char url[512];

	ck_assert_ptr_nonnull(curl);
	snprintf(url, sizeof url, "%s%s", program->url, path);
	curl_easy_setopt(curl, CURLOPT_URL, url);
	curl_easy_setopt(curl, CURLOPT_HTTPHEADER, list);
	curl_easy_setopt(curl, CURLOPT_WRITEFUNCTION, keep);
	curl_easy_setopt(curl, CURLOPT_WRITEDATA, &text);
	curl_easy_setopt(curl, CURLOPT_HEADERFUNCTION, keep);
	curl_easy_setopt(curl, CURLOPT_HEADERDATA, &head);
	curl_easy_setopt(curl, CURLOPT_NOPROXY, "*");
	if (body != NULL) {
		curl_easy_setopt(curl, CURLOPT_POSTFIELDSIZE, (long)strlen(body));
		curl_easy_setopt(curl, CURLOPT_POSTFIELDS, body);
	}
	if (method != NULL && strcmp(method, "HEAD") == 0)
		curl_easy_setopt(curl, CURLOPT_NOBODY, 1L);
	else if (method != NULL)
		curl_easy_setopt(curl, CURLOPT_CUSTOMREQUEST, method);
	ck_assert_int_eq(curl_easy_perform(curl), CURLE_OK);
	curl_easy_getinfo(curl, CURLINFO_RESPONSE_CODE, &reply->status);
	reply->body = text.text != NULL ? text.text : strdup("");
	reply->length = text.length;
	reply->headers = head.text;
	curl_easy_cleanup(curl);
	curl_slist_free_all(list);
}

void reply_free(struct reply *reply)
{
	free(reply->body);
	free(reply->headers);
}

bool reply_has_header(const struct reply *reply, const char *line)
{
	return strcasestr(reply->headers, line) != NULL;
}

json_t *json_of(const struct reply *reply)
{
	json_error_t error;
	json_t *document = json_loadb(reply->body, reply->length, JSON_REJECT_DUPLICATES, &error);

	ck_assert_msg(document != NULL, "not JSON at %d: %s\n%s", error.position, error.text, reply->body);
	return document;
}
