#ifndef PONDWRIGHT_CONFIG_H
#define PONDWRIGHT_CONFIG_H

#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "catalogue.h"
#include "config_files.h"
#include "config_texts.h"
#include "faults.h"
#include "nearest.h"
#include "phrases.h"

/* A config directory, checked and compiled. The whole of it, texts too, is one block of memory that nothing writes to
 * any more, so any number of threads may read it. */

enum public_detail { DETAIL_HEADLINE, DETAIL_SECTIONS, DETAIL_LINES };

/* service.json */
struct service {
	const char *firm, *disclaimer, *owner_token_file; /* NULL where there is none */
	const char *colour_light, *colour_dark; /* of the page's buttons and lines, "#0f6478"; NULL: the page's own */
	enum public_detail public_detail;
	const char *frame_ancestors; /* origins whose pages may embed ours, with blanks between; NULL for nobody */
	struct span allowed_origins, trusted_proxies; /* of config->strings */
	uint32_t default_region;
	uint32_t body_limit_bytes, connection_limit, deadline_s;
	uint32_t requests_per_minute, per_ip_limit; /* of one client; 0: no limit */
	bool log_addresses;
};

/* SHA-256 in hexadecimal, with its NUL. */
#define DIGEST_TEXT_SIZE 65

/* What a region and an edition say that the core does not read; same index as theirs. A region's title, currency,
 * symbol and climate are in its text. */
struct region_card {
	uint8_t minor_digits;  /* 0 to 3 */
	bool us_units, invented;
	uint32_t climate;      /* bit of plant.climates */
	struct span postcodes; /* of config->strings */
};
struct edition_card {
	bool invented;
	struct span terms; /* of config->terms: texts with id and text */
};

/* plants.json */
enum plant_role { ROLE_SUBMERGED, ROLE_FLOATING, ROLE_EMERGENT, ROLE_MARGIN, ROLE_BOG, ROLE_COUNT };
struct plant {
	uint32_t text; /* latin, title */
	enum plant_role role;
	uint32_t climates; /* bits */
	double least_depth_m, most_depth_m;
};

/* terms.json: a sentence of the terms of business, said where its condition holds. */
enum clause_about { ABOUT_VALIDITY, ABOUT_CANCELLATION, ABOUT_PAYMENT, ABOUT_GUARANTEE, ABOUT_CARE, ABOUT_COUNT };
struct clause {
	uint32_t text; /* id, text, season */
	struct span when;
	enum clause_about about;
};

/* survey.json: a stop of the walk around a site, and the fields that are found out there. */
struct survey_stop {
	uint32_t text;      /* title, do, photograph */
	struct span fields; /* of config->survey_fields */
	bool sketch, always;/* room for a sketch; on the sheet with nothing left to ask too */
};

/* Words of one list, in the order of their indexes. */
struct word_table {
	const char *const *words;
	const uint32_t *sorted; /* their indexes by the alphabet; NULL for a fixed list */
	uint32_t count;
};

/* What an answer says of an entry word for word every time: members of an object without brackets, or a string, in JSON. Most
 * bytes of an answer are such, and none needs to be looked at for escapes again. */
struct said { const char *json; uint32_t length; };

#define SAID_ARRAYS(A) \
	A(struct said, said_of_rules)     /* "title" to "verified_on" of a flag */ \
	A(struct said, said_of_build_ups) /* "build_up", "title" of a line */ \
	A(struct said, said_of_tasks)     /* "id", "title" */ \
	A(struct said, said_of_plants)    /* "id", "title", "latin" */ \
	A(struct said, said_of_unknowns)  /* "because", "question", "where" of what was assumed */ \
	A(struct said, said_of_notes)     /* a string */

/* A configuration in one language. Those of languages/ share everything with the English one but the words that people
 * read; the English one holds them. */
struct config {
	struct catalogue catalogue;
	struct service service;
	const struct text *texts; /* the first has no part, then come the phrases */
	uint32_t n_texts;
	const char *page_words;   /* of the page in this language, a JSON object */
	const char *const *helps; /* of each field of the enquiry; one is NULL where it has no words here */
	const char *const *word_titles; /* of the words of all fixed lists one after the other; NULL where there is none */
	const char *const *tags, *const *language_titles; /* of all languages, English first */
	const struct config *others; /* in the order of the tags, without English */
	uint32_t language, n_languages; /* which of them this is */
#define A(type, member) const type *member; /* of each entry of that list */
	SAID_ARRAYS(A)
#undef A
	const struct region_card *region_cards;
	const struct edition_card *edition_cards;
	const struct plant *plants;
	uint32_t n_plants;
	const struct clause *clauses;
	uint32_t n_clauses;
	const struct survey_stop *survey_stops; /* in walking order */
	uint32_t n_survey_stops;
	const uint16_t *survey_fields;
	const uint32_t *banned; /* texts: latin, because, source */
	uint32_t n_banned;
	const uint32_t *terms;  /* texts */
	const char *const *strings;
	struct word_table words[LIST_COUNT];
	uint32_t soil_texts[soil_COUNT], style_texts[style_COUNT], practice_texts[P_COUNT];
	uint32_t n_files;
	size_t bytes;                  /* of the block */
	char digest[DIGEST_TEXT_SIZE]; /* of the bytes of all files, see config_digest */
	_Atomic uint32_t references;
};

/* Reads, checks and compiles. NULL where there is a fault; warnings alone do not refuse. The caller holds the one
 * reference. */
struct config *config_load(const char *directory, struct faults *faults);

/* The same for files that are in memory already. Marks those that it read. */
struct config *config_compile(const struct config_files *files, struct faults *faults);

/* One reference more, one less; the last one frees. Whoever acquires must hold one, or keep the holder from releasing
 * it meanwhile. NULL is let be. */
struct config *config_acquire(struct config *config);
void config_release(struct config *config);

/* SHA-256 over all files, sorted by path: each as its path, a NUL, its size as eight bytes (big-endian), its bytes. */
void config_digest(const struct config_files *files, char text[DIGEST_TEXT_SIZE]);

/* ---- texts ---- */
static inline const struct text *config_text(const struct config *config, uint32_t text)
{
	return &config->texts[text];
}
static inline const char *config_phrase(const struct config *config, enum phrase phrase)
{
	return config->texts[1 + phrase].text;
}

/* The same configuration in the language that an Accept-Language value wants most. It lives as long as this one. */
const struct config *config_spoken(const struct config *config, const char *accept);
/* One of its languages by their index. */
static inline const struct config *config_language(const struct config *config, uint32_t language)
{
	return language == 0 ? config : &config->others[language - 1];
}

/* What a field is for, and titles of the words of a fixed list (or NULL; one may be NULL too). */
const char *config_help(const struct config *config, enum field_id id);
const char *const *config_word_titles(const struct config *config, enum word_list list);

/* ---- words: fixed lists and those of the catalogue alike ---- */

/* Index of a word, false where the list has none. Editions: use config_edition_index, since two regions may have
 * editions of one name. */
bool config_word_index(const struct config *config, enum word_list list, const char *word, uint32_t *index);
/* The word of an index, or NULL. For LIST_editions the index counts all regions' editions, as the catalogue does. */
const char *config_word(const struct config *config, enum word_list list, uint32_t index);
/* All words of a list. */
const char *const *config_words(const struct config *config, enum word_list list, uint32_t *count);
/* The word that was meant, most likely; best is NULL where none is near. */
struct nearest config_word_nearest(const struct config *config, enum word_list list, const char *word);

/* The edition of a region by its name, and the newest that is not after a day (days since 1970-01-01). False where
 * there is none. */
bool config_edition_index(const struct config *config, uint32_t region, const char *word, uint32_t *index);
bool config_edition_on(const struct config *config, uint32_t region, int32_t day, uint32_t *index);

#endif
