#include "statics.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "http_state.h"
#include "reply.h"
#include "request.h"

bool statics_init(struct statics *statics, const struct static_page *pages, size_t count, const char *frame_ancestors)
{
	int length = snprintf(statics->policy, sizeof statics->policy,
		"default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self'; "
		"form-action 'self'; base-uri 'none'; frame-ancestors %s",
		frame_ancestors != NULL ? frame_ancestors : "'none'");

	statics->pages = pages;
	statics->count = count;
	statics->etags = calloc(count + 1, sizeof *statics->etags);
	if (statics->etags == NULL || length < 0 || (size_t)length >= sizeof statics->policy)
		return false;
	for (size_t i = 0; i < count; i++)
		etag_make(pages[i].bytes, pages[i].length, statics->etags[i]);
	return true;
}

void statics_free(struct statics *statics)
{
	free(statics->etags);
}

const struct static_page *statics_find(const struct statics *statics, const char *path)
{
	for (size_t i = 0; i < statics->count; i++)
		if (strcmp(statics->pages[i].path, path) == 0)
			return &statics->pages[i];
	return NULL;
}

void statics_handle(struct request *req)
{
	const struct statics *statics = &req->http->statics;
	const struct static_page *page = req->page;
	const char *etag = statics->etags[page - statics->pages];
	bool held = etag_matches(request_header(req, "If-None-Match"), etag);

	reply_header(req, "ETag", etag);
	reply_header(req, "Cache-Control", "public, max-age=300");
	reply_header(req, "Content-Security-Policy", statics->policy);
	reply_header(req, "Referrer-Policy", "no-referrer");
	reply_header(req, "Permissions-Policy", "camera=(), geolocation=(), microphone=()");
	reply_header(req, "Cross-Origin-Opener-Policy", "same-origin");
	/* for a 304 the same whole page: libmicrohttpd leaves the body out and states the right length */
	reply_bytes(req, held ? 304 : 200, page->type, page->bytes, page->length, NULL, NULL);
}
