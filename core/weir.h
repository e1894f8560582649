#ifndef PONDWRIGHT_WEIR_H
#define PONDWRIGHT_WEIR_H

/* Water over the lip of a cascade. head_m is the level of still water upstream above the lip, not the thickness of
 * the sheet on the lip, which is only about half of it.
 * Sheets in gardens are 5 to 25 mm, below what either formula was measured for (30 mm sharp, 60 mm broad):
 * take +-30 %. */

enum crest { CREST_FLAT, CREST_SHARP, CREST_COUNT }; /* the order of the words of a lip: flat, sharp */

/* Flow over a lip of a width >= 0 at a head >= 0.
 *   sharp   Francis without end contractions, Q = 1.84 b h^1.5 (m, s)
 *   flat    broad crest, Q = (2/3)^1.5 0.848 b sqrt(g) h^1.5 (ISO 3846, BS 3680)
 * Pure, cannot fail. */
double lip_flow_l_per_h(enum crest crest, double width_m, double head_m);

/* The head that carries a flow >= 0 over a lip of a width > 0: the inverse of the above, in closed form. */
double lip_head_m(enum crest crest, double width_m, double flow_l_per_h);

/* Critical depth (q2/g)^(1/3) of a flow >= 0 spread over a width > 0. At a free overfall the sheet thins to
 * 0.715 of it at the brink (Rouse 1936, from memory). */
double critical_depth_m(double width_m, double flow_l_per_h);

#endif
