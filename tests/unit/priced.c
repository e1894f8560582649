#include "priced.h"

#include <check.h>
#include <jansson.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "enquiry_check.h"
#include "enquiry_read.h"

enum { TODAY = 20782 }; /* 2026-11-25 */

const struct config *shipped(void)
{
	static struct config *config;
	struct faults faults;

	if (config == NULL) {
		faults_init(&faults);
		config = config_load(getenv("PONDWRIGHT_CONFIG"), &faults);
		ck_assert_msg(config != NULL, "PONDWRIGHT_CONFIG names a configuration that does not load");
		faults_free(&faults);
	}
	return config;
}

typedef enum status pricing(const struct catalogue *catalogue, const struct edition *edition, const struct enquiry *enquiry,
                            void *scratch, struct quote *quote);

static enum status price(const struct catalogue *catalogue, const struct edition *edition, const struct enquiry *enquiry,
                         void *scratch, struct quote *quote)
{
	return quote_price(catalogue, edition, enquiry, NO_INDEX, scratch, quote);
}

static const struct quote *run(const struct catalogue *catalogue, const char *json, enum route_need need,
                               pricing *function)
{
	static struct quote quote;
	static void *scratch;
	struct enquiry enquiry;
	struct enquiry_faults faults;
	char text[8192];
	json_t *object;

	snprintf(text, sizeof text, "%s", json);
	for (char *quote_mark = text; (quote_mark = strchr(quote_mark, '\'')) != NULL;)
		*quote_mark = '"';
	if (scratch == NULL)
		scratch = malloc(quote_scratch_size());
	enquiry_faults_init(&faults);
	ck_assert_int_eq(body_parse(text, strlen(text), &object, &faults), BODY_READ);
	enquiry_read(shipped(), need, object, "", &enquiry, &faults);
	enquiry_check(shipped(), TODAY, "", &enquiry, &faults);
	json_decref(object);
	ck_assert_msg(faults.count == 0, "%s: %s", faults.count ? enquiry_fault_pointer(&faults, 0) : "",
	              faults.count ? enquiry_fault_detail(&faults, 0) : "");
	enquiry_faults_free(&faults);
	ck_assert_int_eq(function(catalogue, enquiry_edition(shipped(), &enquiry), &enquiry, scratch, &quote), ST_OK);
	return &quote;
}

const struct quote *priced(const char *json)
{
	return run(&shipped()->catalogue, json, NEED_QUOTE, price);
}

const struct quote *priced_by(const struct catalogue *catalogue, const char *json)
{
	return run(catalogue, json, NEED_QUOTE, price);
}

const struct quote *priced_with(const char *format, ...)
{
	char text[8192];
	va_list arguments;

	va_start(arguments, format);
	vsnprintf(text, sizeof text, format, arguments);
	va_end(arguments);
	return priced(text);
}

const struct quote *watered(const char *json)
{
	return run(&shipped()->catalogue, json, NEED_WATER, quote_water);
}

const struct quote *screened(const char *json)
{
	return run(&shipped()->catalogue, json, NEED_SCREEN, quote_screen);
}

const struct line *line_of(const struct quote *quote, const char *build_up)
{
	for (uint32_t i = 0; i < quote->n_lines; i++) {
		const struct line *line = &quote->lines[i];
		const struct build_up *row;

		if (line->special != LINE_BUILD_UP)
			continue;
		row = &shipped()->catalogue.build_ups[line->build_up];
		if (strcmp(config_text(shipped(), row->text)->id, build_up) == 0)
			return line;
	}
	return NULL;
}

double line_quantity(const struct quote *quote, const char *build_up)
{
	const struct line *line = line_of(quote, build_up);

	return line ? line->quantity : (double)NAN;
}

bool flagged(const struct quote *quote, const char *rule, enum level level, enum raised_by by)
{
	for (uint32_t i = 0; i < quote->n_flags; i++) {
		const struct flag *flag = &quote->flags[i];
		const struct text *text = config_text(shipped(), shipped()->catalogue.rules[flag->rule].text);

		if (strcmp(text->id, rule) == 0)
			return flag->level == level && flag->raised_by == by;
	}
	return false;
}

const struct task_result *task_of(const struct quote *quote, const char *task)
{
	for (uint32_t i = 0; i < shipped()->catalogue.n_tasks; i++)
		if (strcmp(config_text(shipped(), shipped()->catalogue.tasks[i].text)->id, task) == 0)
			return &quote->programme.tasks[i];
	ck_abort_msg("no task %s", task);
	return NULL;
}

uint32_t shipped_word(enum word_list list, const char *word)
{
	uint32_t index = 0;

	ck_assert(config_word_index(shipped(), list, word, &index));
	return index;
}
