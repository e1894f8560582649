#include "answer_parts.h"

#include "dates.h"
#include "enquiry_write.h"
#include "survey.h"

/* ---- JSON ---- */

static const char *const kind_words[] = {
	[FIELD_OBJECT] = "object", [FIELD_NUMBER] = "number", [FIELD_WHOLE] = "whole", [FIELD_YESNO] = "yes-no",
	[FIELD_COUNT] = "count", [FIELD_CHOICE] = "choice", [FIELD_SET] = "set", [FIELD_MONTHS] = "months", [FIELD_DATE] = "date",
	[FIELD_LIST] = "list",
};

/* What may be written there. */
static void allowed(struct writer *out, const struct view *view, const struct field *field)
{
	uint32_t count = 0;
	const char *const *words = field->list != LIST_none_at_all
		? config_words(view->config, (enum word_list)field->list, &count) : NULL;

	writer_key(out, "allowed");
	writer_object_open(out);
	writer_member_string(out, "kind", kind_words[field->kind]);
	if (field->lo != 0 || field->hi != 0) {
		writer_member_number(out, "least", field->lo);
		writer_member_number(out, "most", field->hi);
		writer_member_string(out, "unit", field->unit);
	}
	if (words != NULL) {
		writer_key(out, "words");
		writer_array_open(out);
		for (uint32_t i = 0; i < count; i++)
			writer_string(out, words[i]);
		writer_array_close(out);
	}
	writer_member_bool(out, "unknown", field->fact);
	writer_object_close(out);
}

static void write_line(struct writer *out, const struct view *view, const struct survey_line *line)
{
	const struct field *field = &enquiry_fields[line->field];

	writer_object_open(out);
	writer_member_string(out, "pointer", field->pointer);
	writer_member_string(out, "question", line->question);
	writer_member_string(out, "because", line->why);
	writer_member_string(out, "where", line->on_visit ? "visit" : "phone");
	writer_key(out, "assumed");
	if (line->assumed)
		enquiry_write_value(out, view->config, (enum field_id)line->field, &view->quote->resolved.v[line->field]);
	else
		writer_null(out);
	allowed(out, view, field);
	writer_member_null(out, "value");
	writer_object_close(out);
}

static void write_lines(struct writer *out, const struct view *view, const struct survey *survey, struct span lines)
{
	writer_key(out, "lines");
	writer_array_open(out);
	for (uint32_t i = lines.first; i < lines.first + lines.count; i++)
		write_line(out, view, &survey->lines[i]);
	writer_array_close(out);
}

static void write_stop(struct writer *out, const struct view *view, const struct survey *survey, uint32_t index)
{
	const struct survey_stop *stop = &view->config->survey_stops[index];
	const struct text *text = view_text(view, stop->text);

	if (survey->stops[index].count == 0 && !stop->always)
		return;
	writer_object_open(out);
	writer_member_string(out, "id", text->id);
	writer_member_string(out, "title", text->title);
	writer_member_string(out, "do", text->act);
	writer_member_string(out, "photograph", text->photograph);
	writer_member_bool(out, "sketch", stop->sketch);
	write_lines(out, view, survey, survey->stops[index]);
	writer_object_close(out);
}

static void write_rest(struct writer *out, const struct view *view, const struct survey *survey)
{
	struct span rest = survey->stops[view->config->n_survey_stops];

	if (rest.count == 0)
		return;
	writer_object_open(out);
	writer_member_string(out, "id", "rest");
	writer_member_string(out, "title", "Still to ask");
	writer_member_string(out, "do", "A telephone call, a map or a letter settles these.");
	writer_member_null(out, "photograph");
	writer_member_bool(out, "sketch", false);
	write_lines(out, view, survey, rest);
	writer_object_close(out);
}

static void write_json(struct writer *out, const struct view *view, const struct survey *survey, const struct writer *canonical)
{
	char day[DATE_TEXT_SIZE];

	date_text((int32_t)view->asked->v[F_issued_on].number, day);
	writer_object_open(out);
	writer_member_string(out, "region", view_text(view, view_catalogue(view)->regions[view->edition->region].text)->id);
	writer_member_string(out, "issued_on", day);
	writer_key(out, "stops");
	writer_array_open(out);
	for (uint32_t i = 0; i < view->config->n_survey_stops; i++)
		write_stop(out, view, survey, i);
	write_rest(out, view, survey);
	writer_array_close(out);
	writer_member_string(out, "how",
		"Put each value that was found into the enquiry at its pointer: that is the next enquiry. What stays open is left out.");
	answer_disclaimer(out, view->config);
	writer_key(out, "enquiry");
	writer_raw(out, canonical->bytes, canonical->length);
	writer_object_close(out);
}

/* ---- both forms ---- */

static struct answer answer(const struct ask *ask, struct writer *out, bool as_page)
{
	struct writer canonical;
	struct survey survey;
	struct answer answer;
	struct view view;

	if (!ask_work_out(ask, NEED_SCREEN, quote_screen, out, &view, &answer))
		return answer;
	survey_gather(&view, &survey);
	writer_init(&canonical);
	enquiry_write(&canonical, ask->config, &ask->room->asked);
	if (canonical.out_of_memory)
		out->out_of_memory = true;
	else if (as_page)
		survey_write_page(out, &view, &survey, canonical.bytes, canonical.length);
	else
		write_json(out, &view, &survey, &canonical);
	writer_free(&canonical);
	return answer_done(out, OUTCOME_ANSWERED);
}

struct answer answer_survey(const struct ask *ask, struct writer *out)
{
	return answer(ask, out, false);
}

struct answer answer_survey_page(const struct ask *ask, struct writer *out)
{
	return answer(ask, out, true);
}
