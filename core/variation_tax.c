#include "variation_parts.h"

#include "money.h"

/* Tax of the final account, class by class. */

/* What is paid for a line in the end, by component. */
static int64_t final_minor(const struct account *account, const struct variation_line *line, uint32_t component)
{
	const struct line *paid = line->kept_minor > 0 ? variation_agreed(account, line) : variation_now(account, line);

	return (paid ? paid->price_minor[component] : 0) + (component == MATERIAL ? line->bought_minor : 0);
}

static bool share_rule_holds(const struct account *account)
{
	int64_t materials = 0, limit;

	if (account->edition->share_rule_ppm == 0)
		return false;
	for (uint32_t i = 0; i < account->out->n_lines; i++)
		materials += final_minor(account, &account->out->lines[i], MATERIAL);
	return money_share(account->out->final_minor, account->edition->share_rule_ppm, &limit) == ST_OK && materials > limit;
}

static uint32_t class_of(const struct account *account, const struct variation_line *line, uint32_t component)
{
	const struct line *any = line->now == NO_INDEX ? variation_agreed(account, line) : variation_now(account, line);

	if (account->out->share_rule_used)
		return account->edition->share_rule_over;
	return any->special == LINE_SUM ? account->edition->tax_of_sums : account->edition->tax_of[component];
}

enum status variation_tax(struct account *account)
{
	const struct edition *edition = account->edition;
	struct variation *out = account->out;

	out->share_rule_used = share_rule_holds(account);
	for (uint32_t i = 0; i < out->n_lines; i++)
		for (uint32_t c = 0; c < COMPONENT_COUNT; c++)
			out->classes[class_of(account, &out->lines[i], c)].net_minor += final_minor(account, &out->lines[i], c);
	for (uint32_t i = 0; i < edition->tax_classes.count && edition->registered; i++) {
		int64_t rate_ppm = account->catalogue->tax_classes[edition->tax_classes.first + i].rate_ppm;

		if (money_share(out->classes[i].net_minor, rate_ppm, &out->classes[i].tax_minor) != ST_OK)
			return ST_MONEY_RANGE;
		out->final_tax_minor += out->classes[i].tax_minor;
	}
	out->tax_minor = out->final_tax_minor - account->agreed->tax_minor;
	return ST_OK;
}
