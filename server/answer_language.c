#include "answer_language.h"

#include <string.h>

#include "answer_fields.h"

void answer_language(struct writer *out, const struct config *config)
{
	writer_object_open(out);
	writer_member_string(out, "language", config->tags[config->language]);
	writer_member_string(out, "title", config->language_titles[config->language]);
	writer_key(out, "languages");
	writer_object_open(out);
	for (uint32_t i = 0; i < config->n_languages; i++)
		writer_member_string(out, config->tags[i], config->language_titles[i]);
	writer_object_close(out);
	writer_key(out, "page");
	writer_raw(out, config->page_words, strlen(config->page_words));
	answer_fields(out, config);
	writer_object_close(out);
}
