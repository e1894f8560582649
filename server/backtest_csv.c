#include <stdlib.h>
#include <string.h>

#include "backtest_reader.h"

/* Past jobs as a table, one section of a job a row. */

enum { CSV_JOB, CSV_ENQUIRY, CSV_SECTION, CSV_HOURS, CSV_FIELDS = CSV_HOURS + MEASURE_COUNT };

static bool read_row(struct past_reader *in, const struct csv_reader *csv)
{
	uint32_t section;

	if (csv->n_fields != CSV_FIELDS)
		return past_refuse(in, "has %zu fields instead of %d", csv->n_fields, CSV_FIELDS);
	if (!past_section(in, csv->fields[CSV_SECTION], &section))
		return past_refuse(in, "there is no section %.60s", csv->fields[CSV_SECTION]);
	for (uint32_t m = 0; m < MEASURE_COUNT; m++) {
		const char *text = csv->fields[CSV_HOURS + m];
		char *end;
		double value = strtod(text, &end);

		if (*text != '\0' && (*end != '\0' || !past_keep(&in->job.actual[section][m], value)))
			return past_refuse(in, "%.40s is no %s of 0 or more", text, measure_words[m]);
	}
	return true;
}

static bool price_text(struct past_reader *in, const char *text)
{
	json_error_t error;
	json_t *enquiry = json_loads(text, JSON_REJECT_DUPLICATES, &error);
	bool good = enquiry == NULL ? past_refuse(in, "enquiry is no JSON: %s", error.text) : past_price(in, enquiry);

	json_decref(enquiry);
	return good;
}

/* Rows of one job stand together; one that is refused takes the whole job with it. */
void past_read_csv(struct past_reader *in, struct csv_reader *csv)
{
	char job[128] = "";
	bool open = false, good = false;

	if (!csv_next(csv) || csv->n_fields != CSV_FIELDS || strcmp(csv->fields[CSV_JOB], "job") != 0) {
		in->line = 1;
		past_refuse(in, "must begin with the line job,enquiry,section,hours,cost_minor,days");
		return;
	}
	while (csv_next(csv)) {
		in->line = csv->line;
		if (!open || strncmp(job, csv->fields[CSV_JOB], sizeof job - 1) != 0) {
			if (good)
				past_add(in);
			snprintf(job, sizeof job, "%s", csv->fields[CSV_JOB]);
			open = true;
			past_begin(in);
			good = price_text(in, csv->n_fields > CSV_ENQUIRY ? csv->fields[CSV_ENQUIRY] : "");
		}
		good = good && read_row(in, csv);
	}
	if (good)
		past_add(in);
	if (csv->fault != NULL)
		past_refuse(in, "%s", csv->fault);
}
