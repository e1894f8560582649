#ifndef PONDWRIGHT_ANSWER_PARTS_H
#define PONDWRIGHT_ANSWER_PARTS_H

#include "answer_view.h"
#include "answers.h"
#include "enquiry_read.h"

/* What the answers to single enquiries share. */

/* One of the core's three ways to work an enquiry out. */
typedef enum status core_function(const struct catalogue *catalogue, const struct edition *edition,
	const struct enquiry *enquiry, void *scratch, struct quote *quote);

/* Reads and checks the body into room->asked and works it out into room->quote. True: *view is ready. False: *answer
 * holds the refusal, whose text is written. */
bool ask_work_out(const struct ask *ask, enum route_need need, core_function *work_out, struct writer *out,
	struct view *view, struct answer *answer);

/* The steps of it, for answers to more than one enquiry: the body as a document, the caller's to json_decref, with the
 * list of faults emptied before; the enquiry in it read into room->asked and checked, which takes the document; the refusal of the faults that were gathered; what an answer is written from. */
bool ask_parse(const struct ask *ask, json_t **object, struct writer *out, struct answer *answer);
bool ask_check(const struct ask *ask, enum route_need need, json_t *object, struct writer *out, struct answer *answer);
struct answer ask_refuse(const struct ask *ask, unsigned status, struct writer *out);
struct view ask_view(const struct ask *ask, const struct enquiry *asked, const struct quote *quote);

/* What is left to say once the text is written: 200, or 503 where memory was short. */
struct answer answer_done(const struct writer *out, enum outcome outcome);

#endif
