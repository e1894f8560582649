#ifndef PONDWRIGHT_SERVICE_H
#define PONDWRIGHT_SERVICE_H

#include <pthread.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

#include "answers.h"
#include "documents.h"
#include "owner.h"

struct http;

/* The running service: which configuration is in use, the owner's token, and room for the threads' answers.
 * (struct service is what service.json says.) */
struct pondwright {
	const char *directory; /* of the configuration */
	pthread_mutex_t lock;  /* for the next four */
	struct config *config;
	struct documents *documents; /* of that configuration */
	struct owner_token token;
	struct owner_gate gate;
	pthread_key_t room_key;
};

/* Loads the directory, which must outlive the service. False, with the faults printed to `messages` and nothing to
 * close, where it does not load. */
bool pondwright_open(struct pondwright *service, const char *directory, FILE *messages);
void pondwright_close(struct pondwright *service);

/* The configuration in use, with one reference for the caller to release. What a request answers from stays whole
 * from its start to its end, whatever is loaded meanwhile. */
struct config *pondwright_config(struct pondwright *service);

/* The same with its documents, of which the caller has a reference to release too. */
struct config *pondwright_served(struct pondwright *service, struct documents **documents);

/* The same as pondwright_config, with a judgement of an Authorization header by the token that belongs to it. */
struct config *pondwright_judge(struct pondwright *service, const char *authorization, enum owner_verdict *verdict);

/* This thread's room, made at its first use and freed when the thread ends; NULL when memory is short. */
struct room *pondwright_room(struct pondwright *service);

/* Loads the directory again beside what is in use, and swaps. False, with a line in the log for every fault, keeps
 * the old. context is the struct pondwright. */
bool pondwright_reload(void *context, struct http *http);

/* Whether tables are loaded, and their name: the start of the digest. context is the struct pondwright. */
bool pondwright_ready(void *context, char *text, size_t size);

#endif
