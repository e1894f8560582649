#ifndef PONDWRIGHT_REPLY_H
#define PONDWRIGHT_REPLY_H

#include <stddef.h>

#include "problem.h"

struct request;

/* How a handler answers: any headers of its own first, then exactly one of the others, within the handler.
 * Every answer gets X-Content-Type-Options, X-Request-Id, Cache-Control no-store unless it brings its own, and the
 * CORS headers of its route. Memory that runs out turns any answer into a 503. */

/* One more header. Name and value must live until the answer is given; an empty value is left out. At most 8. */
void reply_header(struct request *req, const char *name, const char *value);

/* request->out as application/json, or under another type. The bytes go to libmicrohttpd without a copy. */
void reply_json(struct request *req, unsigned status);
void reply_text(struct request *req, unsigned status, const char *type);

/* Bytes of somebody else. release(owner) is called once they are no longer needed, also after a failure; without
 * release they must outlive the service. */
void reply_bytes(struct request *req, unsigned status, const char *type, const void *bytes, size_t length,
	void (*release)(void *owner), void *owner);

/* A problem with one fault of no member. Anything written to out before is dropped. code is a constant word. */
void reply_problem(struct request *req, unsigned status, const char *code, const char *detail);
/* A problem with a list of faults, which problem_open, problem_fault and problem_close wrote into request->out. */
void reply_problem_list(struct request *req, unsigned status);

/* For this layer: a refusal of the gate, the answer to OPTIONS, and the 503 that needs no memory. */
void reply_refusal(struct request *req, enum refusal refusal);
void reply_options(struct request *req);
void reply_spare(struct request *req);

#endif
