#define _GNU_SOURCE 1
#include <arpa/inet.h>
#include <netinet/in.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <jansson.h>
#include <microhttpd.h>

/* What the library below us can do at best: libmicrohttpd as server/http.c starts it, which drains a body and answers with
 * fixed bytes.
 *   floor bytes PORT FILE   the bytes of FILE, from one response that was made at the start
 *   floor tree  PORT FILE   a jansson tree of FILE, for each request copied, dumped and freed
 * Neither looks at what it was sent. Loopback only, until SIGTERM. */

#define THREADS 2 /* what server/http.c takes on one core */
#define CONNECTIONS 2000
#define MEMORY_PER_CONNECTION (32 * 1024)
#define TIMEOUT_S 15
#define BACKLOG 1024

struct fixed {
	struct MHD_Response *response; /* of bytes */
	json_t *tree;                  /* of tree, else NULL */
};

static struct MHD_Response *response_of(void *bytes, size_t length, enum MHD_ResponseMemoryMode mode)
{
	struct MHD_Response *response = MHD_create_response_from_buffer(length, bytes, mode);

	if (response != NULL)
		MHD_add_response_header(response, "Content-Type", "application/json");
	return response;
}

static enum MHD_Result answer_with_tree(struct MHD_Connection *connection, const json_t *fixed)
{
	json_t *tree = json_deep_copy(fixed);
	char *text = json_dumps(tree, JSON_COMPACT);
	struct MHD_Response *response = response_of(text, strlen(text), MHD_RESPMEM_MUST_FREE);
	enum MHD_Result queued = MHD_queue_response(connection, MHD_HTTP_OK, response);

	MHD_destroy_response(response);
	json_decref(tree);
	return queued;
}

/* The first call has the header alone, the last one no more body. */
static enum MHD_Result answer(void *closure, struct MHD_Connection *connection, const char *url, const char *method,
	const char *version, const char *upload_data, size_t *upload_data_size, void **context)
{
	static char seen;
	const struct fixed *fixed = closure;

	(void)url, (void)method, (void)version, (void)upload_data;
	if (*context == NULL) {
		*context = &seen;
		return MHD_YES;
	}
	if (*upload_data_size > 0) {
		*upload_data_size = 0;
		return MHD_YES;
	}
	if (fixed->tree != NULL)
		return answer_with_tree(connection, fixed->tree);
	return MHD_queue_response(connection, MHD_HTTP_OK, fixed->response);
}

static char *read_whole(const char *path, size_t *length)
{
	FILE *in = fopen(path, "rb");
	char *bytes = malloc(1 << 20);

	if (in == NULL || bytes == NULL) {
		fprintf(stderr, "floor: %s cannot be read\n", path);
		exit(1);
	}
	*length = fread(bytes, 1, 1 << 20, in);
	fclose(in);
	return bytes;
}

static struct MHD_Daemon *start(unsigned short port, struct fixed *fixed)
{
	struct sockaddr_in where = {.sin_family = AF_INET, .sin_port = htons(port), .sin_addr = {htonl(INADDR_LOOPBACK)}};

	return MHD_start_daemon(MHD_USE_EPOLL_INTERNAL_THREAD | MHD_USE_ITC | MHD_USE_ERROR_LOG, port, NULL, NULL, answer, fixed,
		MHD_OPTION_SOCK_ADDR, &where, MHD_OPTION_THREAD_POOL_SIZE, THREADS, MHD_OPTION_CONNECTION_LIMIT, CONNECTIONS,
		MHD_OPTION_CONNECTION_TIMEOUT, TIMEOUT_S, MHD_OPTION_CONNECTION_MEMORY_LIMIT, (size_t)MEMORY_PER_CONNECTION,
		MHD_OPTION_LISTEN_BACKLOG_SIZE, BACKLOG, MHD_OPTION_STRICT_FOR_CLIENT, 0, MHD_OPTION_END);
}

int main(int count, char **arguments)
{
	struct fixed fixed = {NULL, NULL};
	struct MHD_Daemon *daemon;
	size_t length;
	sigset_t ends;
	char *bytes;
	int number;

	if (count != 4 || (strcmp(arguments[1], "bytes") != 0 && strcmp(arguments[1], "tree") != 0)) {
		fprintf(stderr, "floor bytes|tree PORT FILE\n");
		return 2;
	}
	sigemptyset(&ends);
	sigaddset(&ends, SIGTERM);
	sigaddset(&ends, SIGINT);
	sigprocmask(SIG_BLOCK, &ends, NULL);
	bytes = read_whole(arguments[3], &length);
	fixed.response = response_of(bytes, length, MHD_RESPMEM_PERSISTENT);
	if (strcmp(arguments[1], "tree") == 0)
		fixed.tree = json_loadb(bytes, length, 0, NULL);
	daemon = start((unsigned short)strtoul(arguments[2], NULL, 10), &fixed);
	if (fixed.response == NULL || daemon == NULL || (fixed.tree == NULL && arguments[1][0] == 't')) {
		fprintf(stderr, "floor: did not start\n");
		return 1;
	}
	sigwait(&ends, &number);
	MHD_stop_daemon(daemon);
	MHD_destroy_response(fixed.response);
	json_decref(fixed.tree);
	free(bytes);
	return 0;
}
