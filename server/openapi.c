#include "openapi.h"

#include <string.h>

#include "builtin.h"
#include "openapi_parts.h"
#include "routes.h"
#include "shapes.h"
#include "version.h"

/* One operation: the route by its template, what it takes and gives. answer: a shape, or NULL for any JSON; type: of an
 * answer that is no JSON. */
struct operation {
	const char *template, *id, *summary;
	const char *body, *answer, *type;
	enum path_kind kind;
};

static const struct operation operations[] = {
	{"/v1/quote", "quote", "One shell priced: take-off, bill, water, programme, flags", "PricedEnquiry", "Quote", NULL,
		PATH_QUESTION},
	{"/v1/compare", "compare", "Every shell of the region side by side, now and over the years", "CompareEnquiry", "Comparison",
		NULL, PATH_QUESTION},
	{"/v1/range", "range", "Low, likely and high, and which question to ask next", "RangeEnquiry", "Range", NULL,
		PATH_QUESTION},
	{"/v1/variation", "variation", "What becomes of an agreed price when the job changes under way", "VariationRequest",
		"Variation", NULL, PATH_QUESTION},
	{"/v1/water", "water", "Pump, pipe and duty point alone; a pond may be left out", "Enquiry", "WaterAnswer", NULL,
		PATH_QUESTION},
	{"/v1/screen", "screen", "Permissions, species and safety alone; a pond may be left out", "Enquiry", "ScreenAnswer", NULL,
		PATH_QUESTION},
	{"/v1/survey", "survey", "What to find out on site, as data or as a page to print", "Enquiry", "Survey", NULL,
		PATH_QUESTION},
	{"/v1/regions", "regions", "All regions with their editions", NULL, "Regions", NULL, PATH_DOCUMENT},
	{"/v1/language", "language", "The language that is wanted most, all that there are, the page's words and the enquiry's fields in it", NULL, "Language",
		NULL, PATH_DOCUMENT},
	{"/v1/regions/{id}", "region", "A region and everything that an enquiry may name", NULL, "Region", NULL, PATH_REGION},
	{"/v1/enquiry-schema", "enquirySchema", "JSON Schema (2020-12) of the enquiry", NULL, NULL, NULL, PATH_DOCUMENT},
	{"/openapi.json", "openapi", "This document", NULL, NULL, NULL, PATH_DOCUMENT},
	{"/healthz", "health", "The process runs", NULL, "Health", NULL, PATH_OPERATIONAL},
	{"/readyz", "readiness", "Whether requests are welcome", NULL, "Readiness", NULL, PATH_READINESS},
	{"/metrics", "metrics", "Prometheus text", NULL, NULL, "text/plain", PATH_OPERATIONAL},
};
enum { OPERATIONS = sizeof operations / sizeof operations[0] };

void openapi_text(struct writer *out, const char *key, const char *json)
{
	writer_key(out, key);
	writer_raw(out, json, strlen(json));
}

static const struct route *find_route(const struct route *routes, size_t count, const char *template)
{
	for (size_t i = 0; i < count; i++)
		if (strcmp(routes[i].template, template) == 0)
			return &routes[i];
	return NULL;
}

static const struct route *route_of(const struct operation *operation)
{
	const struct route *route = find_route(pond_routes, n_pond_routes, operation->template);

	return route != NULL ? route : find_route(builtin_routes, n_builtin_routes, operation->template);
}

/* ---- one operation ---- */

static void write_request(struct writer *out, const struct operation *operation)
{
	writer_key(out, "requestBody");
	writer_object_open(out);
	writer_member_bool(out, "required", true);
	writer_key(out, "content");
	writer_object_open(out);
	writer_key(out, "application/json");
	writer_object_open(out);
	writer_key(out, "schema");
	shape_reference(out, operation->body);
	writer_object_close(out);
	writer_object_close(out);
	writer_object_close(out);
	openapi_text(out, "security", "[{},{\"ownerToken\":[]}]");
}

static void write_content(struct writer *out, const struct operation *operation, const struct route *route)
{
	writer_key(out, "content");
	writer_object_open(out);
	writer_key(out, operation->type != NULL ? operation->type : "application/json");
	writer_object_open(out);
	writer_key(out, "schema");
	if (operation->answer != NULL) {
		shape_reference(out, operation->answer);
	} else {
		writer_object_open(out);
		writer_member_string(out, "type", operation->type != NULL ? "string" : "object");
		writer_object_close(out);
	}
	writer_object_close(out);
	for (const char *const *type = route->also_gives; type != NULL && *type != NULL; type++)
		openapi_text(out, *type, strstr(*type, "json") != NULL ? "{\"schema\":{\"type\":\"object\"}}"
								       : "{\"schema\":{\"type\":\"string\"}}");
	writer_object_close(out);
}

static void write_responses(struct writer *out, const struct operation *operation, const struct route *route)
{
	bool is_document = operation->kind == PATH_DOCUMENT || operation->kind == PATH_REGION;

	writer_key(out, "responses");
	writer_object_open(out);
	writer_key(out, "200");
	writer_object_open(out);
	writer_member_string(out, "description", operation->summary);
	openapi_text(out, "headers", is_document
		? "{\"X-Request-Id\":{\"$ref\":\"#/components/headers/RequestId\"},"
		  "\"ETag\":{\"description\":\"For If-None-Match\",\"schema\":{\"type\":\"string\"}}}"
		: "{\"X-Request-Id\":{\"$ref\":\"#/components/headers/RequestId\"}}");
	write_content(out, operation, route);
	writer_object_close(out);
	if (is_document)
		openapi_text(out, "304", "{\"description\":\"What If-None-Match names is what there is\"}");
	if (operation->kind == PATH_READINESS)
		openapi_text(out, "503",
			"{\"description\":\"Not ready\",\"content\":{\"application/json\":{\"schema\":"
			"{\"$ref\":\"#/components/schemas/Readiness\"}}}}");
	openapi_refusals(out, operation->kind);
	writer_object_close(out);
}

static void write_parameters(struct writer *out, const struct operation *operation, const struct route *route)
{
	static const char id[] = "{\"name\":\"id\",\"in\":\"path\",\"required\":true,\"description\":\"A region's id\","
		"\"schema\":{\"type\":\"string\"}}";
	static const char language[] = "{\"name\":\"Accept-Language\",\"in\":\"header\",\"description\":\"Texts come in the "
		"language of /v1/language that is wanted most, English otherwise\",\"schema\":{\"type\":\"string\"}}";

	writer_key(out, "parameters");
	writer_array_open(out);
	if (operation->kind == PATH_REGION)
		writer_raw(out, id, strlen(id));
	if (route->speaks)
		writer_raw(out, language, strlen(language));
	writer_array_close(out);
}

static void write_operation(struct writer *out, const struct operation *operation, const struct route *route)
{
	writer_key(out, operation->template);
	writer_object_open(out);
	writer_key(out, operation->body != NULL ? "post" : "get");
	writer_object_open(out);
	writer_member_string(out, "operationId", operation->id);
	writer_member_string(out, "summary", operation->summary);
	write_parameters(out, operation, route);
	if (operation->body != NULL)
		write_request(out, operation);
	write_responses(out, operation, route);
	writer_object_close(out);
	writer_object_close(out);
}

/* ---- the document ---- */

static void write_info(struct writer *out)
{
	writer_key(out, "info");
	writer_object_open(out);
	writer_member_string(out, "title", "pondwright");
	writer_member_string(out, "summary", "Quotes pond work");
	writer_member_string(out, "description",
		"Units are SI and in the name; money is whole numbers of the currency's smallest coin; dates are ISO 8601. Unknown "
		"members of a body are refused; members may be added to answers. Every GET answers HEAD too. A quote is a function of "
		"enquiry, configuration and version: the same three give the same bytes. Nothing of an enquiry is kept.");
	writer_member_string(out, "version", PONDWRIGHT_VERSION);
	writer_object_close(out);
}

static void write_components(struct writer *out, const struct config *config)
{
	writer_key(out, "components");
	writer_object_open(out);
	writer_key(out, "schemas");
	writer_object_open(out);
	openapi_bodies(out, config);
	shapes_write(out);
	writer_object_close(out);
	openapi_refusal_components(out);
	openapi_text(out, "headers",
		"{\"RequestId\":{\"description\":\"The caller's X-Request-Id where it is 1 to 64 letters, digits, '-', '_' or '.', else "
		"one of our own\",\"schema\":{\"type\":\"string\"}}}");
	openapi_text(out, "securitySchemes",
		"{\"ownerToken\":{\"type\":\"http\",\"scheme\":\"bearer\",\"description\":\"The owner's token, for costs, hours and "
		"margin. Without one the answer is the public one.\"}}");
	writer_object_close(out);
}

void openapi_write(struct writer *out, const struct config *config)
{
	writer_object_open(out);
	writer_member_string(out, "openapi", "3.1.0");
	write_info(out);
	writer_member_string(out, "jsonSchemaDialect", "https://spec.openapis.org/oas/3.1/dialect/base");
	openapi_text(out, "servers", "[{\"url\":\"/\",\"description\":\"Where this document came from\"}]");
	writer_key(out, "paths");
	writer_object_open(out);
	for (size_t i = 0; i < OPERATIONS; i++) {
		const struct route *route = route_of(&operations[i]);

		if (route != NULL)
			write_operation(out, &operations[i], route);
	}
	writer_object_close(out);
	write_components(out, config);
	writer_object_close(out);
}
