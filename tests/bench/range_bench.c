/* How sure the default range is of itself, and how fast: every fixture (or those named) at the default sample count against a
 * run of many more.
 *   range_bench CONFIG FIXTURES [MANY [DEFAULT]]      MANY: 1,000,000 unless told
 * FIXTURES is the folder that holds <name>/enquiry.json. Prints a table in Markdown. */

#include <dirent.h>
#include <jansson.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "config.h"
#include "enquiry_check.h"
#include "enquiry_read.h"
#include "range.h"

enum { TODAY = 20782, RUNS = 21, NAMES_MOST = 100 }; /* 2026-11-25 */

static double seconds(void)
{
	struct timespec now;

	clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
	return (double)now.tv_sec + (double)now.tv_nsec / 1e9;
}

static bool read_enquiry(const struct config *config, const char *path, struct enquiry *enquiry)
{
	static char text[65536];
	struct enquiry_faults faults;
	FILE *in = fopen(path, "rb");
	json_t *object;
	size_t length;
	bool sound;

	if (in == NULL)
		return false;
	length = fread(text, 1, sizeof text, in);
	fclose(in);
	enquiry_faults_init(&faults);
	sound = body_parse(text, length, &object, &faults) == BODY_READ;
	if (sound) {
		enquiry_read(config, NEED_QUOTE, object, "", enquiry, &faults);
		enquiry_check(config, TODAY, "", enquiry, &faults);
		json_decref(object);
		sound = faults.count == 0;
	}
	enquiry_faults_free(&faults);
	return sound;
}

struct run {
	struct range range;
	double s; /* processor time of one */
};

static void price(const struct config *config, const struct enquiry *enquiry, uint32_t samples, int times, struct run *run)
{
	static struct quote quote;
	void *scratch = malloc(range_scratch_size(samples));
	double best = 1e9;

	for (int i = 0; scratch != NULL && i < times; i++) {
		double from = seconds();

		if (range_price(&config->catalogue, enquiry_edition(config, enquiry), enquiry, samples, scratch, &quote, &run->range) !=
			ST_OK)
			fprintf(stderr, "could not be priced\n");
		best = fmin(best, seconds() - from);
	}
	run->s = best;
	free(scratch);
}

static double off(int64_t is, int64_t should)
{
	return should == 0 ? 0 : fabs((double)(is - should)) / (double)should;
}

static double worst_off(const struct band_minor *is, const struct band_minor *should)
{
	return 100 * fmax(off(is->low_minor, should->low_minor),
			     fmax(off(is->likely_minor, should->likely_minor), off(is->high_minor, should->high_minor)));
}

static double share_in(const struct range *range, uint32_t field)
{
	for (uint32_t i = 0; i < range->n_questions; i++)
		if (range->questions[i].field == field)
			return range->questions[i].share;
	return 0;
}

/* The first three, where the many-sample run tells two of them apart by more than 0.03. */
static bool order_agrees(const struct range *is, const struct range *should)
{
	uint32_t n = is->n_questions < 3 ? is->n_questions : 3;

	for (uint32_t i = 0; i < n; i++) {
		double share = share_in(should, is->questions[i].field);

		for (uint32_t k = 0; k < should->n_questions; k++) {
			bool before = false;

			for (uint32_t j = 0; j < i; j++)
				before = before || is->questions[j].field == should->questions[k].field;
			if (!before && should->questions[k].share > share + 0.03)
				return false;
		}
	}
	return true;
}

static void print_row(const char *name, const struct run *quick, const struct run *many)
{
	const struct range *is = &quick->range, *should = &many->range;

	printf("| %s | %.2f / %.2f / %.2f | %.2f / %.2f / %.2f | %.2f, %.2f | %g / %g / %g | ", name, is->gross.low_minor / 100.0,
		is->gross.likely_minor / 100.0, is->gross.high_minor / 100.0, should->gross.low_minor / 100.0,
		should->gross.likely_minor / 100.0, should->gross.high_minor / 100.0, worst_off(&is->gross, &should->gross),
		worst_off(&is->net, &should->net), is->on_site_days.low, is->on_site_days.likely, is->on_site_days.high);
	for (uint32_t i = 0; i < is->n_questions && i < 3; i++)
		printf("%s%s %.2f (%.2f)", i ? ", " : "", enquiry_fields[is->questions[i].field].pointer, is->questions[i].share,
			share_in(should, is->questions[i].field));
	printf(" | %s | %.2f | %u | %.1f | %.0f |\n", order_agrees(is, should) ? "yes" : "NO", is->cannot_share, is->quotes,
		quick->s * 1e3, is->quotes / quick->s);
	fflush(stdout);
}

static int by_name(const void *a, const void *b)
{
	return strcmp(*(char *const *)a, *(char *const *)b);
}

static size_t list_names(const char *folder, char *names[NAMES_MOST])
{
	DIR *dir = opendir(folder);
	size_t n = 0;

	for (struct dirent *entry; dir != NULL && n < NAMES_MOST && (entry = readdir(dir)) != NULL;)
		if (entry->d_name[0] >= '0' && entry->d_name[0] <= '9')
			names[n++] = strdup(entry->d_name);
	if (dir != NULL)
		closedir(dir);
	qsort(names, n, sizeof *names, by_name);
	return n;
}

int main(int count, char **arguments)
{
	uint32_t many_samples = count > 3 ? (uint32_t)strtoul(arguments[3], NULL, 10) : 1000000;
	uint32_t samples = count > 4 ? (uint32_t)strtoul(arguments[4], NULL, 10) : RANGE_SAMPLES_DEFAULT;
	static struct run quick, many;
	static struct enquiry enquiry;
	char *names[NAMES_MOST];
	struct faults faults;
	struct config *config;
	size_t n;

	if (count < 3) {
		fprintf(stderr, "range_bench CONFIG FIXTURES [MANY [DEFAULT]]\n");
		return 2;
	}
	faults_init(&faults);
	config = config_load(arguments[1], &faults);
	faults_free(&faults);
	if (config == NULL)
		return 1;
	n = list_names(arguments[2], names);
	printf("%u samples against %u; money in major units, gross\n\n"
	       "| fixture | P10 / P50 / P90 | of the long run | worst off, %%: gross, net | days on site | first three: share (long run) | same "
	       "order | cannot | whole quotes | ms | quotes/s |\n| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |\n",
		samples, many_samples);
	for (size_t i = 0; i < n; i++) {
		char path[4096];

		snprintf(path, sizeof path, "%s/%s/enquiry.json", arguments[2], names[i]);
		if (read_enquiry(config, path, &enquiry)) {
			price(config, &enquiry, samples, RUNS, &quick);
			price(config, &enquiry, many_samples, 1, &many);
			print_row(names[i], &quick, &many);
		}
		free(names[i]);
	}
	config_release(config);
	return 0;
}
