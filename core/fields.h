#ifndef PONDWRIGHT_FIELDS_H
#define PONDWRIGHT_FIELDS_H

#include <stdbool.h>
#include <stdint.h>

#include "quantities.h"
#include "words.h"

/* The field table as data. One row of fields.def or facts.def is one struct field. */

enum field_kind {
	FIELD_OBJECT, FIELD_NUMBER, FIELD_WHOLE, FIELD_YESNO, FIELD_COUNT, FIELD_CHOICE, FIELD_SET, FIELD_MONTHS,
	FIELD_DATE, FIELD_LIST
};

enum presence { MUST, ASSUMED, DEFAULTED, DERIVED, OPTIONAL, ALWAYS, UNKNOWN };

/* How a fact is known without being told. COMPUTED: from the pond, and refused beside one. INFERRED: from the
 * pond unless the caller says otherwise. */
enum fact_how { NOTHING, COMPUTED, INFERRED };

/* Most entries of each list. */
enum { POINTS_MOST = 200, STEPS_MOST = 16, CASCADES_MOST = 24, CURVE_MOST = 16, FITTINGS_MOST = 16 };

enum child_list { CHILD_none, CHILD_point, CHILD_step, CHILD_cascade, CHILD_curve, CHILD_fitting, CHILD_COUNT };

enum field_id {
#define ROW(id) F_##id,
#define OBJECT(id, ...) ROW(id)
#define NUMBER(id, ...) ROW(id)
#define WHOLE(id, ...) ROW(id)
#define YESNO(id, ...) ROW(id)
#define COUNT(id, ...) ROW(id)
#define CHOICE(id, ...) ROW(id)
#define DATE(id, ...) ROW(id)
#define LIST(id, ...) ROW(id)
#define VARIANT_NUMBER(id, ...) ROW(id)
#define VARIANT_LIST(id, ...) ROW(id)
#define FACT_NUMBER(id, ...) F_fact_##id,
#define FACT_YESNO(id, ...) F_fact_##id,
#define FACT_CHOICE(id, ...) F_fact_##id,
#define FACT_SET(id, ...) F_fact_##id,
#define FACT_MONTHS(id, ...) F_fact_##id,
#include "fields.def"
#include "fields_undef.h"
	F_COUNT,
	F_NONE = 0xffff
};

struct field {
	const char *pointer;  /* JSON Pointer, as callers write it */
	const char *unit;     /* "" where it has none */
	const char *help;     /* one sentence */
	double lo, hi;        /* bounds, both allowed; 0 and 0 where there are none */
	double left_out;      /* value where DEFAULTED; number, yes as 1, or place in the list */
	uint8_t kind;         /* enum field_kind */
	uint8_t presence;     /* enum presence */
	uint8_t list;         /* enum word_list of a CHOICE or SET */
	uint8_t child;        /* enum child_list of a LIST */
	uint16_t variant;     /* field_id of the CHOICE that decides whether it belongs, or F_NONE */
	uint32_t variant_mask;/* bit k set: belongs to kind k */
	uint8_t how;          /* enum fact_how */
	uint16_t quantity;    /* enum quantity_id a COMPUTED or INFERRED fact reads, or Q_none */
	bool fact;            /* under /facts: "unknown" may be given */
};

struct member {
	const char *name, *unit, *help;
	double lo, hi;
	uint8_t list;         /* enum word_list of a choice, or LIST_none_at_all */
};

enum child_shape { PAIR, RECORD, TALLY };
struct child {
	enum child_shape shape;
	uint32_t most;
	uint32_t first, count; /* rows of child_members */
};

/* For each field, the field_id of the OBJECT that holds it, or F_NONE at the top: found from the pointers, once,
 * when a catalogue is compiled. */
void fields_parents(uint16_t parent[F_COUNT]);

/* Last word of a field's pointer, as the member is named in JSON. */
const char *field_name(enum field_id id);

/* Whether other members of the same object belong or not by this one's word: the kind of an outline or of a bed. They stand right
 * behind it in the table. */
bool field_decides_others(enum field_id id);

extern const struct field enquiry_fields[F_COUNT];

/* Facts that are COMPUTED or INFERRED, in the order of the table. */
extern const uint16_t inferred_facts[];
extern const uint32_t inferred_fact_count;
extern const struct member child_members[];
extern const struct child child_tables[CHILD_COUNT];

#endif
