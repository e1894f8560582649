#ifndef PONDWRIGHT_OWNER_H
#define PONDWRIGHT_OWNER_H

#include <stdatomic.h>
#include <stdbool.h>
#include <stdint.h>

/* The owner's token: who sends it sees costs, hours and margin. It is read from a file when the configuration loads
 * and appears in no answer and no log.
 *
 * What stops a guesser is the token alone, so a short or a monotonous one is refused when it is read. 24 random
 * characters of base64 are 144 bits, five random words of a list of 7,776 are 64: at 100,000 guesses a second, more
 * than the service answers, half of the latter take three million years. */
enum { OWNER_TOKEN_LEAST = 24, OWNER_TOKEN_MOST = 256, OWNER_TOKEN_VARIETY = 6 /* different characters */ };

struct owner_token {
	uint32_t length; /* 0: there is no owner's view */
	char bytes[OWNER_TOKEN_MOST];
};

/* Reads a token: the file's first line, of printable characters without a blank. A NULL path means no owner's view.
 * NULL, or the reason why the file cannot be used, with *token empty. */
const char *owner_token_read(const char *path, struct owner_token *token);

/* How many wrong tokens the process still calls wrong: a bucket that fills by one a second up to OWNER_FAILURES_MOST.
 * While it is empty they are OWNER_TOO_MANY, which clients should take as a reason to wait and owners as an alarm. The
 * right token is looked at all the same: were it not, whoever keeps guessing would keep the owner out, and the bucket is
 * everybody's, for behind a proxy all of them may have one address. */
enum { OWNER_FAILURES_MOST = 20 };
struct owner_gate {
	_Atomic int64_t full_at_ms; /* when the bucket will be full again; 0 at the start */
};

enum owner_verdict {
	OWNER_ABSENT,  /* no token was sent: the public's view */
	OWNER_PROVEN,
	OWNER_WRONG,
	OWNER_TOO_MANY /* wrong, as many were of late: ask again in a second */
};

/* Judges an Authorization header; NULL and schemes other than Bearer are OWNER_ABSENT. Comparing takes as long for
 * one token as for another, right or wrong, but for the length that was sent. Safe from any thread. now_ms: a time that never jumps. */
enum owner_verdict owner_check(struct owner_gate *gate, const struct owner_token *token, const char *authorization,
	int64_t now_ms);

#endif
