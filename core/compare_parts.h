#ifndef PONDWRIGHT_COMPARE_PARTS_H
#define PONDWRIGHT_COMPARE_PARTS_H

#include "compare.h"
#include "job.h"

/* What the files of a comparison share. */

struct compare_scratch {
	struct job job;
	struct enquiry later;    /* the pond as it will be when something of it is renewed */
	struct quote renewal;
	struct enquiry settled;  /* the pond of a grid before it is resized */
	struct enquiry changed;  /* the enquiry with one value changed */
	struct option trial;
};

/* What a comparison is worked out from. */
struct comparing {
	const struct catalogue *catalogue;
	const struct edition *edition;
	struct compare_scratch *scratch;
	uint32_t years;
	double labour_scale, price_scale; /* see struct job */
};

static inline bool bit_of(const uint64_t *set, uint32_t index)
{
	return set[index / 64] >> (index % 64) & 1;
}

static inline void set_bit(uint64_t *set, uint32_t index)
{
	set[index / 64] |= UINT64_C(1) << (index % 64);
}

/* Prices one shell now, without dates, flags and sentences; outlines of the job must be the enquiry's or not ready. */
enum status compare_price(const struct comparing *with, const struct enquiry *enquiry, uint16_t shell, struct option *option);

/* Then its renewals and its years. */
void compare_years(const struct comparing *with, const struct enquiry *enquiry, struct option *option);

/* Prices the renewals of the option's shell on the pond that its quote builds. Outlines of the job stay as they are. */
void compare_renewals(const struct comparing *with, const struct enquiry *enquiry, struct option *option);

/* Carbon of what a quote needs, waste counted. An item without a factor adds nothing; where the quote counts for the
 * option it is marked there. */
double compare_kgco2e(const struct catalogue *catalogue, const struct quote *quote, bool counts, struct option *option);

/* Whether a shell may be called the cheapest. */
static inline bool option_counts(const struct option *option, bool over_years)
{
	return option->quote.n_cannots == 0 && option->quote.shell_suitable && (!over_years || option->years_known);
}

/* The enquiry with what was assumed and taken by default of it made its own, so that a changed copy keeps it. */
void compare_settle(const struct enquiry *asked, const struct enquiry *resolved, struct enquiry *settled);

/* Finds what would turn a race round. A value with which the job can't be priced turns nothing. */
void compare_decide(const struct comparing *with, const struct enquiry *enquiry, const struct option *options,
	struct race *race);

#endif
