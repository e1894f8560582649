#include "compile.h"

static const char *const members[TEXT_PART_COUNT] = {
#define T(part, member) member,
	TEXT_PARTS(T)
#undef T
};

enum {
	FREE_PARTS = TEXT_BIT(source) | TEXT_BIT(as_of) | TEXT_BIT(because) | TEXT_BIT(verified) | TEXT_BIT(note)
};

const char *text_part(const struct text *text, enum text_part part)
{
	switch (part) {
#define T(name, member) \
	case TEXT_##name: \
		return text->name;
		TEXT_PARTS(T)
#undef T
	case TEXT_PART_COUNT:
		break;
	}
	return NULL;
}

void text_set(struct text *text, enum text_part part, const char *words)
{
	switch (part) {
#define T(name, member) \
	case TEXT_##name: \
		text->name = words; \
		break;
		TEXT_PARTS(T)
#undef T
	case TEXT_PART_COUNT:
		break;
	}
}

uint32_t reader_text(struct builder *b, struct reader *reader, const char *id, uint32_t needed, uint32_t allowed)
{
	struct text text = {.id = text_pool_add(&b->pool, id)};

	for (uint32_t part = TEXT_id + 1; part < TEXT_PART_COUNT; part++) {
		enum requirement need = needed >> part & 1 ? NEEDED : MAY_MISS;

		if ((needed | allowed | FREE_PARTS) >> part & 1)
			text_set(&text, (enum text_part)part,
				text_pool_add(&b->pool, reader_string(reader, members[part], need)));
	}
	return rows_add(&b->texts, &text);
}
