#define _GNU_SOURCE 1
#include "ready_command.h"

#include <netdb.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/time.h>
#include <unistd.h>

#include "commands.h"
#include "listen.h"

#define PATIENCE_S 2
#define STATUS_AT 9    /* "HTTP/1.1 200" */
#define STATUS_SIZE 13 /* with a NUL */

static int connection_open(const struct addrinfo *address)
{
	struct timeval patience = {.tv_sec = PATIENCE_S};
	int connection = socket(address->ai_family, SOCK_STREAM | SOCK_CLOEXEC, address->ai_protocol);

	if (connection < 0)
		return -1;
	/* on Linux the limit on sending is one on connecting too */
	setsockopt(connection, SOL_SOCKET, SO_SNDTIMEO, &patience, sizeof patience);
	setsockopt(connection, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
	if (connect(connection, address->ai_addr, address->ai_addrlen) == 0)
		return connection;
	close(connection);
	return -1;
}

/* On Linux a connection to the address that means all of them goes to this machine, and so does one to no address. */
static int reach(const char *host, const char *port)
{
	struct addrinfo hints = {.ai_socktype = SOCK_STREAM, .ai_flags = AI_NUMERICSERV};
	struct addrinfo *list = NULL;
	int connection = -1;

	if (getaddrinfo(host[0] != '\0' ? host : NULL, port, &hints, &list) != 0)
		return -1;
	for (const struct addrinfo *each = list; each != NULL && connection < 0; each = each->ai_next)
		connection = connection_open(each);
	freeaddrinfo(list);
	return connection;
}

/* The first line of the answer as far as its status; false where none came in time. */
static bool ask(int connection, char status[STATUS_SIZE])
{
	static const char request[] = "GET /readyz HTTP/1.0\r\n\r\n";
	bool came = send(connection, request, sizeof request - 1, MSG_NOSIGNAL) == (ssize_t)sizeof request - 1 &&
		recv(connection, status, STATUS_SIZE - 1, MSG_WAITALL) == STATUS_SIZE - 1;

	status[STATUS_SIZE - 1] = '\0';
	return came && strncmp(status, "HTTP/1.", 7) == 0;
}

static int not_ready(const char *where, const char *what, int exit_status)
{
	fprintf(stderr, "pondwright: %s: %s\n", where, what);
	return exit_status;
}

int ready_command(const char *where)
{
	char host[LISTEN_HOST_SIZE], status[STATUS_SIZE];
	const char *port;
	int connection;
	bool answered;

	if (!listen_split(where, host, &port))
		return not_ready(where, "is not ADDR:PORT", EXIT_USAGE);
	connection = reach(host, port);
	if (connection < 0)
		return not_ready(where, "cannot be reached", EXIT_FAULT);
	answered = ask(connection, status);
	close(connection);
	if (!answered)
		return not_ready(where, "gives no answer", EXIT_FAULT);
	return strcmp(status + STATUS_AT, "200") == 0 ? EXIT_DONE : not_ready(where, status + STATUS_AT, EXIT_FAULT);
}
