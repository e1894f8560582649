#ifndef PONDWRIGHT_COMMANDS_H
#define PONDWRIGHT_COMMANDS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "answers.h"

/* The commands of the program, one row each. Exit statuses: 0 done; 1 understood, but it could not be done (a fault in
 * the configuration, an enquiry that is refused, a service that does not start); 2 the command line is wrong. */
enum { EXIT_DONE = 0, EXIT_FAULT = 1, EXIT_USAGE = 2 };

/* What the arguments say; NULL where they do not. */
struct options {
	const char *config, *listen, *admin_listen;
	const char *file; /* the one argument that is no option; "-" for standard input */
	int64_t drain_delay_ms;
};

struct command {
	const char *name, *help;
	int (*run)(const struct command *command, const struct options *options); /* options->config is given */
	bool without_config; /* takes no --config, and run is given none */
	bool takes_listen;   /* --listen */
	bool takes_drain;    /* --admin-listen and --drain-delay */
	bool takes_file;
	int (*run_words)(int count, char **arguments); /* in place of run: reads what follows its name itself */
	answer_function *answer; /* of a question: what its route answers with */
};

extern const struct command commands[];
extern const size_t n_commands;

#endif
