#include "compile.h"

#include <string.h>

static const char *const stage_words[] = {
	[AT_GIVEN] = "what is given", [AT_TAKEOFF] = "the take-off", [AT_BILL] = "the bill",
	[AT_PROGRAMME] = "the programme", [AT_FLAGS] = "the flags"};

bool field_find(const char *pointer, enum field_id *id)
{
	for (uint32_t i = 0; i < F_COUNT; i++)
		if (strcmp(enquiry_fields[i].pointer, pointer) == 0) {
			*id = (enum field_id)i;
			return true;
		}
	return false;
}

/* A fact that is taken from a quantity has its value when that quantity has. What the take-off works out where it is
 * left out is known after it; the kind of work alone is settled at once. */
enum stage field_stage(enum field_id id)
{
	const struct field *field = &enquiry_fields[id];

	if (field->how != NOTHING && field->quantity != Q_none)
		return (enum stage)quantity_table[field->quantity].stage;
	return field->presence == DERIVED && id != F_work ? AT_TAKEOFF : AT_GIVEN;
}

/* ---- words ---- */

static enum name_kind names_of_list(enum word_list list)
{
	switch (list) {
	case LIST_regions:
		return NAME_REGION;
	case LIST_shells:
		return NAME_SHELL;
	case LIST_pumps:
		return NAME_PUMP;
	case LIST_edges:
		return NAME_EDGE;
	case LIST_root_plants:
		return NAME_ROOT_PLANT;
	case LIST_fittings:
		return NAME_FITTING;
	case LIST_bores:
		return NAME_BORE;
	default:
		return NAME_KIND_COUNT;
	}
}

static bool catalogue_word(struct builder *b, const struct place *at, enum name_kind kind, const char *word, uint32_t *index)
{
	const struct names *names = &b->names[kind];
	struct nearest nearest = nearest_to(word);
	char hint[NEAREST_HINT_SIZE];

	if (name_find(b, kind, word, index))
		return true;
	for (uint32_t i = 0; i < rows_count(&names->sorted); i++)
		nearest_offer(&nearest, ROW(names->sorted, struct name, i)->word);
	if (!names->incomplete)
		place_fault(at, "\"%.60s\" is not a word that is known here%s", word, nearest_hint(&nearest, hint));
	return false;
}

bool value_word(struct builder *b, const struct place *at, enum word_list list, const char *word, uint32_t *index)
{
	uint32_t count;
	const char *const *words = words_of_list(list, &count);

	return words != NULL ? word_index(at, word, words, count, index)
			     : catalogue_word(b, at, names_of_list(list), word, index);
}

bool field_value(struct builder *b, const struct place *at, enum field_id id, json_t *value, double *number)
{
	const struct field *field = &enquiry_fields[id];
	const char *word;
	uint32_t index;
	bool flag;

	if (field->kind == FIELD_NUMBER)
		return value_number(at, value, field->lo, field->hi, number);
	if (field->kind == FIELD_WHOLE || (field->kind == FIELD_COUNT && !json_is_boolean(value)))
		return value_whole(at, value, field->lo, field->hi, number);
	if (field->kind == FIELD_YESNO || field->kind == FIELD_COUNT) {
		if (!value_flag(at, value, &flag))
			return false;
		*number = flag;
		return true;
	}
	if (field->kind != FIELD_CHOICE) {
		place_fault(at, "%s can't be given a value here", field->pointer);
		return false;
	}
	word = value_string(at, value);
	if (word == NULL || !value_word(b, at, (enum word_list)field->list, word, &index))
		return false;
	*number = index;
	return true;
}

/* ---- subjects ---- */

static bool field_subject(enum field_id id, struct subject *subject)
{
	static const struct {
		bool readable;
		enum subject_kind kind;
	} kinds[] = {
		[FIELD_OBJECT] = {true, SUBJECT_YESNO}, [FIELD_NUMBER] = {true, SUBJECT_NUMBER},
		[FIELD_WHOLE] = {true, SUBJECT_NUMBER}, [FIELD_YESNO] = {true, SUBJECT_YESNO},
		[FIELD_COUNT] = {true, SUBJECT_COUNT}, [FIELD_CHOICE] = {true, SUBJECT_WORD},
		[FIELD_SET] = {true, SUBJECT_SET}, [FIELD_MONTHS] = {true, SUBJECT_MONTHS},
		[FIELD_DATE] = {false, SUBJECT_NUMBER}, [FIELD_LIST] = {false, SUBJECT_NUMBER}};
	const struct field *field = &enquiry_fields[id];

	*subject = (struct subject){.name = field->pointer, .id = (uint16_t)id, .kind = kinds[field->kind].kind,
		.list = (enum word_list)field->list, .lo = field->lo, .hi = field->hi, .stage = field_stage(id)};
	return kinds[field->kind].readable && id != F_edition && !(field->kind == FIELD_OBJECT && field->presence == ALWAYS);
}

/* The list of a quantity's words is that of the fact which is taken from it. */
static enum word_list quantity_list(uint32_t quantity)
{
	for (uint32_t id = 0; id < F_COUNT; id++)
		if (enquiry_fields[id].fact && enquiry_fields[id].quantity == quantity)
			return (enum word_list)enquiry_fields[id].list;
	return LIST_none_at_all;
}

static enum subject_kind quantity_kind(uint32_t quantity)
{
	const char *unit = quantity_table[quantity].unit;

	if (strcmp(unit, "yes") == 0)
		return SUBJECT_COUNT; /* 1 or 0: compared as a number too */
	if (strcmp(unit, "word") == 0)
		return SUBJECT_WORD;
	if (strcmp(unit, "set") == 0)
		return SUBJECT_SET;
	return strcmp(unit, "months") == 0 ? SUBJECT_MONTHS : SUBJECT_NUMBER;
}

static bool quantity_find(const struct place *at, const char *name, uint32_t *quantity)
{
	struct nearest nearest = nearest_to(name);
	char hint[NEAREST_HINT_SIZE];

	for (uint32_t i = 0; i < Q_COUNT; i++)
		if (strcmp(quantity_table[i].name, name) == 0) {
			*quantity = i;
			return true;
		}
	for (uint32_t i = 0; i < Q_COUNT; i++)
		nearest_offer(&nearest, quantity_table[i].name);
	place_fault(at, "no quantity is named %.60s%s", name, nearest_hint(&nearest, hint));
	return false;
}

bool field_named(const struct place *at, const char *pointer, enum field_id *id)
{
	struct nearest nearest = nearest_to(pointer);
	char hint[NEAREST_HINT_SIZE];

	if (field_find(pointer, id))
		return true;
	for (uint32_t i = 0; i < F_COUNT; i++)
		nearest_offer(&nearest, enquiry_fields[i].pointer);
	place_fault(at, "no field of the enquiry is %.80s%s", pointer, nearest_hint(&nearest, hint));
	return false;
}

static bool read_fact(const struct place *at, const char *pointer, struct subject *subject)
{
	enum field_id id;

	if (!field_named(at, pointer, &id))
		return false;
	if (field_subject(id, subject))
		return true;
	place_fault(at, "%s can't be read here", pointer);
	return false;
}

static bool read_quantity(const struct place *at, const char *name, struct subject *subject)
{
	uint32_t quantity;

	if (!quantity_find(at, name, &quantity))
		return false;
	*subject = (struct subject){.name = quantity_table[quantity].name, .id = (uint16_t)quantity, .is_quantity = true,
		.kind = quantity_kind(quantity), .list = quantity_list(quantity),
		.stage = (enum stage)quantity_table[quantity].stage};
	return true;
}

static bool is_early(struct reach reach, const struct subject *subject)
{
	for (uint32_t i = 0; subject->is_quantity && i < reach.n_early; i++)
		if (reach.early[i] == subject->id)
			return true;
	return false;
}

/* While fields are being filled in, those that are assumed get their values in the order of the table, and facts come
 * last: one that has a default has it only then. The kind of client is a quantity only after its own default. */
static bool is_settled(struct reach reach, const struct subject *subject)
{
	const struct field *field = subject->is_quantity ? NULL : &enquiry_fields[subject->id];

	if (reach.before >= F_COUNT)
		return true;
	if (field == NULL)
		return subject->id != Q_client_kind;
	if (field->fact)
		return field->how == NOTHING && field->presence == UNKNOWN;
	return field->presence != ASSUMED || subject->id < reach.before;
}

static bool within_reach(const struct place *at, struct reach reach, const struct subject *subject)
{
	if (subject->stage > reach.latest && !is_early(reach, subject)) {
		place_fault(at, "%s is known only after %s; what is read here must be known after %s", subject->name,
			stage_words[subject->stage], stage_words[reach.latest]);
		return false;
	}
	if (is_settled(reach, subject))
		return true;
	place_fault(at, "%s has no value yet where %s is assumed", subject->name, enquiry_fields[reach.before].pointer);
	return false;
}

bool reader_subject(struct reader *reader, enum requirement need, struct reach reach, struct subject *subject)
{
	const char *fact = reader_string(reader, "fact", MAY_MISS);
	const char *quantity = reader_string(reader, "quantity", MAY_MISS);
	struct place at = place_member(&reader->at, fact != NULL ? "fact" : "quantity");

	if ((fact == NULL) == (quantity == NULL)) {
		if (fact != NULL || need == NEEDED)
			place_fault(&reader->at, "must name one fact or one quantity");
		return false;
	}
	if (fact != NULL ? !read_fact(&at, fact, subject) : !read_quantity(&at, quantity, subject))
		return false;
	return within_reach(&at, reach, subject);
}

bool reader_multiplier(struct reader *reader, const char *key, enum requirement need, struct reach reach,
	uint16_t *id, bool *is_quantity)
{
	json_t *value = reader_value(reader, key, need);
	struct place at = place_member(&reader->at, key);
	struct subject subject;
	struct reader inner;
	bool found;

	if (value == NULL)
		return false;
	reader_open(&inner, &at, value);
	if (inner.object == NULL)
		return false;
	found = reader_subject(&inner, NEEDED, reach, &subject);
	reader_close(&inner);
	if (!found)
		return false;
	if (subject.kind != SUBJECT_NUMBER && subject.kind != SUBJECT_COUNT && subject.kind != SUBJECT_YESNO) {
		place_fault(&at, "%s is no number", subject.name);
		return false;
	}
	*id = subject.id;
	*is_quantity = subject.is_quantity;
	return true;
}

uint16_t reader_quantity(struct reader *reader, const char *key, enum requirement need)
{
	const char *name = reader_string(reader, key, need);
	struct place at = place_member(&reader->at, key);
	enum subject_kind kind;
	uint32_t quantity;

	if (name == NULL || !quantity_find(&at, name, &quantity))
		return Q_none;
	kind = quantity_kind(quantity);
	if (kind != SUBJECT_NUMBER && kind != SUBJECT_COUNT) {
		place_fault(&at, "%s is no number", name);
		return Q_none;
	}
	if (quantity_table[quantity].stage > AT_TAKEOFF) {
		place_fault(&at, "%s is known only after %s; what is read here must be known after %s", name,
			stage_words[quantity_table[quantity].stage], stage_words[AT_TAKEOFF]);
		return Q_none;
	}
	return (uint16_t)quantity;
}
