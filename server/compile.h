#ifndef PONDWRIGHT_COMPILE_H
#define PONDWRIGHT_COMPILE_H

#include "config.h"
#include "json_memory.h"
#include "json_read.h"
#include "rows.h"
#include "text_pool.h"

/* Private to the loader: what its parts share while a configuration is compiled. */

/* The catalogue's arrays: those that it counts, and those that spans alone lead into. */
#define COUNTED_ARRAYS(A) \
	A(struct item, items) A(struct pack, packs) A(struct build_up, build_ups) A(struct group, groups) \
	A(struct section, sections) A(struct task, tasks) A(struct grade, grades) A(struct shell, shells) \
	A(struct pump, pumps) A(struct bore, bores) A(struct fitting, fittings) A(struct edge, edges) \
	A(struct root_plant, root_plants) A(struct rule, rules) A(struct sum, sums) A(struct note, notes) \
	A(struct unknown, unknowns) A(struct region, regions) A(struct edition, editions) A(struct factor, factors)
#define PLAIN_ARRAYS(A) \
	A(struct op, ops) A(struct factor_case, factor_cases) \
	A(struct factor_point, factor_points) A(uint16_t, factor_refs) A(uint16_t, task_refs) A(uint16_t, build_up_refs) \
	A(uint16_t, rule_refs) \
	A(struct cost, costs) A(struct labour, labours) A(struct layer, layers) A(struct shell_reason, shell_reasons) \
	A(struct renewal, renewals) A(struct preset, presets) A(int32_t, holidays) A(struct tax_class, tax_classes) \
	A(struct weighted, weighteds)
/* The server's own; prices hold for each edition its packs, its items' deliveries, its items' shorts. */
#define SERVER_ARRAYS(A) \
	A(struct text, texts) A(struct region_card, region_cards) A(struct edition_card, edition_cards) \
	A(struct plant, plants) A(struct clause, clauses) \
	A(struct survey_stop, survey_stops) A(uint16_t, survey_fields) A(uint32_t, banned) A(uint32_t, terms) \
	A(const char *, strings) A(int64_t, prices)
#define ALL_ARRAYS(A) COUNTED_ARRAYS(A) PLAIN_ARRAYS(A) SERVER_ARRAYS(A)

struct said_rows {
#define A(type, member) struct rows member;
	SAID_ARRAYS(A)
#undef A
};

/* A file of languages/. */
struct language {
	const char *tag, *title, *page_words; /* of the pool */
	struct rows texts;       /* of struct text, one for each of the builder's */
	struct rows helps;       /* of const char *, by field */
	struct rows word_titles; /* the same, by word */
	struct said_rows said;
};

/* What the core sets no limit to. */
enum { EDGES_MOST = 16, ROOT_PLANTS_MOST = 32, PLANTS_MOST = 400, REGIONS_MOST = 1000, TERMS_MOST = 24, LANGUAGES_MOST = 16 };

/* Lists whose entries are named elsewhere, with the words for messages. */
#define NAME_KINDS(N) \
	N(SECTION, "section") N(TASK, "task") N(GRADE, "grade") N(ITEM, "item") N(FACTOR, "factor") N(GROUP, "group") \
	N(BUILD_UP, "build-up") N(SUM, "sum") N(SHELL, "shell") N(REGION, "region") N(PUMP, "pump") N(EDGE, "edge") \
	N(ROOT_PLANT, "root plant") N(FITTING, "fitting") N(BORE, "bore") N(CLIMATE, "climate") N(SUPPLIER, "supplier")
enum name_kind {
#define N(id, word) NAME_##id,
	NAME_KINDS(N)
#undef N
	NAME_KIND_COUNT
};

struct name {
	const char *word; /* of the pool */
	uint32_t index;
};
/* Where an entry was written, and whether anything names it: for what only the end can tell. */
struct written {
	const char *file, *list;
	uint32_t index;
	bool used;
};
struct names {
	struct rows sorted;  /* of struct name, by word */
	struct rows origins; /* of struct written, by index */
	bool incomplete;     /* its file could not be read: a name that is not found is no second fault */
};

struct builder {
	struct faults *faults;
	const struct config_files *files;
	bool out_of_memory;
	struct text_pool pool;
#define A(type, member) struct rows member;
	ALL_ARRAYS(A)
#undef A
	struct said_rows said;
	struct language languages[LANGUAGES_MOST];
	uint32_t n_languages;
	struct names names[NAME_KIND_COUNT];
	struct config config; /* its tables of fixed size, and the service */
};

/* False, with rows to free all the same, where memory is short. */
bool language_init(struct language *language, bool *out_of_memory);
void language_free(struct language *language);

bool builder_init(struct builder *b, const struct config_files *files, struct faults *faults);
void builder_free(struct builder *b);
/* One block with everything, or NULL for want of memory. */
struct config *builder_pack(struct builder *b);

/* ---- files ---- */
struct document {
	json_t *root;
	struct reader top;
	struct json_arena arena;
};
/* Parses a file, whose top is an object. False after a fault; a file that failed once fails again without one. */
bool document_open(struct builder *b, const char *path, struct document *document);
/* Refuses members that nobody asked for, and forgets the document. */
void document_close(struct document *document);
/* Forgets it without a look; one that was not opened too. */
void document_forget(struct document *document);

/* Reads one entry of a list: reads its id and whatever else, and adds it to its array. */
typedef void entry_reader(struct builder *b, struct reader *entry);
/* Every entry of a list of objects in an open document, at most so many; a missing list is a fault. */
void read_list(struct builder *b, struct document *document, const char *list, uint32_t least, uint32_t most,
	entry_reader *read_entry);
/* A file that holds one list and nothing else. The kind whose names it gives, or NAME_KIND_COUNT. */
void read_list_file(struct builder *b, const char *path, const char *list, uint32_t least, uint32_t most,
	enum name_kind kind, entry_reader *read_entry);
/* Calls once for every file of a folder ("items/"), in the order of their names. Returns how many. */
uint32_t each_file(struct builder *b, const char *folder, void (*read_file)(struct builder *b, const char *path));

/* ---- names and texts ---- */
/* Gives an index a name; one that is taken is a fault. NULL is passed over. */
void name_add(struct builder *b, enum name_kind kind, const struct place *at, const char *word, uint32_t index);
bool name_find(const struct builder *b, enum name_kind kind, const char *word, uint32_t *index);
/* The member's word looked up, and marked as used; false after a fault, or where a member that may miss does. */
bool reader_name(struct builder *b, struct reader *reader, const char *key, enum requirement need, enum name_kind kind,
	uint16_t *index);
bool value_name(struct builder *b, const struct place *at, json_t *value, enum name_kind kind, uint16_t *index);
void name_use(struct builder *b, enum name_kind kind, uint32_t index);
/* Entries of these kinds that nothing names are faults. */
void check_unused(struct builder *b);

/* A text from the members of an object: `id` as it is, the needed and the allowed parts, and the free ones (source,
 * as_of, because, verified, note). Returns its index. */
uint32_t reader_text(struct builder *b, struct reader *reader, const char *id, uint32_t needed, uint32_t allowed);

/* One part of a text by its number. */
const char *text_part(const struct text *text, enum text_part part);
void text_set(struct text *text, enum text_part part, const char *words);

/* ---- what conditions and multiplying subjects name ---- */
enum subject_kind { SUBJECT_NUMBER, SUBJECT_COUNT, SUBJECT_YESNO, SUBJECT_WORD, SUBJECT_SET, SUBJECT_MONTHS };
struct subject {
	const char *name;
	uint16_t id; /* field_id or quantity_id */
	bool is_quantity;
	enum subject_kind kind;
	enum word_list list; /* of WORD and SET */
	double lo, hi;       /* of a field's numbers */
	enum stage stage;    /* the first that may be followed by a reader */
};
/* What a condition may read: what is known up to a stage, and some quantities that are early within the next; where a
 * field is being assumed, of assumed fields those before it (`before`; else F_COUNT). */
struct reach {
	enum stage latest;
	uint16_t before;
	const uint16_t *early;
	uint32_t n_early;
};
/* The stage at whose end the field has its value. */
enum stage field_stage(enum field_id id);
/* The field of a pointer. False, without a fault, where there is none. */
bool field_find(const char *pointer, enum field_id *id);
/* The same, with a fault that tells the nearest. */
bool field_named(const struct place *at, const char *pointer, enum field_id *id);
/* {"fact": pointer} or {"quantity": name} among the members of an object; false after a fault, or where neither is
 * there and it may miss. */
bool reader_subject(struct reader *reader, enum requirement need, struct reach reach, struct subject *subject);
/* The same as a member of its own, which must be a number. */
bool reader_multiplier(struct reader *reader, const char *key, enum requirement need, struct reach reach,
	uint16_t *id, bool *is_quantity);
/* A quantity by name that the take-off knows as a number. Q_none where it is missing. */
uint16_t reader_quantity(struct reader *reader, const char *key, enum requirement need);
/* Index of a word in a fixed list or one of the catalogue; a fault where there is none. */
bool value_word(struct builder *b, const struct place *at, enum word_list list, const char *word, uint32_t *index);
/* A value that a field could have, as struct value keeps it. */
bool field_value(struct builder *b, const struct place *at, enum field_id id, json_t *value, double *number);

/* ---- conditions ---- */
/* The member's condition in postfix; an empty span where it is missing or wrong. */
struct span reader_condition(struct builder *b, struct reader *reader, const char *key, enum requirement need,
	struct reach reach);

/* ---- money: major units in a file, thousandths of a minor unit or minor units in the catalogue ---- */
bool money_milliminor(const struct place *at, json_t *value, uint8_t minor_digits, int64_t *milliminor);
int64_t reader_milliminor(struct reader *reader, const char *key, enum requirement need, uint8_t minor_digits);
int64_t reader_minor(struct reader *reader, const char *key, enum requirement need, uint8_t minor_digits);
/* A share in parts per million, at most six decimals. */
int64_t reader_ppm(struct reader *reader, const char *key, enum requirement need, double hi);

/* ---- the parts, in the order in which they run ---- */
void compile_names(struct builder *b);     /* shells and regions, from the names of their files */
void compile_service(struct builder *b);
void compile_lists(struct builder *b);     /* sections, grades, sums, edges */
void compile_tasks(struct builder *b);
void compile_items(struct builder *b);
void compile_water(struct builder *b);     /* pumps, bores, fittings, styles */
void compile_ground(struct builder *b);    /* soils, roots, practice */
void compile_plants(struct builder *b);
void compile_factors(struct builder *b);
void compile_build_ups(struct builder *b);
void compile_shells(struct builder *b);
const char *layer_word(enum layer_kind kind); /* as the files of shells write it */
void compile_unknowns(struct builder *b);
void compile_notes(struct builder *b);
void compile_terms(struct builder *b);     /* an optional file */
void compile_survey(struct builder *b);    /* an optional file */
void compile_rules(struct builder *b);
void compile_regions(struct builder *b);
void compile_languages(struct builder *b); /* the texts of all others in other languages */
void compile_said(struct builder *b);      /* from all texts */
void compile_editions(struct builder *b, uint32_t region, const char *id); /* of one region, called by regions */

/* Parts that read shares of work. */
struct span read_factors(struct builder *b, struct reader *reader); /* compile_factors.c: "factors": [ids] */

static inline struct span span_since(const struct rows *rows, uint32_t first)
{
	return (struct span){first, rows_count(rows) - first};
}

#endif
