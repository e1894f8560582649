#include "compared.h"

#include <check.h>
#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "enquiry_check.h"
#include "enquiry_read.h"

enum { TODAY = 20782 };

struct enquiry asked;
struct compare_scratch *compare_room;
struct option *options;
struct comparison comparison;

const struct catalogue *catalogue(void)
{
	return &shipped()->catalogue;
}

void compare_begin(void)
{
	shipped();
	compare_room = malloc(compare_scratch_size());
	options = malloc(catalogue()->n_shells * sizeof *options);
}

void compare_end(void)
{
	free(compare_room);
	free(options);
}

void read_enquiry(const char *json)
{
	struct enquiry_faults faults;
	char text[8192];
	json_t *object;

	snprintf(text, sizeof text, "%s", json);
	for (char *quote_mark = text; (quote_mark = strchr(quote_mark, '\'')) != NULL;)
		*quote_mark = '"';
	enquiry_faults_init(&faults);
	ck_assert_int_eq(body_parse(text, strlen(text), &object, &faults), BODY_READ);
	enquiry_read(shipped(), NEED_QUOTE, object, "", &asked, &faults);
	enquiry_check(shipped(), TODAY, "", &asked, &faults);
	json_decref(object);
	ck_assert_msg(faults.count == 0, "%s", faults.count ? enquiry_fault_detail(&faults, 0) : "");
	enquiry_faults_free(&faults);
}

const struct edition *edition(void)
{
	return enquiry_edition(shipped(), &asked);
}

void compared(const char *json)
{
	read_enquiry(json);
	ck_assert_int_eq(compare_shells(catalogue(), edition(), &asked, compare_room, options, &comparison), ST_OK);
}

const struct option *option_of(const char *shell)
{
	return &options[shipped_word(LIST_shells, shell)];
}

uint32_t build_up_of(const char *id)
{
	for (uint32_t i = 0; i < catalogue()->n_build_ups; i++)
		if (strcmp(config_text(shipped(), catalogue()->build_ups[i].text)->id, id) == 0)
			return i;
	ck_abort_msg("no build-up %s", id);
	return 0;
}
