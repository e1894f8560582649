#define _GNU_SOURCE 1
#include "commands.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

#include "backtest.h"
#include "check_command.h"
#include "file_read.h"
#include "http.h"
#include "rates_command.h"
#include "ready_command.h"
#include "routes.h"
#include "serve.h"
#include "service.h"
#include "statics.h"
#include "today.h"
#include "version.h"

#define MS_PER_S 1000

/* ---- check ---- */

/* The owner's token is the service's own to read, so what serve would refuse is refused here too. */
static int run_check(const struct command *command, const struct options *options)
{
	struct pondwright service;

	(void)command;
	if (check_command(options->config) != 0 || !pondwright_open(&service, options->config, stderr))
		return EXIT_FAULT;
	pondwright_close(&service);
	return EXIT_DONE;
}

/* ---- serve ---- */

/* Texts are not copied, so the configuration has to outlive the service. */
static void http_settings(struct http_options *http, const struct options *options, const struct config *config)
{
	http_options_default(http);
	if (options->listen != NULL)
		http->listen = options->listen;
	http->admin_listen = options->admin_listen;
	http->connection_limit = config->service.connection_limit;
	http->deadline_ms = config->service.deadline_s * MS_PER_S;
	http->body_limit_bytes = config->service.body_limit_bytes;
	http->program_version = PONDWRIGHT_VERSION;
	http->allowed_origins = config->strings + config->service.allowed_origins.first;
	http->n_allowed_origins = config->service.allowed_origins.count;
	http->trusted_proxies = config->strings + config->service.trusted_proxies.first;
	http->n_trusted_proxies = config->service.trusted_proxies.count;
	http->requests_per_minute = config->service.requests_per_minute;
	http->per_ip_limit = config->service.per_ip_limit;
	http->frame_ancestors = config->service.frame_ancestors;
	http->logs_addresses = config->service.log_addresses;
}

static int run_serve(const struct command *command, const struct options *options)
{
	struct serve serve = {.reload = pondwright_reload, .drain_delay_ms = options->drain_delay_ms, .drain_limit_ms = 10000};
	struct pondwright service;
	struct config *first;
	int status;

	(void)command;
	if (!pondwright_open(&service, options->config, stderr))
		return EXIT_FAULT;
	first = pondwright_config(&service); /* ours too, for what it says of the server counts beyond a reload */
	http_settings(&serve.http, options, first);
	serve.app = (struct http_app){.context = &service, .routes = pond_routes, .n_routes = n_pond_routes,
		.pages = static_pages, .n_pages = n_static_pages, .ready = pondwright_ready};
	status = serve_run(&serve);
	config_release(first);
	pondwright_close(&service);
	return status == 0 ? EXIT_DONE : EXIT_FAULT;
}

/* ---- ready ---- */

static int run_ready(const struct command *command, const struct options *options)
{
	struct http_options usual;

	(void)command;
	http_options_default(&usual);
	return ready_command(options->listen != NULL ? options->listen : usual.listen);
}

/* ---- questions ---- */

static int print_answer(const struct answer *answer, const struct writer *out)
{
	if (answer->status == 503) {
		fprintf(stderr, "pondwright: short of memory\n");
		return EXIT_FAULT;
	}
	if (fwrite(out->bytes, 1, out->length, stdout) != out->length || fflush(stdout) != 0) {
		fprintf(stderr, "pondwright: the answer could not be written: %s\n", strerror(errno));
		return EXIT_FAULT;
	}
	return answer->status == 200 ? EXIT_DONE : EXIT_FAULT;
}

/* The same function as behind the route, so the same bytes. */
static int ask_and_print(const struct command *command, struct pondwright *service, const struct writer *body)
{
	struct room *room = pondwright_room(service);
	struct answer answer = {503, OUTCOME_NO_MEMORY};
	struct writer out;
	int status;

	writer_init(&out);
	if (room != NULL)
		answer = command->answer(&(struct ask){.config = service->config, .room = room,
			.body = body->bytes != NULL ? body->bytes : "", .body_length = body->length, .today_day = today_day()},
			&out);
	status = print_answer(&answer, &out);
	writer_free(&out);
	return status;
}

static int run_question(const struct command *command, const struct options *options)
{
	struct pondwright service;
	struct writer body;
	int status = EXIT_FAULT;

	if (!pondwright_open(&service, options->config, stderr))
		return EXIT_FAULT;
	writer_init(&body);
	if (file_read(options->file != NULL ? options->file : "-", service.config->service.body_limit_bytes, &body))
		status = ask_and_print(command, &service, &body);
	writer_free(&body);
	pondwright_close(&service);
	return status;
}

/* ---- the table ---- */

#define QUESTION(name_, answer_, help_) \
	{.name = name_, .run = run_question, .help = help_, .takes_file = true, .answer = answer_}

const struct command commands[] = {
	{.name = "serve", .run = run_serve, .help = "serve over HTTP until SIGTERM; SIGHUP loads the configuration again",
		.takes_listen = true, .takes_drain = true},
	{.name = "ready", .run = run_ready, .help = "ask a service that runs whether it is ready; for health checks",
		.without_config = true, .takes_listen = true},
	{.name = "check", .run = run_check, .help = "load the configuration and say what is wrong with it"},
	QUESTION("quote", answer_quote, "price an enquiry"),
	QUESTION("water", answer_water, "pump, pipe and duty point of an enquiry"),
	QUESTION("screen", answer_screen, "permissions, species and safety of an enquiry"),
	QUESTION("compare", answer_compare, "every shell of an enquiry side by side, now and over the years"),
	QUESTION("range", answer_long_range, "how sure the price of an enquiry is, and what to ask next"),
	QUESTION("survey", answer_survey, "what is still to be found out about an enquiry, in walking order"),
	QUESTION("variation", answer_variation, "what becomes of an agreed price: {\"agreed\", \"now\", \"stage\"}"),
	{.name = "backtest", .run_words = backtest_command, .help = "past jobs against what the service says of them"},
	{.name = "rates", .run_words = rates_command, .help = "export an edition as a sheet, import a sheet as a new edition"},
};
const size_t n_commands = sizeof commands / sizeof commands[0];
