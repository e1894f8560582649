#ifndef PONDWRIGHT_QUOTE_PARTS_H
#define PONDWRIGHT_QUOTE_PARTS_H

#include "job.h"

/* The steps of quote.c, for those that price one enquiry many times. job->shapes_ready must be set before the first. */

/* Whether the work lays a shell, so that there is one to choose. */
bool quote_lays_shell(const struct enquiry *enquiry);

/* Clears the quote, copies the enquiry into it and gives every value that was left out its value; no shell yet. */
void quote_begin(const struct catalogue *catalogue, const struct edition *edition, const struct enquiry *enquiry,
	struct job *job, struct quote *quote);

/* The same again for an enquiry whose values are resolved already: as quote_begin left them, or sampled. The quote's lists of
 * points, steps, cascades and curves stay; v and q have F_COUNT and Q_COUNT entries, those of stage AT_GIVEN filled. */
void quote_begin_again(struct job *job, const struct value *v, const double *q);

/* The shell that is laid, or NO_INDEX; a shell that the enquiry names gives way to it. */
void quote_take_shell(struct job *job, uint16_t shell);

/* A quote that is begun and has its shell, in three steps with bill_lines between the first and the last: what is measured and
 * which sums the rules bring; what the lines come to. */
enum status quote_measure(struct job *job);
enum status quote_price_lines(struct job *job);

/* Prices a begun quote with the cheapest shell of those that suit and can be built, as quote_price says. */
enum status quote_price_cheapest(struct job *job);

/* All three, everything up to the price, for a quote that is begun and has its shell; of an enquiry whose shapes are ready only what a
 * shell changes. Statuses of quote_price. */
enum status quote_price_begun(struct job *job);

/* Dates, flags and sentences of the quote that stands in the job. */
void quote_finish(struct job *job);

#endif
