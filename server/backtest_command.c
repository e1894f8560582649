#include "backtest.h"

#include <stdlib.h>
#include <string.h>

#include "commands.h"
#include "file_read.h"

static int misused(const char *what, const char *why)
{
	fprintf(stderr, "pondwright backtest: %s %s\nusage: pondwright backtest --config DIR [--json] [--samples N] FILE\n", what, why);
	return EXIT_USAGE;
}

static int report(const struct backtest *test, bool as_json)
{
	struct writer out;
	int status = EXIT_FAULT;

	writer_init(&out);
	if (as_json)
		backtest_write_json(&out, test);
	else
		backtest_write_text(&out, test);
	if (!out.out_of_memory && fwrite(out.bytes, 1, out.length, stdout) == out.length && fflush(stdout) == 0)
		status = EXIT_DONE;
	else
		fprintf(stderr, "pondwright: the report could not be written\n");
	writer_free(&out);
	return status;
}

static int run(const struct config *config, const char *path, uint32_t samples, bool as_json)
{
	struct backtest test;
	struct writer text;
	int status = EXIT_FAULT;

	writer_init(&text);
	if (!backtest_init(&test, config, samples))
		fprintf(stderr, "pondwright: short of memory\n");
	else if (file_read(path, PAST_BYTES_MOST, &text) && text.length > 0 && backtest_read(&test, path, text.bytes, text.length, stderr)) {
		backtest_fit(&test);
		status = test.out_of_memory ? EXIT_FAULT : report(&test, as_json);
	} else
		fprintf(stderr, "pondwright: %s: there is no job to learn from\n", path);
	backtest_free(&test);
	writer_free(&text);
	return status;
}

static bool samples_read(const char *text, uint32_t *samples)
{
	char *end;
	unsigned long number = strtoul(text, &end, 10);

	if (end == text || *end != '\0' || number < RANGE_SAMPLES_LEAST || number > 1 << 20)
		return false;
	*samples = (uint32_t)number;
	return true;
}

int backtest_command(int count, char **arguments)
{
	const char *directory = NULL, *path = NULL;
	uint32_t samples = BACKTEST_SAMPLES;
	struct config *config;
	struct faults faults;
	bool as_json = false;
	int status;

	for (int at = 0; at < count; at++) {
		if (strcmp(arguments[at], "--json") == 0)
			as_json = true;
		else if (strcmp(arguments[at], "--config") == 0 && at + 1 < count)
			directory = arguments[++at];
		else if (strcmp(arguments[at], "--samples") == 0 && at + 1 < count && samples_read(arguments[at + 1], &samples))
			at++;
		else if ((arguments[at][0] != '-' || arguments[at][1] == '\0') && path == NULL)
			path = arguments[at];
		else
			return misused(arguments[at], "is not understood");
	}
	if (directory == NULL || path == NULL)
		return misused("--config DIR and FILE", "must be given");
	faults_init(&faults);
	config = config_load(directory, &faults);
	if (config == NULL)
		faults_print(&faults, stderr);
	faults_free(&faults);
	status = config != NULL ? run(config, path, samples, as_json) : EXIT_FAULT;
	config_release(config);
	return status;
}
