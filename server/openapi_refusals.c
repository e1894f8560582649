#include "openapi_parts.h"

#include <stdio.h>
#include <string.h>

#include "problem.h"

/* A refusal that has no row in refusals.def, for it is a handler's: its code and an example of what it says. */
struct special {
	unsigned status;
	const char *pointer, *code, *detail;
};

static const struct special specials[] = {
	{400, "", "json", "Line 1, column 18: a member is given twice"},
	{401, "", "token-wrong", "The token is not the owner's. Leave Authorization out for the public answer."},
	{404, "", "region-unknown", "There is no region of that name; see /v1/regions."},
	{422, "/pond/depth_m", "out-of-range", "depth_m: 40 m is outside 0.1 to 6 m"},
	{429, "", "too-many-tokens", "Too many wrong tokens came in of late; wait a second."},
	{429, "", "too-many-ranges", "Too many ranges are asked for just now; wait a second."},
	{500, "", "internal", "The service has a fault."},
};

/* Headers that a status brings beside the usual ones, as JSON, and the kinds of path that can answer it. */
struct status_row {
	unsigned status, kinds;
	const char *headers;
};

#define NOT_READINESS (PATH_QUESTION | PATH_DOCUMENT | PATH_REGION | PATH_OPERATIONAL)
#define ANY_PATH (NOT_READINESS | PATH_READINESS)
#define RETRY "{\"X-Request-Id\":{\"$ref\":\"#/components/headers/RequestId\"}," \
	"\"Retry-After\":{\"description\":\"Seconds to wait\",\"schema\":{\"type\":\"integer\"}}}"
#define PLAIN "{\"X-Request-Id\":{\"$ref\":\"#/components/headers/RequestId\"}}"

static const struct status_row statuses[] = {
	{400, ANY_PATH, PLAIN},
	{401, PATH_QUESTION,
		"{\"X-Request-Id\":{\"$ref\":\"#/components/headers/RequestId\"},"
		"\"WWW-Authenticate\":{\"description\":\"Bearer\",\"schema\":{\"type\":\"string\"}}}"},
	{404, PATH_REGION, PLAIN},
	{405, ANY_PATH,
		"{\"X-Request-Id\":{\"$ref\":\"#/components/headers/RequestId\"},"
		"\"Allow\":{\"description\":\"The methods of the path\",\"schema\":{\"type\":\"string\"}}}"},
	{406, PATH_QUESTION | PATH_DOCUMENT | PATH_REGION, PLAIN},
	{411, ANY_PATH, PLAIN},
	{413, ANY_PATH, PLAIN},
	{414, ANY_PATH, PLAIN},
	{415, PATH_QUESTION,
		"{\"X-Request-Id\":{\"$ref\":\"#/components/headers/RequestId\"},"
		"\"Accept\":{\"description\":\"The type that is taken\",\"schema\":{\"type\":\"string\"}}}"},
	{417, ANY_PATH, PLAIN},
	{422, PATH_QUESTION, PLAIN},
	{429, PATH_QUESTION | PATH_DOCUMENT | PATH_REGION, RETRY},
	{431, ANY_PATH, PLAIN},
	{500, ANY_PATH, PLAIN},
	{503, NOT_READINESS, RETRY},
};
enum { STATUSES = sizeof statuses / sizeof statuses[0] };

void openapi_refusals(struct writer *out, enum path_kind kind)
{
	for (size_t i = 0; i < STATUSES; i++) {
		char key[8], reference[48];

		if (!(statuses[i].kinds & (unsigned)kind))
			continue;
		snprintf(key, sizeof key, "%u", statuses[i].status);
		snprintf(reference, sizeof reference, "#/components/responses/Refused%u", statuses[i].status);
		writer_key(out, key);
		writer_object_open(out);
		writer_member_string(out, "$ref", reference);
		writer_object_close(out);
	}
}

static void write_example(struct writer *out, const struct special *special)
{
	writer_key(out, special->code);
	writer_object_open(out);
	writer_key(out, "value");
	problem_open(out, special->status, NULL, special->detail, "4f9c21d07a3be865");
	problem_fault(out, special->pointer, special->code, special->detail);
	problem_close(out);
	writer_object_close(out);
}

/* Two rows may share a code; an object can hold it once. */
static bool stands_earlier(enum refusal refusal)
{
	for (int i = REFUSAL_NONE + 1; i < (int)refusal; i++)
		if (strcmp(refusal_row((enum refusal)i)->code, refusal_row(refusal)->code) == 0)
			return true;
	return false;
}

static void write_examples(struct writer *out, unsigned status)
{
	writer_key(out, "examples");
	writer_object_open(out);
	for (int i = REFUSAL_NONE + 1; i < REFUSALS; i++) {
		const struct refusal_row *row = refusal_row((enum refusal)i);

		if (row->status == status && !stands_earlier((enum refusal)i))
			write_example(out, &(struct special){status, "", row->code, row->detail});
	}
	for (size_t i = 0; i < sizeof specials / sizeof specials[0]; i++)
		if (specials[i].status == status)
			write_example(out, &specials[i]);
	writer_object_close(out);
}

static void write_component(struct writer *out, const struct status_row *row)
{
	char key[16];

	snprintf(key, sizeof key, "Refused%u", row->status);
	writer_key(out, key);
	writer_object_open(out);
	writer_member_string(out, "description", status_title(row->status));
	openapi_text(out, "headers", row->headers);
	writer_key(out, "content");
	writer_object_open(out);
	writer_key(out, "application/problem+json");
	writer_object_open(out);
	openapi_text(out, "schema", "{\"$ref\":\"#/components/schemas/Problem\"}");
	write_examples(out, row->status);
	writer_object_close(out);
	writer_object_close(out);
	writer_object_close(out);
}

void openapi_refusal_components(struct writer *out)
{
	writer_key(out, "responses");
	writer_object_open(out);
	for (size_t i = 0; i < STATUSES; i++)
		write_component(out, &statuses[i]);
	writer_object_close(out);
}
