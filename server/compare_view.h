#ifndef PONDWRIGHT_COMPARE_VIEW_H
#define PONDWRIGHT_COMPARE_VIEW_H

#include "answer_view.h"
#include "compare.h"

/* What the parts of a comparison's answer are written from; all of it the caller's. */
struct compare_view {
	struct view view;             /* quote: NULL, each option has its own */
	const struct option *options; /* comparison->n_options */
	const struct comparison *comparison;
};

/* An amount as much of which is shown as the caller may see: where the headline is all, rounded as it is. */
int64_t compare_shown_minor(const struct view *view, int64_t amount_minor);

/* A member that names a shell, null for NO_INDEX. */
void compare_shell_member(struct writer *out, const char *key, const struct view *view, uint16_t shell);

/* answer_compare_option.c: the member "options", shells as the catalogue lists them. */
void compare_options(struct writer *out, const struct compare_view *view);

/* answer_compare_words.c: the member "sentence" of one option. */
void compare_sentence(struct writer *out, const struct compare_view *view, const struct option *option);

/* answer_compare_races.c: the members "horizons" (rising), "differences" (in the order of the bill) and "undecided". */
void compare_horizons(struct writer *out, const struct compare_view *view);
void compare_differences(struct writer *out, const struct compare_view *view);
void compare_undecided(struct writer *out, const struct compare_view *view);

/* answer_compare_grid.c: the member "grid"; cells by surface, then by depth. */
void compare_grid_member(struct writer *out, const struct view *view, const struct grid *grid);

#endif
