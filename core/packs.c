#include "packs.h"

#include <stdbool.h>
#include <string.h>

#include "money.h"

enum { BOUGHT_MOST = 1000000 };

__extension__ typedef __int128 wide;

struct search {
	struct pack_offer offers[PACKS_OF_ITEM_MOST]; /* lowest price for each unit first */
	uint32_t place[PACKS_OF_ITEM_MOST];           /* where each stood in the caller's list */
	uint32_t n;
	uint32_t chosen[PACKS_OF_ITEM_MOST];
	struct pack_cover best;                       /* in the search's order */
	bool found;
};

static bool cheaper_by_unit(struct pack_offer a, struct pack_offer b)
{
	wide left = (wide)a.milliminor * b.size_micro, right = (wide)b.milliminor * a.size_micro;

	return left != right ? left < right : a.size_micro > b.size_micro;
}

static void order_offers(struct search *search, const struct pack_offer *offers, uint32_t n)
{
	search->n = n;
	for (uint32_t i = 0; i < n; i++) {
		uint32_t at = i;

		for (; at > 0 && cheaper_by_unit(offers[i], search->offers[at - 1]); at--) {
			search->offers[at] = search->offers[at - 1];
			search->place[at] = search->place[at - 1];
		}
		search->offers[at] = offers[i];
		search->place[at] = i;
	}
}

/* No cover of need with offers from k on costs less: the rest at the lowest unit price left. */
static int64_t least_cost(const struct search *search, uint32_t k, int64_t need_micro)
{
	wide product = (wide)need_micro * search->offers[k].milliminor;

	return (int64_t)((product + search->offers[k].size_micro - 1) / search->offers[k].size_micro);
}

static void remember(struct search *search, int64_t milliminor)
{
	if (search->found && milliminor >= search->best.milliminor)
		return;
	search->found = true;
	search->best.milliminor = milliminor;
	memcpy(search->best.bought, search->chosen, sizeof search->chosen);
}

/* Tries every useful number of offer k, most first, then the offers after it. */
static void search_from(struct search *search, uint32_t k, int64_t need_micro, int64_t spent)
{
	struct pack_offer offer = search->offers[k];
	int64_t most = (need_micro + offer.size_micro - 1) / offer.size_micro;

	for (int64_t number = most; number >= 0; number--) {
		int64_t left = need_micro - number * offer.size_micro;
		int64_t cost = spent + number * offer.milliminor;

		search->chosen[k] = (uint32_t)number;
		if (left <= 0) {
			remember(search, cost);
		} else {
			if (k + 1 == search->n)
				break;
			if (search->found && cost + least_cost(search, k + 1, left) >= search->best.milliminor)
				break; /* fewer of this, the better buy, can only cost more */
			search_from(search, k + 1, left, cost);
		}
	}
	search->chosen[k] = 0;
}

enum status packs_cover(const struct pack_offer *offers, uint32_t n, int64_t need_micro, struct pack_cover *cover)
{
	struct search search;

	for (uint32_t k = 0; k < n; k++) {
		int64_t most = (need_micro + offers[k].size_micro - 1) / offers[k].size_micro;

		if (most > BOUGHT_MOST)
			return ST_QUANTITY_RANGE;
		if (most * (wide)offers[k].milliminor > (wide)MONEY_MOST * 1000)
			return ST_MONEY_RANGE;
	}
	*cover = (struct pack_cover){.milliminor = 0};
	if (n == 1) {
		cover->bought[0] = (uint32_t)((need_micro + offers[0].size_micro - 1) / offers[0].size_micro);
		cover->milliminor = cover->bought[0] * offers[0].milliminor;
		return ST_OK;
	}
	search.found = false;
	memset(search.chosen, 0, sizeof search.chosen);
	order_offers(&search, offers, n);
	search_from(&search, 0, need_micro, 0);
	cover->milliminor = search.best.milliminor;
	for (uint32_t k = 0; k < n; k++)
		cover->bought[search.place[k]] = search.best.bought[k];
	return ST_OK;
}
