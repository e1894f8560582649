#include "status.h"

const char *status_slug(enum status status)
{
	static const char *const slugs[ST_COUNT] = {
#define STATUS(id, slug, sentence) [ST_##id] = slug,
#include "status.def"
#undef STATUS
	};

	return slugs[status];
}

const char *status_sentence(enum status status)
{
	static const char *const sentences[ST_COUNT] = {
#define STATUS(id, slug, sentence) [ST_##id] = sentence,
#include "status.def"
#undef STATUS
	};

	return sentences[status];
}
