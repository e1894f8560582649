#ifndef PONDWRIGHT_OWNER_H
#define PONDWRIGHT_OWNER_H

#include <stdatomic.h>
#include <stdbool.h>
#include <stdint.h>

/* The owner's token: who sends it sees costs, hours and margin. It is read from a file when the configuration loads
 * and appears in no answer and no log. */
enum { OWNER_TOKEN_LEAST = 24, OWNER_TOKEN_MOST = 256 };

struct owner_token {
	uint32_t length; /* 0: there is no owner's view */
	char bytes[OWNER_TOKEN_MOST];
};

/* Reads a token: the file's first line, of printable characters without a blank. A NULL path means no owner's view.
 * NULL, or the reason why the file cannot be used, with *token empty. */
const char *owner_token_read(const char *path, struct owner_token *token);

/* How many wrong tokens the process still takes: a bucket that fills by one a second up to OWNER_FAILURES_MOST.
 * While it is empty no token is looked at, so that guessing is slow however many connections guess. */
enum { OWNER_FAILURES_MOST = 20 };
struct owner_gate {
	_Atomic int64_t full_at_ms; /* when the bucket will be full again; 0 at the start */
};

enum owner_verdict {
	OWNER_ABSENT,  /* no token was sent: the public's view */
	OWNER_PROVEN,
	OWNER_WRONG,
	OWNER_TOO_MANY /* wrong tokens of late: ask again in a second */
};

/* Judges an Authorization header; NULL and schemes other than Bearer are OWNER_ABSENT. Comparing takes as long for
 * one wrong token as for another of its length. Safe from any thread. now_ms: a time that never jumps. */
enum owner_verdict owner_check(struct owner_gate *gate, const struct owner_token *token, const char *authorization,
	int64_t now_ms);

#endif
