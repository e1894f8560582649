#include "router.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "statics.h"

static const struct route pages_route = {
	.path = "", .template = "page", .methods = METHOD_GET, .handle = statics_handle, .any_type = true};
static const struct route unknown_route = {.path = "", .template = "unknown"};

bool router_init(struct router *router, const struct route *app, size_t n_app, const struct route *own, size_t n_own)
{
	size_t count = n_app + n_own + 2;

	router->routes = calloc(count, sizeof *router->routes);
	router->templates = calloc(count, sizeof *router->templates);
	router->count = count;
	if (router->routes == NULL || router->templates == NULL)
		return false;
	for (size_t i = 0; i < n_own; i++)
		router->routes[i] = own[i];
	for (size_t i = 0; i < n_app; i++)
		router->routes[n_own + i] = app[i];
	router->routes[count - 2] = pages_route;
	router->routes[count - 1] = unknown_route;
	for (size_t i = 0; i < count; i++)
		router->templates[i] = router->routes[i].template;
	return true;
}

void router_free(struct router *router)
{
	free(router->routes);
	free(router->templates);
}

/* What follows a prefix must be one segment of its own, and neither of the two that a browser would resolve. */
static bool tail_is_segment(const char *tail)
{
	return tail[0] != '\0' && strchr(tail, '/') == NULL && strcmp(tail, ".") != 0 && strcmp(tail, "..") != 0;
}

static bool route_matches(const struct route *route, const char *path, const char **tail)
{
	size_t length = strlen(route->path);

	*tail = "";
	if (!route->prefix)
		return strcmp(route->path, path) == 0;
	if (strncmp(route->path, path, length) != 0)
		return false;
	*tail = path + length;
	return tail_is_segment(*tail);
}

const struct route *router_find(const struct router *router, const char *path, bool only_operational, const char **tail)
{
	for (size_t i = 0; i + 2 < router->count; i++) {
		const struct route *route = &router->routes[i];

		if ((route->operational || !only_operational) && route_matches(route, path, tail))
			return route;
	}
	*tail = "";
	return NULL;
}

const struct route *router_pages(const struct router *router)
{
	return &router->routes[router->count - 2];
}

const struct route *router_unknown(const struct router *router)
{
	return &router->routes[router->count - 1];
}

size_t router_index(const struct router *router, const struct route *route)
{
	return (size_t)(route - router->routes);
}

static const char *const method_words[METHODS] = {"GET", "HEAD", "POST", "OPTIONS", "other"};

unsigned method_bit(const char *word)
{
	for (unsigned i = 0; i < METHODS - 1; i++)
		if (strcmp(word, method_words[i]) == 0)
			return 1U << i;
	return METHOD_OTHER;
}

unsigned method_index(unsigned bit)
{
	unsigned index = 0;

	while (bit > 1U) {
		bit >>= 1;
		index++;
	}
	return index;
}

const char *method_word(unsigned index)
{
	return method_words[index];
}

bool route_takes(const struct route *route, unsigned method)
{
	if (method == METHOD_HEAD)
		method = METHOD_GET;
	return method == METHOD_OPTIONS || (route->methods & method) != 0;
}

void route_allow(const struct route *route, char text[ALLOW_SIZE])
{
	snprintf(text, ALLOW_SIZE, "%s%sOPTIONS", (route->methods & METHOD_GET) != 0 ? "GET, HEAD, " : "",
		(route->methods & METHOD_POST) != 0 ? "POST, " : "");
}
