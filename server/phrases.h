#ifndef PONDWRIGHT_PHRASES_H
#define PONDWRIGHT_PHRASES_H

#include <stddef.h>

#include "writer.h"

/* What the program itself says in answers, which a language translates as it does the owner's texts. They are texts of
 * the configuration from its second on. {name} stands for what phrase_write puts there. */
#define PHRASES(P) \
	P(disclaimer, \
		"Worked out from what was said, without a look at the site. Flags say what to find out and whom to ask; they " \
		"are no legal advice and no permission, and where none is raised that is no permission either.") \
	P(range_method, \
		"Low, likely and high are P10, P50 and P90 of whole quotes over what was not answered, measuring error, our own output " \
		"and the drift of prices; methods, packs and pump are chosen anew each time, the shell is kept. A share is that of the " \
		"variance of the gross price that goes once the question is answered; total_share counts what it does together with " \
		"others. low_minor and high_minor of a question: the least and the greatest mean gross price over its answers. The " \
		"edition's risk share is in every one of these quotes: it covers what the range does not.") \
	P(compare_method, \
		"Price now with tax, and the present cost of every renewal that falls due before the end of the years: today's " \
		"price of it, grown and discounted once a year at the rates above. A renewal is priced as a job of its own. Left " \
		"out: what is the same whatever the shell (pump, electricity, planting care, silt) and what a shell is still worth " \
		"at the end of the years.") \
	P(half_days, "Crew time made up to half-days") \
	P(minimum_charge, "Made up to the minimum charge") \
	P(rounding, "Rounding") \
	P(usual_edge, "The rest of the rim, in metres, is finished with the region's usual edge, since nothing was said of it.") \
	P(ask_edge, "How shall the rest of the edge be finished: stone, beach or turf?") \
	P(free_days, "Weekend or public holidays") \
	P(kept_pump, "The pump that stays") \
	P(grid_of, "This outline at other sizes and depths, dug anew on the same site, without an old pond and without the stream") \
	P(no_pump, \
		"Pump and pipe: none of the pumps and bores on the list brings {flow} litres an hour up {lift} m through " \
		"{run} m of pipe") \
	/* the pieces of a sentence on a shell, in this order */ \
	P(shell_cannot, "{shell}: cannot be built here as asked.") \
	P(shell_now, "{shell}: {money} now") \
	P(shell_later, " and {money} over {years} years") \
	P(no_renewal, ", without a renewal") \
	P(one_renewal, ", 1 renewal counted, the first in year {year}") \
	P(renewals, ", {times} renewals counted, the first in year {year}") \
	P(cheapest_always, "; the cheapest now and over the years") \
	P(cheapest_now, "; the cheapest now") \
	P(cheapest_later, "; the cheapest over the years") \
	P(shell_lasts, " It is expected to last {life} years, not {years}.") \
	P(shell_unsuitable, " It does not suit here: {why}")

enum phrase {
#define P(id, words) PHRASE_##id,
	PHRASES(P)
#undef P
	PHRASE_COUNT
};

/* Writes a pattern as plain text, with values for the names in it; a name that has none stays as it is. */
struct phrase_value {
	const char *name, *text;
};
void phrase_write(struct writer *text, const char *pattern, const struct phrase_value *values, size_t count);

#endif
