#include "compile.h"
#include "writer.h"

static void add_said(struct builder *b, struct rows *rows, struct writer *out)
{
	struct said said = {NULL, 0};

	writer_text(out, "", 1);
	if (out->out_of_memory)
		b->out_of_memory = true;
	else
		said = (struct said){text_pool_add(&b->pool, out->bytes), (uint32_t)out->length - 1};
	rows_add(rows, &said);
	writer_clear(out);
}

static void flag_members(struct writer *out, const struct text *text)
{
	writer_member_string(out, "title", text->title);
	writer_member_string(out, "why", text->why);
	writer_member_string(out, "do", text->act);
	writer_member_string(out, "authority", text->authority);
	writer_member_string(out, "season", text->season);
	writer_member_string(out, "source", text->source);
	writer_member_string(out, "verified", text->verified);
	writer_member_string(out, "verified_on", text->verified_on);
}

static void line_members(struct writer *out, const struct text *text)
{
	writer_member_string(out, "build_up", text->id);
	writer_member_string(out, "title", text->title);
}

static void name_members(struct writer *out, const struct text *text)
{
	writer_member_string(out, "id", text->id);
	writer_member_string(out, "title", text->title);
}

static void plant_members(struct writer *out, const struct text *text)
{
	name_members(out, text);
	writer_member_string(out, "latin", text->latin);
}

static void note_string(struct writer *out, const struct text *text)
{
	writer_string(out, text->text);
}

static void assumption_members(struct builder *b, const struct rows *texts, struct said_rows *said, struct writer *out)
{
	for (uint32_t i = 0; i < rows_count(&b->unknowns); i++) {
		const struct unknown *row = ROW(b->unknowns, struct unknown, i);
		const struct text *text = ROW(*texts, struct text, row->text);

		writer_member_string(out, "because", text->because);
		writer_member_string(out, "question", text->question);
		writer_member_string(out, "where", row->on_visit ? "visit" : "phone");
		add_said(b, &said->said_of_unknowns, out);
	}
}

static void said_in_one(struct builder *b, const struct rows *texts, struct said_rows *said)
{
	struct writer out;

	writer_init(&out);
#define EACH(type, list, members) \
	for (uint32_t i = 0; i < rows_count(&b->list); i++) { \
		members(&out, ROW(*texts, struct text, ROW(b->list, type, i)->text)); \
		add_said(b, &said->said_of_##list, &out); \
	}
	EACH(struct rule, rules, flag_members)
	EACH(struct build_up, build_ups, line_members)
	EACH(struct task, tasks, name_members)
	EACH(struct plant, plants, plant_members)
	EACH(struct note, notes, note_string)
#undef EACH
	assumption_members(b, texts, said, &out);
	writer_free(&out);
}

void compile_said(struct builder *b)
{
	said_in_one(b, &b->texts, &b->said);
	/* without memory a language may have fewer texts than there are indexes */
	for (uint32_t i = 0; i < b->n_languages && !b->out_of_memory; i++)
		said_in_one(b, &b->languages[i].texts, &b->languages[i].said);
}
