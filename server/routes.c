#include "routes.h"

#include <string.h>

#include "answer_regions.h"
#include "clocks.h"
#include "documents.h"
#include "etag.h"
#include "http.h"
#include "metrics.h"
#include "reply.h"
#include "request.h"
#include "service.h"
#include "share.h"
#include "today.h"

/* Where a program finds what there is to ask (RFC 8631). */
static const char links[] = "</openapi.json>; rel=\"service-desc\", </v1/enquiry-schema>; rel=\"describedby\"";

/* ---- questions ---- */

static void count(struct request *req, struct answer answer, const struct enquiry_faults *faults)
{
	struct metrics *metrics = http_metrics(req->http);
	uint32_t kept = faults->count < FAULTS_MOST ? faults->count : FAULTS_MOST;

	metrics_count(metrics, METRICS_QUOTES, outcome_word(answer.outcome));
	for (uint32_t i = 0; i < kept; i++)
		metrics_count(metrics, METRICS_REJECTED_FIELDS, faults->kept[i].code);
}

/* type: of an answer that is not JSON, else NULL; such a one is English. */
static void answer_with(struct request *req, const struct config *config, bool owner, answer_function *function,
	const char *type)
{
	struct room *room = pondwright_room(req->app);
	struct answer answer;

	if (room == NULL) {
		reply_refusal(req, REFUSAL_UNAVAILABLE);
		return;
	}
	if (req->route->speaks && type == NULL)
		config = config_spoken(config, request_header(req, "Accept-Language"));
	answer = function(&(struct ask){.config = config, .room = room, .body = req->body, .body_length = req->body_length,
		.today_day = today_day(), .owner = owner, .instance = req->id}, &req->out);
	count(req, answer, &room->faults);
	if (answer.status == 200)
		reply_header(req, "Content-Language", config->tags[config->language]);
	if (answer.status == 200 && type != NULL)
		reply_text(req, 200, type);
	else if (answer.status == 200)
		reply_json(req, 200);
	else if (answer.status == 503)
		reply_refusal(req, REFUSAL_UNAVAILABLE);
	else
		reply_problem_list(req, answer.status);
}

static void refuse_token(struct request *req, enum owner_verdict verdict)
{
	metrics_count(http_metrics(req->http), METRICS_QUOTES, "token-refused");
	if (verdict == OWNER_TOO_MANY) {
		reply_problem(req, 429, "too-many-tokens", "Too many wrong tokens came in of late; wait a second.");
		return;
	}
	reply_header(req, "WWW-Authenticate", "Bearer error=\"invalid_token\"");
	reply_problem(req, 401, "token-wrong", "The token is not the owner's. Leave Authorization out for the public answer.");
}

static void handle_question_as(struct request *req, answer_function *function, const char *type)
{
	enum owner_verdict verdict;
	struct config *config = pondwright_judge(req->app, request_header(req, "Authorization"), &verdict);

	reply_header(req, "Link", links);
	if (verdict == OWNER_WRONG || verdict == OWNER_TOO_MANY)
		refuse_token(req, verdict);
	else
		answer_with(req, config, verdict == OWNER_PROVEN, function, type);
	config_release(config);
}

static void handle_question(struct request *req, answer_function *function)
{
	handle_question_as(req, function, NULL);
}

/* One enquiry, three readers: a program, a calendar, a spreadsheet. */
static void handle_quote(struct request *req)
{
	const char *type = request_best_type(req);

	if (type != NULL && strcmp(type, "text/calendar") == 0)
		handle_question_as(req, answer_calendar, "text/calendar; charset=utf-8");
	else if (type != NULL && strcmp(type, "text/csv") == 0)
		handle_question_as(req, answer_csv, "text/csv; charset=utf-8; header=present");
	else
		handle_question(req, answer_quote);
}

static void handle_water(struct request *req)
{
	handle_question(req, answer_water);
}

static void handle_screen(struct request *req)
{
	handle_question(req, answer_screen);
}

/* Hundreds of quotes for one answer: in a crowd they may not take all of a thread, or its other clients starve. A few
 * connections wait for each other. */
#define CROWD 5

static void handle_range(struct request *req)
{
	static _Thread_local struct share ranges;
	int64_t began_ns = thread_cpu_ns();

	if (!share_allows(&ranges, monotonic_ns()) && http_connections(req->http) >= CROWD) {
		reply_problem(req, 429, "too-many-ranges", "Too many ranges are asked for just now; wait a second.");
		return;
	}
	handle_question(req, answer_range);
	share_spend(&ranges, monotonic_ns(), thread_cpu_ns() - began_ns);
}

static void handle_compare(struct request *req)
{
	handle_question(req, answer_compare);
}

/* The sheet for the visit: data, or a page to print that runs nothing and loads its layout alone. */
static void handle_survey(struct request *req)
{
	const char *type = request_best_type(req);

	if (type == NULL || strcmp(type, "text/html") != 0) {
		handle_question(req, answer_survey);
		return;
	}
	reply_header(req, "Content-Security-Policy", "default-src 'none'; style-src 'self'; base-uri 'none'; form-action 'none'; "
		"frame-ancestors 'none'");
	handle_question_as(req, answer_survey_page, "text/html; charset=utf-8");
}

static void handle_variation(struct request *req)
{
	handle_question(req, answer_variation);
}

/* ---- what can be looked up ---- */

/* A document that only a reload changes: asked for again, it is a 304. */
static void document_headers(struct request *req, const struct config *config, const char *etag)
{
	reply_header(req, "ETag", etag);
	reply_header(req, "Cache-Control", "no-cache");
	reply_header(req, "Content-Language", config->tags[config->language]);
	reply_header(req, "Link", links);
}

/* For a 304 the same whole document: libmicrohttpd leaves the body out and states the right length. */
static unsigned document_status(const struct request *req, const char *etag)
{
	return etag_matches(request_header(req, "If-None-Match"), etag) ? 304 : 200;
}

static void reply_document(struct request *req, const struct config *config, const char *type)
{
	char etag[ETAG_SIZE];

	if (req->out.out_of_memory) {
		reply_refusal(req, REFUSAL_UNAVAILABLE);
		return;
	}
	etag_make(req->out.bytes, req->out.length, etag);
	document_headers(req, config, etag);
	reply_text(req, document_status(req, etag), type);
}

/* A document that was written when the configuration was loaded, sent without a copy. */
static void reply_prepared(struct request *req, enum document document, const char *type)
{
	struct documents *documents;
	struct config *config = pondwright_served(req->app, &documents);
	const struct config *spoken =
		req->route->speaks ? config_spoken(config, request_header(req, "Accept-Language")) : config;
	const struct document_text *text = documents_find(documents, document, spoken->language);

	document_headers(req, spoken, text->etag);
	reply_bytes(req, document_status(req, text->etag), type, text->bytes, text->length, documents_release, documents);
	config_release(config);
}

static void handle_regions(struct request *req)
{
	reply_prepared(req, DOCUMENT_REGIONS, "application/json");
}

static void handle_language(struct request *req)
{
	reply_prepared(req, DOCUMENT_LANGUAGE, "application/json");
}

static void handle_openapi(struct request *req)
{
	reply_prepared(req, DOCUMENT_OPENAPI, "application/json");
}

static void handle_region(struct request *req)
{
	struct config *config = pondwright_config(req->app);
	const struct config *spoken = config_spoken(config, request_header(req, "Accept-Language"));

	if (answer_region(&req->out, spoken, req->tail))
		reply_document(req, spoken, "application/json");
	else
		reply_problem(req, 404, "region-unknown", "There is no region of that name; see /v1/regions.");
	config_release(config);
}

static void handle_schema(struct request *req)
{
	reply_prepared(req, DOCUMENT_ENQUIRY_SCHEMA, request_best_type(req));
}

static const char *const quote_types[] = {"text/calendar", "text/csv", NULL};
static const char *const survey_types[] = {"text/html", NULL};
static const char *const schema_types[] = {"application/schema+json", NULL};

#define QUESTION(path_, handle_) \
	{.path = path_, .template = path_, .methods = METHOD_POST, .needs_body = true, .cors = true, .handle = handle_, \
		.speaks = true}
#define DOCUMENT(path_, handle_) \
	{.path = path_, .template = path_, .methods = METHOD_GET, .cors = true, .handle = handle_, .speaks = true}

const struct route pond_routes[] = {
	{.path = "/v1/quote", .template = "/v1/quote", .methods = METHOD_POST, .needs_body = true, .cors = true,
		.handle = handle_quote, .also_gives = quote_types, .speaks = true},
	QUESTION("/v1/water", handle_water),
	QUESTION("/v1/screen", handle_screen),
	QUESTION("/v1/compare", handle_compare),
	QUESTION("/v1/range", handle_range),
	{.path = "/v1/survey", .template = "/v1/survey", .methods = METHOD_POST, .needs_body = true, .cors = true,
		.handle = handle_survey, .also_gives = survey_types},
	{.path = "/v1/variation", .template = "/v1/variation", .methods = METHOD_POST, .needs_body = true, .cors = true,
		.handle = handle_variation},
	{.path = "/openapi.json", .template = "/openapi.json", .methods = METHOD_GET, .cors = true, .handle = handle_openapi},
	DOCUMENT("/v1/regions", handle_regions),
	DOCUMENT("/v1/language", handle_language),
	{.path = "/v1/regions/", .prefix = true, .template = "/v1/regions/{id}", .methods = METHOD_GET, .cors = true,
		.handle = handle_region, .speaks = true},
	{.path = "/v1/enquiry-schema", .template = "/v1/enquiry-schema", .methods = METHOD_GET, .cors = true,
		.handle = handle_schema, .also_gives = schema_types, .speaks = true},
};
const size_t n_pond_routes = sizeof pond_routes / sizeof pond_routes[0];
