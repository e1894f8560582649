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
	struct shore shore, own_old_shore;
	const struct shore *old_shore;   /* the old pond's own, or the new pond's */
	struct profile profile, old_profile;
	double depth_m, old_depth_m;
	struct basin basin, old_basin;
	double labour_scale, price_scale; /* on hours, and on the price of what is bought: 1, but for samples of a range */
	/* bill: worked out once for each quote */
	double factor[FACTORS_MOST];     /* NaN until asked for */
	int64_t hour_milliminor[GRADES_MOST];
	struct work work[TASKS_MOST];    /* what the lines ask of the crew, by task */
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
