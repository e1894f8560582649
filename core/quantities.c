#include "quantities.h"

const struct quantity quantity_table[Q_COUNT] = {
#define QUANTITY(id, unit, stage, sentence) [Q_##id] = {#id, unit, sentence, AT_##stage},
#include "quantities.def"
#undef QUANTITY
};

const struct practice_row practice_table[P_COUNT] = {
#define PRACTICE(id, unit, lo, hi, sentence) [P_##id] = {#id, unit, sentence, lo, hi},
#include "practice.def"
#undef PRACTICE
};
