#ifndef PONDWRIGHT_ORIGINS_H
#define PONDWRIGHT_ORIGINS_H

#include <pthread.h>
#include <stdbool.h>
#include <stddef.h>

/* The exact web origins that may read our answers. Swapped whole at a reload, from any thread. */
struct origins {
	pthread_rwlock_t lock;
	char **list; /* under the lock */
	size_t count;
};

bool origins_init(struct origins *origins);
void origins_free(struct origins *origins);

/* Replaces the list by copies. False, with the old list kept, when memory is short. */
bool origins_set(struct origins *origins, const char *const *list, size_t count);

/* Whether the origin is listed, byte for byte. "null" and NULL never are. */
bool origins_hold(struct origins *origins, const char *origin);

#endif
