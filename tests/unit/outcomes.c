#include "outcomes.h"

#include <check.h>
#include <dirent.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "enquiry_check.h"

enum { TODAY = 20782 }; /* 2026-11-25 */

static struct enquiry asked;

static bool take(json_t *object, enum route_need need)
{
	struct enquiry_faults faults;
	bool taken;

	enquiry_faults_init(&faults);
	enquiry_read(shipped(), need, object, "", &asked, &faults);
	enquiry_check(shipped(), TODAY, "", &asked, &faults);
	taken = faults.count == 0;
	enquiry_faults_free(&faults);
	return taken;
}

static void *scratch(void)
{
	static void *room;

	if (room == NULL)
		room = malloc(quote_scratch_size());
	return room;
}

bool outcome_of(json_t *object, enum route_need need, uint16_t shell, struct quote *quote)
{
	const struct catalogue *catalogue = &shipped()->catalogue;

	if (!take(object, need))
		return false;
	if (need == NEED_SCREEN)
		return quote_screen(catalogue, enquiry_edition(shipped(), &asked), &asked, scratch(), quote) == ST_OK;
	return quote_price(catalogue, enquiry_edition(shipped(), &asked), &asked, shell, scratch(), quote) == ST_OK;
}

bool outcome_with_practice(json_t *object, enum practice_id id, double times, struct quote *quote)
{
	static struct catalogue catalogue;

	if (!take(object, NEED_QUOTE))
		return false;
	catalogue = shipped()->catalogue;
	catalogue.practice[id] *= times;
	return quote_price(&catalogue, enquiry_edition(shipped(), &asked), &asked, NO_INDEX, scratch(), quote) == ST_OK;
}

/* ---- differences ---- */

static char said[200];

static const char *say(const char *format, ...) __attribute__((format(printf, 1, 2)));

static const char *say(const char *format, ...)
{
	va_list arguments;

	va_start(arguments, format);
	vsnprintf(said, sizeof said, format, arguments);
	va_end(arguments);
	return said;
}

static bool differ(double one, double other)
{
	return one < other || one > other;
}

static const char *title_id(uint32_t text)
{
	return config_text(shipped(), text)->id;
}

static const char *quantities_change(const struct quote *one, const struct quote *other)
{
	for (uint32_t i = 0; i < Q_COUNT; i++)
		if (quantity_table[i].stage != AT_GIVEN && differ(one->q[i], other->q[i]))
			return say("quantity %s", quantity_table[i].name);
	return NULL;
}

static const char *lines_change(const struct quote *one, const struct quote *other)
{
	if (one->n_lines != other->n_lines)
		return say("%u lines for %u", one->n_lines, other->n_lines);
	for (uint32_t i = 0; i < one->n_lines; i++) {
		const struct line *a = &one->lines[i], *b = &other->lines[i];

		if (a->special != b->special || a->build_up != b->build_up || a->amount_minor != b->amount_minor ||
		    differ(a->quantity, b->quantity))
			return a->special == LINE_BUILD_UP
			               ? say("line %s", title_id(shipped()->catalogue.build_ups[a->build_up].text))
			               : say("line of kind %u", a->special);
	}
	return one->tax_minor == other->tax_minor ? NULL : "tax";
}

static const char *dates_change(const struct quote *one, const struct quote *other)
{
	const struct programme *a = &one->programme, *b = &other->programme;

	if (a->start_day != b->start_day || a->finish_day != b->finish_day || a->water_in_day != b->water_in_day)
		return "dates";
	return a->visits == b->visits ? NULL : "visits";
}

static bool has_flag(const struct quote *quote, const struct flag *flag)
{
	for (uint32_t i = 0; i < quote->n_flags; i++)
		if (quote->flags[i].rule == flag->rule && quote->flags[i].level == flag->level &&
		    quote->flags[i].raised_by == flag->raised_by)
			return true;
	return false;
}

static const char *flags_change(const struct quote *one, const struct quote *other)
{
	for (uint32_t i = 0; i < one->n_flags; i++)
		if (!has_flag(other, &one->flags[i]))
			return say("flag %s", title_id(shipped()->catalogue.rules[one->flags[i].rule].text));
	return one->n_flags < other->n_flags ? flags_change(other, one) : NULL;
}

static const char *notes_change(const struct quote *one, const struct quote *other)
{
	for (uint32_t i = 0; i < shipped()->catalogue.n_notes; i++)
		if (one->note_said[i] != other->note_said[i])
			return say("sentence %s", title_id(shipped()->catalogue.notes[i].text));
	return NULL;
}

static const char *water_change(const struct quote *one, const struct quote *other)
{
	const struct water_result *a = &one->water, *b = &other->water;

	if (a->choice != b->choice || a->pump != b->pump || a->bore != b->bore || differ(a->bore_mm, b->bore_mm))
		return "pump or bore";
	if (differ(a->duty.flow_l_per_h, b->duty.flow_l_per_h) || differ(a->kwh_per_year, b->kwh_per_year))
		return "duty";
	return NULL;
}

const char *outcome_change(const struct quote *one, const struct quote *other)
{
	const char *change = quantities_change(one, other);

	if (change == NULL)
		change = lines_change(one, other);
	if (change == NULL)
		change = dates_change(one, other);
	if (change == NULL)
		change = flags_change(one, other);
	if (change == NULL)
		change = notes_change(one, other);
	return change ? change : water_change(one, other);
}

/* ---- enquiries as JSON ---- */

json_t *outcome_json(const char *text)
{
	static char copy[8192];
	json_t *value;

	ck_assert_uint_lt(strlen(text), sizeof copy);
	strcpy(copy, text);
	for (char *mark = copy; (mark = strchr(mark, '\'')) != NULL;)
		*mark = '"';
	value = json_loads(copy, 0, NULL);
	ck_assert_msg(value != NULL, "%s", text);
	return value;
}

void outcome_fixtures(fixture_function *function, void *context)
{
	const char *fixtures = getenv("PONDWRIGHT_FIXTURES");
	DIR *folder = opendir(fixtures);
	uint32_t count = 0;

	ck_assert_ptr_nonnull(folder);
	for (struct dirent *entry; (entry = readdir(folder)) != NULL;) {
		char path[1024];
		json_t *enquiry;

		snprintf(path, sizeof path, "%s/%s/enquiry.json", fixtures, entry->d_name);
		enquiry = json_load_file(path, 0, NULL);
		if (enquiry == NULL)
			continue;
		function(entry->d_name, enquiry, context);
		json_decref(enquiry);
		count++;
	}
	closedir(folder);
	ck_assert_uint_ge(count, 13);
}

/* The step of a pointer after its '/'; returns what follows. Names of the table need no escape. */
static const char *next_step(const char *pointer, char step[64])
{
	size_t length = strcspn(pointer + 1, "/");

	ck_assert_uint_lt(length, 64);
	memcpy(step, pointer + 1, length);
	step[length] = '\0';
	return pointer + 1 + length;
}

json_t *outcome_get(json_t *enquiry, const char *pointer)
{
	char step[64];

	while (enquiry != NULL && *pointer != '\0') {
		pointer = next_step(pointer, step);
		enquiry = json_object_get(enquiry, step);
	}
	return enquiry;
}

static bool is_bracket(const char *pointer, size_t length)
{
	for (uint32_t id = 0; id < F_COUNT; id++)
		if (strlen(enquiry_fields[id].pointer) == length && memcmp(enquiry_fields[id].pointer, pointer, length) == 0)
			return enquiry_fields[id].presence == ALWAYS;
	return false;
}

bool outcome_set(json_t *enquiry, const char *pointer, json_t *value)
{
	const char *start = pointer;
	char step[64];

	for (pointer = next_step(pointer, step); *pointer != '\0'; pointer = next_step(pointer, step)) {
		json_t *inner = json_object_get(enquiry, step);

		if (inner == NULL && (value == NULL || !is_bracket(start, (size_t)(pointer - start)))) {
			json_decref(value);
			return false;
		}
		if (inner == NULL) {
			inner = json_object();
			json_object_set_new(enquiry, step, inner);
		}
		enquiry = inner;
	}
	if (value == NULL)
		json_object_del(enquiry, step);
	else
		json_object_set_new(enquiry, step, value);
	return true;
}
