#ifndef PONDWRIGHT_GATE_H
#define PONDWRIGHT_GATE_H

struct request;

/* The checks on a request whose header is complete, in the order in which refusals win. Sets the request's method,
 * ids, declared length, refusal and whether the refusal must close the connection.
 * libmicrohttpd 0.9.75 lets through what makes a proxy and a server disagree about where a request ends; each of
 * those is refused here. method and version are libmicrohttpd's own texts. */
void gate_check(struct request *req, const char *method, const char *version);

#endif
