#ifndef PONDWRIGHT_TEST_DEMO_WORDS_H
#define PONDWRIGHT_TEST_DEMO_WORDS_H

#include "config.h"

/* A configuration of words alone, enough to read, check and write enquiries: demo-north with editions of 2026-04-01 and
 * 2026-10-01 (lead time 14 and 21 days), demo-south with one of 2026-10-01 (7 days), some shells, pumps and so on. It
 * is built once and never changes. */
const struct config *demo_words(void);

#endif
