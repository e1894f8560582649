#include "origins.h"

#include <stdlib.h>
#include <string.h>

bool origins_init(struct origins *origins)
{
	origins->list = NULL;
	origins->count = 0;
	return pthread_rwlock_init(&origins->lock, NULL) == 0;
}

static void list_free(char **list, size_t count)
{
	for (size_t i = 0; i < count; i++)
		free(list[i]);
	free(list);
}

void origins_free(struct origins *origins)
{
	list_free(origins->list, origins->count);
	pthread_rwlock_destroy(&origins->lock);
}

static char **list_copy(const char *const *list, size_t count)
{
	char **copy = calloc(count + 1, sizeof *copy);

	for (size_t i = 0; copy != NULL && i < count; i++) {
		copy[i] = strdup(list[i]);
		if (copy[i] == NULL) {
			list_free(copy, i);
			return NULL;
		}
	}
	return copy;
}

bool origins_set(struct origins *origins, const char *const *list, size_t count)
{
	char **fresh = list_copy(list, count);
	char **old;
	size_t old_count;

	if (fresh == NULL)
		return false;
	pthread_rwlock_wrlock(&origins->lock);
	old = origins->list;
	old_count = origins->count;
	origins->list = fresh;
	origins->count = count;
	pthread_rwlock_unlock(&origins->lock);
	list_free(old, old_count);
	return true;
}

bool origins_hold(struct origins *origins, const char *origin)
{
	bool found = false;

	if (origin == NULL || strcmp(origin, "null") == 0)
		return false;
	pthread_rwlock_rdlock(&origins->lock);
	for (size_t i = 0; i < origins->count && !found; i++)
		found = strcmp(origins->list[i], origin) == 0;
	pthread_rwlock_unlock(&origins->lock);
	return found;
}
