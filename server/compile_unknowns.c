#include "compile.h"

#include <math.h>
#include <string.h>

#include "number.h"

static const char *const factor_words[] = {"labour-output", "price-drift"}; /* from F_COUNT on */
static const char *const spread_words[] = {"uniform", "triangle"};
static const char *const where_words[] = {"phone", "visit"};
enum { FACTOR_COUNT = UNKNOWN_SUBJECTS - F_COUNT, UNKNOWNS_MOST = 300, WORDS_MOST = 32 };

static const char *subject_name(uint32_t subject)
{
	return subject < F_COUNT ? enquiry_fields[subject].pointer : factor_words[subject - F_COUNT];
}

static bool read_subject(struct reader *entry, uint16_t *subject)
{
	const char *pointer = reader_string(entry, "pointer", MAY_MISS);
	uint32_t factor = reader_word(entry, "subject", MAY_MISS, factor_words, FACTOR_COUNT, FACTOR_COUNT);
	bool has_factor = json_object_get(entry->object, "subject") != NULL;
	struct place at = place_member(&entry->at, "pointer");
	struct nearest nearest;
	char hint[NEAREST_HINT_SIZE];
	enum field_id id;

	if ((pointer != NULL) == has_factor) {
		place_fault(&entry->at, "must have either pointer or subject");
		return false;
	}
	*subject = (uint16_t)(F_COUNT + factor);
	if (pointer == NULL)
		return factor < FACTOR_COUNT;
	if (field_find(pointer, &id) && enquiry_fields[id].presence == ASSUMED) {
		*subject = (uint16_t)id;
		return true;
	}
	nearest = nearest_to(pointer);
	for (uint32_t i = 0; i < F_COUNT; i++)
		if (enquiry_fields[i].presence == ASSUMED)
			nearest_offer(&nearest, enquiry_fields[i].pointer);
	place_fault(&at, "%.80s is no field that is assumed where it is left out%s", pointer, nearest_hint(&nearest, hint));
	return false;
}

/* One value of the subject, whatever its kind. Our own factors are multipliers of hours, prices and digging. */
static bool subject_value(struct builder *b, const struct place *at, uint16_t subject, json_t *value, double *number)
{
	return subject < F_COUNT ? field_value(b, at, (enum field_id)subject, value, number)
				 : value_number(at, value, 0, 10, number);
}

static double read_subject_value(struct builder *b, struct reader *entry, const char *key, uint16_t subject, double left_out)
{
	json_t *value = reader_value(entry, key, NEEDED);
	struct place at = place_member(&entry->at, key);
	double number;

	return value != NULL && subject_value(b, &at, subject, value, &number) ? number : left_out;
}

/* Words of a choice, and "true" and "false" of a yes or no. */
static bool weighted_word(struct builder *b, const struct place *at, uint16_t subject, const char *word, double *number)
{
	uint32_t index;

	if (subject < F_COUNT && enquiry_fields[subject].kind == FIELD_YESNO) {
		*number = strcmp(word, "true") == 0;
		if (*number == 0.0 && strcmp(word, "false") != 0) {
			place_fault(at, "must be true or false");
			return false;
		}
		return true;
	}
	if (subject >= F_COUNT || enquiry_fields[subject].kind != FIELD_CHOICE) {
		place_fault(at, "a number is given as low and high, not as words");
		return false;
	}
	if (!value_word(b, at, (enum word_list)enquiry_fields[subject].list, word, &index))
		return false;
	*number = index;
	return true;
}

static struct span read_words(struct builder *b, struct reader *entry, const struct unknown *unknown)
{
	json_t *words = reader_value(entry, "words", MAY_MISS);
	struct place at = place_member(&entry->at, "words");
	uint32_t first = rows_count(&b->weighteds);
	char text[NUMBER_TEXT_SIZE];
	bool has_likely = false;
	double sum = 0.0;
	const char *word;
	json_t *weight;

	if (words != NULL && (!json_is_object(words) || json_object_size(words) > WORDS_MOST))
		place_fault(&at, "must be an object of at most %d words and their shares", WORDS_MOST);
	json_object_foreach(words, word, weight)
	{
		struct place place = place_member(&at, word);
		struct weighted row;

		if (!weighted_word(b, &place, unknown->subject, word, &row.number) ||
			!value_number(&place, weight, 1e-6, 1, &row.weight))
			continue;
		sum += row.weight;
		has_likely = has_likely || row.number == unknown->likely;
		rows_add(&b->weighteds, &row);
	}
	number_text(sum, text);
	if (json_object_size(words) > 0 && fabs(sum - 1.0) > 1e-9)
		place_fault(&at, "the shares add up to %s, not to 1", text);
	if (json_object_size(words) > 0 && !has_likely)
		place_fault(&at, "the likely value is not among them");
	return span_since(&b->weighteds, first);
}

static void read_spread(struct builder *b, struct reader *entry, struct unknown *unknown)
{
	struct place low_at = place_member(&entry->at, "low"), spread_at = place_member(&entry->at, "spread");
	bool ranged = json_object_get(entry->object, "low") != NULL || json_object_get(entry->object, "high") != NULL;
	uint32_t spread = reader_word(entry, "spread", MAY_MISS, spread_words, 2, 2);

	unknown->likely = read_subject_value(b, entry, "likely", unknown->subject, 0);
	unknown->low = unknown->high = unknown->likely;
	unknown->words = read_words(b, entry, unknown);
	unknown->spread = unknown->words.count > 0 ? SPREAD_WORDS : SPREAD_NONE;
	if (!ranged && spread < 2)
		place_fault(&spread_at, "has nothing to act on: low and high are missing");
	if (!ranged)
		return;
	if (unknown->spread == SPREAD_WORDS)
		place_fault(&entry->at, "has both words and a range");
	if (unknown->subject < F_COUNT && enquiry_fields[unknown->subject].kind != FIELD_NUMBER &&
		enquiry_fields[unknown->subject].kind != FIELD_WHOLE)
		place_fault(&low_at, "is for numbers; words and their shares go into words");
	unknown->low = read_subject_value(b, entry, "low", unknown->subject, unknown->likely);
	unknown->high = read_subject_value(b, entry, "high", unknown->subject, unknown->likely);
	unknown->spread = spread == 0 ? SPREAD_UNIFORM : SPREAD_TRIANGLE;
	if (!(unknown->low <= unknown->likely && unknown->likely <= unknown->high && unknown->low < unknown->high))
		place_fault(&low_at, "low, likely and high must rise");
}

static void read_unknown(struct builder *b, struct reader *entry)
{
	const uint32_t parts = TEXT_BIT(question) | TEXT_BIT(why);
	struct unknown unknown = {.region = REGION_ANY};
	bool is_field;

	read_subject(entry, &unknown.subject);
	is_field = unknown.subject < F_COUNT;
	read_spread(b, entry, &unknown);
	unknown.when = reader_condition(b, entry, "when", MAY_MISS,
		(struct reach){.latest = AT_GIVEN, .before = is_field ? unknown.subject : F_COUNT});
	reader_name(b, entry, "region", MAY_MISS, NAME_REGION, &unknown.region);
	unknown.on_visit = reader_word(entry, "where", is_field ? NEEDED : MAY_MISS, where_words, 2, 0) == 1;
	unknown.text = reader_text(b, entry, subject_name(unknown.subject), TEXT_BIT(because) | (is_field ? parts : 0), parts);
	reader_close(entry);
	rows_add(&b->unknowns, &unknown);
}

static bool always_holds(const struct reader *entry)
{
	return json_object_get(entry->object, "when") == NULL && json_object_get(entry->object, "region") == NULL;
}

/* A subject's rows, in the order in which they are written; the last must hold always, and no other may. */
static void read_rows(struct builder *b, json_t *list, const struct place *at, const uint16_t subjects[], uint32_t subject)
{
	struct span *span = &b->config.catalogue.unknowns_of[subject];
	bool settled = false;

	span->first = rows_count(&b->unknowns);
	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(at, i);
		struct reader entry;

		if (subjects[i] != subject)
			continue;
		if (settled)
			place_fault(&place, "is never reached: a row before it holds always");
		reader_open(&entry, &place, json_array_get(list, i));
		settled = always_holds(&entry) || settled;
		read_unknown(b, &entry);
	}
	*span = span_since(&b->unknowns, span->first);
	if (!settled && (subject < F_COUNT ? enquiry_fields[subject].presence == ASSUMED : span->count > 0))
		place_fault(at, "%s has no row that holds always", subject_name(subject));
}

void compile_unknowns(struct builder *b)
{
	uint16_t subjects[UNKNOWNS_MOST];
	struct document document;
	struct place at;
	json_t *list;

	if (!document_open(b, "unknowns.json", &document))
		return;
	at = place_member(&document.top.at, "unknowns");
	list = reader_list(&document.top, "unknowns", NEEDED, 1, UNKNOWNS_MOST);
	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);
		struct reader entry;

		reader_open(&entry, &place, json_array_get(list, i));
		if (entry.object == NULL || !read_subject(&entry, &subjects[i]))
			subjects[i] = F_NONE;
	}
	for (uint32_t subject = 0; list != NULL && subject < UNKNOWN_SUBJECTS; subject++)
		read_rows(b, list, &at, subjects, subject);
	document_close(&document);
}
