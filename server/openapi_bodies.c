#include <string.h>

#include "openapi_parts.h"
#include "schema.h"
#include "shapes.h"

/* The enquiry as each route takes it: its members once, open, and closed by whoever adds what is its own. */

struct body {
	const char *name, *sentence;
	bool priced;           /* needs a pond or a stream */
	const char *own;       /* "properties" of its own as JSON, or NULL */
};

static const struct body bodies[] = {
	{"Enquiry", "A pond, with or without a stream, as somebody asks for it", false, NULL},
	{"PricedEnquiry", "An enquiry that has a pond, or for work stream a stream", true, NULL},
	{"CompareEnquiry", "The same, and whether other sizes and depths are wanted", true,
		"{\"grid\":{\"description\":\"Other sizes and depths too\",\"type\":\"boolean\",\"default\":false}}"},
	{"RangeEnquiry", "The same, and how many quotes to price", true,
		"{\"samples\":{\"description\":\"Whole quotes to price\",\"type\":\"integer\",\"minimum\":64,\"maximum\":16384}}"},
};

static void write_body(struct writer *out, const struct config *config, const struct body *body)
{
	writer_key(out, body->name);
	writer_object_open(out);
	writer_member_string(out, "description", body->sentence);
	writer_key(out, "allOf");
	writer_array_open(out);
	shape_reference(out, "EnquiryMembers");
	if (body->priced) {
		writer_object_open(out);
		schema_priced(out);
		writer_object_close(out);
	}
	writer_array_close(out);
	if (body->own != NULL) {
		writer_member_string(out, "type", "object");
		openapi_text(out, "properties", body->own);
	}
	writer_member_bool(out, "unevaluatedProperties", false);
	schema_examples(out, config);
	writer_object_close(out);
}

static void write_stage(struct writer *out, const struct config *config)
{
	writer_key(out, "stage");
	writer_object_open(out);
	writer_member_string(out, "description", "The last task that is done, null where none is");
	writer_key(out, "enum");
	writer_array_open(out);
	for (uint32_t i = 0; i < config->catalogue.n_tasks; i++)
		writer_string(out, config_text(config, config->catalogue.tasks[i].text)->id);
	writer_null(out);
	writer_array_close(out);
	writer_object_close(out);
}

static void write_variation(struct writer *out, const struct config *config)
{
	writer_key(out, "VariationRequest");
	writer_object_open(out);
	writer_member_string(out, "description", "Two enquiries of one region, and how far the work is");
	writer_member_string(out, "type", "object");
	writer_key(out, "properties");
	writer_object_open(out);
	writer_key(out, "agreed");
	shape_reference(out, "PricedEnquiry");
	writer_key(out, "now");
	shape_reference(out, "PricedEnquiry");
	write_stage(out, config);
	writer_object_close(out);
	openapi_text(out, "required", "[\"agreed\",\"now\",\"stage\"]");
	writer_member_bool(out, "additionalProperties", false);
	writer_object_close(out);
}

void openapi_bodies(struct writer *out, const struct config *config)
{
	writer_key(out, "EnquiryMembers");
	writer_object_open(out);
	schema_members(out, config);
	writer_object_close(out);
	for (size_t i = 0; i < sizeof bodies / sizeof bodies[0]; i++)
		write_body(out, config, &bodies[i]);
	write_variation(out, config);
}
