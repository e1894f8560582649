#include "check_command.h"

#include <stdio.h>

#include "config.h"

static void print_counts(const struct config *config)
{
	const struct catalogue *catalogue = &config->catalogue;
	const struct {
		uint32_t count;
		const char *what;
	} counts[] = {
		{config->n_files, "files"}, {catalogue->n_regions, "regions"}, {catalogue->n_editions, "editions"},
		{catalogue->n_sections, "sections"}, {catalogue->n_tasks, "tasks"}, {catalogue->n_grades, "grades"},
		{catalogue->n_items, "items"}, {catalogue->n_packs, "packs"}, {catalogue->n_groups, "groups"},
		{catalogue->n_build_ups, "build-ups"}, {catalogue->n_shells, "shells"}, {catalogue->n_pumps, "pumps"},
		{catalogue->n_bores, "bores"}, {catalogue->n_fittings, "fittings"}, {catalogue->n_edges, "edges"},
		{catalogue->n_root_plants, "root plants"}, {config->n_plants, "plants"}, {config->n_banned, "banned species"},
		{catalogue->n_unknowns, "assumptions"}, {catalogue->n_rules, "rules"}, {catalogue->n_sums, "provisional sums"},
		{catalogue->n_notes, "notes"}, {config->n_texts, "texts"},
	};

	for (size_t i = 0; i < sizeof counts / sizeof counts[0]; i++)
		printf("%6u %s\n", counts[i].count, counts[i].what);
	printf("%6zu KiB compiled\n", config->bytes / 1024);
	printf("digest %s\n", config->digest);
}

int check_command(const char *directory)
{
	struct faults faults;
	struct config *config;

	faults_init(&faults);
	config = config_load(directory, &faults);
	faults_print(&faults, stderr);
	if (config != NULL)
		print_counts(config);
	else
		fprintf(stderr, "%zu faults\n", faults.n_faults);
	faults_free(&faults);
	config_release(config);
	return config != NULL && fflush(stdout) == 0 ? 0 : 1;
}
