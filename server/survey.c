#include "survey.h"

#include "assumption.h"
#include "open_facts.h"

/* What is known of the openness of every field. */
struct asking {
	const struct view *view;
	struct open_facts facts;
	bool listed[F_COUNT];
};

static const struct unknown *row_of(const struct asking *asking, uint16_t field)
{
	const struct view *view = asking->view;

	return assumption_of(view_catalogue(view), view->edition->region, view->quote->resolved.v, view->quote->q, field);
}

static bool is_assumed(const struct asking *asking, uint16_t field)
{
	return asking->view->quote->resolved.v[field].origin == BY_ASSUMPTION && row_of(asking, field) != NULL;
}

static bool is_open(const struct asking *asking, uint16_t field)
{
	return is_assumed(asking, field) || asking->facts.rule_of[field] != NO_INDEX;
}

/* A fact is looked at where the walk has a stop for it. */
static struct survey_line line_of(const struct asking *asking, uint16_t field, bool at_stop)
{
	const struct view *view = asking->view;
	struct survey_line line = {.field = field, .on_visit = at_stop, .question = enquiry_fields[field].help};
	const struct text *text;

	if (is_assumed(asking, field)) {
		const struct unknown *row = row_of(asking, field);

		text = view_text(view, row->text);
		line.assumed = true;
		line.on_visit = row->on_visit;
		line.question = text->question != NULL ? text->question : line.question;
		line.why = text->why != NULL ? text->why : text->because;
		return line;
	}
	text = view_text(view, view_catalogue(view)->rules[asking->facts.rule_of[field]].text);
	line.question = text->ask != NULL ? text->ask : line.question;
	line.why = text->title;
	return line;
}

static void add(struct asking *asking, struct survey *survey, uint16_t field, bool at_stop)
{
	if (asking->listed[field] || !is_open(asking, field))
		return;
	asking->listed[field] = true;
	survey->lines[survey->n_lines++] = line_of(asking, field, at_stop);
}

void survey_gather(const struct view *view, struct survey *survey)
{
	const struct config *config = view->config;
	struct asking asking = {.view = view};

	survey->n_lines = 0;
	open_facts_gather(view, &asking.facts);
	for (uint32_t i = 0; i < config->n_survey_stops; i++) {
		struct span fields = config->survey_stops[i].fields;

		survey->stops[i].first = survey->n_lines;
		for (uint32_t k = fields.first; k < fields.first + fields.count; k++)
			add(&asking, survey, config->survey_fields[k], true);
		survey->stops[i].count = survey->n_lines - survey->stops[i].first;
	}
	survey->stops[config->n_survey_stops].first = survey->n_lines;
	for (uint16_t field = 0; field < F_COUNT; field++)
		add(&asking, survey, field, false);
	survey->stops[config->n_survey_stops].count = survey->n_lines - survey->stops[config->n_survey_stops].first;
}
