#ifndef PONDWRIGHT_ENQUIRY_CHECKER_H
#define PONDWRIGHT_ENQUIRY_CHECKER_H

#include "enquiry_check.h"
#include "outline.h"

/* Shared by enquiry_check.c and enquiry_shape.c; not for others. */

struct checker {
	const struct config *config;
	const char *prefix;
	struct enquiry *enquiry;
	struct enquiry_faults *faults;
};

/* One fault at a field's pointer. */
void checker_fault(struct checker *checker, enum field_id id, const char *code, const char *format, ...)
	__attribute__((format(printf, 4, 5)));

/* Number and unit of a value, for a sentence: "4 m". */
#define QUANTITY_TEXT_SIZE 48
const char *quantity_text(double number, const char *unit, char text[QUANTITY_TEXT_SIZE]);

/* Checks outline and bed of one pond. True where its outline was given and is sound; it is then in *outline. */
bool check_new_pond(struct checker *checker, struct outline *outline);
bool check_old_pond(struct checker *checker, struct outline *outline);

#endif
