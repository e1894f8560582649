#include "compile.h"

#include <string.h>

static const char *const detail_words[] = {"headline", "sections", "lines"}; /* enum public_detail */
enum { ORIGINS_MOST = 32 };

/* An origin is scheme, host and port alone, as a browser sends it (RFC 6454 section 6.1). */
static bool is_origin(const char *text)
{
	const char *host = strncmp(text, "https://", 8) == 0 ? text + 8 : strncmp(text, "http://", 7) == 0 ? text + 7 : "";

	return host[0] != '\0' && host[0] != ':' && host[strspn(host, "abcdefghijklmnopqrstuvwxyz0123456789.-:[]")] == '\0';
}

static struct span read_origins(struct builder *b, struct reader *top)
{
	json_t *list = reader_list(top, "allowed_origins", NEEDED, 0, ORIGINS_MOST);
	struct place at = place_member(&top->at, "allowed_origins");
	uint32_t first = rows_count(&b->strings);

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);
		const char *origin = value_string(&place, json_array_get(list, i));

		if (origin != NULL && !is_origin(origin))
			place_fault(&place, "must be an origin alone, such as https://www.example.test");
		origin = text_pool_add(&b->pool, origin);
		if (origin != NULL)
			rows_add(&b->strings, &origin);
	}
	return span_since(&b->strings, first);
}

/* null says that there is no owner's view; anything but that must name the file. */
static const char *read_token_file(struct builder *b, struct reader *top)
{
	json_t *value = top->object != NULL ? json_object_get(top->object, "owner_token_file") : NULL;

	if (json_is_null(value)) {
		top->known[top->n_known++] = "owner_token_file";
		return NULL;
	}
	return text_pool_add(&b->pool, reader_string(top, "owner_token_file", MAY_MISS));
}

void compile_service(struct builder *b)
{
	struct service *service = &b->config.service;
	struct document document;
	uint16_t region = 0;

	if (!document_open(b, "service.json", &document))
		return;
	service->firm = text_pool_add(&b->pool, reader_string(&document.top, "firm", NEEDED));
	service->disclaimer = text_pool_add(&b->pool, reader_string(&document.top, "disclaimer", MAY_MISS));
	service->owner_token_file = read_token_file(b, &document.top);
	service->public_detail = (enum public_detail)reader_word(&document.top, "public_detail", NEEDED, detail_words,
		sizeof detail_words / sizeof detail_words[0], DETAIL_HEADLINE);
	service->allowed_origins = read_origins(b, &document.top);
	service->body_limit_bytes = (uint32_t)reader_whole(&document.top, "body_limit_bytes", NEEDED, 1024, 1 << 20, 65536);
	service->connection_limit = (uint32_t)reader_whole(&document.top, "connection_limit", NEEDED, 8, 100000, 2000);
	service->deadline_s = (uint32_t)reader_whole(&document.top, "deadline_s", NEEDED, 1, 600, 20);
	service->log_addresses = reader_flag(&document.top, "log_addresses", NEEDED, false);
	service->demo = reader_flag(&document.top, "demo", MAY_MISS, false);
	if (reader_name(b, &document.top, "default_region", NEEDED, NAME_REGION, &region))
		service->default_region = region;
	document_close(&document);
}
