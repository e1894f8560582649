#ifndef PONDWRIGHT_ANSWER_LANGUAGE_H
#define PONDWRIGHT_ANSWER_LANGUAGE_H

#include "config.h"
#include "writer.h"

/* The body of /v1/language: which language the configuration is in, all that there are, the page's words in it, and the
 * fields of an enquiry in it. */
void answer_language(struct writer *out, const struct config *config);

#endif
