#include "words.h"

#include <stddef.h>

#define W(id, word) word,
#define L(name) static const char *const words_##name[] = {WORDS_##name(W)};
WORD_LISTS(L)
#undef L
#undef W

const char *const *words_of_list(enum word_list list, uint32_t *count)
{
	static const struct {
		const char *const *words;
		uint32_t count;
	} lists[LIST_COUNT] = {
#define L(name) [LIST_##name] = {words_##name, sizeof words_##name / sizeof words_##name[0]},
		WORD_LISTS(L)
#undef L
	};

	*count = lists[list].count;
	return lists[list].words;
}
