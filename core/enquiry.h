#ifndef PONDWRIGHT_ENQUIRY_H
#define PONDWRIGHT_ENQUIRY_H

#include <stdbool.h>
#include <stdint.h>

#include "basin.h"
#include "fields.h"
#include "outline.h"
#include "pump.h"

/* Where a value comes from. NOT_APPLICABLE: its object is absent, or it belongs to another kind; it reads as 0. */
enum origin { NOT_APPLICABLE, LEFT_OUT, GIVEN, BY_ASSUMPTION, BY_DEFAULT, BY_DERIVATION, NOT_KNOWN };

/* One value. Numbers as they are, yes as 1, a word as its place in its list, a date as days since 1970-01-01,
 * months as a set (bit m for month m) with number = first * 100 + last, an OBJECT as 1 where given. */
struct value {
	double number;
	uint32_t set;
	uint16_t origin; /* enum origin */
	uint16_t unsure; /* 1: a set that was given with "unknown" among its members */
};
_Static_assert(sizeof(struct value) == 16, "no byte of a value is left unset, so values are compared whole");

struct cascade {
	double width_m, drop_m;
	uint32_t lip; /* enum lip_word */
};

enum { MEASURED_MOST = 32 };

/* An enquiry as asked: the parser fills what was given and leaves the rest LEFT_OUT or NOT_APPLICABLE. Lists stand
 * beside the values; the value of a LIST row holds the count. Plain data: copying copies. */
struct enquiry {
	struct value v[F_COUNT];
	struct point pond_points[POINTS_MOST], old_points[POINTS_MOST];
	struct profile_step pond_steps[STEPS_MOST], old_steps[STEPS_MOST];
	struct cascade cascades[CASCADES_MOST];
	double kept_curve[CURVE_MOST][2]; /* litres an hour, metres */
	double fittings[FITTINGS_MOST];   /* count by place in the catalogue's list of fittings */
	bool measured_given;
	double measured_share;            /* of every given dimension, where one share is given */
	uint32_t n_measured;              /* else shares by pointer */
	struct {
		uint16_t field;
		double share;
	} measured[MEASURED_MOST];
};

/* Copies an enquiry: every value, and of each list the entries that it has. */
void enquiry_copy(struct enquiry *to, const struct enquiry *from);

/* True where a value may be used as it stands: everything but LEFT_OUT, NOT_KNOWN. */
static inline bool value_is_known(const struct value *value)
{
	return value->origin != LEFT_OUT && value->origin != NOT_KNOWN;
}

static inline bool field_given(const struct enquiry *enquiry, enum field_id id)
{
	return enquiry->v[id].origin == GIVEN;
}

#endif
