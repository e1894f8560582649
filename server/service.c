#include "service.h"

#include <stdlib.h>
#include <string.h>

#include "clocks.h"
#include "http.h"
#include "json_memory.h"
#include "log.h"

#define PATH_SIZE 4096
#define NAME_DIGITS 12 /* of the digest, for people */

/* ---- loading ---- */

/* A relative path counts from the directory of the configuration. */
static void token_path(const char *directory, const char *file, char path[PATH_SIZE])
{
	if (file[0] == '/')
		snprintf(path, PATH_SIZE, "%s", file);
	else
		snprintf(path, PATH_SIZE, "%s/%s", directory, file);
}

static bool read_token(const char *directory, const struct config *config, struct owner_token *token,
	struct faults *faults)
{
	const char *file = config->service.owner_token_file, *fault;
	char path[PATH_SIZE];

	if (file != NULL)
		token_path(directory, file, path);
	fault = owner_token_read(file != NULL ? path : NULL, token);
	if (fault != NULL)
		faults_add(faults, false, "service.json", "/owner_token_file", "%s", fault);
	return fault == NULL;
}

/* Configuration and token, both or neither. */
static struct config *load(const char *directory, struct owner_token *token, struct faults *faults)
{
	struct config *config;

	json_memory_begin();
	config = config_load(directory, faults);
	if (json_memory_was_short())
		faults_add(faults, false, directory, "", "memory was too short to read it");
	else if (config == NULL || read_token(directory, config, token, faults))
		return config;
	config_release(config);
	return NULL;
}

static void room_end(void *room)
{
	room_free(room);
}

bool pondwright_open(struct pondwright *service, const char *directory, FILE *messages)
{
	struct faults faults;

	memset(service, 0, sizeof *service);
	service->directory = directory;
	faults_init(&faults);
	service->config = load(directory, &service->token, &faults);
	faults_print(&faults, messages);
	faults_free(&faults);
	if (service->config == NULL)
		return false;
	service->documents = documents_make(service->config);
	if (service->documents == NULL || pthread_key_create(&service->room_key, room_end) != 0) {
		documents_release(service->documents);
		config_release(service->config);
		return false;
	}
	pthread_mutex_init(&service->lock, NULL);
	return true;
}

/* The other threads have ended, and their rooms with them. */
void pondwright_close(struct pondwright *service)
{
	room_free(pthread_getspecific(service->room_key));
	pthread_key_delete(service->room_key);
	pthread_mutex_destroy(&service->lock);
	documents_release(service->documents);
	config_release(service->config);
}

/* ---- what a request asks for ---- */

struct config *pondwright_config(struct pondwright *service)
{
	struct config *config;

	pthread_mutex_lock(&service->lock);
	config = config_acquire(service->config);
	pthread_mutex_unlock(&service->lock);
	return config;
}

struct config *pondwright_served(struct pondwright *service, struct documents **documents)
{
	struct config *config;

	pthread_mutex_lock(&service->lock);
	config = config_acquire(service->config);
	*documents = documents_acquire(service->documents);
	pthread_mutex_unlock(&service->lock);
	return config;
}

struct config *pondwright_judge(struct pondwright *service, const char *authorization, enum owner_verdict *verdict)
{
	int64_t now_ms = monotonic_ms();
	struct config *config;

	pthread_mutex_lock(&service->lock);
	config = config_acquire(service->config);
	*verdict = owner_check(&service->gate, &service->token, authorization, now_ms);
	pthread_mutex_unlock(&service->lock);
	return config;
}

struct room *pondwright_room(struct pondwright *service)
{
	struct room *room = pthread_getspecific(service->room_key);

	if (room != NULL)
		return room;
	room = room_new();
	if (room != NULL && pthread_setspecific(service->room_key, room) != 0) {
		room_free(room);
		return NULL;
	}
	return room;
}

/* ---- reload ---- */

static void log_faults(const struct faults *faults)
{
	for (size_t i = 0; i < faults->n_kept; i++) {
		const struct fault *fault = &faults->list[i];

		log_event(fault->warning ? LEVEL_WARN : LEVEL_ERROR, "config", "%s: %s: %s", fault->file, fault->pointer,
			fault->reason);
	}
}

static bool set_origins(const struct config *config, struct http *http)
{
	struct span origins = config->service.allowed_origins;

	return http_origins_set(http, config->strings + origins.first, origins.count);
}

/* What is served from one configuration, made and swapped together. */
struct next {
	struct config *config;
	struct documents *documents;
	struct owner_token token;
};

static void next_release(struct next *next)
{
	documents_release(next->documents);
	config_release(next->config);
}

static void swap(struct pondwright *service, struct next *next)
{
	struct next old;

	pthread_mutex_lock(&service->lock);
	old = (struct next){.config = service->config, .documents = service->documents};
	service->config = next->config;
	service->documents = next->documents;
	service->token = next->token;
	pthread_mutex_unlock(&service->lock);
	next_release(&old);
}

bool pondwright_reload(void *context, struct http *http)
{
	struct pondwright *service = context;
	struct next next = {0};
	struct faults faults;

	faults_init(&faults);
	next.config = load(service->directory, &next.token, &faults);
	log_faults(&faults);
	faults_free(&faults);
	if (next.config == NULL)
		return false;
	next.documents = documents_make(next.config);
	if (next.documents == NULL || !set_origins(next.config, http)) {
		next_release(&next);
		return false;
	}
	swap(service, &next);
	return true;
}

bool pondwright_ready(void *context, char *text, size_t size)
{
	struct config *config = pondwright_config(context);

	snprintf(text, size, "%.*s", NAME_DIGITS, config->digest);
	config_release(config);
	return true;
}
