#ifndef PONDWRIGHT_ROUTER_H
#define PONDWRIGHT_ROUTER_H

#include <stdbool.h>
#include <stddef.h>

struct request;

/* Methods as bits; everything that is not one of the first four is METHOD_OTHER and answered with 405. */
enum { METHOD_GET = 1, METHOD_HEAD = 2, METHOD_POST = 4, METHOD_OPTIONS = 8, METHOD_OTHER = 16 };
#define METHODS 5

/* One path. Paths are compared byte for byte as they came, without decoding. */
struct route {
	const char *path;
	bool prefix;                         /* the path ends in '/' and one more segment follows: see request->tail */
	const char *template;                /* its name in logs and metrics, such as "/v1/regions/{id}" */
	unsigned methods;                    /* bits; GET brings HEAD, every route answers OPTIONS */
	bool needs_body;                     /* POST only: application/json with a Content-Length */
	bool cors;                           /* pages of the allowed origins may read it */
	void (*handle)(struct request *req); /* answers once, by one of the functions of reply.h */
	/* Types that it can give beside application/json, NULL at the end; NULL for none. A request that accepts
	 * neither is answered with 406. */
	const char *const *also_gives;
	bool speaks;      /* its answer depends on Accept-Language */
	bool any_type;    /* no 406: it answers as it does, whatever Accept says */
	bool operational; /* health and metrics: not logged, and on the admin listener too */
};

/* All routes of a service: the application's, this layer's, then one for the pages and one for unknown paths. */
struct router {
	struct route *routes;
	const char **templates; /* of the same order, for the metrics */
	size_t count;
};

/* Copies the rows; what they point to must outlive the router. False when memory is short. */
bool router_init(struct router *router, const struct route *app, size_t n_app, const struct route *own, size_t n_own);
void router_free(struct router *router);

/* The route of a path, or NULL. *tail is the segment after a prefix, or "". Only operational ones where asked. */
const struct route *router_find(
	const struct router *router, const char *path, bool only_operational, const char **tail);
const struct route *router_pages(const struct router *router);
const struct route *router_unknown(const struct router *router);
size_t router_index(const struct router *router, const struct route *route);

/* The bit of a method's name, which is case-sensitive; its index; and the label of an index. */
unsigned method_bit(const char *word);
unsigned method_index(unsigned bit);
const char *method_word(unsigned index);

/* Whether the route takes the method, and its Allow text, at most 31 bytes. */
bool route_takes(const struct route *route, unsigned method);
#define ALLOW_SIZE 32
void route_allow(const struct route *route, char text[ALLOW_SIZE]);

#endif
