#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "backtest.h"
#include "priced.h"

/* 200 jobs drawn with a fixed seed. What they "came to" is what the service says, with every section a little off by
 * chance and the hours of one build-up too low by a planted factor: the backtest must find that one. The same jobs are
 * written to PONDWRIGHT_BACKTEST_JOBS where that is set, to be looked at with the program. */

enum { JOBS = 200 };

static uint64_t state;

/* splitmix64, S. Vigna. */
static double draw(double lo, double hi)
{
	uint64_t z = state += 0x9e3779b97f4a7c15;

	z = (z ^ z >> 30) * 0xbf58476d1ce4e5b9;
	z = (z ^ z >> 27) * 0x94d049bb133111eb;
	z ^= z >> 31;
	return lo + (hi - lo) * (double)(z >> 11) * 0x1p-53;
}

/* Normal with mean 0: twelve uniform draws less six (Irwin and Hall). */
static double chance(double deviation)
{
	double sum = -6;

	for (int i = 0; i < 12; i++)
		sum += draw(0, 1);
	return sum * deviation;
}

static const char *one_of(const char *const *words, uint32_t n)
{
	return words[(uint32_t)draw(0, n)];
}

static void draw_enquiry(char *text, size_t size)
{
	static const char *const soils[] = {"loam", "clay", "sand", "gravel"};
	static const char *const shells[] = {"epdm-liner", "rendered-concrete", "reinforced-pe-liner", "plain-concrete"};
	static const char *const olds[] = {"", ",\"old_pond\":{\"shell\":\"flexible-liner\"}", ",\"old_pond\":{\"shell\":\"concrete\"}"};

	snprintf(text, size,
		"{\"region\":\"demo-north\",\"issued_on\":\"2026-10-05\",\"shell\":\"%s\",\"pond\":{\"outline\":{\"kind\":\"rectangle\","
		"\"length_m\":%.2f,\"width_m\":%.2f},\"depth_m\":%.2f,\"profile\":{\"kind\":\"battered\",\"side_slope\":%.2f}}%s,"
		"\"site\":{\"soil\":\"%s\",\"access_width_m\":%.2f,\"carry_m\":%.0f,\"spoil\":\"take-away\"}}",
		one_of(shells, 4), draw(3, 9), draw(2, 6), draw(0.6, 1.4), draw(0.4, 1.2), one_of(olds, 3), one_of(soils, 4),
		draw(0.7, 2.6), draw(5, 60));
}

/* What a job came to: hours of each section, those of the planted build-up longer. */
static void write_job(struct writer *out, uint32_t number, const char *enquiry, const char *planted, double factor,
	double deviation)
{
	const struct catalogue *catalogue = &shipped()->catalogue;
	const struct quote *quote = priced(enquiry);
	bool first = true;

	writer_print(out, "{\"job\":\"%u\",\"enquiry\":%s,\"sections\":{", number, enquiry);
	for (uint32_t section = 0; section < catalogue->n_sections; section++) {
		double hours = 0, cost = 0, noise = exp(chance(deviation) - deviation * deviation / 2); /* of mean 1 */

		for (uint32_t i = 0; i < quote->n_lines; i++) {
			const struct line *line = &quote->lines[i];
			bool longer = line->special == LINE_BUILD_UP &&
				strcmp(config_text(shipped(), catalogue->build_ups[line->build_up].text)->id, planted) == 0;

			for (uint32_t grade = 0; line->section == section && grade < GRADES_MOST; grade++)
				hours += line->hours[grade] * (longer ? factor : 1);
			for (uint32_t c = 0; line->section == section && c < COMPONENT_COUNT; c++)
				cost += (double)line->cost_minor[c];
		}
		if (!(hours > 0))
			continue;
		writer_print(out, "%s\"%s\":{\"hours\":%.3f,\"cost_minor\":%.0f}", first ? "" : ",",
			config_text(shipped(), catalogue->sections[section].text)->id, hours * noise, round(cost * 1.1));
		first = false;
	}
	writer_print(out, "}}\n");
}

static void write_jobs(struct writer *out, uint64_t seed, const char *planted, double factor, double deviation)
{
	char enquiry[1024];

	state = seed;
	writer_init(out);
	for (uint32_t i = 0; i < JOBS; i++) {
		draw_enquiry(enquiry, sizeof enquiry);
		write_job(out, i + 1, enquiry, planted, factor, deviation);
	}
	ck_assert(!out->out_of_memory);
}

static void keep_jobs(const struct writer *jobs)
{
	const char *path = getenv("PONDWRIGHT_BACKTEST_JOBS");
	FILE *file = path != NULL ? fopen(path, "wb") : NULL;

	if (file == NULL)
		return;
	ck_assert_uint_eq(fwrite(jobs->bytes, 1, jobs->length, file), jobs->length);
	fclose(file);
}

static struct backtest test;

static void read_text(const char *text, size_t length)
{
	ck_assert(backtest_init(&test, shipped(), RANGE_SAMPLES_LEAST));
	ck_assert(backtest_read(&test, "jobs", text, length, stderr));
	backtest_fit(&test);
	ck_assert(!test.out_of_memory);
}

static void run(uint64_t seed, const char *planted, double factor, double deviation)
{
	struct writer jobs;

	write_jobs(&jobs, seed, planted, factor, deviation);
	if (seed == 7)
		keep_jobs(&jobs);
	read_text(jobs.bytes, jobs.length);
	writer_free(&jobs);
}

static const struct mended *mended(const char *build_up)
{
	for (uint32_t i = 0; i < test.n_mended; i++)
		if (strcmp(config_text(shipped(), shipped()->catalogue.build_ups[test.mended[i].build_up].text)->id, build_up) == 0)
			return &test.mended[i];
	ck_abort_msg("nothing is said of %s", build_up);
	return NULL;
}

static const struct ratio_stats *section(const char *id, enum measure measure)
{
	for (uint32_t i = 0; i < shipped()->catalogue.n_sections; i++)
		if (strcmp(config_text(shipped(), shipped()->catalogue.sections[i].text)->id, id) == 0)
			return &test.sections[i][measure];
	return NULL;
}

/* In each of five draws of 200 jobs it is the one with the most hours off; the factor found is known to 0.03, the mean of
 * five to 0.014. */
START_TEST(a_planted_bias_is_found)
{
	double sum = 0, expected;

	for (uint64_t seed = 7; seed < 12; seed++) {
		const struct mended *found;

		run(seed, "dig-by-hand", 1.4, 0.12);
		ck_assert_uint_eq(rows_count(&test.jobs), JOBS);
		ck_assert_uint_eq(test.left_out, 0);
		found = mended("dig-by-hand");
		ck_assert(found->off);
		ck_assert_ptr_eq(found, &test.mended[0]);
		ck_assert_double_lt(found->error, 0.05);
		sum += found->factor;
		expected = 0.4 * found->hours / section("excavation", MEASURE_HOURS)->said;
		ck_assert_double_eq_tol(section("excavation", MEASURE_HOURS)->bias, expected, 0.05);
		ck_assert_double_lt(fabs(section("shell", MEASURE_HOURS)->bias), 0.05);
		backtest_free(&test);
	}
	ck_assert_double_eq_tol(sum / 5, 1.4, 3 * 0.014);
}
END_TEST

/* By three times the error one in 370 is off by chance. */
START_TEST(without_a_bias_next_to_nothing_is_blamed)
{
	uint32_t blamed = 0;

	run(11, "none", 1, 0.12);
	for (uint32_t i = 0; i < test.n_mended; i++)
		blamed += test.mended[i].off;
	ck_assert_uint_gt(test.n_mended, 20);
	ck_assert_uint_le(blamed, 1);
	ck_assert_double_lt(fabs(test.all[MEASURE_HOURS].bias), 0.03);
	backtest_free(&test);
}
END_TEST

/* Cost was written as said and a tenth, to the coin. */
START_TEST(bias_and_spread_are_those_that_were_planted)
{
	const struct ratio_stats *cost;

	run(13, "none", 1, 0.12);
	cost = section("shell", MEASURE_COST);
	ck_assert_double_eq_tol(cost->bias, 0.1, 1e-6);
	ck_assert_double_lt(cost->spread, 1e-4);
	ck_assert_double_eq_tol(cost->median, 1.1, 1e-4);
	/* standard deviation of exp(normal(0, 0.12)): sqrt((exp(s2) - 1) exp(s2)) = 0.1213; of 200 draws it is known to 5 % */
	ck_assert_double_eq_tol(section("shell", MEASURE_HOURS)->spread, 0.1213, 4 * 0.05 * 0.1213);
	ck_assert_uint_eq(section("shell", MEASURE_DAYS)->jobs, 0);
	backtest_free(&test);
}
END_TEST

START_TEST(booked_hours_give_the_factor_at_once)
{
	char enquiry[1024];
	struct writer jobs;

	state = 3;
	writer_init(&jobs);
	for (uint32_t i = 0; i < 20; i++) {
		draw_enquiry(enquiry, sizeof enquiry);

		const struct quote *quote = priced(enquiry);
		const struct line *trim = line_of(quote, "trim");
		double hours = 0;

		for (uint32_t grade = 0; trim != NULL && grade < GRADES_MOST; grade++)
			hours += trim->hours[grade];
		writer_print(&jobs, "{\"job\":\"%u\",\"enquiry\":%s,\"sections\":{},\"build_ups\":{\"trim\":%.9f}}\n", i, enquiry, 0.8 * hours);
	}
	read_text(jobs.bytes, jobs.length);
	ck_assert(mended("trim")->booked);
	ck_assert(mended("trim")->off);
	ck_assert_double_eq_tol(mended("trim")->factor, 0.8, 1e-6);
	writer_free(&jobs);
	backtest_free(&test);
}
END_TEST

static const char *place_line(char *line, size_t size, double times)
{
	static const char enquiry[] =
		"{\"region\":\"demo-north\",\"issued_on\":\"2026-10-05\",\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":4},\"depth_m\":1}}";
	const struct quote *quote = priced(enquiry);
	size_t length = (size_t)snprintf(line, size, "{\"job\":\"a\",\"enquiry\":%s,\"sections\":{", enquiry);
	bool first = true;

	for (uint32_t i = 0; i < shipped()->catalogue.n_sections; i++) {
		double cost = 0;

		for (uint32_t k = 0; k < quote->n_lines; k++)
			for (uint32_t c = 0; quote->lines[k].section == i && c < COMPONENT_COUNT; c++)
				cost += (double)quote->lines[k].cost_minor[c];
		if (cost > 0)
			length += (size_t)snprintf(line + length, size - length, "%s\"%s\":{\"cost_minor\":%.0f}", first ? "" : ",",
				config_text(shipped(), shipped()->catalogue.sections[i].text)->id, cost * times);
		first = first && !(cost > 0);
	}
	snprintf(line + length, size - length, "}}\n");
	return line;
}

/* Of a small pond of which nothing else is known: what was said lies inside its range, a third and three times do not. */
START_TEST(a_job_is_placed_in_its_range)
{
	static const struct {
		double times;
		enum place_in_band place;
	} rows[] = {{1.0 / 3, PLACE_BELOW}, {1, PLACE_INSIDE}, {3, PLACE_ABOVE}};
	char line[4096];

	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		place_line(line, sizeof line, rows[i].times);
		read_text(line, strlen(line));
		ck_assert_uint_eq(test.net_places[rows[i].place], 1);
		ck_assert_uint_eq(test.days_places[PLACE_NOT_KNOWN], 1); /* no days were booked */
		backtest_free(&test);
	}
}
END_TEST

/* Both forms of file say the same. */
START_TEST(csv_and_json_lines_are_one)
{
	static const char enquiry[] =
		"{\"region\":\"demo-north\",\"issued_on\":\"2026-10-05\",\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":4},\"depth_m\":1}}";
	char lines[1024], csv[2048], quoted[512], *to = quoted;
	double said, actual;

	for (const char *at = enquiry; *at != '\0'; at++) {
		if (*at == '"')
			*to++ = '"';
		*to++ = *at;
	}
	*to = '\0';
	snprintf(lines, sizeof lines,
		"\n{\"job\":\"a\",\"enquiry\":%s,\"sections\":{\"excavation\":{\"hours\":20,\"days\":2},\"shell\":{\"cost_minor\":50000}}}\n", enquiry);
	snprintf(csv, sizeof csv, "job,enquiry,section,hours,cost_minor,days\r\na,\"%s\",excavation,20,,2\r\na,,shell,,50000,\r\n", quoted);
	read_text(lines, strlen(lines));
	said = section("excavation", MEASURE_HOURS)->said;
	actual = test.all[MEASURE_COST].actual;
	backtest_free(&test);
	read_text(csv, strlen(csv));
	ck_assert_uint_eq(rows_count(&test.jobs), 1);
	ck_assert_double_eq(section("excavation", MEASURE_HOURS)->said, said);
	ck_assert_double_eq(section("excavation", MEASURE_HOURS)->actual, 20);
	ck_assert_double_eq(section("excavation", MEASURE_DAYS)->actual, 2);
	ck_assert_double_eq(test.all[MEASURE_COST].actual, actual);
	backtest_free(&test);
}
END_TEST

START_TEST(what_is_wrong_is_said_and_left_out)
{
	static const char text[] =
		"{\"job\":\"a\",\"enquiry\":{\"region\":\"demo-north\"},\"sections\":{}}\n"
		"{\"job\":\"b\"\n"
		"{\"job\":\"c\",\"enquiry\":{},\"sections\":{\"digging\":{\"hours\":1}}}\n"
		"{\"job\":\"d\",\"enquiry\":{},\"sections\":{\"shell\":{\"hours\":-1}}}\n"
		"{\"job\":\"e\",\"enquiry\":{},\"sections\":{},\"colour\":1}\n";
	char said[2048] = "";
	FILE *messages = fmemopen(said, sizeof said, "w");

	ck_assert_ptr_nonnull(messages);
	ck_assert(backtest_init(&test, shipped(), RANGE_SAMPLES_LEAST));
	ck_assert(!backtest_read(&test, "jobs.jsonl", text, strlen(text), messages));
	fclose(messages);
	ck_assert_uint_eq(test.left_out, 5);
	ck_assert_ptr_nonnull(strstr(said, "jobs.jsonl:1: /enquiry/pond: "));
	ck_assert_ptr_nonnull(strstr(said, "jobs.jsonl:2: is no JSON object"));
	ck_assert_ptr_nonnull(strstr(said, "jobs.jsonl:3: there is no section digging"));
	ck_assert_ptr_nonnull(strstr(said, "jobs.jsonl:4: shell: hours"));
	ck_assert_ptr_nonnull(strstr(said, "jobs.jsonl:5: nobody knows the member colour"));
	backtest_free(&test);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("backtest");
	TCase *tcase = tcase_create("all");
	SRunner *runner;
	int failed;

	tcase_set_timeout(tcase, 120);
	tcase_add_test(tcase, a_planted_bias_is_found);
	tcase_add_test(tcase, without_a_bias_next_to_nothing_is_blamed);
	tcase_add_test(tcase, bias_and_spread_are_those_that_were_planted);
	tcase_add_test(tcase, booked_hours_give_the_factor_at_once);
	tcase_add_test(tcase, a_job_is_placed_in_its_range);
	tcase_add_test(tcase, csv_and_json_lines_are_one);
	tcase_add_test(tcase, what_is_wrong_is_said_and_left_out);
	suite_add_tcase(suite, tcase);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
