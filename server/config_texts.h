#ifndef PONDWRIGHT_CONFIG_TEXTS_H
#define PONDWRIGHT_CONFIG_TEXTS_H

/* What configuration says in words. The core's `text` members are indexes of config->texts; part 0 of the array is a
 * text without any part. One row: the member here, the member in JSON. A part that was not written is NULL. */
#define TEXT_PARTS(T) \
	T(id, "id") T(title, "title") T(latin, "latin") T(unit, "unit") T(text, "text") T(because, "because") \
	T(why, "why") T(why_not, "why_not") T(act, "do") T(authority, "authority") T(season, "season") T(ask, "ask") \
	T(question, "question") T(mix, "mix") T(currency, "currency") T(symbol, "symbol") \
	T(climate, "climate") T(source, "source") T(as_of, "as_of") T(verified, "verified") \
	T(verified_on, "verified_on") T(kgco2e_source, "kgco2e_source") T(holidays_source, "holidays_source") \
	T(note, "note") T(photograph, "photograph")

struct text {
#define T(part, member) const char *part;
	TEXT_PARTS(T)
#undef T
};

enum text_part {
#define T(part, member) TEXT_##part,
	TEXT_PARTS(T)
#undef T
	TEXT_PART_COUNT
};

/* A set of parts, as bits. */
#define TEXT_BIT(part) (UINT32_C(1) << TEXT_##part)

#endif
