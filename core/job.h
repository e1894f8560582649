#ifndef PONDWRIGHT_JOB_H
#define PONDWRIGHT_JOB_H

#include "basin.h"
#include "catalogue.h"
#include "enquiry.h"
#include "money.h"
#include "outline.h"
#include "quote.h"
#include "resolve.h"

/* What the lines of one task ask of the crew. */
struct work {
	double crew_days;      /* of the whole crew, undisturbed */
	double hours;          /* person-hours */
	double rounds, between_days, wait_days;
	uint32_t frost_months; /* bit m: can't be done in month m */
	uint64_t follows;      /* bit t: after task t, which takes part */
	bool active, fills;
};

/* What is dug for a shell of a thickness. */
enum { HOLES_MOST = 32 };
struct hole { double thickness_m, hole_m3; };

/* What is known of a shape: a renewal digs into the pond that the quote builds, and every shell into the same one. */
enum { ZONES = 4 };
struct known_shape {
	bool stands, drain_known, zones_known;
	double surface_m2, depth_m;
	struct profile profile;
	struct basin basin;
	uint32_t n_holes;
	struct hole holes[HOLES_MOST];
	double drain_h;                  /* to pump it empty */
	double zone_m2[ZONES];           /* for plants of the margin, emergent, floating, submerged */
};

/* What one build-up asks for, as it was last worked out. */
struct ask_of_build_up {
	double hours[GRADES_MOST];
	int64_t labour_minor;
	int64_t alone_minor;             /* of a method of a group: what it costs by itself */
};

/* What buying one item cost when it was last bought. */
struct purchase {
	int64_t need_micro;              /* negative: not bought yet */
	double t_per_unit, price_scale;
	int64_t minor;
};

/* The last bill, and all that it was made of. An enquiry is priced shell by shell, sample by sample, and most of each bill is
 * the one before: only what looks at something that has changed is worked out again. The answer is the same to the bit. */
struct last_bill {
	bool stands;                     /* not before the first bill of an enquiry */
	const struct edition *edition;
	const struct work_scope *scope;
	uint16_t pump, bore;
	double labour_scale, price_scale;
	struct value v[F_COUNT];
	double q[Q_COUNT];
	struct build_up_set able;        /* there is such work, and it can be done so */
	struct ask_of_build_up asks[BUILD_UPS_MOST];
	int64_t need_micro[BUILD_UPS_MOST * COSTS_OF_BUILD_UP_MOST]; /* by cost, those by time on site apart */
	struct purchase purchases[ITEMS_MOST];
	uint32_t bought[PACKS_MOST];
};

/* The parts of the last take-off that no shell changes, and all that they were worked out from. */
struct last_takeoff {
	bool stands;
	const struct enquiry *asked;
	const struct work_scope *scope;
	const struct edition *edition;
	bool has_old_pond;
	double surface_m2, old_surface_m2;
	struct value v[F_COUNT];
	double given_q[Q_COUNT];
	struct profile_step pond_steps[STEPS_MOST], old_steps[STEPS_MOST];
	double q[Q_COUNT];               /* what came of them */
	struct water_result water;
};

/* A job and the renewals of its shells are priced in turn: each is like the last of its own kind, neither like the other. */
enum pricing { PRICING_JOB, PRICING_RENEWAL, PRICINGS };
struct kept {
	struct last_takeoff takeoff;
	struct last_bill bill;
};

/* What the stages of one quote share: the inputs, the prepared shapes, and the quote that they fill. It lives in the
 * caller's scratch. Every stage is a function of a struct job; a stage reads what earlier stages wrote. */
struct job {
	const struct catalogue *catalogue;
	const struct edition *edition;
	const struct region *region;
	const struct enquiry *asked;
	struct quote *quote;
	const struct value *v;           /* quote->resolved.v */
	double *q;                       /* quote->q */
	const struct work_scope *scope;
	const struct shell *shell;       /* NULL where no shell is laid */
	bool has_pond, has_old_pond;
	bool shapes_ready;               /* the shapes of this enquiry are prepared, for whatever shell comes next */
	enum status shapes;              /* what came of that */
	struct shore shore, own_old_shore;
	const struct shore *old_shore;   /* the old pond's own, or the new pond's */
	struct profile profile, old_profile;
	double depth_m, old_depth_m;
	struct basin basin, old_basin;
	struct known_shape known, old_known;
	bool old_is_same;                /* the old pond has the very shape of the new one */
	double labour_scale, price_scale; /* on hours, and on the price of what is bought: 1, but for samples of a range */
	/* bill: worked out once for each quote */
	double factor[FACTORS_MOST];     /* NaN until asked for */
	int64_t hour_milliminor[GRADES_MOST];
	struct work work[TASKS_MOST];    /* what the lines ask of the crew, by task */
	struct quote best;               /* of the shells tried so far */
	struct work best_work[TASKS_MOST];
	double least_milliminor[ITEMS_MOST]; /* of a unit, in the largest or cheapest pack */
	struct value begun_v[F_COUNT];   /* the enquiry before it had a shell */
	double begun_q[Q_COUNT];
	struct kept kept[PRICINGS];
	struct kept *last;               /* of the kind that is priced: quote_begin says the job */
	int64_t cells[LINES_MOST * COMPONENT_COUNT], cell_shares[LINES_MOST * COMPONENT_COUNT];
	struct remainder remainders[LINES_MOST * COMPONENT_COUNT];
	int64_t need_weights[NEEDS_MOST], need_shares[NEEDS_MOST];
	uint16_t need_places[NEEDS_MOST];
	uint16_t next_need[NEEDS_MOST];  /* of the same item */
};

/* Number of a field, 0 where it does not apply. */
static inline double job_number(const struct job *job, enum field_id id)
{
	return job->v[id].number;
}

static inline bool job_has(const struct job *job, enum field_id id)
{
	return job->v[id].origin != LEFT_OUT && job->v[id].origin != NOT_APPLICABLE && job->v[id].origin != NOT_KNOWN;
}

static inline double job_practice(const struct job *job, enum practice_id id)
{
	return job->catalogue->practice[id];
}

static inline uint32_t job_word(const struct job *job, enum field_id id)
{
	return (uint32_t)job->v[id].number;
}

/* Trade constants of the soil that is dug. */
static inline const struct soil *job_soil(const struct job *job)
{
	return &job->catalogue->soils[job_word(job, F_soil)];
}

#endif
