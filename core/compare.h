#ifndef PONDWRIGHT_COMPARE_H
#define PONDWRIGHT_COMPARE_H

#include "quote.h"

/* Every shell of the catalogue on one take-off: what it costs now, what has to be renewed within some years, and what it
 * costs over them. All money is gross: what the client pays, tax counted. What does not depend on the shell (pumps,
 * electricity, planting care, desilting) is left out of the years, and so is what a shell is still worth at their end. */

/* One renewal of a shell, done once, at today's prices. It is priced as a job of its own on the pond as it will then be:
 * its build-ups, of a group of methods the cheapest, and whatever every job brings (set-up, travel, insurance, half-days,
 * minimum charge). Needs of a build-up are taken at the renewal's share, emptying, rescue and filling for all of the pond. */
struct renewed {
	uint16_t renewal;         /* of catalogue->renewals */
	bool needed;              /* not: nothing of it is there, as of a coping that was not laid */
	bool possible;            /* not: no method can do it here */
	int64_t each_minor;
	double kgco2e;            /* of one, of the items that have a factor */
	uint64_t disturbs[(BUILD_UPS_MOST + 63) / 64]; /* bit of each build-up that is done */
};

/* One shell. */
struct option {
	enum status status;       /* not ST_OK: beyond what can be kept exactly; its quote names the shell and has a cannot */
	struct quote quote;       /* priced and finished */
	uint32_t n_renewals;
	struct renewed renewals[RENEWALS_MOST]; /* as the shell lists them */
	bool years_known;         /* it can be built, and every renewal can be done */
	int64_t over_years_minor; /* price now and the present cost of its renewals within the years */
	int64_t per_year_minor;   /* that over the number of years */
	double kgco2e, renewals_kgco2e; /* of the build, and of all renewals within the years; of items that have a factor */
	bool lacks_factor;
	uint64_t lacking[(ITEMS_MOST + 63) / 64]; /* bit of each item without one */
};

/* Something unknown that decides whether the cheapest shell is the cheapest. */
struct decider {
	uint16_t unknown;         /* of catalogue->unknowns */
	double number;            /* at this value the rival is cheaper, or the cheapest cannot be built or does not suit */
	bool rules_out;           /* the latter */
};

enum { HORIZONS = 4, DECIDERS_MOST = 24 };
#define NEAR_SHARE 0.2
static const uint32_t horizon_years[HORIZONS] = {10, 20, 30, 40};

/* What is cheapest over some years, and what would turn that round. Each value that was assumed is put at every other value
 * that its row in the catalogue's unknowns allows (both ends, or every other word), one at a time, and both shells are
 * priced again. Where the rival costs more than NEAR_SHARE more, that is only done for what rules the cheapest out: of 720
 * ponds of the shipped regions, tried without that limit, no single value turned one round (the nearest rival was 23 %
 * dearer). Only a shell that can be built and suits counts. */
struct race {
	uint32_t years;           /* 0: now */
	uint16_t cheapest;        /* shell, or NO_INDEX where none counts */
	uint16_t rival;           /* the cheapest of another kind (sheet, cast, clay), or NO_INDEX */
	int64_t gap_minor;        /* rival less cheapest, >= 0 */
	uint32_t n_deciders;      /* 0: told apart */
	struct decider deciders[DECIDERS_MOST]; /* in the order of the field table, then our own output and prices */
};

struct comparison {
	uint32_t n_options;       /* all shells of the catalogue, in its order; 0 where the work lays none */
	uint32_t years;           /* of the enquiry: service_years */
	struct race now, over_years;
	uint16_t horizon_cheapest[HORIZONS];    /* shell, or NO_INDEX */
	uint32_t paid_back_after_years;         /* 0: the cheapest now stays the cheapest */
};

/* Scratch of a comparison; quote_scratch_size() of it is quote_price's. */
uint32_t compare_scratch_size(void);

/* Prices every shell.
 *   enquiry   as asked, checked by enquiry_check; a shell that it names only decides what is assumed of the pond's bed
 *   options   catalogue->n_shells
 * ST_OK where any shell could be priced or none is laid; else the first shell's reason, with everything unspecified. */
enum status compare_shells(const struct catalogue *catalogue, const struct edition *edition, const struct enquiry *enquiry,
	void *scratch, struct option *options, struct comparison *comparison);

/* Price now and the present cost of the renewals that fall due before the end of so many years. With growth g and discount
 * rate r a renewal of today's cost C every L years costs sum over k of C (1 + g)^(kL) / (1 + r)^(kL), as long as kL < years
 * (HM Treasury, The Green Book, annex on discounting: from memory). Rounded once. years_known must hold. */
int64_t option_over_years_minor(const struct catalogue *catalogue, const struct edition *edition,
	const struct option *option, uint32_t years);

/* How often a renewal falls due before the end of so many years. */
uint32_t renewal_times(const struct renewal *renewal, uint32_t years);

/* Factor that turns today's cost into its present cost when it is paid after so many years: ((1 + g) / (1 + r))^years. */
double present_factor(const struct edition *edition, double years);

/* ---- the grid: where the answer changes ---- */

/* The pond's outline scaled to these surfaces, dug anew to these depths on the same site, without its stream. */
enum { GRID_SIZES = 5, GRID_DEPTHS = 4 };
static const double grid_surface_m2[GRID_SIZES] = {6, 12, 25, 50, 100};
static const double grid_depth_m[GRID_DEPTHS] = {0.6, 0.9, 1.2, 1.5};

struct grid_price {
	bool built, fits;
	bool years_known;         /* worked out for shells that fit alone */
	int64_t now_minor, over_years_minor;
};
struct grid_cell {
	double depth_reached_m;                     /* sides may meet before the depth that is asked for */
	uint16_t cheapest_now, cheapest_over_years; /* shell, or NO_INDEX */
	struct grid_price prices[SHELLS_MOST];      /* by shell */
};
struct grid {
	uint32_t years;
	struct grid_cell cells[GRID_SIZES][GRID_DEPTHS];
};

/* After compare_shells, whose scratch and enquiry it takes over: the outline is prepared there, and is scaled here. Work that
 * lays no shell leaves every cell without one. */
void compare_grid(const struct catalogue *catalogue, const struct edition *edition, const struct enquiry *enquiry,
	void *scratch, struct grid *grid);

#endif
