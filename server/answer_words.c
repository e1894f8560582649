#include "answer_words.h"

#include <stdio.h>

/* The text with the title of a word of the lists that come from the configuration, 0 for none. */
static uint32_t text_of_word(const struct config *config, enum word_list list, uint32_t index)
{
	const struct catalogue *catalogue = &config->catalogue;

	switch (list) {
	case LIST_regions:
		return catalogue->regions[index].text;
	case LIST_shells:
		return catalogue->shells[index].text;
	case LIST_pumps:
		return catalogue->pumps[index].text;
	case LIST_edges:
		return catalogue->edges[index].text;
	case LIST_root_plants:
		return catalogue->root_plants[index].text;
	case LIST_fittings:
		return catalogue->fittings[index].text;
	case LIST_bores:
		return catalogue->bores[index].text;
	case LIST_soil:
		return config->soil_texts[index];
	case LIST_style:
		return config->style_texts[index];
	default:
		return 0;
	}
}

static void words_of(struct writer *out, const struct config *config, enum word_list list)
{
	uint32_t count;
	const char *const *words = config_words(config, list, &count);
	const char *const *titles = config_word_titles(config, list);

	writer_array_open(out);
	for (uint32_t i = 0; i < count; i++) {
		const char *title = config_text(config, text_of_word(config, list, i))->title;

		writer_object_open(out);
		writer_member_string(out, "word", words[i]);
		writer_member_string(out, "title", title == NULL && titles != NULL ? titles[i] : title);
		writer_object_close(out);
	}
	writer_array_close(out);
}

static void words_of_members(struct writer *out, const struct config *config, const struct field *field)
{
	const struct child *child = &child_tables[field->child];
	char pointer[128];

	for (uint32_t i = child->first; i < child->first + child->count; i++) {
		if (child_members[i].list == LIST_none_at_all)
			continue;
		snprintf(pointer, sizeof pointer, "%s/%s", field->pointer, child_members[i].name);
		writer_key(out, pointer);
		words_of(out, config, (enum word_list)child_members[i].list);
	}
}

void answer_words(struct writer *out, const struct config *config)
{
	writer_key(out, "words");
	writer_object_open(out);
	for (uint32_t id = 0; id < F_COUNT; id++) {
		const struct field *field = &enquiry_fields[id];

		if (field->kind == FIELD_LIST)
			words_of_members(out, config, field);
		if ((field->kind != FIELD_CHOICE && field->kind != FIELD_SET) || field->list == LIST_editions)
			continue;
		writer_key(out, field->pointer);
		words_of(out, config, (enum word_list)field->list);
	}
	writer_object_close(out);
}
