#include "compare_view.h"

#include "conditions.h"
#include "money_text.h"

/* One sentence or two for each shell, to be read out. */

static void add_money(struct writer *text, const struct compare_view *view, int64_t amount_minor)
{
	const struct view *of = &view->view;
	const struct region *region = &view_catalogue(of)->regions[of->edition->region];
	char money[MONEY_TEXT_SIZE];

	money_text(compare_shown_minor(of, amount_minor), view_text(of, region->text)->symbol,
		of->config->region_cards[of->edition->region].minor_digits, money);
	writer_print(text, "%s", money);
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
	double first_year = 0;
	uint32_t times = count_renewals(view, option, &first_year);

	writer_print(text, " and ");
	add_money(text, view, option->over_years_minor);
	writer_print(text, " over %u years", view->comparison->years);
	if (times == 0)
		writer_print(text, ", without a renewal");
	else
		writer_print(text, ", %u renewal%s counted, the first in year %.4g", times, times == 1 ? "" : "s", first_year);
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

	if (now && later)
		writer_print(text, "; the cheapest now and over the years");
	else if (now || later)
		writer_print(text, "; the cheapest %s", now ? "now" : "over the years");
}

static void add_reason(struct writer *text, const struct compare_view *view, const struct option *option,
	const struct shell *shell)
{
	const struct catalogue *catalogue = view_catalogue(&view->view);

	for (uint32_t i = shell->unsuitable.first; i < shell->unsuitable.first + shell->unsuitable.count; i++) {
		const struct shell_reason *reason = &catalogue->shell_reasons[i];

		if (conditions_truth(catalogue, reason->when, option->quote.resolved.v, option->quote.q) != YES)
			continue;
		writer_print(text, " It does not suit here: %s", view_text(&view->view, reason->text)->because);
		return;
	}
}

static void write_sentence(struct writer *text, const struct compare_view *view, const struct option *option)
{
	const struct shell *shell = &view_catalogue(&view->view)->shells[option->quote.shell];

	writer_print(text, "%s: ", view_text(&view->view, shell->text)->title);
	if (option->quote.n_cannots > 0) {
		writer_print(text, "cannot be built here as asked.");
		return;
	}
	add_money(text, view, option->quote.gross_minor);
	writer_print(text, " now");
	if (option->years_known)
		add_years(text, view, option);
	add_places(text, view, option);
	writer_print(text, ".");
	if (shell->service_life_years < view->comparison->years && !is_replaced(view_catalogue(&view->view), option, shell))
		writer_print(text, " It is expected to last %.4g years, not %u.", shell->service_life_years,
			view->comparison->years);
	add_reason(text, view, option, shell);
}

void compare_sentence(struct writer *out, const struct compare_view *view, const struct option *option)
{
	struct writer text;

	writer_init(&text);
	write_sentence(&text, view, option);
	writer_key(out, "sentence");
	writer_string_n(out, text.bytes != NULL ? text.bytes : "", text.length);
	out->out_of_memory = out->out_of_memory || text.out_of_memory;
	writer_free(&text);
}
