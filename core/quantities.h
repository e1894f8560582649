#ifndef PONDWRIGHT_QUANTITIES_H
#define PONDWRIGHT_QUANTITIES_H

#include <stdint.h>

/* Stages of a quote, in order; nothing reads a later one. */
enum stage { AT_GIVEN, AT_TAKEOFF, AT_BILL, AT_PROGRAMME, AT_FLAGS };

enum quantity_id {
#define QUANTITY(id, unit, stage, sentence) Q_##id,
#include "quantities.def"
#undef QUANTITY
	Q_COUNT,
	Q_none = 0xffff
};

struct quantity {
	const char *name, *unit, *sentence;
	uint8_t stage; /* enum stage in which it is computed */
};
extern const struct quantity quantity_table[Q_COUNT];

enum practice_id {
#define PRACTICE(id, unit, lo, hi, sentence) P_##id,
#include "practice.def"
#undef PRACTICE
	P_COUNT
};

struct practice_row {
	const char *name, *unit, *sentence;
	double lo, hi;
};
extern const struct practice_row practice_table[P_COUNT];

#endif
