#ifndef PONDWRIGHT_PROBLEM_H
#define PONDWRIGHT_PROBLEM_H

#include <stdbool.h>
#include <stddef.h>

#include "writer.h"

/* Problem details (RFC 9457), application/problem+json:
 *   {"type", "title", "status", "detail", "instance", "errors": [{"pointer", "code", "detail"}]}
 * A fault that is not about one member of the body has the pointer "", the whole of it. */

enum refusal {
	REFUSAL_NONE,
#define REFUSAL(id, status, code, closes, detail) REFUSAL_##id,
#include "refusals.def"
#undef REFUSAL
	REFUSALS
};

struct refusal_row {
	unsigned status;
	const char *code;
	bool closes;
	const char *detail;
};

/* The row of a refusal other than REFUSAL_NONE. */
const struct refusal_row *refusal_row(enum refusal refusal);

/* The reason phrase of a status; "Error" for one that this service does not use. */
const char *status_title(unsigned status);

/* Begins a problem and its list of errors in an empty writer. type is a URI or NULL for about:blank, whose title is
 * the status's phrase; instance is the request's id. */
void problem_open(struct writer *out, unsigned status, const char *type, const char *detail, const char *instance);
/* One fault. pointer is a plain JSON Pointer, escaped already; code a constant word. */
void problem_fault(struct writer *out, const char *pointer, const char *code, const char *detail);
void problem_close(struct writer *out);

/* Adds "/" and a member's name with the escapes of RFC 6901 (~0, ~1) to a pointer kept as plain text in a writer. */
void pointer_add(struct writer *pointer, const char *member, size_t length);

#endif
