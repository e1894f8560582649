#include <assert.h>
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "answers.h"
#include "json_memory.h"

/* Any bytes as the body of the routes that work something out. Every answer is JSON, and its status one of three. The
 * dear routes see every eighth input, so that the others see more.
 * The configuration is PONDWRIGHT_CONFIG's, or the one beside the working directory. */

#define TODAY 20782 /* 2026-11-25 */
#define DEAR_EVERY 8

int LLVMFuzzerInitialize(int *argc, char ***argv);
int LLVMFuzzerTestOneInput(const unsigned char *bytes, size_t size);

static struct config *config;
static struct room *room;

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
	const char *directory = getenv("PONDWRIGHT_CONFIG");
	struct faults faults;

	(void)argc;
	(void)argv;
	json_memory_watch();
	faults_init(&faults);
	config = config_load(directory != NULL ? directory : "config", &faults);
	faults_print(&faults, stderr);
	faults_free(&faults);
	room = room_new();
	if (config == NULL || room == NULL)
		exit(1);
	return 0;
}

static struct answer ask(answer_function *function, const char *body, size_t length, bool owner)
{
	struct answer answer;
	struct writer out;
	json_t *document;

	writer_init(&out);
	answer = function(&(struct ask){.config = config, .room = room, .body = body, .body_length = length,
		.today_day = TODAY, .owner = owner, .instance = "fuzz"}, &out);
	assert(answer.status == 200 || answer.status == 400 || answer.status == 422);
	assert(!room->arena.was_small && room->arena.live == 0);
	document = json_loadb(out.bytes, out.length, JSON_REJECT_DUPLICATES, NULL);
	assert(document != NULL);
	json_decref(document);
	writer_free(&out);
	return answer;
}

/* The enquiry varied by itself: nothing changes, whatever is done of it. */
static void ask_variation(const char *body, size_t length)
{
	struct writer both;

	writer_init(&both);
	writer_print(&both, "{\"stage\":null,\"agreed\":");
	writer_text(&both, body, length);
	writer_print(&both, ",\"now\":");
	writer_text(&both, body, length);
	writer_print(&both, "}");
	assert(!both.out_of_memory);
	ask(answer_variation, both.bytes, both.length, false);
	writer_free(&both);
}

int LLVMFuzzerTestOneInput(const unsigned char *bytes, size_t size)
{
	static unsigned turn;
	const char *body = (const char *)bytes;

	ask(answer_water, body, size, false);
	ask(answer_screen, body, size, false);
	if (ask(answer_quote, body, size, turn % 2 == 1).status == 200 && turn++ % DEAR_EVERY == 0) {
		ask(answer_compare, body, size, false);
		ask_variation(body, size);
	}
	return 0;
}
