#include "gate.h"

#include <inttypes.h>
#include <stdbool.h>
#include <string.h>
#include <strings.h>

#include <microhttpd.h>

#include "clocks.h"
#include "http_state.h"
#include "media.h"
#include "request.h"

#define HEADER_BYTES_MAX (16 * 1024)
#define HEADERS_MAX 100

static const char content_length[] = "Content-Length";
static const char transfer_encoding[] = "Transfer-Encoding";

/* What one walk over the header fields finds. */
struct fields {
	unsigned count;
	unsigned lengths;
	unsigned codings;
	unsigned hosts;
	bool malformed;
	bool longer_name; /* a folded line is glued to the name before it, so a longer name hides one of these */
	const char *length;
	const char *coding;
};

static bool name_is_token(const char *name, size_t length)
{
	static const char token[] = "!#$%&'*+-.^_`|~0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz";

	return length > 0 && strspn(name, token) == length;
}

static bool value_is_clean(const char *value, size_t length)
{
	for (size_t i = 0; i < length; i++) {
		unsigned char byte = (unsigned char)value[i];

		if ((byte < 0x20 && byte != '\t') || byte == 0x7f)
			return false;
	}
	return true;
}

static bool name_extends(const char *name, size_t length, const char *known)
{
	size_t least = strlen(known);

	return length > least && strncasecmp(name, known, least) == 0;
}

static enum MHD_Result field_look(void *closure, enum MHD_ValueKind kind, const char *name, size_t name_length,
	const char *value, size_t value_length)
{
	struct fields *fields = closure;

	(void)kind;
	fields->count++;
	if (!name_is_token(name, name_length) || !value_is_clean(value, value_length)) {
		fields->malformed = true;
		return MHD_YES; /* the text of such a name is not to be compared; it may be no string */
	}
	if (strcasecmp(name, content_length) == 0) {
		fields->lengths++;
		fields->length = value;
	}
	if (strcasecmp(name, transfer_encoding) == 0) {
		fields->codings++;
		fields->coding = value;
	}
	fields->hosts += strcasecmp(name, "Host") == 0;
	fields->longer_name |=
		name_extends(name, name_length, content_length) || name_extends(name, name_length, transfer_encoding);
	return MHD_YES;
}

/* Digits alone; a number too long to count is as good as the greatest. */
static bool length_read(const char *text, uint64_t *length)
{
	*length = 0;
	if (*text == '\0')
		return false;
	for (; *text >= '0' && *text <= '9'; text++)
		*length = *length > UINT64_MAX / 10 - 1 ? UINT64_MAX / 2 : *length * 10 + (uint64_t)(*text - '0');
	return *text == '\0';
}

static size_t header_bytes(struct request *req)
{
	const union MHD_ConnectionInfo *info =
		MHD_get_connection_info(req->connection, MHD_CONNECTION_INFO_REQUEST_HEADER_SIZE);

	return info != NULL ? info->header_size : 0;
}

static enum refusal framing_check(struct request *req, const struct fields *fields, const char *version)
{
	if (req->target_long)
		return REFUSAL_TARGET_LONG;
	if (header_bytes(req) > HEADER_BYTES_MAX || fields->count > HEADERS_MAX)
		return REFUSAL_HEADERS_LARGE;
	if (fields->malformed)
		return REFUSAL_HEADER_MALFORMED;
	if (fields->lengths + fields->codings > 1)
		return REFUSAL_LENGTH_AMBIGUOUS;
	if (fields->longer_name)
		return REFUSAL_HEADER_MALFORMED;
	if (fields->hosts > 1 || (fields->hosts == 0 && strcmp(version, "HTTP/1.0") != 0))
		return REFUSAL_HOST;
	if (fields->codings > 0)
		return strcasecmp(fields->coding, "chunked") == 0 ? REFUSAL_CHUNKED : REFUSAL_CODING_UNKNOWN;
	if (fields->lengths > 0 && !length_read(fields->length, &req->declared_length))
		return REFUSAL_HEADER_MALFORMED;
	return REFUSAL_NONE;
}

/* libmicrohttpd ends a target at a NUL byte and would route what is before it. In 0.9.75 the version's text follows
 * the target's in one buffer, so a gap between the two shows that something was cut off. Later ones refuse the NUL. */
static bool target_was_cut(const struct request *req, const char *version)
{
#if MHD_VERSION < 0x01000000
	return version != req->target_end + 1;
#else
	(void)req;
	(void)version;
	return false;
#endif
}

static bool accepts_answer(const struct request *req)
{
	return req->route->any_type || req->method == METHOD_OPTIONS || request_best_type(req) != NULL;
}

static enum refusal body_check(struct request *req)
{
	const char *encoding = request_header(req, "Content-Encoding");

	if (!req->has_length)
		return REFUSAL_LENGTH_MISSING;
	if (req->declared_length > req->http->options.body_limit_bytes)
		return REFUSAL_BODY_LARGE;
	if (encoding != NULL && strcasecmp(encoding, "identity") != 0)
		return REFUSAL_CONTENT_ENCODING;
	return media_is(request_header(req, "Content-Type"), "application/json") ? REFUSAL_NONE : REFUSAL_CONTENT_TYPE;
}

/* Pages, health and preflights are not counted: they cost next to nothing. */
static bool rate_allows(struct request *req)
{
	struct http *http = req->http;

	if (http->limiter == NULL || req->page != NULL || req->route->operational || req->method == METHOD_OPTIONS)
		return true;
	return limiter_allows(http->limiter, request_client(req), monotonic_ms(), &req->retry_after_s);
}

static enum refusal request_check(struct request *req, const char *version)
{
	const char *expect = request_header(req, "Expect");
	enum refusal refusal = REFUSAL_NONE;

	if (strpbrk(req->path, "% ") != NULL || target_was_cut(req, version) ||
		req->route == router_unknown(&req->http->router))
		return REFUSAL_PATH_UNKNOWN;
	if (!route_takes(req->route, req->method))
		return REFUSAL_METHOD;
	if (expect != NULL && strcasecmp(expect, "100-continue") != 0)
		return REFUSAL_EXPECTATION;
	if (req->method == METHOD_POST)
		refusal = body_check(req);
	if (refusal == REFUSAL_NONE && !accepts_answer(req))
		refusal = REFUSAL_NOT_ACCEPTABLE;
	if (refusal == REFUSAL_NONE && !rate_allows(req))
		refusal = REFUSAL_RATE;
	return refusal;
}

/* An ordinary refusal lets the connection live, and the body is read and dropped for it. Not so when the body is
 * long, when the client still waits for leave to send it, or when its end cannot be told: a method other than these
 * three without a length may have hidden it behind a header line that was lost. */
static bool refusal_closes(const struct request *req)
{
	bool has_body_method = (req->method & (METHOD_GET | METHOD_HEAD | METHOD_OPTIONS)) == 0;

	if (refusal_row(req->refusal)->closes || req->declared_length > DISCARD_BYTES_MAX)
		return true;
	return (has_body_method && !req->has_length) ||
		(req->declared_length > 0 && request_header(req, "Expect") != NULL);
}

static void ids_take(struct request *req)
{
	const char *id = request_header(req, "X-Request-Id");

	if (request_id_is_valid(id))
		memcpy(req->id, id, strlen(id) + 1);
	else
		request_id_make(req->http->id_seed, atomic_fetch_add(&req->http->id_turn, 1), req->id);
	trace_id_read(request_header(req, "traceparent"), req->trace_id);
}

void gate_check(struct request *req, const char *method, const char *version)
{
	struct fields fields = {0};

	MHD_get_connection_values_n(req->connection, MHD_HEADER_KIND, field_look, &fields);
	req->method = method_bit(method);
	req->has_length = fields.lengths > 0;
	ids_take(req);
	req->refusal = framing_check(req, &fields, version);
	if (req->refusal == REFUSAL_NONE)
		req->refusal = request_check(req, version);
	if (req->refusal == REFUSAL_NONE && req->declared_length > DISCARD_BYTES_MAX)
		req->refusal = REFUSAL_BODY_LARGE; /* a GET may carry a body that nobody asked for, within reason */
	if (req->refusal != REFUSAL_NONE)
		req->closes = refusal_closes(req);
}
