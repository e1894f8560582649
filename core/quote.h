#ifndef PONDWRIGHT_QUOTE_H
#define PONDWRIGHT_QUOTE_H

#include <stdbool.h>
#include <stdint.h>

#include "catalogue.h"
#include "enquiry.h"
#include "pump.h"
#include "status.h"

enum {
	LINES_MOST = BUILD_UPS_MOST + SUMS_MOST + 4,
	CANNOTS_MOST = GROUPS_MOST + 8,
	NEEDS_MOST = 1024,
	NO_INDEX = 0xffff
};

/* Lines that are no build-up. */
enum special_line { LINE_BUILD_UP, LINE_HALF_DAYS, LINE_SUM, LINE_MINIMUM, LINE_ROUNDING };

/* What the job needs of one item for one line. */
struct need {
	uint16_t line, item;
	int64_t micro;           /* of the item's unit, waste counted */
	int64_t minor;           /* its share of what the whole job's packs cost */
};

struct line {
	uint8_t special;         /* enum special_line */
	uint16_t build_up;       /* of a LINE_BUILD_UP; the sum of a LINE_SUM */
	uint16_t section;
	double quantity;         /* as measured, to 1e-6 */
	double hours[GRADES_MOST];
	struct span needs;       /* of quote.needs */
	int64_t cost_minor[COMPONENT_COUNT];   /* before overhead, risk and margin */
	int64_t price_minor[COMPONENT_COUNT];  /* what the client pays */
	int64_t amount_minor;    /* sum of price_minor */
	int64_t alone_minor;     /* standalone cost, by which a method was chosen */
	bool was_cheapest_of_many;
};

struct bore_result {
	double flow_l_per_h, velocity_m_s;
	uint8_t state;           /* enum duty_state */
	bool enough;
};

enum pump_choice { PUMP_NOT_NEEDED, PUMP_CHOSEN, PUMP_KEPT, PUMP_NONE_DELIVERS };
struct water_result {
	uint8_t choice;          /* enum pump_choice */
	uint16_t pump, bore;     /* index, or NO_INDEX (a kept pump with its own curve; a bore of the caller's) */
	double bore_mm, roughness_mm, run_m, sum_k, static_m, demand_l_per_h;
	double density_kg_m3, viscosity_m2_s, power_w;
	double wanted_l_per_h;   /* what the pump is judged by: the demand, with the allowance for fouling where it is bought */
	bool roughness_given;
	struct duty duty;
	bool enough_known, enough;
	double kwh_per_year;
	int64_t running_cost_minor;
	struct pump_curve curve;
};

enum cannot_kind { CANNOT_GROUP, CANNOT_WATER };
struct cannot {
	uint8_t kind;
	uint16_t group;          /* CANNOT_GROUP: the work that no method can do */
	uint16_t methods[12];    /* build-ups that were tried */
	uint8_t n_methods;
};

struct task_result {
	bool active;
	double hours, wait_days, rounds;
	double last_wait_days;    /* of its wait_days those after the last round */
	int32_t from_day, to_day; /* days since 1970-01-01; to_day is the last day of work */
	double frost_days;        /* that it, and the crew, stood still for a month in which frost forbids it */
};

/* A season of a rule that was raised. */
enum { SEASONS_MOST = 12, DAY_NEVER = 0x7fffffff };
struct season {
	uint16_t rule;
	int32_t free_from_day;    /* first start, from start_day on, whose work touches it no more; DAY_NEVER within a year */
};

struct programme {
	double crew_half_days, elapsed_weeks;
	uint32_t visits;
	int32_t earliest_day;     /* asked, after lead time and waits of rules */
	int32_t start_day, water_in_day, finish_day;
	bool has_water_in;
	uint32_t n_seasons;
	struct season seasons[SEASONS_MOST]; /* of stop and check flags that the months of the work raise, in their order */
	int32_t free_day;         /* first start that touches none of them; start_day where there is none, or DAY_NEVER */
	struct task_result tasks[TASKS_MOST];
};

enum raised_by { RAISED_BY_FACT, RAISED_BY_UNKNOWN };
struct flag { uint16_t rule; uint8_t level, raised_by; };

struct class_total { int64_t net_minor, tax_minor; };

/* Everything that one quote holds. Plain data with no pointer into the enquiry. Members up to the lists are cleared for
 * each quote; of a list the first n_… entries mean something, no others. */
struct quote {
	uint16_t shell;                       /* index, or NO_INDEX where no shell is laid */
	bool shell_chosen;                    /* by price, not by the caller */
	bool shell_suitable;
	bool share_rule_used;
	double q[Q_COUNT];
	struct water_result water;
	uint32_t n_lines, n_needs, n_cannots, n_flags;
	uint32_t bought[PACKS_MOST];          /* packs of the whole job */
	double item_total[ITEMS_MOST];        /* need of the whole job */
	int64_t item_minor[ITEMS_MOST];       /* what it costs */
	bool sum_in_price[SUMS_MOST];
	uint16_t sum_because[SUMS_MOST];      /* rule that brought it */
	int64_t direct_minor, overhead_minor, risk_minor, margin_minor;
	int64_t net_minor, tax_minor, gross_minor, headline_minor;
	struct class_total classes[CLASSES_MOST];
	struct programme programme;
	bool note_said[NOTES_MOST];
	double rules_wait_days;
	int64_t fill_water_minor;             /* what the water to fill with would cost from the mains: the client's, never priced */
	/* the lists */
	struct enquiry resolved;              /* every value with its origin, after the take-off */
	struct line lines[LINES_MOST];        /* as the catalogue lists build-ups; then half-days, sums, minimum, rounding */
	struct need needs[NEEDS_MOST];
	struct cannot cannots[CANNOTS_MOST];
	struct flag flags[RULES_MOST];        /* stop, check, ask, note; then as the rules are written */
};

/* Room that the stages share; the caller brings it, one for each thread. Its size is quote_scratch_size(). */
uint32_t quote_scratch_size(void);

/* Prices one enquiry under one edition.
 *   enquiry   as asked, checked by enquiry_check; issued_on given
 *   shell     index of the shell to price, or NO_INDEX: the caller's, or the cheapest suitable one
 *   scratch   quote_scratch_size() bytes, aligned as malloc aligns
 * ST_OK; else a reason from status.def, with *quote unspecified. A job that can't be built is no error: n_cannots. */
enum status quote_price(const struct catalogue *catalogue, const struct edition *edition, const struct enquiry *enquiry,
                        uint16_t shell, void *scratch, struct quote *quote);

/* Pump, pipe and duty point alone; pond optional. Fills resolved, q (water) and water. */
enum status quote_water(const struct catalogue *catalogue, const struct edition *edition, const struct enquiry *enquiry,
                        void *scratch, struct quote *quote);

/* The pump of a quote on every bore of the catalogue, for an answer's table: results holds n_bores entries. Needs
 * water.choice other than PUMP_NOT_NEEDED. */
void quote_other_bores(const struct catalogue *catalogue, const struct quote *quote, struct bore_result *results);

/* Flags alone; pond optional, with one everything that the take-off knows of it counts. Fills resolved, q, flags. */
enum status quote_screen(const struct catalogue *catalogue, const struct edition *edition, const struct enquiry *enquiry,
                         void *scratch, struct quote *quote);

#endif
