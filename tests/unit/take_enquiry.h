#ifndef PONDWRIGHT_TEST_TAKE_ENQUIRY_H
#define PONDWRIGHT_TEST_TAKE_ENQUIRY_H

#include "demo_words.h"
#include "enquiry_check.h"
#include "enquiry_read.h"

/* Enquiries of demo_words, on 2026-11-25. */
#define TODAY 20782

/* The members that make the smallest pond. */
#define POND "\"pond\":{\"outline\":{\"kind\":\"circle\",\"diameter_m\":4},\"depth_m\":0.9}"

/* What the last enquiry taken came to. */
extern struct enquiry_faults taken_faults;
extern struct enquiry taken;

/* A checked fixture around every test. */
void take_begin(void);
void take_end(void);

/* Reads and checks a text that is JSON at least. */
void take(const char *text, size_t length, enum route_need need, const char *prefix);
/* The same for a quote, where no fault may be. */
void take_good(const char *text);
/* The canonical bytes of the last, good until the call after the next. */
const char *taken_canonical(void);

#endif
