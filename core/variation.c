#include "variation_parts.h"

#include <math.h>

#include "money.h"

/* ---- matching ---- */

static bool is_same(const struct line *a, const struct line *b)
{
	bool named = a->special == LINE_BUILD_UP || a->special == LINE_SUM;

	return a->special == b->special && (!named || a->build_up == b->build_up);
}

static bool is_same_work(const struct catalogue *catalogue, const struct line *a, const struct line *b)
{
	uint16_t group;

	if (a->special != LINE_BUILD_UP || b->special != LINE_BUILD_UP)
		return false;
	group = catalogue->build_ups[a->build_up].group;
	return group != GROUP_NONE && group == catalogue->build_ups[b->build_up].group;
}

/* The new line that an agreed line is compared with; exact matches are made for all lines before methods are. */
static uint16_t find(const struct account *account, const struct line *agreed, const bool *taken, bool by_method)
{
	for (uint32_t i = 0; i < account->now->n_lines; i++) {
		const struct line *now = &account->now->lines[i];

		if (!taken[i] && (by_method ? is_same_work(account->catalogue, agreed, now) : is_same(agreed, now)))
			return (uint16_t)i;
	}
	return NO_INDEX;
}

static void match(struct account *account)
{
	struct variation *out = account->out;
	bool taken[LINES_MOST] = {false};

	out->n_lines = account->agreed->n_lines;
	for (uint32_t i = 0; i < out->n_lines; i++)
		out->lines[i] = (struct variation_line){.agreed = (uint16_t)i, .now = NO_INDEX,
			.section = account->agreed->lines[i].section};
	for (int by_method = 0; by_method < 2; by_method++)
		for (uint32_t i = 0; i < account->agreed->n_lines; i++) {
			if (out->lines[i].now == NO_INDEX)
				out->lines[i].now = find(account, &account->agreed->lines[i], taken, by_method);
			if (out->lines[i].now != NO_INDEX)
				taken[out->lines[i].now] = true;
		}
	for (uint32_t i = 0; i < account->now->n_lines; i++)
		if (!taken[i])
			out->lines[out->n_lines++] = (struct variation_line){.agreed = NO_INDEX, .now = (uint16_t)i,
				.section = account->now->lines[i].section};
}

/* ---- lines ---- */

/* Travel, tanks or a fence last as long as the job does, whatever task they are begun with. */
static bool goes_by_time(const struct catalogue *catalogue, const struct build_up *build_up)
{
	for (uint32_t i = build_up->costs.first; i < build_up->costs.first + build_up->costs.count; i++)
		if (catalogue->costs[i].per != PER_UNIT && catalogue->costs[i].per != PER_JOB)
			return true;
	return false;
}

static bool all_is_done(const struct account *account, uint16_t stage)
{
	for (uint32_t task = stage + 1u; task < account->catalogue->n_tasks; task++)
		if (account->agreed->programme.tasks[task].active)
			return false;
	return true;
}

static bool is_done(const struct account *account, const struct line *agreed, uint16_t stage)
{
	const struct build_up *build_up;

	if (agreed == NULL || stage == STAGE_NOTHING || agreed->special != LINE_BUILD_UP)
		return false;
	build_up = &account->catalogue->build_ups[agreed->build_up];
	return build_up->task <= stage && (!goes_by_time(account->catalogue, build_up) || all_is_done(account, stage));
}

static double hours_of(const struct line *line)
{
	double hours = 0;

	for (uint32_t i = 0; line != NULL && i < GRADES_MOST; i++)
		hours += line->hours[i];
	return hours;
}

static void compare_line(struct account *account, struct variation_line *line, uint16_t stage)
{
	const struct line *a = variation_agreed(account, line), *b = variation_now(account, line);
	int64_t difference = (b ? b->amount_minor : 0) - (a ? a->amount_minor : 0);
	double crew_day_h = account->edition->crew_people * account->edition->productive_h;

	line->done = is_done(account, a, stage);
	if (difference >= 0) {
		line->addition_minor = difference;
	} else if (line->done) {
		line->kept_minor = -difference;
		account->out->kept_crew_days += fmax(0, hours_of(a) - hours_of(b)) / crew_day_h;
	} else {
		line->omission_minor = difference;
	}
}

/* ---- the account ---- */

static enum status add_up(struct variation *out)
{
	enum status status = ST_OK;

	for (uint32_t i = 0; i < out->n_lines && status == ST_OK; i++) {
		out->omissions_minor += out->lines[i].omission_minor; /* each within the two quotes' own sums */
		out->additions_minor += out->lines[i].addition_minor;
		out->kept_minor += out->lines[i].kept_minor;
		status = money_add(&out->bought_minor, out->lines[i].bought_minor);
	}
	out->net_minor = out->omissions_minor + out->additions_minor + out->bought_minor;
	out->final_minor = out->agreed_minor + out->net_minor;
	return out->final_minor > MONEY_MOST ? ST_MONEY_RANGE : status;
}

enum status variation_work_out(const struct catalogue *catalogue, const struct edition *edition, const struct quote *agreed,
	const struct quote *now, uint16_t stage, struct variation *variation)
{
	struct account account = {.catalogue = catalogue, .edition = edition, .agreed = agreed, .now = now, .out = variation};
	enum status status = ST_OK;

	*variation = (struct variation){.agreed_minor = agreed->net_minor, .now_minor = now->net_minor};
	match(&account);
	for (uint32_t i = 0; i < variation->n_lines; i++)
		compare_line(&account, &variation->lines[i], stage);
	variation_find_spare(&account, stage);
	for (uint32_t i = 0; i < variation->n_lines && status == ST_OK; i++)
		status = variation_charge(&account, &variation->lines[i]);
	if (status == ST_OK)
		status = add_up(variation);
	return status == ST_OK ? variation_tax(&account) : status;
}
