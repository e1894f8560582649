#include "schema.h"

#include <string.h>

#include "schema_types.h"

struct schema {
	struct writer *out;
	const struct config *config;
	const uint16_t *parent;
};

/* Writes JSON text as it stands: what the rows can't say. */
static void write_text(struct writer *out, const char *key, const char *json)
{
	writer_key(out, key);
	writer_raw(out, json, strlen(json));
}

#define ANY_KIND UINT32_MAX

/* Whether a member belongs to an object of that kind. */
static bool belongs(const struct schema *schema, enum field_id id, uint16_t holder, uint32_t kind)
{
	const struct field *field = &enquiry_fields[id];

	return schema->parent[id] == holder &&
		(field->variant == F_NONE || kind == ANY_KIND || (field->variant_mask >> kind & 1));
}

/* The member that decides the kind of an object, or F_NONE. */
static uint16_t kind_field(const struct schema *schema, uint16_t holder)
{
	for (uint32_t id = 0; id < F_COUNT; id++)
		if (schema->parent[id] == holder && enquiry_fields[id].variant != F_NONE)
			return enquiry_fields[id].variant;
	return F_NONE;
}

static void write_object(const struct schema *schema, uint16_t holder);

static void write_kind(const struct schema *schema, enum field_id id, uint32_t kind)
{
	struct writer *out = schema->out;

	writer_object_open(out);
	writer_member_string(out, "description", config_help(schema->config, id));
	writer_member_string(out, "const", config_word(schema->config, enquiry_fields[id].list, kind));
	writer_object_close(out);
}

static void write_properties(const struct schema *schema, uint16_t holder, uint16_t decider, uint32_t kind)
{
	struct writer *out = schema->out;

	writer_key(out, "properties");
	writer_object_open(out);
	for (uint32_t i = 0; i < F_COUNT; i++) {
		enum field_id id = (enum field_id)i;

		if (!belongs(schema, id, holder, kind))
			continue;
		writer_key(out, field_name(id));
		if (id == decider)
			write_kind(schema, id, kind);
		else if (enquiry_fields[id].kind == FIELD_OBJECT)
			write_object(schema, (uint16_t)id);
		else
			schema_field(out, schema->config, id);
	}
	if (holder == F_NONE) {
		writer_key(out, "measured_within");
		schema_measured(out);
	}
	writer_object_close(out);
}

/* depth_m has a condition of its own. */
static void write_required(const struct schema *schema, uint16_t holder, uint16_t decider, uint32_t kind)
{
	struct writer *out = schema->out;

	writer_key(out, "required");
	writer_array_open(out);
	for (uint32_t id = 0; id < F_COUNT; id++)
		if (belongs(schema, (enum field_id)id, holder, kind) && id != F_depth_m &&
			(enquiry_fields[id].presence == MUST || id == decider))
			writer_string(out, field_name((enum field_id)id));
	writer_array_close(out);
	if (holder != F_NONE) /* at the top it is for whoever adds no members of its own */
		writer_member_bool(out, "additionalProperties", false);
}

static void write_kinds(const struct schema *schema, uint16_t holder, uint16_t decider)
{
	struct writer *out = schema->out;
	uint32_t count;
	const char *const *words = config_words(schema->config, enquiry_fields[decider].list, &count);

	writer_key(out, "oneOf");
	writer_array_open(out);
	for (uint32_t kind = 0; kind < count; kind++) {
		writer_object_open(out);
		writer_member_string(out, "title", words[kind]);
		writer_member_string(out, "type", "object");
		write_properties(schema, holder, decider, kind);
		write_required(schema, holder, decider, kind);
		writer_object_close(out);
	}
	writer_array_close(out);
}

/* A stepped bed's last step says the depth. */
static void write_pond_condition(struct writer *out)
{
	write_text(out, "if",
		"{\"required\":[\"profile\"],\"properties\":{\"profile\":{\"type\":\"object\",\"required\":[\"kind\"],"
		"\"properties\":{\"kind\":{\"const\":\"stepped\"}}}}}");
	write_text(out, "else", "{\"required\":[\"depth_m\"]}");
}

static void write_kept_pump_condition(struct writer *out)
{
	write_text(out, "oneOf",
		"[{\"required\":[\"id\"],\"properties\":{\"curve\":false,\"power_w\":false}},"
		"{\"required\":[\"curve\",\"power_w\"],\"properties\":{\"id\":false}}]");
}

static void write_object(const struct schema *schema, uint16_t holder)
{
	struct writer *out = schema->out;
	uint16_t decider = kind_field(schema, holder);

	writer_object_open(out);
	schema_annotations(out, schema->config, (enum field_id)holder);
	writer_member_string(out, "type", "object");
	if (decider != F_NONE) {
		write_kinds(schema, holder, decider);
	} else {
		write_properties(schema, holder, F_NONE, ANY_KIND);
		write_required(schema, holder, F_NONE, ANY_KIND);
	}
	if (holder == F_pond)
		write_pond_condition(out);
	if (holder == F_kept_pump)
		write_kept_pump_condition(out);
	writer_object_close(out);
}

/* Facts that a pond decides are refused beside one. */
static void write_computed(struct writer *out)
{
	write_text(out, "if", "{\"required\":[\"pond\"]}");
	writer_key(out, "then");
	writer_object_open(out);
	writer_key(out, "properties");
	writer_object_open(out);
	writer_key(out, "facts");
	writer_object_open(out);
	writer_key(out, "properties");
	writer_object_open(out);
	for (uint32_t id = 0; id < F_COUNT; id++)
		if (enquiry_fields[id].how == COMPUTED)
			writer_member_bool(out, field_name((enum field_id)id), false);
	writer_object_close(out);
	writer_object_close(out);
	writer_object_close(out);
	writer_object_close(out);
}

static void write_definitions(struct writer *out)
{
	writer_key(out, "$defs");
	writer_object_open(out);
	writer_key(out, "quote");
	writer_object_open(out);
	writer_member_string(out, "description", "What a route that prices a pond needs besides: a pond, or for work stream a stream");
	writer_member_string(out, "$ref", "#");
	schema_priced(out);
	writer_object_close(out);
	writer_object_close(out);
}

struct example_member {
	const char *key, *json;
};

static void write_example(const struct schema *schema, const struct example_member *members, size_t count)
{
	struct writer *out = schema->out;

	writer_object_open(out);
	writer_member_string(
		out, "region", config_word(schema->config, LIST_regions, schema->config->service.default_region));
	for (size_t i = 0; i < count; i++)
		write_text(out, members[i].key, members[i].json);
	writer_object_close(out);
}

void schema_examples(struct writer *out, const struct config *config)
{
	const struct schema schema = {out, config, config->catalogue.parent};
	static const struct example_member least[] = {
		{"pond", "{\"outline\":{\"kind\":\"ellipse\",\"length_m\":5.5,\"width_m\":3.5},\"depth_m\":0.9}"},
	};
	static const struct example_member rebuild[] = {
		{"work", "\"rebuild\""},
		{"pond",
			"{\"outline\":{\"kind\":\"polygon\",\"points_m\":[[0,0],[6,0],[6,4],[2,5]]},"
			"\"profile\":{\"kind\":\"stepped\",\"steps\":[{\"inset_m\":0,\"depth_m\":0.3},"
			"{\"inset_m\":0.5,\"depth_m\":0.3},{\"inset_m\":0.8,\"depth_m\":1.1}]}}"},
		{"old_pond", "{\"shell\":\"flexible-liner\",\"silt_depth_m\":0.15}"},
		{"facts",
			"{\"work_months\":[10,11],\"ponds_within_500m\":\"unknown\","
			"\"species_found\":[\"common-frog\",\"unknown\"]}"},
	};

	writer_key(out, "examples");
	writer_array_open(out);
	write_example(&schema, least, sizeof least / sizeof least[0]);
	write_example(&schema, rebuild, sizeof rebuild / sizeof rebuild[0]);
	writer_array_close(out);
}

void schema_members(struct writer *out, const struct config *config)
{
	struct schema schema = {out, config, config->catalogue.parent};

	writer_member_string(out, "title", "Enquiry");
	writer_member_string(out, "description", "A pond, with or without a stream, as somebody asks for it");
	writer_member_string(out, "type", "object");
	write_properties(&schema, F_NONE, F_NONE, ANY_KIND);
	write_required(&schema, F_NONE, F_NONE, ANY_KIND);
	write_computed(out);
}

void schema_priced(struct writer *out)
{
	write_text(out, "if", "{\"required\":[\"work\"],\"properties\":{\"work\":{\"const\":\"stream\"}}}");
	write_text(out, "then", "{\"required\":[\"stream\"]}");
	write_text(out, "else", "{\"required\":[\"pond\"]}");
}

void schema_write(struct writer *out, const struct config *config)
{
	writer_object_open(out);
	writer_member_string(out, "$schema", "https://json-schema.org/draft/2020-12/schema");
	writer_member_string(out, "$id", "/v1/enquiry-schema");
	schema_members(out, config);
	writer_member_bool(out, "additionalProperties", false);
	write_definitions(out);
	schema_examples(out, config);
	writer_object_close(out);
}
