#ifndef PONDWRIGHT_READERS_H
#define PONDWRIGHT_READERS_H

#include "catalogue.h"
#include "enquiry.h"

/* Which build-ups look at what, so that one whose inputs stand as they did need not be worked out again. */

enum { READ_SUBJECTS = Q_COUNT + F_COUNT }; /* quantities first, then fields */

/* Fills READ_SUBJECTS sets from a catalogue that is whole but for its readers. A build-up looks at everything that decides whether
 * it applies, its hours and its needs: its conditions, factors, multipliers, what it is measured by, the density of what it
 * buys. Not counted: the chosen pump and pipe, scales on hours and prices, and time on site, told only by the programme. */
void readers_list(const struct catalogue *catalogue, struct build_up_set *readers);

/* Build-ups that look at anything that differs between two states of an enquiry; v has F_COUNT and q Q_COUNT entries. Compared
 * by their bits: 0 and -0 differ, which costs some work and no more. */
struct build_up_set readers_of_changes(const struct catalogue *catalogue, const struct value *v, const struct value *old_v,
                                       const double *q, const double *old_q);

/* Whether two lists of F_COUNT values are the same, but for the shell. */
bool values_same_but_shell(const struct value *a, const struct value *b);

#endif
