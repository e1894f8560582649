#include "take_enquiry.h"

#include <check.h>
#include <string.h>

#include "enquiry_write.h"

struct enquiry_faults taken_faults;
struct enquiry taken;

void take_begin(void)
{
	enquiry_faults_init(&taken_faults);
}

void take_end(void)
{
	enquiry_faults_free(&taken_faults);
}

void take(const char *text, size_t length, enum route_need need, const char *prefix)
{
	json_t *object = NULL;

	enquiry_faults_free(&taken_faults);
	enquiry_faults_init(&taken_faults);
	ck_assert_msg(body_parse(text, length, &object, &taken_faults) == BODY_READ, "%s", text);
	enquiry_read(demo_words(), need, object, prefix, &taken, &taken_faults);
	json_decref(object);
	enquiry_check(demo_words(), TODAY, prefix, &taken, &taken_faults);
	ck_assert(!taken_faults.texts.out_of_memory);
}

void take_good(const char *text)
{
	take(text, strlen(text), NEED_QUOTE, "");
	ck_assert_msg(taken_faults.count == 0, "%s\n%s: %s", text, taken_faults.count ? enquiry_fault_pointer(&taken_faults, 0) : "",
		taken_faults.count ? enquiry_fault_detail(&taken_faults, 0) : "");
}

const char *taken_canonical(void)
{
	static struct writer texts[2];
	static size_t turn;
	struct writer *out = &texts[turn++ % 2];

	writer_clear(out);
	enquiry_write(out, demo_words(), &taken);
	writer_text(out, "", 1);
	ck_assert(!out->out_of_memory);
	return out->bytes;
}
