#ifndef PONDWRIGHT_TEST_COMPARED_H
#define PONDWRIGHT_TEST_COMPARED_H

#include "compare_parts.h"
#include "priced.h"

/* Shells side by side, on the configuration that comes with the program, for tests that make a claim about them. Everything
 * stops the test where an enquiry is faulty. */

#define BOX "'pond':{'outline':{'kind':'rectangle','length_m':4,'width_m':3},'depth_m':1.2,'profile':{'kind':'battered','side_slope':0.5}}"
#define SPRING "'region':'demo-north','issued_on':'2026-11-25','start_on':'2027-04-05'"

/* The last enquiry that was read, and what came of it. */
extern struct enquiry asked;
extern struct compare_scratch *compare_room;
extern struct option *options;
extern struct comparison comparison;

/* A checked fixture around every test. */
void compare_begin(void);
void compare_end(void);

const struct catalogue *catalogue(void);
const struct edition *edition(void); /* of the enquiry */

/* Reads an enquiry in JSON, in which ' may stand for "; compares its shells. */
void read_enquiry(const char *json);
void compared(const char *json);

const struct option *option_of(const char *shell);
uint32_t build_up_of(const char *id);

#endif
