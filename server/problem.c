#include "problem.h"

const struct refusal_row *refusal_row(enum refusal refusal)
{
	static const struct refusal_row rows[REFUSALS] = {
#define REFUSAL(id, status, code, closes, detail) [REFUSAL_##id] = {status, code, closes, detail},
#include "refusals.def"
#undef REFUSAL
	};

	return &rows[refusal];
}

const char *status_title(unsigned status)
{
	static const struct {
		unsigned status;
		const char *title;
	} rows[] = {
		{400, "Bad Request"},
		{401, "Unauthorized"},
		{403, "Forbidden"},
		{404, "Not Found"},
		{405, "Method Not Allowed"},
		{406, "Not Acceptable"},
		{408, "Request Timeout"},
		{409, "Conflict"},
		{411, "Length Required"},
		{413, "Content Too Large"},
		{414, "URI Too Long"},
		{415, "Unsupported Media Type"},
		{417, "Expectation Failed"},
		{422, "Unprocessable Content"},
		{429, "Too Many Requests"},
		{431, "Request Header Fields Too Large"},
		{500, "Internal Server Error"},
		{503, "Service Unavailable"},
	};

	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
		if (rows[i].status == status)
			return rows[i].title;
	return "Error";
}

void problem_open(struct writer *out, unsigned status, const char *type, const char *detail, const char *instance)
{
	writer_object_open(out);
	writer_member_string(out, "type", type != NULL ? type : "about:blank");
	writer_member_string(out, "title", status_title(status));
	writer_member_int(out, "status", status);
	writer_member_string(out, "detail", detail);
	writer_member_string(out, "instance", instance);
	writer_key(out, "errors");
	writer_array_open(out);
}

void problem_fault(struct writer *out, const char *pointer, const char *code, const char *detail)
{
	writer_object_open(out);
	writer_member_string(out, "pointer", pointer);
	writer_member_string(out, "code", code);
	writer_member_string(out, "detail", detail);
	writer_object_close(out);
}

void problem_close(struct writer *out)
{
	writer_array_close(out);
	writer_object_close(out);
}

void pointer_add(struct writer *pointer, const char *member, size_t length)
{
	writer_text(pointer, "/", 1);
	for (size_t i = 0; i < length; i++) {
		if (member[i] == '~')
			writer_text(pointer, "~0", 2);
		else if (member[i] == '/')
			writer_text(pointer, "~1", 2);
		else
			writer_text(pointer, member + i, 1);
	}
}
