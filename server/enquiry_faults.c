#include "enquiry_faults.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "problem.h"

#define DETAIL_SIZE 601

void enquiry_faults_init(struct enquiry_faults *faults)
{
	faults->count = 0;
	writer_init(&faults->texts);
}

void enquiry_faults_free(struct enquiry_faults *faults)
{
	writer_free(&faults->texts);
	faults->count = 0;
}

bool enquiry_faults_full(struct enquiry_faults *faults)
{
	bool full = faults->count >= FAULTS_MOST;

	faults->count += full;
	return full;
}

void enquiry_fault_add(
	struct enquiry_faults *faults, const char *base, const char *member, const char *code, const char *format, ...)
{
	struct writer *texts = &faults->texts;
	struct enquiry_fault *fault;
	char detail[DETAIL_SIZE];
	va_list arguments;

	if (faults->count++ >= FAULTS_MOST)
		return;
	fault = &faults->kept[faults->count - 1];
	va_start(arguments, format);
	vsnprintf(detail, sizeof detail, format, arguments);
	va_end(arguments);
	fault->code = code;
	fault->pointer = texts->length;
	writer_text(texts, base, strlen(base));
	if (member != NULL)
		pointer_add(texts, member, strlen(member));
	writer_text(texts, "", 1);
	fault->detail = texts->length;
	writer_text(texts, detail, strlen(detail) + 1);
}

const char *enquiry_fault_pointer(const struct enquiry_faults *faults, uint32_t at)
{
	return faults->texts.bytes + faults->kept[at].pointer;
}

const char *enquiry_fault_detail(const struct enquiry_faults *faults, uint32_t at)
{
	return faults->texts.bytes + faults->kept[at].detail;
}

void enquiry_faults_problem(
	struct writer *out, const struct enquiry_faults *faults, unsigned status, const char *instance)
{
	uint32_t kept = faults->count < FAULTS_MOST ? faults->count : FAULTS_MOST;
	char detail[96];

	if (faults->texts.out_of_memory) {
		out->out_of_memory = true; /* half a list would hide the rest: the caller answers 503 */
		return;
	}
	if (faults->count > kept)
		snprintf(
			detail, sizeof detail, "The body has %u faults; the first %u are listed.", faults->count, kept);
	else
		snprintf(detail, sizeof detail, "The body has %u fault%s.", kept, kept == 1 ? "" : "s");
	problem_open(out, status, NULL, detail, instance);
	for (uint32_t i = 0; i < kept; i++)
		problem_fault(
			out, enquiry_fault_pointer(faults, i), faults->kept[i].code, enquiry_fault_detail(faults, i));
	problem_close(out);
}
