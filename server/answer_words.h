#ifndef PONDWRIGHT_ANSWER_WORDS_H
#define PONDWRIGHT_ANSWER_WORDS_H

#include "config.h"
#include "writer.h"

/* The member "words": for the pointer of every choice and set of the enquiry, and of every choice inside a list
 * ("/stream/cascades/lip"), its words in the order of their list, each {"word", "title"}; title is null where only the
 * word is known. Editions are left out: they are a region's own. */
void answer_words(struct writer *out, const struct config *config);

#endif
