#define _GNU_SOURCE 1
#include "listen.h"

#include <errno.h>
#include <fcntl.h>
#include <netdb.h>
#include <netinet/in.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#define BACKLOG 1024

bool listen_split(const char *where, char host[LISTEN_HOST_SIZE], const char **port)
{
	const char *colon = strrchr(where, ':');
	size_t length;

	if (colon == NULL || colon[1] == '\0' || strspn(colon + 1, "0123456789") != strlen(colon + 1) ||
		strtoul(colon + 1, NULL, 10) > 65535)
		return false;
	*port = colon + 1;
	length = (size_t)(colon - where);
	if (length >= 2 && where[0] == '[' && where[length - 1] == ']') {
		where++;
		length -= 2;
	} else if (memchr(where, ':', length) != NULL) {
		return false;
	}
	if (length >= LISTEN_HOST_SIZE)
		return false;
	memcpy(host, where, length);
	host[length] = '\0';
	return true;
}

static int socket_listening(const struct addrinfo *address, bool both_families)
{
	int on = 1;
	int off = 0;
	int descriptor = socket(address->ai_family, SOCK_STREAM | SOCK_NONBLOCK | SOCK_CLOEXEC, address->ai_protocol);

	if (descriptor < 0)
		return -1;
	setsockopt(descriptor, SOL_SOCKET, SO_REUSEADDR, &on, sizeof on);
	if (address->ai_family == AF_INET6)
		setsockopt(descriptor, IPPROTO_IPV6, IPV6_V6ONLY, both_families ? &off : &on, sizeof on);
	if (bind(descriptor, address->ai_addr, address->ai_addrlen) == 0 && listen(descriptor, BACKLOG) == 0)
		return descriptor;
	on = errno;
	close(descriptor);
	errno = on;
	return -1;
}

static int addresses_try(const char *host, const char *port, const char **reason)
{
	struct addrinfo hints = {.ai_socktype = SOCK_STREAM, .ai_flags = AI_PASSIVE | AI_NUMERICSERV};
	struct addrinfo *list = NULL;
	int failed = getaddrinfo(host[0] != '\0' ? host : "::", port, &hints, &list);
	int descriptor = -1;

	if (failed != 0) {
		*reason = gai_strerror(failed);
		return -1;
	}
	for (const struct addrinfo *each = list; each != NULL && descriptor < 0; each = each->ai_next)
		descriptor = socket_listening(each, host[0] == '\0');
	if (descriptor < 0)
		*reason = strerror(errno);
	freeaddrinfo(list);
	return descriptor;
}

int listen_open(const char *where, char *fault, size_t fault_size)
{
	char host[LISTEN_HOST_SIZE];
	const char *port;
	const char *reason = "not ADDR:PORT";
	int descriptor = -1;

	if (listen_split(where, host, &port)) {
		descriptor = addresses_try(host, port, &reason);
		if (descriptor < 0 && host[0] == '\0') /* a machine without IPv6 */
			descriptor = addresses_try("0.0.0.0", port, &reason);
	}
	if (descriptor < 0)
		snprintf(fault, fault_size, "cannot listen on %s: %s", where, reason);
	return descriptor;
}

bool listen_adopt(int descriptor)
{
	int listens = 0;
	socklen_t size = sizeof listens;
	int flags = fcntl(descriptor, F_GETFL);

	if (flags < 0 || getsockopt(descriptor, SOL_SOCKET, SO_ACCEPTCONN, &listens, &size) != 0 || listens == 0)
		return false;
	return fcntl(descriptor, F_SETFL, flags | O_NONBLOCK) == 0 && fcntl(descriptor, F_SETFD, FD_CLOEXEC) == 0;
}

void listen_text(int descriptor, char text[ADDRESS_TEXT_SIZE])
{
	struct sockaddr_storage address = {0};
	socklen_t size = sizeof address;
	char host[64];
	char port[16];
	bool numeric;

	text[0] = '\0';
	numeric = getsockname(descriptor, (struct sockaddr *)&address, &size) == 0 &&
		getnameinfo((struct sockaddr *)&address, size, host, sizeof host, port, sizeof port,
			NI_NUMERICHOST | NI_NUMERICSERV) == 0;
	if (numeric)
		snprintf(text, ADDRESS_TEXT_SIZE, address.ss_family == AF_INET6 ? "[%s]:%s" : "%s:%s", host, port);
}

unsigned listen_port(int descriptor)
{
	char text[ADDRESS_TEXT_SIZE];
	const char *colon;

	listen_text(descriptor, text);
	colon = strrchr(text, ':');
	return colon != NULL ? (unsigned)strtoul(colon + 1, NULL, 10) : 0;
}
