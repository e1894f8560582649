#ifndef PONDWRIGHT_RANGE_H
#define PONDWRIGHT_RANGE_H

#include "quote.h"
#include "sample.h"

/* How sure a price is, and what to ask next. Whole quotes are priced for many ways in which the job may turn out: what was
 * assumed by the spread of its row in the unknowns, what was measured within its error, hours by our own output, prices by their
 * drift. Methods, packs, pump and machine are chosen anew every time; the shell is the headline quote's. Each is priced as a
 * quote is, the edition's risk share in it: that share is for what nobody asks about and no row names, so it covers what the
 * range does not, and the range is for the rest. */

/* A power of two, so that every coordinate is filled evenly; tests/README.md, "Range", says why this one. */
enum { RANGE_SAMPLES_LEAST = 64, RANGE_SAMPLES_DEFAULT = 1024, RANGE_SAMPLES_MOST = 4000000 };

/* P10, P50 and P90, between two samples in a straight line (definition 7 of R. J. Hyndman and Y. Fan, Am. Stat. 50 (1996)). */
struct band_minor {
	int64_t low_minor, likely_minor, high_minor;
};
struct band_days {
	double low, likely, high;
};

/* A question whose answer moves the price. */
struct range_question {
	uint16_t field;
	double share;                /* of the variance of the gross price that goes, on average, when it is answered: first order */
	double total_share;          /* what it has a hand in: first order and all that it makes together with others */
	int64_t low_minor, high_minor; /* least and greatest mean of the gross price over its answers: each word, or each quarter
	                                  of the chance of a number */
};

/* Another shell on the same samples. */
struct range_rival {
	uint16_t shell;
	double cheaper_share;        /* of the samples, where it suits, can be built and costs less */
};

struct range {
	uint16_t shell;              /* or NO_INDEX */
	uint32_t samples;            /* behind the percentiles */
	uint32_t quotes;             /* whole quotes in all */
	double cannot_share;         /* of the samples that can't be built, or are larger than any quote can be; the rest make
	                                the bands */
	bool any;                    /* one of them can be built, so that there is a band */
	struct band_minor gross, net;
	struct band_days on_site_days;
	double labour_share, price_share, measuring_share; /* first order, of what is no question */
	uint32_t n_questions;
	struct range_question questions[SWAPPED_MOST]; /* largest share first, then as the fields are written */
	uint32_t n_rivals, rival_samples;
	struct range_rival rivals[SHELLS_MOST];        /* as the catalogue lists shells */
};

/* Scratch for so many samples. */
size_t range_scratch_size(uint32_t samples);

/* Prices the enquiry as quote_price does, then its range.
 *   samples  RANGE_SAMPLES_LEAST to RANGE_SAMPLES_MOST
 *   scratch  range_scratch_size(samples) bytes, aligned as malloc aligns
 *   quote    the headline quote
 * ST_OK, or the reason why the headline can't be priced, with everything unspecified. Deterministic. */
enum status range_price(const struct catalogue *catalogue, const struct edition *edition, const struct enquiry *enquiry,
	uint32_t samples, void *scratch, struct quote *quote, struct range *range);

#endif
