#define _GNU_SOURCE 1
#include "notify.h"

#include <inttypes.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/time.h>
#include <sys/un.h>
#include <unistd.h>

#include "clocks.h"

#define FIRST_DESCRIPTOR 3

static int notify_socket(const char *path)
{
	struct sockaddr_un address = {.sun_family = AF_UNIX};
	struct timeval patience = {.tv_sec = 1}; /* a supervisor that reads no more must not keep signals from being heard */
	size_t length = path != NULL ? strlen(path) : 0;
	int descriptor;

	if (length < 2 || length >= sizeof address.sun_path || (path[0] != '/' && path[0] != '@'))
		return -1;
	memcpy(address.sun_path, path, length);
	if (path[0] == '@') /* the abstract name space */
		address.sun_path[0] = '\0';
	descriptor = socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC, 0);
	if (descriptor < 0)
		return -1;
	setsockopt(descriptor, SOL_SOCKET, SO_SNDTIMEO, &patience, sizeof patience);
	if (connect(descriptor, (struct sockaddr *)&address,
		    (socklen_t)(offsetof(struct sockaddr_un, sun_path) + length)) == 0)
		return descriptor;
	close(descriptor);
	return -1;
}

/* A variable meant for this process: its companion, when set, must name our pid. */
static int64_t number_for_us(const char *name, const char *pid_name)
{
	const char *text = getenv(name);
	const char *pid = getenv(pid_name);

	if (text == NULL || (pid != NULL && strtoll(pid, NULL, 10) != getpid()))
		return 0;
	return strtoll(text, NULL, 10);
}

void notify_open(struct notify *notify)
{
	notify->socket = notify_socket(getenv("NOTIFY_SOCKET"));
	notify->watchdog_us = number_for_us("WATCHDOG_USEC", "WATCHDOG_PID");
	if (notify->socket < 0 || notify->watchdog_us < 0)
		notify->watchdog_us = 0;
}

void notify_close(struct notify *notify)
{
	if (notify->socket >= 0)
		close(notify->socket);
	notify->socket = -1;
}

static void notify_send(const struct notify *notify, const char *text)
{
	if (notify->socket >= 0)
		send(notify->socket, text, strlen(text), MSG_NOSIGNAL);
}

void notify_ready(const struct notify *notify, const char *status)
{
	char text[256];

	snprintf(text, sizeof text, "READY=1\nSTATUS=%.200s", status);
	notify_send(notify, text);
}

void notify_reloading(const struct notify *notify)
{
	char text[96];

	snprintf(text, sizeof text, "RELOADING=1\nMONOTONIC_USEC=%" PRId64, monotonic_ns() / 1000);
	notify_send(notify, text);
}

void notify_stopping(const struct notify *notify)
{
	notify_send(notify, "STOPPING=1\nSTATUS=Draining");
}

void notify_alive(const struct notify *notify)
{
	notify_send(notify, "WATCHDOG=1");
}

int notify_listen_descriptor(void)
{
	/* unlike the watchdog's, this pair is only valid together */
	int64_t count = getenv("LISTEN_PID") != NULL ? number_for_us("LISTEN_FDS", "LISTEN_PID") : 0;

	unsetenv("LISTEN_PID");
	unsetenv("LISTEN_FDS");
	unsetenv("LISTEN_FDNAMES");
	return count >= 1 ? FIRST_DESCRIPTOR : -1;
}
