#include "rates_command.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "commands.h"
#include "rates_import.h"

static bool load(struct rates *rates, const char *directory)
{
	struct faults faults;

	faults_init(&faults);
	config_files_read(&rates->files, directory, &faults);
	if (faults.n_faults == 0)
		rates->config = config_compile(&rates->files, &faults);
	if (rates->config == NULL)
		faults_print(&faults, stderr);
	faults_free(&faults);
	return rates->config != NULL;
}

static bool open_edition(struct rates *rates, const char *region, const char *edition)
{
	char path[256];
	const struct config_file *file;

	snprintf(path, sizeof path, "regions/%s/%s.json", region, edition);
	file = config_files_find(&rates->files, path);
	if (file == NULL) {
		fprintf(stderr, "pondwright: %s: there is no such edition\n", path);
		return false;
	}
	rates->document = json_loadb(file->bytes, file->size, JSON_REJECT_DUPLICATES, NULL);
	rates->rows = calloc(1, sizeof *rates->rows);
	if (rates->document == NULL || rates->rows == NULL || !rate_rows_list(rates->rows, rates->document)) {
		fprintf(stderr, "pondwright: %s: has more values than a sheet may have, or memory is short\n", path);
		return false;
	}
	return true;
}

bool rates_open(struct rates *rates, const struct rates_options *options, const char *edition)
{
	config_files_init(&rates->files);
	rates->config = NULL;
	rates->document = NULL;
	rates->rows = NULL;
	if (!load(rates, options->config))
		return false;
	if (!config_word_index(rates->config, LIST_regions, options->region, &rates->region)) {
		fprintf(stderr, "pondwright: %s: there is no such region\n", options->region);
		return false;
	}
	return open_edition(rates, options->region, edition);
}

void rates_close(struct rates *rates)
{
	free(rates->rows);
	json_decref(rates->document);
	config_release(rates->config);
	config_files_free(&rates->files);
}

/* ---- export ---- */

static int write_sheet(const struct writer *sheet, const char *path)
{
	FILE *out = path == NULL || strcmp(path, "-") == 0 ? stdout : fopen(path, "wb");
	bool sound;

	if (out == NULL) {
		fprintf(stderr, "pondwright: %s: %s\n", path, strerror(errno));
		return EXIT_FAULT;
	}
	sound = fwrite(sheet->bytes, 1, sheet->length, out) == sheet->length && fflush(out) == 0;
	if (out != stdout)
		sound = fclose(out) == 0 && sound;
	if (!sound)
		fprintf(stderr, "pondwright: the sheet could not be written: %s\n", strerror(errno));
	return sound ? EXIT_DONE : EXIT_FAULT;
}

static int run_export(struct rates *rates, const struct rates_options *options)
{
	struct writer sheet;
	int status = EXIT_FAULT;

	writer_init(&sheet);
	rate_rows_write(rates->rows, rates->config, rates->region, &sheet);
	if (sheet.out_of_memory)
		fprintf(stderr, "pondwright: short of memory\n");
	else
		status = write_sheet(&sheet, options->file);
	writer_free(&sheet);
	return status;
}

/* ---- the command line ---- */

static int misused(const char *what, const char *why)
{
	fprintf(stderr, "pondwright rates: %s %s\n"
		"usage: pondwright rates export --config DIR --region ID --edition ID [FILE]\n"
		"       pondwright rates import --config DIR --region ID --from ID --edition NEW [--rise PERCENT] [FILE]\n"
		"                               [--enquiries FILE...]\n", what, why);
	return EXIT_USAGE;
}

static const char **place_of(struct rates_options *options, const char *name, bool imports)
{
	if (strcmp(name, "--config") == 0)
		return &options->config;
	if (strcmp(name, "--region") == 0)
		return &options->region;
	if (strcmp(name, "--edition") == 0)
		return &options->edition;
	return imports && strcmp(name, "--from") == 0 ? &options->from : NULL;
}

static bool percent_read(const char *text, double *percent)
{
	char *end;

	*percent = strtod(text, &end);
	return end != text && *end == '\0' && *percent >= -50 && *percent <= 200;
}

static int read_options(int count, char **arguments, bool imports, struct rates_options *options)
{
	for (int at = 0; at < count; at++) {
		const char *argument = arguments[at], **place = place_of(options, argument, imports);
		bool rises = imports && strcmp(argument, "--rise") == 0;

		if (imports && strcmp(argument, "--enquiries") == 0) {
			options->enquiries = arguments + at + 1;
			options->n_enquiries = count - at - 1;
			break;
		}
		if (place == NULL && !rises && (argument[0] != '-' || argument[1] == '\0') && options->file == NULL) {
			options->file = argument;
			continue;
		}
		if (place == NULL && !rises)
			return misused(argument, "is not understood");
		if (++at == count)
			return misused(argument, "needs a value");
		if (place != NULL)
			*place = arguments[at];
		else if (!percent_read(arguments[at], &options->rise_percent))
			return misused(arguments[at], "is no rise in percent, -50 to 200");
	}
	if (options->config == NULL || options->region == NULL || options->edition == NULL || (imports && options->from == NULL))
		return misused(imports ? "--config, --region, --from and --edition" : "--config, --region and --edition",
			"must be given");
	return EXIT_DONE;
}

int rates_command(int count, char **arguments)
{
	struct rates_options options = {0};
	bool imports = count > 0 && strcmp(arguments[0], "import") == 0;
	struct rates rates;
	int status;

	if (count == 0 || (!imports && strcmp(arguments[0], "export") != 0))
		return misused("export or import", "must be said");
	status = read_options(count - 1, arguments + 1, imports, &options);
	if (status != EXIT_DONE)
		return status;
	status = EXIT_FAULT;
	if (rates_open(&rates, &options, imports ? options.from : options.edition))
		status = imports ? rates_import(&rates, &options) : run_export(&rates, &options);
	rates_close(&rates);
	return status;
}
