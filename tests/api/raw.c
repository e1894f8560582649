#include "raw.h"

#include <arpa/inet.h>
#include <errno.h>
#include <netinet/in.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/socket.h>
#include <sys/time.h>
#include <unistd.h>

int raw_connect(unsigned port)
{
	struct sockaddr_in address = {.sin_family = AF_INET, .sin_port = htons((uint16_t)port)};
	struct timeval patience = {.tv_sec = 10};
	int connection = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);

	address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
	setsockopt(connection, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
	setsockopt(connection, SOL_SOCKET, SO_SNDTIMEO, &patience, sizeof patience);
	if (connect(connection, (struct sockaddr *)&address, sizeof address) == 0)
		return connection;
	close(connection);
	return -1;
}

bool raw_send_bytes(int connection, const char *bytes, size_t length)
{
	while (length > 0) {
		ssize_t sent = send(connection, bytes, length, MSG_NOSIGNAL);

		if (sent <= 0)
			return false;
		bytes += sent;
		length -= (size_t)sent;
	}
	return true;
}

bool raw_send(int connection, const char *text)
{
	return raw_send_bytes(connection, text, strlen(text));
}

static bool receive_byte(int connection, char *byte)
{
	return recv(connection, byte, 1, 0) == 1;
}

static bool head_read(int connection, struct raw_answer *answer)
{
	size_t length = 0;

	while (length < sizeof answer->head - 1 && receive_byte(connection, answer->head + length)) {
		length++;
		answer->head[length] = '\0';
		if (length >= 4 && strcmp(answer->head + length - 4, "\r\n\r\n") == 0)
			return true;
	}
	return false;
}

void raw_read(int connection, bool without_body, struct raw_answer *answer)
{
	char length[32];

	memset(answer, 0, sizeof *answer);
	if (!head_read(connection, answer))
		return;
	answer->status = (unsigned)strtoul(answer->head + strcspn(answer->head, " "), NULL, 10);
	if (answer->status == 100) { /* an interim answer: the real one follows */
		raw_read(connection, without_body, answer);
		return;
	}
	if (without_body || raw_header(answer, "Content-Length", length, sizeof length) == NULL)
		return;
	answer->body_length = strtoul(length, NULL, 10);
	for (size_t i = 0; i < answer->body_length && i < sizeof answer->body - 1; i++)
		if (!receive_byte(connection, answer->body + i))
			return;
}

void raw_ask(unsigned port, const char *text, struct raw_answer *answer)
{
	int connection = raw_connect(port);

	memset(answer, 0, sizeof *answer);
	if (connection < 0)
		return;
	if (raw_send(connection, text))
		raw_read(connection, strncmp(text, "HEAD ", 5) == 0, answer);
	close(connection);
}

const char *raw_header(const struct raw_answer *answer, const char *name, char *text, size_t size)
{
	size_t length = strlen(name);
	const char *line = strstr(answer->head, "\r\n");

	while (line != NULL && line[2] != '\0') {
		line += 2;
		if (strncasecmp(line, name, length) == 0 && line[length] == ':') {
			const char *value = line + length + 1 + strspn(line + length + 1, " ");

			snprintf(text, size, "%.*s", (int)strcspn(value, "\r"), value);
			return text;
		}
		line = strstr(line, "\r\n");
	}
	return NULL;
}

bool raw_header_is(const struct raw_answer *answer, const char *name, const char *value)
{
	char text[1024];

	return raw_header(answer, name, text, sizeof text) != NULL && strcmp(text, value) == 0;
}

bool raw_closes(int connection)
{
	char byte;

	ssize_t received = recv(connection, &byte, 1, 0);

	return received == 0 || (received < 0 && errno == ECONNRESET); /* a wait that ran out is no close */
}
