#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "backtest_reader.h"
#include "enquiry_check.h"
#include "enquiry_read.h"
#include "today.h"

const char *const measure_words[MEASURE_COUNT] = {"hours", "cost_minor", "days"};

bool past_refuse(struct past_reader *in, const char *format, ...)
{
	va_list arguments;

	fprintf(in->messages, "%s:%u: ", in->name, in->line);
	va_start(arguments, format);
	vfprintf(in->messages, format, arguments);
	va_end(arguments);
	fputs("; the job is left out\n", in->messages);
	in->test->left_out++;
	return false;
}

/* ---- what the service says ---- */

static void take_line(struct past_reader *in, const struct edition *edition, const struct line *line)
{
	struct past_job *job = &in->job;
	double hours = 0, cost_minor = 0;

	for (uint32_t i = 0; i < GRADES_MOST; i++)
		hours += line->hours[i];
	for (uint32_t i = 0; i < COMPONENT_COUNT; i++)
		cost_minor += (double)line->cost_minor[i];
	job->said[line->section][MEASURE_HOURS] += hours;
	job->said[line->section][MEASURE_COST] += cost_minor;
	job->said[line->section][MEASURE_DAYS] += hours / (edition->crew_people * edition->productive_h);
	if (line->special == LINE_BUILD_UP)
		job->build_up_hours[line->build_up] += hours;
}

bool past_price(struct past_reader *in, json_t *enquiry)
{
	const struct config *config = in->test->config;
	const struct edition *edition;
	struct enquiry_faults faults;
	bool good;

	if (!json_is_object(enquiry))
		return past_refuse(in, "enquiry must be an object");
	enquiry_faults_init(&faults);
	enquiry_read(config, NEED_QUOTE, enquiry, "/enquiry", &in->enquiry, &faults);
	enquiry_check(config, today_day(), "/enquiry", &in->enquiry, &faults);
	good = faults.count == 0 || past_refuse(in, "%s: %s", enquiry_fault_pointer(&faults, 0), enquiry_fault_detail(&faults, 0));
	enquiry_faults_free(&faults);
	if (!good)
		return false;
	edition = enquiry_edition(config, &in->enquiry);
	if (range_price(&config->catalogue, edition, &in->enquiry, in->test->samples, in->scratch, &in->quote, &in->range) != ST_OK ||
		in->quote.n_cannots > 0)
		return past_refuse(in, "the service says that this job can't be built");
	for (uint32_t i = 0; i < in->quote.n_lines; i++)
		take_line(in, edition, &in->quote.lines[i]);
	return true;
}

/* ---- what it came to ---- */

void past_begin(struct past_reader *in)
{
	memset(&in->job, 0, sizeof in->job);
	for (uint32_t i = 0; i < SECTIONS_MOST; i++)
		for (uint32_t m = 0; m < MEASURE_COUNT; m++)
			in->job.actual[i][m] = (double)NAN;
	for (uint32_t i = 0; i < BUILD_UPS_MOST; i++)
		in->job.actual_build_up_hours[i] = (double)NAN;
}

bool past_section(const struct past_reader *in, const char *id, uint32_t *index)
{
	const struct config *config = in->test->config;

	for (*index = 0; *index < config->catalogue.n_sections; ++*index)
		if (strcmp(config_text(config, config->catalogue.sections[*index].text)->id, id) == 0)
			return true;
	return false;
}

static bool find_build_up(const struct past_reader *in, const char *id, uint32_t *index)
{
	const struct config *config = in->test->config;

	for (*index = 0; *index < config->catalogue.n_build_ups; ++*index)
		if (strcmp(config_text(config, config->catalogue.build_ups[*index].text)->id, id) == 0)
			return true;
	return false;
}

bool past_keep(double *to, double value)
{
	if (!(value >= 0 && value < 1e15))
		return false;
	*to = value;
	return true;
}

static bool read_section(struct past_reader *in, const char *id, json_t *object)
{
	uint32_t section;
	const char *key;
	json_t *value;

	if (!past_section(in, id, &section))
		return past_refuse(in, "there is no section %.60s", id);
	json_object_foreach (object, key, value) {
		uint32_t m = 0;

		while (m < MEASURE_COUNT && strcmp(measure_words[m], key) != 0)
			m++;
		if (m == MEASURE_COUNT || !json_is_number(value) || !past_keep(&in->job.actual[section][m], json_number_value(value)))
			return past_refuse(in, "%.60s: %.40s is no hours, cost_minor or days of 0 or more", id, key);
	}
	return true;
}

static bool read_actuals(struct past_reader *in, json_t *line)
{
	const char *key;
	json_t *value;
	uint32_t index;

	if (!json_is_object(json_object_get(line, "sections")))
		return past_refuse(in, "sections must be an object");
	json_object_foreach (json_object_get(line, "sections"), key, value)
		if (!read_section(in, key, value))
			return false;
	json_object_foreach (json_object_get(line, "build_ups"), key, value) {
		if (!find_build_up(in, key, &index))
			return past_refuse(in, "there is no build-up %.60s", key);
		if (!json_is_number(value) || !past_keep(&in->job.actual_build_up_hours[index], json_number_value(value)))
			return past_refuse(in, "%.60s: must be hours of 0 or more", key);
	}
	return true;
}

void past_add(struct past_reader *in)
{
	backtest_place(&in->job, &in->quote, &in->range);
	if (rows_count(&in->test->jobs) < PAST_JOBS_MOST)
		rows_add(&in->test->jobs, &in->job);
	else
		past_refuse(in, "is one too many: there is room for %d jobs", PAST_JOBS_MOST);
}

/* ---- JSON lines ---- */

static void read_json_line(struct past_reader *in, const char *text, size_t length)
{
	static const char *const known[] = {"job", "enquiry", "sections", "build_ups"};
	json_error_t error;
	json_t *line = json_loadb(text, length, JSON_REJECT_DUPLICATES, &error), *value;
	const char *key;
	bool good = true;

	past_begin(in);
	if (!json_is_object(line)) {
		past_refuse(in, "is no JSON object%s%s", line == NULL ? ": " : "", line == NULL ? error.text : "");
		json_decref(line);
		return;
	}
	json_object_foreach (line, key, value) {
		size_t i = 0;

		while (i < sizeof known / sizeof known[0] && strcmp(known[i], key) != 0)
			i++;
		if (good && i == sizeof known / sizeof known[0])
			good = past_refuse(in, "nobody knows the member %.60s", key);
	}
	if (good && read_actuals(in, line) && past_price(in, json_object_get(line, "enquiry")))
		past_add(in);
	json_decref(line);
}

static bool is_blank(const char *text, size_t length)
{
	for (size_t i = 0; i < length; i++)
		if (text[i] != ' ' && text[i] != '\t' && text[i] != '\r')
			return false;
	return true;
}

static void read_json_lines(struct past_reader *in, const char *text, size_t length)
{
	for (const char *at = text, *end; at < text + length; at = end + 1) {
		end = memchr(at, '\n', (size_t)(text + length - at));
		if (end == NULL)
			end = text + length;
		in->line++;
		if (!is_blank(at, (size_t)(end - at)))
			read_json_line(in, at, (size_t)(end - at));
	}
}

/* JSON lines begin with an object, and no CSV does. */
static bool begins_with_object(const char *text, size_t length)
{
	size_t at = 0;

	while (at < length && (text[at] == '\n' || is_blank(text + at, 1)))
		at++;
	return at < length && text[at] == '{';
}

bool backtest_read(struct backtest *test, const char *name, const char *text, size_t length, FILE *messages)
{
	struct past_reader *in = calloc(1, sizeof *in);
	struct csv_reader *csv = malloc(sizeof *csv);
	bool made = false;

	if (in != NULL && csv != NULL) {
		*in = (struct past_reader){.test = test, .name = name, .messages = messages, .scratch = malloc(range_scratch_size(test->samples))};
		made = in->scratch != NULL;
	}
	if (made && begins_with_object(text, length)) {
		read_json_lines(in, text, length);
	} else if (made) {
		csv_open(csv, text, length);
		past_read_csv(in, csv);
	}
	if (in != NULL)
		free(in->scratch);
	free(in);
	free(csv);
	return made && !test->out_of_memory && rows_count(&test->jobs) > 0;
}
