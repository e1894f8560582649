#include "variation_view.h"

#include <stdarg.h>
#include <stdio.h>

#include "dates.h"
#include "money_text.h"

/* The variation in words: one array of sentences, to be read out, printed and signed. */

enum { SENTENCE_SIZE = 700 };

static void say(struct writer *out, const char *format, ...) __attribute__((format(printf, 2, 3)));

static void say(struct writer *out, const char *format, ...)
{
	char sentence[SENTENCE_SIZE];
	va_list arguments;

	va_start(arguments, format);
	vsnprintf(sentence, sizeof sentence, format, arguments);
	va_end(arguments);
	writer_string(out, sentence);
}

struct amount {
	char text[MONEY_TEXT_SIZE];
};

static struct amount money(const struct variation_view *view, int64_t amount_minor)
{
	const struct view *now = &view->now;
	const struct text *region = view_text(now, view_catalogue(now)->regions[now->edition->region].text);
	struct amount amount;

	money_text(amount_minor, region->symbol, now->config->region_cards[now->edition->region].minor_digits, amount.text);
	return amount;
}

static void heading(struct writer *out, const struct variation_view *view)
{
	char issued[DATE_TEXT_SIZE], today[DATE_TEXT_SIZE];
	const struct catalogue *catalogue = view_catalogue(&view->now);

	date_text((int32_t)view->agreed.asked->v[F_issued_on].number, issued);
	date_text((int32_t)view->now.asked->v[F_issued_on].number, today);
	say(out, "Variation of %s to quote %s of %s.", today, view->agreed_reference, issued);
	if (view->stage == STAGE_NOTHING)
		say(out, "No work has begun.");
	else
		say(out, "The work has reached \"%s\": that and every task before it is done and is not omitted.",
			view_text(&view->now, catalogue->tasks[view->stage].text)->title);
	say(out, "Prices of the agreed edition, %s, hold for what was agreed and for what is added.",
		view_text(&view->now, view->now.edition->text)->id);
}

static void price_sentences(struct writer *out, const struct variation_view *view)
{
	const struct variation *variation = view->variation;
	int64_t more_minor = variation->net_minor + variation->tax_minor;

	say(out, "Agreed before tax: %s. Work left out: %s. Work added: %s.", money(view, variation->agreed_minor).text,
		money(view, variation->omissions_minor).text, money(view, variation->additions_minor).text);
	if (variation->bought_minor > 0)
		say(out, "Material that was bought for work left out and that can't go back: %s.",
			money(view, variation->bought_minor).text);
	if (variation->kept_minor > 0)
		say(out, "Of the agreed price %s is for work that is done and no longer wanted; it stays to be paid.",
			money(view, variation->kept_minor).text);
	say(out, "New price before tax: %s. Tax on it: %s. New price with tax: %s, which is %s %s than agreed.",
		money(view, variation->final_minor).text, money(view, variation->final_tax_minor).text,
		money(view, variation->final_minor + variation->final_tax_minor).text,
		money(view, more_minor < 0 ? -more_minor : more_minor).text,
		more_minor < 0 ? "less" : "more");
}

static void date_sentences(struct writer *out, const struct variation_view *view)
{
	const struct programme *programme = &view->now.quote->programme;
	char water_in[DATE_TEXT_SIZE], finish[DATE_TEXT_SIZE];

	say(out, "Days on site: %.4g agreed, %.4g for the job as it now is.", view->agreed.quote->q[Q_work_days],
		view->now.quote->q[Q_work_days]);
	if (!view_is_promised(&view->now)) {
		say(out, "No new date is promised until what stops the work is settled; see the flags.");
		return;
	}
	date_text(programme->finish_day, finish);
	if (programme->has_water_in) {
		date_text(programme->water_in_day, water_in);
		say(out, "Water goes in on %s; the work ends on %s.", water_in, finish);
	} else {
		say(out, "The work ends on %s.", finish);
	}
}

void variation_statement(struct writer *out, const struct variation_view *view)
{
	writer_key(out, "statement");
	writer_array_open(out);
	heading(out, view);
	if (!view->priced)
		say(out, "One of the two jobs can't be built as asked, so no price is named.");
	else if (view->now.detail != DETAIL_HEADLINE)
		price_sentences(out, view);
	date_sentences(out, view);
	say(out, "Agreed by the client, with name, date and signature: ______________________________");
	say(out, "Agreed by the firm, with name, date and signature: ______________________________");
	writer_array_close(out);
}
