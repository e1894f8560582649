#define _GNU_SOURCE 1
#include <arpa/inet.h>
#include <errno.h>
#include <math.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <poll.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

/* A load that does not wait for its answers: requests fall due at random moments (a Poisson stream, always the same one) at a
 * mean rate, each is sent on whichever connection is free, and its time counts from when it fell due. So a server that stalls
 * makes every request late that it keeps waiting, which a load that asks again only when it was answered would not see.
 *   steady PORT PATH BODY-FILE CONNECTIONS PER_SECOND SECONDS
 * Prints: requests sent, achieved rate, then p50, p90, p99, p99.9 and the longest in microseconds. Keeps its core busy. */

enum { CONNECTIONS_MOST = 256, ANSWER_MOST = 1 << 20 };

struct connection {
	bool busy;
	double due_us;
	size_t got, whole; /* bytes of the answer; 0: its length is not known yet */
	char head[4096];
};

static struct pollfd polled[CONNECTIONS_MOST];
static struct connection connections[CONNECTIONS_MOST];
static char request[1 << 17];
static size_t request_length;

static double now_us(void)
{
	struct timespec time;

	clock_gettime(CLOCK_MONOTONIC, &time);
	return (double)time.tv_sec * 1e6 + (double)time.tv_nsec / 1e3;
}

static void stop(const char *why)
{
	fprintf(stderr, "steady: %s\n", why);
	exit(1);
}

static void make_request(const char *path, const char *file)
{
	static char body[1 << 16];
	FILE *in = fopen(file, "rb");
	size_t length;

	if (in == NULL)
		stop("the body cannot be read");
	length = fread(body, 1, sizeof body, in);
	fclose(in);
	request_length = (size_t)snprintf(request, sizeof request,
		"POST %s HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: %zu\r\n\r\n", path, length);
	memcpy(request + request_length, body, length);
	request_length += length;
}

static int connect_to(unsigned short port)
{
	struct sockaddr_in where = {.sin_family = AF_INET, .sin_port = htons(port), .sin_addr = {htonl(INADDR_LOOPBACK)}};
	int one = 1, descriptor = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);

	if (descriptor < 0 || connect(descriptor, (struct sockaddr *)&where, sizeof where) != 0)
		stop("cannot connect");
	setsockopt(descriptor, IPPROTO_TCP, TCP_NODELAY, &one, sizeof one);
	return descriptor;
}

/* A pseudo-random gap of the Poisson stream (xorshift64*, so that every run has the same one). */
static double gap_us(double mean_us)
{
	static uint64_t state = 88172645463325252u;

	state ^= state >> 12;
	state ^= state << 25;
	state ^= state >> 27;
	return -log(((double)(state * 2685821657736338717u >> 11) + 0.5) / 9007199254740992.0) * mean_us;
}

static void send_request(int descriptor, struct connection *connection, double due_us)
{
	if (write(descriptor, request, request_length) != (ssize_t)request_length)
		stop("a request could not be sent");
	connection->busy = true;
	connection->due_us = due_us;
	connection->got = connection->whole = 0;
}

/* Finds how long the answer is, once its header is here. */
static void look_at_head(struct connection *connection)
{
	char *end, *length;

	connection->head[connection->got < sizeof connection->head ? connection->got : sizeof connection->head - 1] = '\0';
	end = strstr(connection->head, "\r\n\r\n");
	if (end == NULL)
		return;
	if (strncmp(connection->head, "HTTP/1.1 200 ", 13) != 0)
		stop("an answer is not 200");
	length = strcasestr(connection->head, "\r\nContent-Length:");
	if (length == NULL || length > end)
		stop("an answer has no length");
	connection->whole = (size_t)(end + 4 - connection->head) + strtoul(length + 17, NULL, 10);
}

/* True when the answer is complete. */
static bool take(int descriptor, struct connection *connection)
{
	static char block[ANSWER_MOST];
	ssize_t got = recv(descriptor, block, sizeof block, MSG_DONTWAIT);

	if (got <= 0 && errno != EAGAIN)
		stop("a connection was closed");
	if (got <= 0)
		return false;
	if (connection->whole == 0 && connection->got < sizeof connection->head - 1) {
		size_t room = sizeof connection->head - 1 - connection->got;

		memcpy(connection->head + connection->got, block, (size_t)got < room ? (size_t)got : room);
	}
	connection->got += (size_t)got;
	if (connection->whole == 0)
		look_at_head(connection);
	if (connection->whole == 0 || connection->got < connection->whole)
		return false;
	connection->busy = false;
	return true;
}

static int by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;

	return (x > y) - (x < y);
}

static void report(double *took_us, size_t n, double span_us)
{
	qsort(took_us, n, sizeof *took_us, by_size);
	printf("%zu %.1f %.1f %.1f %.1f %.1f %.1f\n", n, (double)n / span_us * 1e6, took_us[n / 2], took_us[n * 9 / 10],
		took_us[n * 99 / 100], took_us[n * 999 / 1000], took_us[n - 1]);
}

/* Sends what is due on free connections; returns when the next falls due. */
static double send_due(nfds_t n, double due_us, double mean_us, double until_us)
{
	for (nfds_t i = 0; i < n && due_us <= until_us && due_us <= now_us(); i++) {
		if (connections[i].busy)
			continue;
		send_request(polled[i].fd, &connections[i], due_us);
		due_us += gap_us(mean_us);
	}
	return due_us;
}

static size_t run(nfds_t n, double per_second, double seconds, double *took_us, size_t most)
{
	double mean_us = 1e6 / per_second, from_us = now_us(), until_us = from_us + seconds * 1e6, due_us = from_us;
	size_t n_took = 0, n_busy = 0;

	do {
		due_us = send_due(n, due_us, mean_us, until_us);
		poll(polled, n, 0);
		n_busy = 0;
		for (nfds_t i = 0; i < n; i++) {
			if (connections[i].busy && polled[i].revents != 0 && take(polled[i].fd, &connections[i]) && n_took < most)
				took_us[n_took++] = now_us() - connections[i].due_us;
			n_busy += connections[i].busy;
		}
	} while (due_us <= until_us || n_busy > 0);
	report(took_us, n_took, now_us() - from_us);
	return n_took;
}

int main(int count, char **arguments)
{
	nfds_t n = count == 7 ? strtoul(arguments[4], NULL, 10) : 0;
	double per_second = count == 7 ? strtod(arguments[5], NULL) : 0, seconds = count == 7 ? strtod(arguments[6], NULL) : 0;
	size_t most = (size_t)(per_second * seconds * 2) + 1000;
	double *took_us = malloc(most * sizeof *took_us);

	if (n < 1 || n > CONNECTIONS_MOST || !(per_second > 0) || !(seconds > 0) || took_us == NULL) {
		fprintf(stderr, "steady PORT PATH BODY-FILE CONNECTIONS PER_SECOND SECONDS\n");
		return 2;
	}
	make_request(arguments[2], arguments[3]);
	for (nfds_t i = 0; i < n; i++)
		polled[i] = (struct pollfd){.fd = connect_to((unsigned short)strtoul(arguments[1], NULL, 10)), .events = POLLIN};
	run(n, per_second, seconds, took_us, most);
	free(took_us);
	return 0;
}
