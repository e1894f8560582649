#include "backtest.h"

static const struct text *section_text(const struct backtest *test, uint32_t section)
{
	return config_text(test->config, test->config->catalogue.sections[section].text);
}

static const struct text *build_up_text(const struct backtest *test, const struct mended *row)
{
	return config_text(test->config, test->config->catalogue.build_ups[row->build_up].text);
}

/* ---- text ---- */

static void text_ratios(struct writer *out, const char *what, const struct ratio_stats stats[MEASURE_COUNT])
{
	writer_print(out, "%-18s", what);
	for (uint32_t m = 0; m < MEASURE_COUNT; m++) {
		if (stats[m].jobs > 0)
			writer_print(out, "  %4u %+6.1f %% %5.1f %%", stats[m].jobs, 100 * stats[m].bias, 100 * stats[m].spread);
		else
			writer_print(out, "  %4s %8s %7s", "-", "-", "-");
	}
	writer_print(out, "\n");
}

static uint32_t known(const uint32_t places[PLACE_COUNT])
{
	return places[PLACE_BELOW] + places[PLACE_INSIDE] + places[PLACE_ABOVE];
}

static void text_band(struct writer *out, const char *what, const uint32_t places[PLACE_COUNT])
{
	uint32_t jobs = known(places);

	if (jobs == 0) {
		writer_print(out, "%s: not booked whole for any job\n", what);
		return;
	}
	writer_print(out, "%s: %.1f %% of %u jobs between P10 and P90, %.1f %% below, %.1f %% above\n", what,
		100.0 * places[PLACE_INSIDE] / jobs, jobs, 100.0 * places[PLACE_BELOW] / jobs, 100.0 * places[PLACE_ABOVE] / jobs);
}

static void text_bands(struct writer *out, const struct backtest *test)
{
	writer_print(out, "\nIn the range that the service gives (%u samples a job), where 80 %% should lie\n", test->samples);
	text_band(out, "price before tax", test->net_places);
	text_band(out, "days on site", test->days_places);
}

static void text_mended(struct writer *out, const struct backtest *test)
{
	uint32_t said = 0;

	writer_print(out, "\nBuild-ups whose hours are off, most hours first\n");
	writer_print(out, "%-32s %5s %9s %8s %7s\n", "build-up", "jobs", "hours", "factor", "error");
	for (uint32_t i = 0; i < test->n_mended; i++) {
		const struct mended *row = &test->mended[i];

		if (!row->off)
			continue;
		said++;
		writer_print(out, "%-32s %5u %9.1f %8.3f %7.3f%s\n", build_up_text(test, row)->id, row->jobs, row->hours, row->factor,
			row->error, row->booked ? "  booked" : "");
	}
	if (said == 0)
		writer_print(out, "none: no build-up is further off than chance would have it\n");
	writer_print(out, "Multiply the hours of a build-up by its factor to mend it. Only those are named that are off by more than\n"
		"three times the error of their factor, and by 3 %% at least.\n");
}

void backtest_write_text(struct writer *out, const struct backtest *test)
{
	writer_print(out, "%u jobs, %u left out\n\n", rows_count(&test->jobs), test->left_out);
	writer_print(out, "%-18s  %-22s  %-22s  %-22s\n", "", "hours", "cost", "days");
	writer_print(out, "%-18s", "section");
	for (uint32_t m = 0; m < MEASURE_COUNT; m++)
		writer_print(out, "  %4s %8s %7s", "jobs", "bias", "spread");
	writer_print(out, "\n");
	for (uint32_t i = 0; i < test->config->catalogue.n_sections; i++)
		text_ratios(out, section_text(test, i)->id, test->sections[i]);
	text_ratios(out, "all", test->all);
	writer_print(out, "Bias: what it came to, over what was said, less one. Spread: standard deviation of that over the jobs.\n");
	text_bands(out, test);
	text_mended(out, test);
}

/* ---- JSON ---- */

static void json_ratios(struct writer *out, const struct ratio_stats stats[MEASURE_COUNT])
{
	for (uint32_t m = 0; m < MEASURE_COUNT; m++) {
		writer_key(out, measure_words[m]);
		if (stats[m].jobs == 0) {
			writer_null(out);
			continue;
		}
		writer_object_open(out);
		writer_member_int(out, "jobs", stats[m].jobs);
		writer_member_number(out, "said", stats[m].said);
		writer_member_number(out, "actual", stats[m].actual);
		writer_member_number(out, "bias", stats[m].bias);
		writer_member_number(out, "spread", stats[m].spread);
		writer_member_number(out, "p10_ratio", stats[m].low);
		writer_member_number(out, "median_ratio", stats[m].median);
		writer_member_number(out, "p90_ratio", stats[m].high);
		writer_object_close(out);
	}
}

static void json_band(struct writer *out, const char *key, const uint32_t places[PLACE_COUNT])
{
	uint32_t jobs = known(places);

	writer_key(out, key);
	if (jobs == 0) {
		writer_null(out);
		return;
	}
	writer_object_open(out);
	writer_member_int(out, "jobs", jobs);
	writer_member_number(out, "inside", (double)places[PLACE_INSIDE] / jobs);
	writer_member_number(out, "below", (double)places[PLACE_BELOW] / jobs);
	writer_member_number(out, "above", (double)places[PLACE_ABOVE] / jobs);
	writer_object_close(out);
}

static void json_bands(struct writer *out, const struct backtest *test)
{
	writer_key(out, "p10_to_p90");
	writer_object_open(out);
	writer_member_int(out, "samples", test->samples);
	json_band(out, "net", test->net_places);
	json_band(out, "on_site_days", test->days_places);
	writer_object_close(out);
}

static void json_mended(struct writer *out, const struct backtest *test)
{
	writer_key(out, "build_ups");
	writer_array_open(out);
	for (uint32_t i = 0; i < test->n_mended; i++) {
		const struct mended *row = &test->mended[i];

		writer_object_open(out);
		writer_member_string(out, "build_up", build_up_text(test, row)->id);
		writer_member_int(out, "jobs", row->jobs);
		writer_member_number(out, "hours", row->hours);
		writer_member_number(out, "factor", row->factor);
		writer_member_number(out, "error", row->error);
		writer_member_bool(out, "off", row->off);
		writer_member_string(out, "from", row->booked ? "booked" : "section");
		writer_object_close(out);
	}
	writer_array_close(out);
}

void backtest_write_json(struct writer *out, const struct backtest *test)
{
	writer_object_open(out);
	writer_member_int(out, "jobs", rows_count(&test->jobs));
	writer_member_int(out, "left_out", test->left_out);
	writer_key(out, "sections");
	writer_array_open(out);
	for (uint32_t i = 0; i < test->config->catalogue.n_sections; i++) {
		writer_object_open(out);
		writer_member_string(out, "id", section_text(test, i)->id);
		json_ratios(out, test->sections[i]);
		writer_object_close(out);
	}
	writer_array_close(out);
	writer_key(out, "all");
	writer_object_open(out);
	json_ratios(out, test->all);
	writer_object_close(out);
	json_bands(out, test);
	json_mended(out, test);
	writer_member_string(out, "config", test->config->digest);
	writer_object_close(out);
}
