#include "survey.h"

#include <string.h>

#include "dates.h"
#include "number.h"

/* The sheet that goes along on the visit. Its rules of layout are static/survey.css. */

static void html(struct writer *out, const char *text)
{
	for (const char *at = text != NULL ? text : ""; *at != '\0'; at++) {
		switch (*at) {
		case '&':
			writer_print(out, "&amp;");
			break;
		case '<':
			writer_print(out, "&lt;");
			break;
		case '>':
			writer_print(out, "&gt;");
			break;
		case '"':
			writer_print(out, "&quot;");
			break;
		default:
			writer_text(out, at, 1);
		}
	}
}

static void element(struct writer *out, const char *name, const char *class, const char *text)
{
	if (text == NULL)
		return;
	if (class != NULL)
		writer_print(out, "<%s class=\"%s\">", name, class);
	else
		writer_print(out, "<%s>", name);
	html(out, text);
	writer_print(out, "</%s>\n", name);
}

static void box(struct writer *out, const char *word)
{
	writer_print(out, "<span class=\"box\">");
	html(out, word);
	writer_print(out, "</span> ");
}

/* Boxes to tick for words, a line to write on for a measure. */
static void room_for_answer(struct writer *out, const struct view *view, const struct field *field)
{
	uint32_t count = 0;
	const char *const *words = field->list != LIST_none_at_all
		? config_words(view->config, (enum word_list)field->list, &count) : NULL;
	char least[NUMBER_TEXT_SIZE], most[NUMBER_TEXT_SIZE];

	writer_print(out, "<p class=\"room\">");
	for (uint32_t i = 0; words != NULL && i < count; i++)
		box(out, words[i]);
	if (field->kind == FIELD_YESNO) {
		box(out, "yes");
		box(out, "no");
	} else if (words == NULL) {
		number_text(field->lo, least);
		number_text(field->hi, most);
		writer_print(out, "<span class=\"line\"></span> ");
		html(out, field->unit);
		if (field->lo != 0 || field->hi != 0)
			writer_print(out, " <small>%s to %s</small>", least, most);
	}
	if (field->fact)
		box(out, "unknown");
	writer_print(out, "</p>\n");
}

static void assumed_value(struct writer *out, const struct view *view, const struct survey_line *line)
{
	const struct field *field = &enquiry_fields[line->field];
	double number = view->quote->resolved.v[line->field].number;
	char text[NUMBER_TEXT_SIZE];
	const char *word;

	if (!line->assumed)
		return;
	number_text(number, text);
	word = field->kind == FIELD_CHOICE ? config_word(view->config, (enum word_list)field->list, (uint32_t)number)
		: field->kind == FIELD_YESNO ? (number != 0 ? "yes" : "no") : text;
	writer_print(out, "<small>Taken so far: ");
	html(out, word);
	writer_print(out, " ");
	html(out, field->kind == FIELD_CHOICE || field->kind == FIELD_YESNO ? "" : field->unit);
	writer_print(out, "</small> ");
}

static void write_line(struct writer *out, const struct view *view, const struct survey_line *line)
{
	writer_print(out, "<li>\n");
	element(out, "p", "question", line->question);
	room_for_answer(out, view, &enquiry_fields[line->field]);
	assumed_value(out, view, line);
	element(out, "code", NULL, enquiry_fields[line->field].pointer);
	if (!line->on_visit)
		element(out, "small", "phone", "or ask by telephone");
	element(out, "small", NULL, line->why);
	writer_print(out, "</li>\n");
}

static void write_lines(struct writer *out, const struct view *view, const struct survey *survey, struct span lines)
{
	if (lines.count == 0) {
		element(out, "p", "nothing", "Nothing open here; look whether it is as described.");
		return;
	}
	writer_print(out, "<ol>\n");
	for (uint32_t i = lines.first; i < lines.first + lines.count; i++)
		write_line(out, view, &survey->lines[i]);
	writer_print(out, "</ol>\n");
}

static void write_stop(struct writer *out, const struct view *view, const struct survey *survey, uint32_t index)
{
	const struct survey_stop *stop = &view->config->survey_stops[index];
	const struct text *text = view_text(view, stop->text);

	if (survey->stops[index].count == 0 && !stop->always)
		return;
	writer_print(out, "<section>\n");
	element(out, "h2", NULL, text->title);
	element(out, "p", NULL, text->act);
	write_lines(out, view, survey, survey->stops[index]);
	if (stop->sketch)
		writer_print(out, "<div class=\"sketch\">Sketch</div>\n");
	if (text->photograph != NULL) {
		writer_print(out, "<p class=\"photograph\"><span class=\"box\">Photographs</span> of ");
		html(out, text->photograph);
		writer_print(out, "; numbers <span class=\"line\"></span></p>\n");
	}
	writer_print(out, "</section>\n");
}

void survey_write_page(struct writer *out, const struct view *view, const struct survey *survey, const char *canonical,
	size_t length)
{
	struct span rest = survey->stops[view->config->n_survey_stops];
	char day[DATE_TEXT_SIZE];

	date_text((int32_t)view->asked->v[F_issued_on].number, day);
	writer_print(out, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
		"<meta name=\"viewport\" content=\"width=device-width\">\n<title>Survey sheet</title>\n"
		"<link rel=\"stylesheet\" href=\"/survey.css\">\n</head>\n<body>\n<h1>Survey sheet</h1>\n");
	element(out, "p", NULL, view->config->service.firm);
	writer_print(out, "<p>Enquiry of %s. Visited on <span class=\"line\"></span> by <span class=\"line\"></span></p>\n", day);
	for (uint32_t i = 0; i < view->config->n_survey_stops; i++)
		write_stop(out, view, survey, i);
	if (rest.count > 0) {
		writer_print(out, "<section>\n<h2>Still to ask</h2>\n<p>A telephone call, a map or a letter settles these.</p>\n");
		write_lines(out, view, survey, rest);
		writer_print(out, "</section>\n");
	}
	writer_print(out, "<section>\n<h2>The enquiry so far</h2>\n<p>Put each value in at the pointer that stands beside it: that is "
		"the next enquiry.</p>\n<pre>");
	for (size_t i = 0; i < length; i++) {
		char one[2] = {canonical[i], '\0'};

		html(out, one);
	}
	writer_print(out, "</pre>\n</section>\n</body>\n</html>\n");
}
