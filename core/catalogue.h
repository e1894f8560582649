#ifndef PONDWRIGHT_CATALOGUE_H
#define PONDWRIGHT_CATALOGUE_H

#include <stdbool.h>
#include <stdint.h>

#include "fields.h"
#include "pump.h"
#include "quantities.h"

/* Configuration as the core sees it: flat arrays in one arena that the server compiles, checks and owns. The core
 * only ever reads it. Texts stay with the server; `text` is an index into its table. */

struct span { uint32_t first, count; }; /* a slice of one of the catalogue's arrays */

/* What the catalogue may hold at most, so that a quote has fixed size; the loader refuses more. */
enum {
	ITEMS_MOST = 160, PACKS_MOST = 320, BUILD_UPS_MOST = 224, GROUPS_MOST = 48, TASKS_MOST = 48, SECTIONS_MOST = 24,
	GRADES_MOST = 8, SHELLS_MOST = 24, LAYERS_MOST = 16, RENEWALS_MOST = 12, PUMPS_MOST = 48, BORES_MOST = 24, RULES_MOST = 320,
	SUMS_MOST = 24, FACTORS_MOST = 128, PACKS_OF_ITEM_MOST = 8, COSTS_OF_BUILD_UP_MOST = 24, NOTES_MOST = 96, CLASSES_MOST = 6, HOLIDAYS_MOST = 128, STAGES_MOST = 8
};

/* ---- conditions: postfix over three-valued logic ---- */
enum truth { NO, YES, UNSURE };
enum op_code {
	OP_TRUE, OP_IS, OP_IN, OP_HAS_ANY, OP_AT_LEAST, OP_AT_MOST, OP_MORE_THAN, OP_LESS_THAN, OP_OVERLAPS, OP_KNOWN,
	OP_ALL, OP_ANY, OP_NOT
};
struct op {
	double number;     /* operand of IS and of the comparisons; KNOWN: 1 or 0; ALL, ANY: how many truths they take */
	uint64_t mask;     /* words of IN, members of HAS_ANY, months of OVERLAPS */
	uint16_t subject;  /* field_id, or quantity_id */
	uint8_t code;      /* enum op_code */
	bool is_quantity;
	uint32_t length;   /* how many ops its subtree takes, itself counted: see conditions_measure */
};

/* ---- what is bought ---- */
enum component { MATERIAL, LABOUR, HIRE, DISPOSAL, SERVICE, COMPONENT_COUNT };
struct pack {
	uint32_t text;
	double size;       /* in the item's unit */
	double most_t;     /* weight it can take, for a skip or lorry; 0 where volume alone decides */
	bool returnable;   /* unopened, the supplier takes it back */
	bool loose;        /* poured or tipped, so nobody lifts it as one */
};
struct item {
	uint32_t text;
	struct span packs;
	uint8_t component; /* enum component, never LABOUR */
	uint16_t density;  /* quantity_id of its density in t per unit, for packs with most_t; Q_none */
	bool one_piece;    /* all that a job buys comes as one piece, as a sheet does */
	bool has_fixed;    /* delivery and collection: once for a job that needs any */
	double minimum;    /* least that is charged, in its unit; 0 none */
	double short_below;/* below this a charge for each unit short; 0 none */
	double kg;         /* mass of a unit */
	double kgco2e;     /* of a unit; NaN where no factor is known */
	uint16_t supplier; /* text of the kind of supplier */
	uint16_t lead_days;
};

/* ---- how a rate is made ---- */
enum per { PER_UNIT, PER_JOB, PER_VISIT, PER_DAY, PER_WEEK };
struct factor_case { struct span when; double times; };
struct factor_point { double x, y; };
struct factor {
	struct span cases;   /* of factor_cases: the first that is YES counts; an UNSURE one does not */
	struct span points;  /* of factor_points: joined by straight lines, level beyond the ends */
	double otherwise;    /* where no case is YES */
	uint16_t subject;    /* of the points */
	bool is_quantity;
	uint32_t text;
};
struct cost {
	uint16_t item;
	uint8_t per;         /* enum per */
	double amount;       /* of the item's unit, for each unit that the build-up is measured by (or job, visit …) */
	double waste_share;  /* added for loss */
	uint16_t times;      /* field or quantity that multiplies it, or F_NONE */
	bool times_quantity;
	struct span factors; /* of factor_refs */
};
struct labour {
	uint16_t grade;
	uint8_t per;         /* PER_UNIT or PER_JOB */
	double hours;        /* person-hours */
	uint16_t times;
	bool times_quantity;
	struct span factors;
};
struct build_up {
	uint32_t text;       /* title, source */
	uint16_t section, task, group; /* group: GROUP_NONE where it is the only method */
	uint16_t measured_by;          /* quantity_id */
	bool layer;          /* named by a shell: applies only where the chosen shell names it */
	double minimum_hours;/* least person-hours where it applies at all */
	struct span applies; /* of ops; empty: always */
	struct span labour, costs;
	uint16_t wait_hours; /* quantity in hours that passes after it, or Q_none: a pump or a tap that runs by itself */
	uint16_t rounds;     /* quantity that says how many times it is done, or Q_none; a layer's coats else */
	double between_days, wait_days;
	double crew_most;    /* people who can work on it at once; 0: the whole crew */
	uint8_t frost;       /* enum frost_limit: months in which it can't be done */
	uint32_t why_not;    /* text: said where it does not apply and its group has no method */
};
/* A bit for each build-up. */
enum { BUILD_UP_WORDS = (BUILD_UPS_MOST + 63) / 64 };
struct build_up_set { uint64_t bits[BUILD_UP_WORDS]; };
enum { GROUP_NONE = 0xffff };
enum frost_limit { FROST_NONE, FROST_CONCRETE, FROST_RENDER, FROST_COATING, FROST_LIMITS };
struct group { uint32_t text; uint16_t measured_by, section; };

/* Items that a cost can name without knowing them: the pump and the pipe that the take-off chose. */
enum { ITEM_CHOSEN_PUMP = 0xfffe, ITEM_CHOSEN_PIPE = 0xfffd };

struct section { uint32_t text; };
struct grade { uint32_t text; };
struct task { uint32_t text; struct span follows; /* of task_refs */ bool after_handover; };

/* ---- shells ---- */
enum layer_kind {
	LAYER_BED, LAYER_UNDERLAY, LAYER_SHEET, LAYER_UNDERDRAIN, LAYER_BLINDING, LAYER_MESH, LAYER_CONCRETE, LAYER_BOND,
	LAYER_RENDER, LAYER_PAINT, LAYER_CLAY, LAYER_COVER, LAYER_KINDS
};
struct layer {
	uint8_t kind;        /* enum layer_kind */
	uint16_t build_up;   /* or BUILD_UP_NONE */
	uint16_t group;      /* or GROUP_NONE */
	double thickness_m, coats, kg_m2;
	double between_days, wait_days; /* negative: as the build-up says */
	struct span when;    /* laid only where this is YES */
};
enum { BUILD_UP_NONE = 0xffff };
struct shell_reason { uint32_t text; struct span when; };
struct renewal {
	uint32_t text;
	double every_years;
	uint32_t times_most;    /* 0: as often as it falls due */
	double share;           /* of the shell's own work that is done; emptying, rescue and filling are always for all of it */
	struct span build_ups;  /* of build_up_refs */
};
struct shell {
	uint32_t text;
	struct span layers;     /* outermost (against the ground) first */
	struct span unsuitable; /* of shell_reasons */
	struct span cautions;   /* of shell_reasons */
	struct span renewals;
	double service_life_years;
	bool sheet;             /* a flexible liner */
	bool bare_cement;       /* lime must be rinsed out */
	bool rigid;             /* can float empty */
};

/* ---- water ---- */
struct pump { uint32_t text; struct pump_curve curve; double power_w; uint16_t item; };
struct bore { uint32_t text; double bore_mm, roughness_mm; uint16_t item; };
struct fitting { uint32_t text; double k; double usual; /* how many where the caller says nothing */ };
struct style {
	double turnover_h;   /* hours in which the water is turned over once; 0 none */
	double hours_per_day;
	double equipment[8]; /* filter, uv, bottom_drains, skimmers, air, lights, overflow, top_up */
	double per_m3[8];    /* one more for each so many m3; 0 none */
	bool fish;
};

/* ---- ground and plants ---- */
struct soil { double bank_t_m3, swell, refill_share, safe_deg, seepage; };
struct root_plant {
	uint32_t text;
	double visits, reinspect_visits, dig_out_depth_m;
	bool needs_barrier, pierces;
	bool contaminates; /* its soil leaves at its own rate */
};
struct edge { uint32_t text; };

/* ---- rules, sums and sentences ---- */
enum level { LEVEL_STOP, LEVEL_CHECK, LEVEL_ASK, LEVEL_NOTE, LEVEL_NONE };
struct rule {
	uint32_t text;
	uint8_t level, unknown;  /* enum level of YES and of UNSURE */
	uint32_t nations;        /* bit n: holds in nation n; bit NATION_OTHER also where the nation is unknown */
	struct span when;
	uint16_t sum;            /* provisional sum that YES brings, or SUM_NONE */
	double wait_days;
};
enum { SUM_NONE = 0xffff };
struct sum { uint32_t text; };
struct note { uint32_t text; struct span when; bool excluded; }; /* a caution, or an exclusion */

/* ---- what is assumed ---- */
enum spread { SPREAD_NONE, SPREAD_UNIFORM, SPREAD_TRIANGLE, SPREAD_WORDS };
enum { FACTOR_LABOUR_OUTPUT = F_COUNT, FACTOR_PRICE_DRIFT, UNKNOWN_SUBJECTS };
struct weighted { double number, weight; };
struct unknown {
	uint32_t text;           /* because, question, why it matters */
	uint16_t subject;        /* field_id, or a FACTOR_… of our own output and prices */
	uint16_t region;         /* or REGION_ANY */
	uint8_t spread;          /* enum spread */
	bool on_visit;           /* can only be answered on a visit */
	double low, likely, high;
	struct span words;       /* of weighteds */
	struct span when;        /* the first row whose condition holds counts */
};
enum { REGION_ANY = 0xffff };

/* ---- regions and editions ---- */
struct preset { uint16_t field; double number; };
struct region {
	uint32_t text;
	uint16_t nation;         /* enum nation_word */
	struct span presets;     /* defaults that differ from the table's */
	struct span holidays;    /* days since 1970-01-01, rising */
	double weather_lost[12]; /* share of working days lost, by month */
	bool works[7];           /* Monday first */
	uint16_t frost[FROST_LIMITS]; /* months (bit m) in which such work waits */
	struct span editions;    /* rising by date */
	double measured_within;  /* share, where the caller says nothing */
};
struct tax_class { uint32_t text; int64_t rate_ppm; };
struct edition {
	uint32_t text;
	uint16_t region;
	int32_t from_day;               /* days since 1970-01-01 */
	const int64_t *pack_milliminor;       /* by pack */
	const int64_t *item_fixed_milliminor; /* by item: delivery and collection */
	const int64_t *item_short_milliminor; /* by item: each unit short */
	int64_t grade_milliminor_h[GRADES_MOST];
	int64_t sum_minor[SUMS_MOST];
	double crew_people, productive_h, paid_h;
	int64_t overhead_ppm, risk_ppm, margin_ppm;
	int64_t minimum_charge_minor, round_net_minor, headline_minor;
	struct span tax_classes;        /* of tax_classes */
	uint16_t tax_of[COMPONENT_COUNT];   /* class by component */
	uint16_t tax_of_sums;
	bool registered;                /* not: no tax at all */
	int64_t share_rule_ppm;         /* 0 none: when materials are more than this of net, every component takes share_rule_over */
	uint16_t share_rule_over;
	int64_t energy_milliminor_kwh, water_milliminor_m3;
	double discount_rate, price_growth;
	uint32_t lead_days, validity_days;
	uint32_t n_stages;
	struct { uint32_t text; int64_t share_ppm; } stages[STAGES_MOST];
	uint32_t retention_text;
	int64_t retention_ppm;          /* of every stage, kept back until retention_days after hand-over; 0 none */
	uint32_t retention_days;
	uint32_t retention_clients;     /* bit of each enum client_word that keeps it back */
};

struct catalogue {
	const struct op *ops;
	const struct item *items;               uint32_t n_items;
	const struct pack *packs;               uint32_t n_packs;
	const struct build_up *build_ups;       uint32_t n_build_ups;
	const struct build_up_set *readers;     /* of each quantity, then of each field: see readers.h */
	const struct group *groups;             uint32_t n_groups;
	const struct section *sections;         uint32_t n_sections;
	const struct task *tasks;               uint32_t n_tasks;   /* in an order in which each follows earlier ones only */
	const struct grade *grades;             uint32_t n_grades;
	const struct shell *shells;             uint32_t n_shells;
	const struct pump *pumps;               uint32_t n_pumps;
	const struct bore *bores;               uint32_t n_bores;   /* rising bore */
	const struct fitting *fittings;         uint32_t n_fittings;
	const struct edge *edges;               uint32_t n_edges;
	const struct root_plant *root_plants;   uint32_t n_root_plants; /* the first is the usual one */
	const struct rule *rules;               uint32_t n_rules;
	const struct sum *sums;                 uint32_t n_sums;
	const struct note *notes;               uint32_t n_notes;
	const struct unknown *unknowns;         uint32_t n_unknowns; /* by subject, then as written */
	const struct region *regions;           uint32_t n_regions;
	const struct edition *editions;         uint32_t n_editions;
	const struct factor *factors;           uint32_t n_factors;
	const struct factor_case *factor_cases;
	const struct factor_point *factor_points;
	const uint16_t *factor_refs, *task_refs, *build_up_refs, *rule_refs;
	const struct cost *costs;
	const struct labour *labours;
	const struct layer *layers;
	const struct shell_reason *shell_reasons;
	const struct renewal *renewals;
	const struct preset *presets;
	const int32_t *holidays;
	const struct tax_class *tax_classes;
	const struct weighted *weighteds;
	struct soil soils[soil_COUNT];
	struct style styles[style_COUNT];
	double practice[P_COUNT];
	uint16_t parent[F_COUNT];               /* of each field, from fields_parents */
	struct span unknowns_of[UNKNOWN_SUBJECTS];
	struct span rules_of[nation_COUNT];     /* of rule_refs, as the rules are written; NATION_OTHER: where it is unknown too */
	struct span sum_rules_of[nation_COUNT]; /* those of them that bring a sum or a wait */
	uint16_t preliminaries, provisional_sums, adjustments; /* sections of lines that are no build-up */
};

#endif
