#define _GNU_SOURCE 1
#include "limit.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>

#include "mix.h"

#define PLACES 16384 /* a power of two */
#define TRIES 4
#define TIME_BITS 40 /* milliseconds for 34 years of uptime; the rest of a place says whose it is */
#define TIME_MASK ((UINT64_C(1) << TIME_BITS) - 1)

/* The generic cell rate algorithm (ITU-T I.371): one time for each client, when its next request would be due at the
 * steady rate. A request may come early by as much as the burst allows. */
struct limiter {
	int64_t spacing_ms;
	int64_t tolerance_ms;
	uint64_t seed;
	_Atomic uint64_t place[PLACES];
};

struct limiter *limiter_new(unsigned per_minute, uint64_t seed, bool *made)
{
	struct limiter *limiter = per_minute > 0 ? calloc(1, sizeof *limiter) : NULL;

	*made = limiter != NULL || per_minute == 0;
	if (limiter == NULL)
		return NULL;
	limiter->spacing_ms = per_minute < 60000 ? 60000 / per_minute : 1;
	limiter->tolerance_ms = limiter->spacing_ms * (per_minute - 1);
	limiter->seed = seed;
	return limiter;
}

void limiter_free(struct limiter *limiter)
{
	free(limiter);
}

enum taken { TAKEN_ALLOWED, TAKEN_REFUSED, TAKEN_BY_ANOTHER };

/* One request against one place. A place whose time has passed belongs to nobody. */
static enum taken place_take(
	struct limiter *limiter, _Atomic uint64_t *place, uint64_t owner, int64_t now_ms, int64_t *early_ms)
{
	uint64_t held = atomic_load(place);

	for (;;) {
		int64_t due_ms = (int64_t)(held & TIME_MASK);

		if (due_ms > now_ms && held >> TIME_BITS != owner)
			return TAKEN_BY_ANOTHER;
		if (due_ms < now_ms)
			due_ms = now_ms;
		*early_ms = due_ms - now_ms - limiter->tolerance_ms;
		if (*early_ms > 0)
			return TAKEN_REFUSED;
		due_ms += limiter->spacing_ms;
		if (atomic_compare_exchange_weak(place, &held, owner << TIME_BITS | ((uint64_t)due_ms & TIME_MASK)))
			return TAKEN_ALLOWED;
	}
}

bool limiter_allows(struct limiter *limiter, uint64_t client, int64_t now_ms, unsigned *retry_after_s)
{
	uint64_t mark;
	int64_t early_ms = 0;

	*retry_after_s = 0;
	if (limiter == NULL)
		return true;
	mark = mixed(client ^ limiter->seed);
	for (size_t i = 0; i < TRIES; i++) {
		enum taken taken =
			place_take(limiter, &limiter->place[(mark + i) % PLACES], mark >> TIME_BITS, now_ms, &early_ms);

		if (taken == TAKEN_REFUSED)
			*retry_after_s = (unsigned)((early_ms + 999) / 1000);
		if (taken != TAKEN_BY_ANOTHER)
			return taken == TAKEN_ALLOWED;
	}
	return true;
}

/* An IPv6 address of either kind as the number that stands for its client; never 0. */
static uint64_t client_of_ipv6(const struct in6_addr *address)
{
	uint64_t first = 0;
	size_t from = IN6_IS_ADDR_V4MAPPED(address) ? 8 : 0; /* "::ffff:" and an IPv4 address, or a /64 */

	for (size_t i = from; i < from + 8; i++)
		first = first << 8 | address->s6_addr[i];
	return first != 0 ? first : 1;
}

static uint64_t client_of_ipv4(const struct in_addr *address)
{
	struct in6_addr mapped = {0};

	mapped.s6_addr[10] = mapped.s6_addr[11] = 0xff;
	memcpy(mapped.s6_addr + 12, address, 4);
	return client_of_ipv6(&mapped);
}

static uint64_t client_of_text(const char *text)
{
	struct in_addr four;
	struct in6_addr six;

	if (inet_pton(AF_INET, text, &four) == 1)
		return client_of_ipv4(&four);
	return inet_pton(AF_INET6, text, &six) == 1 ? client_of_ipv6(&six) : 0;
}

static uint64_t client_of_peer(const struct sockaddr *peer)
{
	struct sockaddr_in four;
	struct sockaddr_in6 six;

	if (peer != NULL && peer->sa_family == AF_INET) {
		memcpy(&four, peer, sizeof four);
		return client_of_ipv4(&four.sin_addr);
	}
	if (peer == NULL || peer->sa_family != AF_INET6)
		return 0;
	memcpy(&six, peer, sizeof six);
	return client_of_ipv6(&six.sin6_addr);
}

static bool is_trusted(uint64_t client, const char *const *trusted, size_t n_trusted)
{
	for (size_t i = 0; i < n_trusted; i++)
		if (client_of_text(trusted[i]) == client)
			return true;
	return false;
}

/* Cuts the last hop off a list of so many bytes; 0 when it is no address. */
static uint64_t last_hop(const char *list, size_t *length)
{
	char hop[INET6_ADDRSTRLEN];
	size_t end = *length;
	size_t start;

	while (end > 0 && (list[end - 1] == ' ' || list[end - 1] == '\t'))
		end--;
	start = end;
	while (start > 0 && list[start - 1] != ',')
		start--;
	*length = start > 0 ? start - 1 : 0;
	while (start < end && (list[start] == ' ' || list[start] == '\t'))
		start++;
	if (end - start >= sizeof hop)
		return 0;
	memcpy(hop, list + start, end - start);
	hop[end - start] = '\0';
	return client_of_text(hop);
}

uint64_t client_of(const struct sockaddr *peer, const char *forwarded_for, const char *const *trusted, size_t n_trusted)
{
	uint64_t client = client_of_peer(peer);
	size_t length = forwarded_for != NULL ? strlen(forwarded_for) : 0;

	while (length > 0 && client != 0 && is_trusted(client, trusted, n_trusted)) {
		uint64_t hop = last_hop(forwarded_for, &length);

		if (hop == 0) /* what a proxy of ours did not write is not to be believed */
			return client;
		client = hop;
	}
	return client;
}

void client_network(uint64_t client, char text[NETWORK_TEXT_SIZE])
{
	unsigned first = (unsigned)(client >> 32);

	text[0] = '\0';
	if (first == 0xffff) /* an IPv4 address behind "::ffff:" */
		snprintf(text, NETWORK_TEXT_SIZE, "%u.%u.%u.0/24", (unsigned)(client >> 24 & 0xff), (unsigned)(client >> 16 & 0xff),
			(unsigned)(client >> 8 & 0xff));
	else if (client > 1)
		snprintf(text, NETWORK_TEXT_SIZE, "%x:%x:%x::/48", first >> 16, first & 0xffff, (unsigned)(client >> 16 & 0xffff));
	else if (client == 1)
		snprintf(text, NETWORK_TEXT_SIZE, "::/48");
}
