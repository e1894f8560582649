#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "enquiry_check.h"
#include "enquiry_read.h"
#include "enquiry_write.h"
#include "json_memory.h"

/* Any bytes as the body of each kind of route. They are refused with a pointer, a code and a sentence for every fault,
 * or they are an enquiry whose canonical form reads back as the same values and the same bytes.
 * The configuration is PONDWRIGHT_CONFIG's, or the one beside the working directory. */

#define TODAY 20782 /* 2026-11-25 */

int LLVMFuzzerInitialize(int *argc, char ***argv);
int LLVMFuzzerTestOneInput(const unsigned char *bytes, size_t size);

static struct config *config;

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
	if (config == NULL)
		exit(1);
	return 0;
}

/* True where it can be priced. */
static bool take(const char *text, size_t length, enum route_need need, struct enquiry *enquiry,
	struct enquiry_faults *faults)
{
	json_t *object;
	enum body_state state;

	state = body_parse(text, length, &object, faults);
	assert(state != BODY_NO_MEMORY); /* no text may pass for a failed allocation */
	if (state == BODY_REFUSED)
		return false;
	enquiry_read(config, need, object, "", enquiry, faults);
	json_decref(object);
	enquiry_check(config, TODAY, "", enquiry, faults);
	return faults->count == 0;
}

/* A problem is JSON and names the fault, whatever the body held. */
static void refuse(const struct enquiry_faults *faults)
{
	uint32_t kept = faults->count < FAULTS_MOST ? faults->count : FAULTS_MOST;
	struct writer out;
	json_t *problem;

	writer_init(&out);
	enquiry_faults_problem(&out, faults, 422, "fuzz");
	problem = json_loadb(out.bytes, out.length, JSON_REJECT_DUPLICATES, NULL);
	assert(problem != NULL && json_array_size(json_object_get(problem, "errors")) == kept);
	for (uint32_t i = 0; i < kept; i++) {
		const char *pointer = enquiry_fault_pointer(faults, i);

		assert(pointer[0] == '\0' || pointer[0] == '/');
		assert(enquiry_fault_detail(faults, i)[0] != '\0');
	}
	json_decref(problem);
	writer_free(&out);
}

static void same_values(const struct enquiry *a, const struct enquiry *b)
{
	for (uint32_t id = 0; id < F_COUNT; id++)
		assert(a->v[id].number == b->v[id].number && !signbit(a->v[id].number) == !signbit(b->v[id].number) &&
		       a->v[id].set == b->v[id].set && a->v[id].origin == b->v[id].origin &&
		       a->v[id].unsure == b->v[id].unsure);
}

static void round_trip(const struct enquiry *asked, enum route_need need)
{
	struct enquiry_faults faults;
	struct enquiry again;
	struct writer once, twice;
	bool good;

	enquiry_faults_init(&faults);
	writer_init(&once);
	writer_init(&twice);
	enquiry_write(&once, config, asked);
	good = take(once.bytes, once.length, need, &again, &faults);
	assert(good);
	same_values(asked, &again);
	enquiry_write(&twice, config, &again);
	assert(once.length == twice.length && memcmp(once.bytes, twice.bytes, once.length) == 0);
	writer_free(&once);
	writer_free(&twice);
	enquiry_faults_free(&faults);
}

int LLVMFuzzerTestOneInput(const unsigned char *bytes, size_t size)
{
	struct enquiry_faults faults;
	struct enquiry enquiry;

	for (int need = NEED_QUOTE; need <= NEED_SCREEN; need++) {
		enquiry_faults_init(&faults);
		if (take((const char *)bytes, size, (enum route_need)need, &enquiry, &faults))
			round_trip(&enquiry, (enum route_need)need);
		else
			refuse(&faults);
		enquiry_faults_free(&faults);
	}
	return 0;
}
