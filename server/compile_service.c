#include "compile.h"

#include <arpa/inet.h>
#include <stdio.h>
#include <string.h>

static const char *const detail_words[] = {"headline", "sections", "lines"}; /* enum public_detail */
enum { ORIGINS_MOST = 32, ANCESTORS_MOST = 4, ANCESTORS_SIZE = 200, PROXIES_MOST = 32 };

/* An origin is scheme, host and port alone, as a browser sends it (RFC 6454 section 6.1). */
static bool is_origin(const char *text)
{
	const char *host = strncmp(text, "https://", 8) == 0 ? text + 8 : strncmp(text, "http://", 7) == 0 ? text + 7 : "";

	return host[0] != '\0' && host[0] != ':' && host[strspn(host, "abcdefghijklmnopqrstuvwxyz0123456789.-:[]")] == '\0';
}

static const char *read_origin(const struct place *place, json_t *value)
{
	const char *origin = value_string(place, value);

	if (origin != NULL && !is_origin(origin))
		place_fault(place, "must be an origin alone, such as https://www.example.test");
	return origin;
}

/* A colour goes into the pages' style as it stands, so it may be nothing else. */
static const char *read_colour(struct builder *b, struct reader *top, const char *key)
{
	const char *text = reader_string(top, key, MAY_MISS);
	struct place at = place_member(&top->at, key);

	if (text != NULL && !(text[0] == '#' && strlen(text) == 7 && text[1 + strspn(text + 1, "0123456789abcdef")] == '\0'))
		place_fault(&at, "must be a colour such as #0f6478");
	return text_pool_add(&b->pool, text);
}

/* An address alone, as inet_pton reads it: no name, no prefix. */
static const char *read_address(const struct place *place, json_t *value)
{
	const char *text = value_string(place, value);
	unsigned char address[16];

	if (text != NULL && inet_pton(AF_INET, text, address) != 1 && inet_pton(AF_INET6, text, address) != 1)
		place_fault(place, "must be an address alone, such as 192.0.2.7 or 2001:db8::7");
	return text;
}

/* A list of texts into config->strings. */
static struct span read_texts(struct builder *b, struct reader *top, const char *key, enum requirement need, size_t most,
	const char *(*read)(const struct place *place, json_t *value))
{
	json_t *list = reader_list(top, key, need, 0, most);
	struct place at = place_member(&top->at, key);
	uint32_t first = rows_count(&b->strings);

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);
		const char *text = text_pool_add(&b->pool, read(&place, json_array_get(list, i)));

		if (text != NULL)
			rows_add(&b->strings, &text);
	}
	return span_since(&b->strings, first);
}

/* The words of the frame-ancestors directive. */
static const char *read_ancestors(struct builder *b, struct reader *top)
{
	json_t *list = reader_list(top, "frame_ancestors", MAY_MISS, 0, ANCESTORS_MOST);
	struct place at = place_member(&top->at, "frame_ancestors");
	char joined[ANCESTORS_SIZE] = "";
	size_t length = 0;

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);
		const char *origin = read_origin(&place, json_array_get(list, i));
		int more = origin == NULL ? 0 : snprintf(joined + length, sizeof joined - length, "%s%s", i > 0 ? " " : "", origin);

		if (more < 0 || (size_t)more >= sizeof joined - length) {
			place_fault(&at, "is longer than %d bytes altogether", ANCESTORS_SIZE - 1);
			return NULL;
		}
		length += (size_t)more;
	}
	return length > 0 ? text_pool_add(&b->pool, joined) : NULL;
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
	service->colour_light = read_colour(b, &document.top, "colour_light");
	service->colour_dark = read_colour(b, &document.top, "colour_dark");
	service->owner_token_file = read_token_file(b, &document.top);
	service->public_detail = (enum public_detail)reader_word(&document.top, "public_detail", NEEDED, detail_words,
		sizeof detail_words / sizeof detail_words[0], DETAIL_HEADLINE);
	service->allowed_origins = read_texts(b, &document.top, "allowed_origins", NEEDED, ORIGINS_MOST, read_origin);
	service->trusted_proxies = read_texts(b, &document.top, "trusted_proxies", MAY_MISS, PROXIES_MOST, read_address);
	service->frame_ancestors = read_ancestors(b, &document.top);
	service->body_limit_bytes = (uint32_t)reader_whole(&document.top, "body_limit_bytes", NEEDED, 1024, 1 << 20, 65536);
	service->connection_limit = (uint32_t)reader_whole(&document.top, "connection_limit", NEEDED, 8, 100000, 2000);
	service->deadline_s = (uint32_t)reader_whole(&document.top, "deadline_s", NEEDED, 1, 600, 20);
	service->requests_per_minute =
		(uint32_t)reader_whole(&document.top, "requests_per_minute", MAY_MISS, 0, 1000000, 0);
	service->per_ip_limit = (uint32_t)reader_whole(&document.top, "per_ip_limit", MAY_MISS, 0, 100000, 0);
	service->log_addresses = reader_flag(&document.top, "log_addresses", NEEDED, false);
	if (reader_name(b, &document.top, "default_region", NEEDED, NAME_REGION, &region))
		service->default_region = region;
	document_close(&document);
}
