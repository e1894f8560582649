#ifndef PONDWRIGHT_RATES_IMPORT_H
#define PONDWRIGHT_RATES_IMPORT_H

#include <stdbool.h>

#include "config.h"
#include "rates_sheet.h"

/* What `rates` was told. */
struct rates_options {
	const char *config, *region, *edition, *from, *file;
	double rise_percent;
	char *const *enquiries; /* paths */
	int n_enquiries;
};

/* What both directions work on; free with rates_close. */
struct rates {
	struct config_files files;
	struct config *config;   /* as it is */
	uint32_t region;
	json_t *document;        /* of the edition that is exported or started from */
	struct rate_rows *rows;
};

/* Loads the configuration and one edition's document. False after a message; rates_close is called either way. */
bool rates_open(struct rates *rates, const struct rates_options *options, const char *edition);
void rates_close(struct rates *rates);

/* The import, once everything is open. Returns the exit status. */
int rates_import(struct rates *rates, const struct rates_options *options);

#endif
