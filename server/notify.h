#ifndef PONDWRIGHT_NOTIFY_H
#define PONDWRIGHT_NOTIFY_H

#include <stdint.h>

/* The service manager's protocol: one datagram a message to the socket named by NOTIFY_SOCKET (sd_notify(3)), and
 * sockets handed over by LISTEN_FDS (sd_listen_fds(3)). Without a manager all of it does nothing. */

/* How to reach the manager, read from the environment once, before threads start. */
struct notify {
	int socket;          /* -1: nobody listens */
	int64_t watchdog_us; /* how often the manager wants a sign of life, 0 never */
};

void notify_open(struct notify *notify);
void notify_close(struct notify *notify);

/* Each of these sends one message; status is a sentence for people. */
void notify_ready(const struct notify *notify, const char *status);
void notify_reloading(const struct notify *notify);
void notify_stopping(const struct notify *notify);
void notify_alive(const struct notify *notify);

/* The first descriptor that was handed over, or -1. Takes the variables out of the environment, so that no child
 * believes them. */
int notify_listen_descriptor(void);

#endif
