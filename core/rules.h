#ifndef PONDWRIGHT_RULES_H
#define PONDWRIGHT_RULES_H

#include "job.h"

/* Permissions, species and safety. Rules warn; none silences another, none gives permission. */

/* Provisional sums and waits of the rules that say yes on what is given and taken off. Before the bill. */
void rules_sums(struct job *job);

/* Every rule of the nation, after everything else. Fills quote->flags: stop, check, ask, note, each in the order in
 * which the rules are written. */
void rules_flags(struct job *job);

/* Seasons of the raised rules and when the work could begin to miss them. Rules only warn, so no date moves by itself.
 * Needs the flags and the dates. */
void rules_seasons(struct job *job);

/* Cautions and exclusions that hold. */
void rules_notes(struct job *job);

#endif
