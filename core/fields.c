#include "fields.h"

#include <stddef.h>
#include <string.h>

const struct field enquiry_fields[F_COUNT] = {
#define PLAIN(pointer_, kind_, presence_, unit_, help_) \
	.pointer = pointer_, .kind = kind_, .presence = presence_, .unit = unit_, .help = help_
#define FREE .variant = F_NONE, .quantity = Q_none
#define OBJECT(id, pointer_, presence_, help_) [F_##id] = {PLAIN(pointer_, FIELD_OBJECT, presence_, "", help_), FREE},
#define NUMBER(id, pointer_, unit_, lo_, hi_, presence_, left_, help_) \
	[F_##id] = {PLAIN(pointer_, FIELD_NUMBER, presence_, unit_, help_), FREE, .lo = lo_, .hi = hi_, .left_out = left_},
#define WHOLE(id, pointer_, unit_, lo_, hi_, presence_, left_, help_) \
	[F_##id] = {PLAIN(pointer_, FIELD_WHOLE, presence_, unit_, help_), FREE, .lo = lo_, .hi = hi_, .left_out = left_},
#define YESNO(id, pointer_, presence_, left_, help_) \
	[F_##id] = {PLAIN(pointer_, FIELD_YESNO, presence_, "", help_), FREE, .hi = 1, .left_out = left_},
#define COUNT(id, pointer_, hi_, presence_, left_, help_) \
	[F_##id] = {PLAIN(pointer_, FIELD_COUNT, presence_, "", help_), FREE, .hi = hi_, .left_out = left_},
#define CHOICE(id, pointer_, list_, presence_, left_, help_) \
	[F_##id] = {PLAIN(pointer_, FIELD_CHOICE, presence_, "", help_), FREE, .list = LIST_##list_, .left_out = left_},
#define DATE(id, pointer_, presence_, help_) [F_##id] = {PLAIN(pointer_, FIELD_DATE, presence_, "", help_), FREE},
#define LIST(id, pointer_, child_, presence_, help_) \
	[F_##id] = {PLAIN(pointer_, FIELD_LIST, presence_, "", help_), FREE, .child = CHILD_##child_},
#define KIND(word) (1u << (word))
#define VARIANT_NUMBER(id, pointer_, unit_, lo_, hi_, choice, mask, presence_, left_, help_) \
	[F_##id] = {PLAIN(pointer_, FIELD_NUMBER, presence_, unit_, help_), .lo = lo_, .hi = hi_, .left_out = left_, \
	            .variant = F_##choice, .variant_mask = mask, .quantity = Q_none},
#define VARIANT_LIST(id, pointer_, child_, choice, mask, presence_, help_) \
	[F_##id] = {PLAIN(pointer_, FIELD_LIST, presence_, "", help_), .child = CHILD_##child_, .variant = F_##choice, \
	            .variant_mask = mask, .quantity = Q_none},
#define FACT(id, kind_, presence_, unit_, left_, how_, quantity_, help_) \
	PLAIN("/facts/" #id, kind_, presence_, unit_, help_), .left_out = left_, .variant = F_NONE, .how = how_, \
		.quantity = Q_##quantity_, .fact = true
#define FACT_NUMBER(id, unit_, lo_, hi_, presence_, left_, how_, quantity_, help_) \
	[F_fact_##id] = {FACT(id, FIELD_NUMBER, presence_, unit_, left_, how_, quantity_, help_), .lo = lo_, .hi = hi_},
#define FACT_YESNO(id, presence_, left_, how_, quantity_, help_) \
	[F_fact_##id] = {FACT(id, FIELD_YESNO, presence_, "", left_, how_, quantity_, help_), .hi = 1},
#define FACT_CHOICE(id, list_, presence_, left_, how_, quantity_, help_) \
	[F_fact_##id] = {FACT(id, FIELD_CHOICE, presence_, "", left_, how_, quantity_, help_), .list = LIST_##list_},
#define FACT_SET(id, list_, presence_, left_, how_, quantity_, help_) \
	[F_fact_##id] = {FACT(id, FIELD_SET, presence_, "", left_, how_, quantity_, help_), .list = LIST_##list_},
#define FACT_MONTHS(id, presence_, left_, how_, quantity_, help_) \
	[F_fact_##id] = {FACT(id, FIELD_MONTHS, presence_, "", left_, how_, quantity_, help_)},
#include "fields.def"
#include "fields_undef.h"
#undef PLAIN
#undef FREE
#undef FACT
};

const uint16_t inferred_facts[] = {
#define IF_NOTHING(id)
#define IF_COMPUTED(id) F_fact_##id,
#define IF_INFERRED(id) F_fact_##id,
#define OBJECT(...)
#define NUMBER(...)
#define WHOLE(...)
#define YESNO(...)
#define COUNT(...)
#define CHOICE(...)
#define DATE(...)
#define LIST(...)
#define VARIANT_NUMBER(...)
#define VARIANT_LIST(...)
#define FACT_NUMBER(id, unit, lo, hi, presence, left, how, quantity, help) IF_##how(id)
#define FACT_YESNO(id, presence, left, how, quantity, help) IF_##how(id)
#define FACT_CHOICE(id, list, presence, left, how, quantity, help) IF_##how(id)
#define FACT_SET(id, list, presence, left, how, quantity, help) IF_##how(id)
#define FACT_MONTHS(id, presence, left, how, quantity, help) IF_##how(id)
#include "fields.def"
#include "fields_undef.h"
#undef IF_NOTHING
#undef IF_COMPUTED
#undef IF_INFERRED
};
const uint32_t inferred_fact_count = sizeof inferred_facts / sizeof inferred_facts[0];

const struct member child_members[] = {
#define MEMBER_ROW(list, shape, most)
#define MEMBER_NUMBER(list, id, unit, lo, hi, help) {#id, unit, help, lo, hi, LIST_none_at_all},
#define MEMBER_CHOICE(list, id, words, help) {#id, "", help, 0, 0, LIST_##words},
#include "members.def"
#undef MEMBER_ROW
#undef MEMBER_NUMBER
#undef MEMBER_CHOICE
};

/* Places of the child tables in child_members, counted by the same rows. */
enum {
#define MEMBER_ROW(list, shape, most) START_##list, BACK_##list = START_##list - 1,
#define MEMBER_NUMBER(list, id, unit, lo, hi, help) AT_##list##_##id,
#define MEMBER_CHOICE(list, id, words, help) AT_##list##_##id,
#include "members.def"
#undef MEMBER_ROW
#undef MEMBER_NUMBER
#undef MEMBER_CHOICE
	MEMBERS_END,
	COUNT_point = START_step - START_point,
	COUNT_step = START_cascade - START_step,
	COUNT_cascade = START_curve - START_cascade,
	COUNT_curve = START_fitting - START_curve,
	COUNT_fitting = MEMBERS_END - START_fitting
};

const struct child child_tables[CHILD_COUNT] = {
#define MEMBER_ROW(list, shape_, most_) [CHILD_##list] = {.shape = shape_, .most = most_, .first = START_##list, .count = COUNT_##list},
#define MEMBER_NUMBER(list, id, unit, lo, hi, help)
#define MEMBER_CHOICE(list, id, words, help)
#include "members.def"
#undef MEMBER_ROW
#undef MEMBER_NUMBER
#undef MEMBER_CHOICE
};

static uint16_t holder_of(const char *pointer, size_t length)
{
	for (uint16_t id = 0; id < F_COUNT; id++)
		if (strlen(enquiry_fields[id].pointer) == length && memcmp(enquiry_fields[id].pointer, pointer, length) == 0)
			return id;
	return F_NONE;
}

void fields_parents(uint16_t parent[F_COUNT])
{
	for (uint16_t id = 0; id < F_COUNT; id++) {
		const char *pointer = enquiry_fields[id].pointer;
		size_t holder_length = (size_t)(field_name((enum field_id)id) - pointer) - 1;

		parent[id] = holder_length ? holder_of(pointer, holder_length) : F_NONE;
	}
}

bool field_decides_others(enum field_id id)
{
	for (uint32_t other = id + 1u; other < F_COUNT && enquiry_fields[other].variant != F_NONE; other++)
		if (enquiry_fields[other].variant == id)
			return true;
	return false;
}

const char *field_name(enum field_id id)
{
	return strrchr(enquiry_fields[id].pointer, '/') + 1;
}
