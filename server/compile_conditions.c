#include "compile.h"

#include "conditions.h"

/* Conditions become postfix: what a junction joins stands before it. */
struct condition {
	struct builder *b;
	struct reach reach;
};

enum { NESTING_MOST = 12, JOINED_MOST = 32, WORDS_IN_MASK = 64 };

static const char *const kind_words[] = {
	[SUBJECT_NUMBER] = "a number", [SUBJECT_COUNT] = "a count", [SUBJECT_YESNO] = "true or false",
	[SUBJECT_WORD] = "one word", [SUBJECT_SET] = "a set of words", [SUBJECT_MONTHS] = "a range of months"};

static const struct operator {
	const char *key;
	enum op_code code;
	uint32_t kinds; /* bits of enum subject_kind */
} operators[] = {
	{"is", OP_IS, 1u << SUBJECT_NUMBER | 1u << SUBJECT_COUNT | 1u << SUBJECT_YESNO | 1u << SUBJECT_WORD},
	{"in", OP_IN, 1u << SUBJECT_WORD},
	{"has", OP_HAS_ANY, 1u << SUBJECT_SET},
	{"has_any", OP_HAS_ANY, 1u << SUBJECT_SET},
	{"at_least", OP_AT_LEAST, 1u << SUBJECT_NUMBER | 1u << SUBJECT_COUNT},
	{"at_most", OP_AT_MOST, 1u << SUBJECT_NUMBER | 1u << SUBJECT_COUNT},
	{"more_than", OP_MORE_THAN, 1u << SUBJECT_NUMBER | 1u << SUBJECT_COUNT},
	{"less_than", OP_LESS_THAN, 1u << SUBJECT_NUMBER | 1u << SUBJECT_COUNT},
	{"overlaps", OP_OVERLAPS, 1u << SUBJECT_MONTHS},
	{"known", OP_KNOWN, ~0u},
};
enum { OPERATOR_COUNT = sizeof operators / sizeof operators[0] };

static struct op op_for(const struct subject *subject, enum op_code code)
{
	return (struct op){.code = (uint8_t)code, .subject = subject->id, .is_quantity = subject->is_quantity};
}

/* ---- operands ---- */

static void compile_number(struct condition *c, const struct place *at, json_t *value, const struct subject *subject,
	enum op_code code)
{
	struct op op = op_for(subject, code);
	bool bounded = !subject->is_quantity && subject->hi > subject->lo;

	if (value_number(at, value, bounded ? subject->lo : -1e12, bounded ? subject->hi : 1e12, &op.number))
		rows_add(&c->b->ops, &op);
}

/* true or false; of a count, true is one or more. */
static void compile_flag(struct condition *c, const struct place *at, json_t *value, const struct subject *subject,
	enum op_code code)
{
	bool flag;

	if (value_flag(at, value, &flag)) {
		struct op op = op_for(subject, subject->kind == SUBJECT_COUNT && code == OP_IS && flag ? OP_AT_LEAST : code);

		op.number = flag;
		rows_add(&c->b->ops, &op);
	}
}

static bool operand_word(struct condition *c, const struct place *at, json_t *value, const struct subject *subject,
	uint32_t *index)
{
	const char *word = value_string(at, value);

	return word != NULL && value_word(c->b, at, subject->list, word, index);
}

static void compile_word(struct condition *c, const struct place *at, json_t *value, const struct subject *subject)
{
	struct op op = op_for(subject, OP_IS);
	uint32_t index;

	if (operand_word(c, at, value, subject, &index)) {
		op.number = index;
		rows_add(&c->b->ops, &op);
	}
}

/* A word beyond the mask, of a long list such as the regions, is compared by itself; `any` then joins them. */
static size_t compile_words(struct condition *c, const struct place *at, json_t *list, const struct subject *subject,
	enum op_code code)
{
	struct op op = op_for(subject, code), join = {.code = OP_ANY};
	size_t apart = 0;

	if (!json_is_array(list) || json_array_size(list) < 1 || json_array_size(list) > JOINED_MOST) {
		place_fault(at, "must be a list of 1 to %d words", JOINED_MOST);
		return 1;
	}
	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(at, i);
		uint32_t index;

		if (!operand_word(c, &place, json_array_get(list, i), subject, &index))
			continue;
		if (index < WORDS_IN_MASK) {
			op.mask |= UINT64_C(1) << index;
		} else {
			struct op alone = op_for(subject, OP_IS);

			alone.number = index;
			rows_add(&c->b->ops, &alone);
			apart++;
		}
	}
	rows_add(&c->b->ops, &op);
	join.number = (double)(apart + 1);
	if (apart > 0)
		rows_add(&c->b->ops, &join);
	return apart + 1;
}

static void compile_member(struct condition *c, const struct place *at, json_t *value, const struct subject *subject)
{
	struct op op = op_for(subject, OP_HAS_ANY);
	uint32_t index;

	if (operand_word(c, at, value, subject, &index)) {
		op.mask = UINT64_C(1) << index;
		rows_add(&c->b->ops, &op);
	}
}

static void compile_months(struct condition *c, const struct place *at, json_t *value, const struct subject *subject)
{
	struct op op = op_for(subject, OP_OVERLAPS);
	double from, to;

	if (!json_is_array(value) || json_array_size(value) != 2) {
		place_fault(at, "must be two months, [first, last]");
		return;
	}
	if (!value_whole(at, json_array_get(value, 0), 1, 12, &from) || !value_whole(at, json_array_get(value, 1), 1, 12, &to))
		return;
	for (unsigned month = (unsigned)from; month != (unsigned)to; month = month % 12 + 1)
		op.mask |= UINT64_C(1) << month;
	op.mask |= UINT64_C(1) << (unsigned)to;
	rows_add(&c->b->ops, &op);
}

/* Returns how many truths the comparison holds open at once. */
static size_t compile_operator(struct condition *c, const struct place *at, json_t *value, const struct subject *subject,
	const struct operator *operator)
{
	if (!(operator->kinds >> subject->kind & 1)) {
		place_fault(at, "%s is %s, which \"%s\" does not fit", subject->name, kind_words[subject->kind], operator->key);
		return 1;
	}
	if (operator->code == OP_IN || (operator->code == OP_HAS_ANY && operator->key[3] != '\0'))
		return compile_words(c, at, value, subject, operator->code);
	if (operator->code == OP_OVERLAPS)
		compile_months(c, at, value, subject);
	else if (operator->code == OP_HAS_ANY)
		compile_member(c, at, value, subject);
	else if (operator->code == OP_KNOWN || subject->kind == SUBJECT_YESNO ||
		(subject->kind == SUBJECT_COUNT && json_is_boolean(value)))
		compile_flag(c, at, value, subject, operator->code);
	else if (subject->kind == SUBJECT_WORD)
		compile_word(c, at, value, subject);
	else
		compile_number(c, at, value, subject, operator->code);
	return 1;
}

/* ---- comparisons and junctions ---- */

static size_t compile_comparison(struct condition *c, struct reader *reader)
{
	const struct operator *operator = NULL;
	json_t *operand = NULL;
	struct subject subject;
	bool found = reader_subject(reader, NEEDED, c->reach, &subject);
	size_t n_operators = 0;
	struct place at;

	for (size_t i = 0; i < OPERATOR_COUNT; i++) {
		json_t *value = reader_value(reader, operators[i].key, MAY_MISS);

		if (value == NULL)
			continue;
		operator = &operators[i];
		operand = value;
		n_operators++;
	}
	reader_close(reader);
	if (n_operators != 1) {
		place_fault(&reader->at, n_operators == 0 ? "compares with nothing" : "compares in more than one way");
		return 1;
	}
	if (!found)
		return 1;
	at = place_member(&reader->at, operator->key);
	return compile_operator(c, &at, operand, &subject, operator);
}

static size_t compile_condition(struct condition *c, const struct place *at, json_t *value, int depth);

static size_t compile_junction(struct condition *c, const struct place *at, json_t *list, enum op_code code, int depth)
{
	struct op op = {.code = (uint8_t)code};
	size_t need = 1;

	if (!json_is_array(list) || json_array_size(list) < (code == OP_ANY) || json_array_size(list) > JOINED_MOST) {
		place_fault(at, "must be a list of 1 to %d conditions", JOINED_MOST);
		return 1;
	}
	if (json_array_size(list) == 0) /* "all" of nothing holds always */
		op.code = OP_TRUE;
	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(at, i);
		size_t inner = compile_condition(c, &place, json_array_get(list, i), depth + 1);

		need = i + inner > need ? i + inner : need;
	}
	op.number = (double)json_array_size(list);
	rows_add(&c->b->ops, &op);
	return need;
}

/* Returns how many truths the condition holds open at once. */
static size_t compile_condition(struct condition *c, const struct place *at, json_t *value, int depth)
{
	static const struct {
		const char *key;
		enum op_code code;
	} forms[] = {{"all", OP_ALL}, {"any", OP_ANY}, {"not", OP_NOT}};
	struct reader reader;

	reader_open(&reader, at, value);
	if (reader.object == NULL)
		return 1;
	if (depth > NESTING_MOST) {
		place_fault(at, "conditions are nested more than %d deep", NESTING_MOST);
		return 1;
	}
	for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
		json_t *inner = reader_value(&reader, forms[i].key, MAY_MISS);
		struct place place = place_member(at, forms[i].key);
		struct op op = {.code = OP_NOT};
		size_t need;

		if (inner == NULL)
			continue;
		if (json_object_size(reader.object) != 1)
			place_fault(at, "\"%s\" stands alone in its object", forms[i].key);
		if (forms[i].code != OP_NOT)
			return compile_junction(c, &place, inner, forms[i].code, depth);
		need = compile_condition(c, &place, inner, depth + 1);
		rows_add(&c->b->ops, &op);
		return need;
	}
	return compile_comparison(c, &reader);
}

struct span reader_condition(struct builder *b, struct reader *reader, const char *key, enum requirement need,
	struct reach reach)
{
	json_t *value = reader_value(reader, key, need);
	struct place at = place_member(&reader->at, key);
	struct condition c = {.b = b, .reach = reach};
	uint32_t first = rows_count(&b->ops);

	if (value == NULL)
		return (struct span){first, 0};
	if (compile_condition(&c, &at, value, 0) > CONDITION_TRUTHS_MOST)
		place_fault(&at, "joins more than %d conditions at once", CONDITION_TRUTHS_MOST);
	return span_since(&b->ops, first);
}
