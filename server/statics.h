#ifndef PONDWRIGHT_STATICS_H
#define PONDWRIGHT_STATICS_H

#include <stdbool.h>
#include <stddef.h>

#include "etag.h"

struct request;

/* One file of static/, compiled in by server/embed.cmake. */
struct static_page {
	const char *path; /* index.html is "/" and "/desk", other pages lose their ".html", assets keep their name */
	const char *type; /* with its charset */
	const unsigned char *bytes;
	size_t length;
};

/* The generated table. */
extern const struct static_page static_pages[];
extern const size_t n_static_pages;

/* The pages of one service with what is worked out at its start. */
struct statics {
	const struct static_page *pages;
	size_t count;
	char (*etags)[ETAG_SIZE]; /* of the same order */
	char policy[384];         /* Content-Security-Policy */
};

/* frame_ancestors: who may embed the pages, in the words of that directive; NULL for nobody.
 * False when memory is short or the text does not fit. The pages must outlive the record. */
bool statics_init(struct statics *statics, const struct static_page *pages, size_t count, const char *frame_ancestors);
void statics_free(struct statics *statics);

/* The page of a path, or NULL. */
const struct static_page *statics_find(const struct statics *statics, const char *path);

/* Answers with request->page: the whole of it, or 304. */
void statics_handle(struct request *req);

#endif
