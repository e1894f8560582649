#ifndef PONDWRIGHT_LISTEN_H
#define PONDWRIGHT_LISTEN_H

#include <stdbool.h>
#include <stddef.h>

#include "http.h"

/* Splits "ADDR:PORT" at its last colon, *port pointing into where, and drops the brackets of an IPv6 address. False where
 * it is nothing of the kind. */
#define LISTEN_HOST_SIZE 256
bool listen_split(const char *where, char host[LISTEN_HOST_SIZE], const char **port);

/* Opens a listening socket on "ADDR:PORT": an IPv4 address or name, an IPv6 address in brackets, or nothing for
 * every address of both families. Non-blocking, closed on exec. -1 with the reason in fault. */
int listen_open(const char *where, char *fault, size_t fault_size);

/* A socket handed over by a parent: makes it non-blocking and closed on exec, for libmicrohttpd does neither and
 * would block in accept. False when it is no listening socket. */
bool listen_adopt(int descriptor);

/* The local address as "127.0.0.1:8080" or "[::1]:8080", "" when there is none; and the port, or 0. */
void listen_text(int descriptor, char text[ADDRESS_TEXT_SIZE]);
unsigned listen_port(int descriptor);

#endif
