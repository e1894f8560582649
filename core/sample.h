#ifndef PONDWRIGHT_SAMPLE_H
#define PONDWRIGHT_SAMPLE_H

#include "job.h"
#include "sensitivity.h"

/* From numbers that are uniform in (0, 1) to one way that a job may turn out to be. */

/* Inverse of the distribution of a row of the unknowns, u in [0, 1]: uniform, triangle (low, likely, high), or weighted words
 * in the order in which they are written; likely where the row has no spread. Never falls with u, but for words. */
double spread_number(const struct catalogue *catalogue, const struct unknown *row, double u);

/* A measured length is anywhere within its error with the same chance: where bounds are all that is known, the distribution is
 * rectangular (JCGM 100:2008, 4.3.7). 1 - share to 1 + share. */
double measured_factor(double share, double u);

/* What one coordinate decides. Questions first, in the order of the field table. */
enum axis_kind {
	AXIS_QUESTION,     /* a field that was assumed */
	AXIS_LABOUR, AXIS_PRICE, /* hours; price of all that is bought */
	AXIS_OUTLINE,      /* scale of the whole outline */
	AXIS_OLD_OUTLINE,  /* of the old pond's own outline */
	AXIS_MEASURED      /* factor of a given number */
};
struct axis {
	uint8_t kind;      /* enum axis_kind */
	uint16_t field;    /* of QUESTION and MEASURED; the outline's OBJECT */
	double share;      /* measuring error */
};

/* An enquiry made ready for many samples. Owned by the caller; catalogue, region and enquiry must outlive it. */
struct sampler {
	const struct catalogue *catalogue;
	const struct enquiry *asked;
	uint16_t region;
	uint32_t n_axes, n_questions;
	struct axis axes[AXES_MOST];
	uint16_t fields[AXES_MOST]; /* of the questions */
	struct value v[F_COUNT];    /* the enquiry resolved, no shell taken */
	double q[Q_COUNT];
};

/* From a job that is begun (quote_begin) and has no shell yet. A question is a field that was left out and is assumed, here or
 * for another answer to an earlier one, and whose row in the region has a spread. Measuring error: by pointer where the
 * enquiry says so; else one share, the enquiry's or the region's, for every given length of what is there or drawn, which
 * leaves out profiles, freeboard, pipes, roots and edges, since those are ordered and not measured. Pointers into an outline count as
 * one error of it, the largest. */
void sampler_prepare(struct sampler *sampler, const struct job *job);

/* Puts a sample into the job in place of the last one: values, steps, scale of the outlines, factors. The shell is still to be
 * taken. cells as in sensitivity_model: a word is its own cell. May be NULL. */
void sampler_draw(const struct sampler *sampler, const double *u, struct job *job, uint8_t *cells);

#endif
