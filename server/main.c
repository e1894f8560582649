#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <jansson.h>

#include "commands.h"
#include "json_memory.h"
#include "version.h"

#define MS_PER_S 1000

static void usage(FILE *out)
{
	fprintf(out, "usage: pondwright COMMAND --config DIR [OPTION...] [FILE|-]\n\n");
	for (size_t i = 0; i < n_commands; i++)
		fprintf(out, "  %-9s %s\n", commands[i].name, commands[i].help);
	fprintf(out, "\n"
		"  --config DIR               the directory with service.json\n"
		"  --listen ADDR:PORT         serve: where to listen, 127.0.0.1:8080 unless said; port 0 picks one\n"
		"                             ready: where to ask, likewise; ready takes no --config\n"
		"  --admin-listen ADDR:PORT   serve: health and metrics on a socket of their own too\n"
		"  --drain-delay SECONDS      serve: go on accepting for so long after SIGTERM, 0 unless said\n"
		"  FILE                       the enquiry, or for variation both; standard input where it is left out or -\n"
		"  rates, backtest:           called alone they say what they take\n"
		"  --version                  print the version\n"
		"  --help                     print this\n\n"
		"Exit status: 0 done, 1 it could not be done, 2 the command line is wrong.\n");
}

static int not_understood(const char *what, const char *why)
{
	fprintf(stderr, "pondwright: %s: %s; see pondwright --help\n", what, why);
	return EXIT_USAGE;
}

static bool seconds_read(const char *text, int64_t *ms)
{
	char *end;
	long seconds = strtol(text, &end, 10);

	if (end == text || *end != '\0' || seconds < 0 || seconds > 600)
		return false;
	*ms = (int64_t)seconds * MS_PER_S;
	return true;
}

/* Where an option's value goes, or NULL for an option that the command does not know. */
static const char **option_place(const struct command *command, const char *name, struct options *options)
{
	if (!command->without_config && strcmp(name, "--config") == 0)
		return &options->config;
	if (command->takes_listen && strcmp(name, "--listen") == 0)
		return &options->listen;
	if (command->takes_drain && strcmp(name, "--admin-listen") == 0)
		return &options->admin_listen;
	return NULL;
}

/* Reads one argument, or two; *at moves on. 0, or the exit status. */
static int read_argument(const struct command *command, int count, char **arguments, int *at, struct options *options)
{
	const char *argument = arguments[(*at)++], *value = *at < count ? arguments[*at] : NULL;
	bool delays = command->takes_drain && strcmp(argument, "--drain-delay") == 0;
	const char **place = option_place(command, argument, options);

	if (argument[0] != '-' || strcmp(argument, "-") == 0) {
		if (!command->takes_file || options->file != NULL)
			return not_understood(argument, "is one argument too many");
		options->file = argument;
		return EXIT_DONE;
	}
	if (!delays && place == NULL)
		return not_understood(argument, "is no option of this command");
	if (value == NULL)
		return not_understood(argument, "needs a value");
	(*at)++;
	if (place != NULL)
		*place = value;
	else if (!seconds_read(value, &options->drain_delay_ms))
		return not_understood(argument, "needs whole seconds from 0 to 600");
	return EXIT_DONE;
}

static int run_command(const struct command *command, int count, char **arguments)
{
	struct options options = {0};
	int status = EXIT_DONE;

	if (command->run_words != NULL)
		return command->run_words(count - 2, arguments + 2);
	for (int at = 2; at < count && status == EXIT_DONE;)
		status = read_argument(command, count, arguments, &at, &options);
	if (status != EXIT_DONE)
		return status;
	if (options.config == NULL && !command->without_config)
		return not_understood("--config DIR", "must be given");
	return command->run(command, &options);
}

static bool is_told(const char *argument, const char *word, const char *letter)
{
	return strcmp(argument, word) == 0 || strcmp(argument, letter) == 0;
}

int main(int count, char **arguments)
{
	if (count < 2) {
		usage(stderr);
		return EXIT_USAGE;
	}
	if (is_told(arguments[1], "--help", "-h")) {
		usage(stdout);
		return EXIT_DONE;
	}
	if (is_told(arguments[1], "--version", "-V")) {
		puts("pondwright " PONDWRIGHT_VERSION);
		return EXIT_DONE;
	}
	json_memory_watch();
	json_object_seed(0); /* before any thread starts */
	for (size_t i = 0; i < n_commands; i++)
		if (strcmp(commands[i].name, arguments[1]) == 0)
			return run_command(&commands[i], count, arguments);
	return not_understood(arguments[1], "is no command");
}
