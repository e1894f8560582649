#ifndef PONDWRIGHT_LIMIT_H
#define PONDWRIGHT_LIMIT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct sockaddr;

/* How many requests one client may make. Clients are told apart by address alone: an IPv4 address, or the first 64
 * bits of an IPv6 one, which is what one customer of a network gets. Nothing is stored but a mixed number and a time. */
struct limiter;

/* per_minute steady requests and as many at once after a rest. 0 gives NULL, as does short memory: *made tells.
 * seed keeps clients from choosing who they collide with. */
struct limiter *limiter_new(unsigned per_minute, uint64_t seed, bool *made);
void limiter_free(struct limiter *limiter);

/* Whether the client may go on at this time, and if not after how many seconds. NULL lets everyone. Lock-free.
 * Where more clients are active than the table tells apart, the ones that find no place are let through. */
bool limiter_allows(struct limiter *limiter, uint64_t client, int64_t now_ms, unsigned *retry_after_s);

/* The client behind a connection: the peer, or where the peer is one of the trusted proxies the rightmost hop of
 * X-Forwarded-For (may be NULL) that is not. trusted holds plain addresses. 0 when there is no telling. */
uint64_t client_of(
	const struct sockaddr *peer, const char *forwarded_for, const char *const *trusted, size_t n_trusted);

/* The network of a client: "192.0.2.0/24" or "2001:db8:7::/48", which names no person; "" where there was no telling. */
#define NETWORK_TEXT_SIZE 24
void client_network(uint64_t client, char text[NETWORK_TEXT_SIZE]);

#endif
