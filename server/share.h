#ifndef PONDWRIGHT_SHARE_H
#define PONDWRIGHT_SHARE_H

#include <stdbool.h>
#include <stdint.h>

/* When a thread may begin another dear answer. libmicrohttpd serves the connections of a thread one after another in
 * rounds: whoever stands behind twenty ranges would wait for all of them. So each must be paid for by a while without
 * one, which is short, but longer than a round of refusals and cheap answers: then everybody else has been served once
 * between any two. Each thread has its own; starts as zero. */
struct share {
	int64_t debt_ns; /* processor time that is not yet paid for */
	int64_t at_ns;   /* until when it is */
};

/* A while pays for twenty times its length: 95 % of a thread, at most. */
#define SHARE_PAYS 20
/* What may be owed: some ordinary ones in a row after a rest, for a page asks for one at each answer that is typed, but of the
 * dearest only one. */
#define SHARE_OWED_NS INT64_C(200000000)

/* Whether a dear answer may begin. now_ns: of a clock that never goes back. */
bool share_allows(struct share *share, int64_t now_ns);
/* One ends now that has taken so much of the processor. */
void share_spend(struct share *share, int64_t now_ns, int64_t took_ns);

#endif
