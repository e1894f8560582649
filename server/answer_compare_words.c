#include "compare_view.h"

#include <stdio.h>

#include "conditions.h"
#include "money_text.h"

/* One sentence or two for each shell, to be read out. */

enum { NUMBER_SIZE = 32 };

static void say(struct writer *text, const struct compare_view *view, enum phrase phrase, const struct phrase_value *values,
	size_t count)
{
	phrase_write(text, config_phrase(view->view.config, phrase), values, count);
}

static void money_of(const struct compare_view *view, int64_t amount_minor, char money[MONEY_TEXT_SIZE])
{
	const struct view *of = &view->view;
	const struct region *region = &view_catalogue(of)->regions[of->edition->region];

	money_text(compare_shown_minor(of, amount_minor), view_text(of, region->text)->symbol,
		of->config->region_cards[of->edition->region].minor_digits, money);
}

/* How many renewals fall due, and the year of the first. */
static uint32_t count_renewals(const struct compare_view *view, const struct option *option, double *first_year)
{
	uint32_t all = 0;

	for (uint32_t i = 0; i < option->n_renewals; i++) {
		const struct renewal *renewal = &view_catalogue(&view->view)->renewals[option->renewals[i].renewal];
		uint32_t times = option->renewals[i].needed ? renewal_times(renewal, view->comparison->years) : 0;

		if (times > 0 && (all == 0 || renewal->every_years < *first_year))
			*first_year = renewal->every_years;
		all += times;
	}
	return all;
}

static void add_years(struct writer *text, const struct compare_view *view, const struct option *option)
{
	char money[MONEY_TEXT_SIZE], years[NUMBER_SIZE], count[NUMBER_SIZE], year[NUMBER_SIZE];
	double first_year = 0;
	uint32_t times = count_renewals(view, option, &first_year);

	money_of(view, option->over_years_minor, money);
	snprintf(years, sizeof years, "%u", view->comparison->years);
	snprintf(count, sizeof count, "%u", times);
	snprintf(year, sizeof year, "%.4g", first_year);
	say(text, view, PHRASE_shell_later, (struct phrase_value[]){{"money", money}, {"years", years}}, 2);
	say(text, view, times == 0 ? PHRASE_no_renewal : times == 1 ? PHRASE_one_renewal : PHRASE_renewals,
		(struct phrase_value[]){{"times", count}, {"year", year}}, 2);
}

/* A renewal that comes round with the shell's own life replaces it. */
static bool is_replaced(const struct catalogue *catalogue, const struct option *option, const struct shell *shell)
{
	for (uint32_t i = 0; i < option->n_renewals; i++)
		if (catalogue->renewals[option->renewals[i].renewal].every_years == shell->service_life_years)
			return true;
	return false;
}

static void add_places(struct writer *text, const struct compare_view *view, const struct option *option)
{
	bool now = view->comparison->now.cheapest == option->quote.shell;
	bool later = view->comparison->over_years.cheapest == option->quote.shell;

	if (now || later)
		say(text, view, now && later ? PHRASE_cheapest_always : now ? PHRASE_cheapest_now : PHRASE_cheapest_later, NULL, 0);
}

static void add_life(struct writer *text, const struct compare_view *view, const struct shell *shell)
{
	char life[NUMBER_SIZE], years[NUMBER_SIZE];

	snprintf(life, sizeof life, "%.4g", shell->service_life_years);
	snprintf(years, sizeof years, "%u", view->comparison->years);
	say(text, view, PHRASE_shell_lasts, (struct phrase_value[]){{"life", life}, {"years", years}}, 2);
}

static void add_reason(struct writer *text, const struct compare_view *view, const struct option *option,
	const struct shell *shell)
{
	const struct catalogue *catalogue = view_catalogue(&view->view);

	for (uint32_t i = shell->unsuitable.first; i < shell->unsuitable.first + shell->unsuitable.count; i++) {
		const struct shell_reason *reason = &catalogue->shell_reasons[i];

		if (conditions_truth(catalogue, reason->when, option->quote.resolved.v, option->quote.q) != YES)
			continue;
		say(text, view, PHRASE_shell_unsuitable,
			&(struct phrase_value){"why", view_text(&view->view, reason->text)->because}, 1);
		return;
	}
}

static void write_sentence(struct writer *text, const struct compare_view *view, const struct option *option)
{
	const struct shell *shell = &view_catalogue(&view->view)->shells[option->quote.shell];
	const char *title = view_text(&view->view, shell->text)->title;
	char money[MONEY_TEXT_SIZE];

	if (option->quote.n_cannots > 0) {
		say(text, view, PHRASE_shell_cannot, &(struct phrase_value){"shell", title}, 1);
		return;
	}
	money_of(view, option->quote.gross_minor, money);
	say(text, view, PHRASE_shell_now, (struct phrase_value[]){{"shell", title}, {"money", money}}, 2);
	if (option->years_known)
		add_years(text, view, option);
	add_places(text, view, option);
	writer_text(text, ".", 1);
	if (shell->service_life_years < view->comparison->years && !is_replaced(view_catalogue(&view->view), option, shell))
		add_life(text, view, shell);
	add_reason(text, view, option, shell);
}

void compare_sentence(struct writer *out, const struct compare_view *view, const struct option *option)
{
	struct writer text;

	writer_init(&text);
	write_sentence(&text, view, option);
	writer_key(out, "sentence");
	writer_string_of(out, &text);
}
