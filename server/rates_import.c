#define _GNU_SOURCE 1
#include "rates_import.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "commands.h"
#include "dates.h"
#include "edition_write.h"
#include "enquiry_check.h"
#include "file_read.h"
#include "enquiry_read.h"
#include "money_text.h"
#include "number.h"
#include "today.h"

/* ---- the new edition's document ---- */

/* A name like 2027-01 or 2027-01-15 is also its first day. */
static bool first_day(const char *name, char day[DATE_TEXT_SIZE])
{
	int32_t read;

	snprintf(day, DATE_TEXT_SIZE, "%s%s", strlen(name) == 7 ? name : "", strlen(name) == 7 ? "-01" : name);
	return (strlen(name) == 7 || strlen(name) == 10) && date_read(day, strlen(day), &read);
}

static bool take_sheet(struct rates *rates, const struct rates_options *options)
{
	uint8_t minor_digits = rates->config->region_cards[rates->region].minor_digits;
	struct writer text;
	size_t faults = 1;

	if (options->file == NULL)
		return true;
	writer_init(&text);
	if (file_read(options->file, CONFIG_FILE_BYTES_MOST, &text))
		faults = rate_rows_read(rates->rows, options->file, text.bytes != NULL ? text.bytes : "", text.length, minor_digits,
			stderr);
	writer_free(&text);
	return faults == 0;
}

/* ---- what differs ---- */

static void print_value(json_t *value)
{
	char number[NUMBER_TEXT_SIZE];

	if (json_is_number(value)) {
		number_text(json_number_value(value), number);
		printf("%s", number);
	} else {
		printf("%s", json_is_string(value) ? json_string_value(value) : json_is_true(value) ? "true" : "false");
	}
}

/* 6 and 6.0 are the same price. */
static bool is_same(json_t *a, json_t *b)
{
	if (json_is_number(a) && json_is_number(b))
		return json_number_value(a) == json_number_value(b);
	return json_equal(a, b);
}

/* Both list the same rows in the same order. */
static size_t print_differences(const struct rate_rows *old, const struct rate_rows *new)
{
	size_t count = 0;

	for (size_t i = 0; i < new->count; i++) {
		const struct rate_row *was = &old->list[i], *is = &new->list[i];

		if (is_same(was->value, is->value))
			continue;
		count++;
		printf("%s %s%s%s: ", rate_kind_words[is->kind], is->item, is->pack[0] != '\0' ? " " : "", is->pack);
		print_value(was->value);
		printf(" -> ");
		print_value(is->value);
		if (json_is_number(is->value) && json_number_value(was->value) > 0)
			printf(" (%+.1f %%)", 100 * (json_number_value(is->value) / json_number_value(was->value) - 1));
		printf("\n");
	}
	return count;
}

static bool say_differences(struct rates *rates, const struct rates_options *options)
{
	struct rates old;
	bool opened = rates_open(&old, options, options->from);
	size_t count = 0;

	if (opened) {
		count = print_differences(old.rows, rates->rows);
		printf("%zu of %zu values differ from %s\n", count, rates->rows->count, options->from);
	}
	rates_close(&old);
	return opened;
}

/* ---- what it does to prices ---- */

struct pricing {
	struct enquiry enquiry;
	struct quote quote;
};

static bool read_enquiry(const struct config *config, const char *path, struct enquiry *enquiry)
{
	struct enquiry_faults faults;
	struct writer text;
	json_t *object;
	bool good = false;

	writer_init(&text);
	enquiry_faults_init(&faults);
	if (file_read(path, CONFIG_FILE_BYTES_MOST, &text) &&
		body_parse(text.bytes != NULL ? text.bytes : "", text.length, &object, &faults) == BODY_READ) {
		enquiry_read(config, NEED_QUOTE, object, "", enquiry, &faults);
		enquiry_check(config, today_day(), "", enquiry, &faults);
		json_decref(object);
		good = faults.count == 0;
	}
	if (!good)
		printf("%s: is no sound enquiry%s%s\n", path, faults.count > 0 ? ": " : "",
			faults.count > 0 ? enquiry_fault_detail(&faults, 0) : "");
	enquiry_faults_free(&faults);
	writer_free(&text);
	return good;
}

static bool price_under(const struct config *config, uint32_t region, const char *edition, struct pricing *pricing, void *scratch,
	int64_t *net_minor)
{
	uint32_t index;

	if (!config_edition_index(config, region, edition, &index))
		return false;
	pricing->enquiry.v[F_edition] = (struct value){.number = index, .origin = GIVEN};
	if (quote_price(&config->catalogue, &config->catalogue.editions[index], &pricing->enquiry, NO_INDEX, scratch,
			&pricing->quote) != ST_OK || pricing->quote.n_cannots > 0)
		return false;
	*net_minor = pricing->quote.net_minor;
	return true;
}

static void say_effect(const struct config *config, uint32_t region, const struct rates_options *options, const char *path,
	struct pricing *pricing, void *scratch)
{
	const char *symbol = config_text(config, config->catalogue.regions[region].text)->symbol;
	uint8_t digits = config->region_cards[region].minor_digits;
	char was[MONEY_TEXT_SIZE], is[MONEY_TEXT_SIZE];
	int64_t old_minor, new_minor;

	if (!read_enquiry(config, path, &pricing->enquiry))
		return;
	if ((uint32_t)pricing->enquiry.v[F_region].number != region) {
		printf("%s: is of another region\n", path);
		return;
	}
	if (!price_under(config, region, options->from, pricing, scratch, &old_minor) ||
		!price_under(config, region, options->edition, pricing, scratch, &new_minor)) {
		printf("%s: can't be priced under both editions\n", path);
		return;
	}
	money_text(old_minor, symbol, digits, was);
	money_text(new_minor, symbol, digits, is);
	printf("%s: net %s -> %s (%+.1f %%)\n", path, was, is, 100 * ((double)new_minor / (double)old_minor - 1));
}

static void say_effects(const struct config *config, const struct rates_options *options)
{
	struct pricing *pricing = malloc(sizeof *pricing);
	void *scratch = malloc(quote_scratch_size());
	uint32_t region;

	for (int i = 0; pricing != NULL && scratch != NULL && i < options->n_enquiries; i++)
		if (config_word_index(config, LIST_regions, options->region, &region))
			say_effect(config, region, options, options->enquiries[i], pricing, scratch);
	free(pricing);
	free(scratch);
}

/* ---- writing ---- */

/* Never over a file that is there. */
static int write_new(const char *path, const struct writer *text)
{
	int file = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0644);
	size_t done = 0;
	bool sound;

	if (file < 0) {
		fprintf(stderr, "pondwright: %s: %s\n", path,
			errno == EEXIST ? "is there already; an edition is never changed" : strerror(errno));
		return EXIT_FAULT;
	}
	while (done < text->length) {
		ssize_t wrote = write(file, text->bytes + done, text->length - done);

		if (wrote < 0 && errno == EINTR)
			continue;
		if (wrote <= 0)
			break;
		done += (size_t)wrote;
	}
	sound = done == text->length && fsync(file) == 0;
	sound = close(file) == 0 && sound;
	if (sound)
		return EXIT_DONE;
	fprintf(stderr, "pondwright: %s: could not be written\n", path);
	unlink(path);
	return EXIT_FAULT;
}

static struct config *compile_with(struct rates *rates, const char *inside, const struct writer *text)
{
	struct faults faults;
	struct config *config = NULL;

	faults_init(&faults);
	if (!config_files_add(&rates->files, inside, text->bytes, text->length))
		faults_add(&faults, false, inside, "", "there is no memory to load it");
	else
		config = config_compile(&rates->files, &faults);
	faults_print(&faults, stderr);
	faults_free(&faults);
	return config;
}

static int check_and_write(struct rates *rates, const struct rates_options *options, const struct writer *text)
{
	struct config *config;
	char inside[256], path[4096];
	int status;

	snprintf(inside, sizeof inside, "regions/%s/%s.json", options->region, options->edition);
	snprintf(path, sizeof path, "%s/%s", options->config, inside);
	if (config_files_find(&rates->files, inside) != NULL) {
		fprintf(stderr, "pondwright: %s: is there already; an edition is never changed\n", path);
		return EXIT_FAULT;
	}
	config = compile_with(rates, inside, text);
	if (config == NULL)
		return EXIT_FAULT;
	status = say_differences(rates, options) ? EXIT_DONE : EXIT_FAULT;
	say_effects(config, options);
	config_release(config);
	if (status == EXIT_DONE)
		status = write_new(path, text);
	if (status == EXIT_DONE)
		printf("wrote %s\n", path);
	return status;
}

int rates_import(struct rates *rates, const struct rates_options *options)
{
	uint8_t minor_digits = rates->config->region_cards[rates->region].minor_digits;
	char day[DATE_TEXT_SIZE];
	struct writer text;
	int status = EXIT_FAULT;

	if (!first_day(options->edition, day)) {
		fprintf(stderr, "pondwright: %s: an edition is named after its month or day, 2027-01 or 2027-01-15\n", options->edition);
		return EXIT_USAGE;
	}
	if (!take_sheet(rates, options))
		return EXIT_FAULT;
	if (options->rise_percent != 0)
		rate_rows_rise(rates->rows, options->rise_percent, minor_digits);
	json_object_set_new(rates->document, "from", json_string(day));
	rate_rows_list(rates->rows, rates->document);
	writer_init(&text);
	edition_write(&text, rates->document);
	if (text.out_of_memory)
		fprintf(stderr, "pondwright: short of memory\n");
	else
		status = check_and_write(rates, options, &text);
	writer_free(&text);
	return status;
}
