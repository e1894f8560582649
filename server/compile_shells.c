#include "compile.h"

#include <string.h>

/* A shell's layers shape the dig, so they read what is given and what the take-off knows before it comes to them; what
 * makes a shell unsuitable may read the whole take-off. */
static const uint16_t before_shell[] = {Q_water_surface_m2, Q_perimeter_m, Q_inradius_m, Q_bound_length_m, Q_bound_width_m,
	Q_depth_reached_m, Q_water_volume_m3, Q_mean_depth_m, Q_wetted_area_m2, Q_floor_area_m2, Q_shell_area_m2,
	Q_steepest_side_deg, Q_groundwater_head_m};
static const struct reach layers = {.latest = AT_GIVEN, .before = F_COUNT, .early = before_shell,
	.n_early = sizeof before_shell / sizeof before_shell[0]};
static const struct reach take_off = {.latest = AT_TAKEOFF, .before = F_COUNT};
static const struct reach programme = {.latest = AT_PROGRAMME, .before = F_COUNT};

enum { REASONS_MOST = 24, MEASURES_MOST = 3, RENEWED_MOST = 32 };

/* What build-ups of a layer may be measured by, and whether a layer without thickness would take off nothing. */
static const struct layer_rule {
	const char *word;
	uint16_t measures[MEASURES_MOST];
	bool needs_thickness;
} layer_rules[LAYER_KINDS] = {
	[LAYER_BED] = {"bed", {Q_bed_m2, Q_bed_m3, Q_none}, false},
	[LAYER_UNDERLAY] = {"underlay", {Q_underlay_m2, Q_none, Q_none}, false},
	[LAYER_SHEET] = {"sheet", {Q_sheet_m2, Q_sheet_kg, Q_sheet_seam_m}, false},
	[LAYER_UNDERDRAIN] = {"underdrain", {Q_underdrain_m, Q_sump_count, Q_none}, false},
	[LAYER_BLINDING] = {"blinding", {Q_blinding_m2, Q_blinding_m3, Q_none}, true},
	[LAYER_MESH] = {"mesh", {Q_mesh_m2, Q_none, Q_none}, false},
	[LAYER_CONCRETE] = {"concrete", {Q_concrete_m3, Q_formwork_m2, Q_none}, true},
	[LAYER_BOND] = {"bond", {Q_bond_m2, Q_none, Q_none}, false},
	[LAYER_RENDER] = {"render", {Q_render_m2, Q_render_coat_m2, Q_render_m3}, true},
	[LAYER_PAINT] = {"paint", {Q_paint_m2, Q_paint_coat_m2, Q_none}, false},
	[LAYER_CLAY] = {"clay", {Q_clay_m3, Q_none, Q_none}, true},
	[LAYER_COVER] = {"cover", {Q_cover_m3, Q_none, Q_none}, true},
};

const char *layer_word(enum layer_kind kind)
{
	return layer_rules[kind].word;
}

enum form { FORM_SHEET, FORM_CAST, FORM_CLAY, FORM_COUNT };
static const char *const form_words[FORM_COUNT] = {"sheet", "cast", "clay"};
static const enum layer_kind form_layers[FORM_COUNT] = {LAYER_SHEET, LAYER_CONCRETE, LAYER_CLAY};

/* ---- layers ---- */

static void take_build_up(struct builder *b, const struct place *at, const struct layer_rule *rule, uint32_t index)
{
	struct build_up *build_up = ROW(b->build_ups, struct build_up, index);

	build_up->layer = true;
	for (uint32_t i = 0; i < MEASURES_MOST; i++)
		if (rule->measures[i] == build_up->measured_by)
			return;
	if (build_up->measured_by != Q_none)
		place_fault(at, "a build-up of a %s layer is not measured by %s", rule->word,
			quantity_table[build_up->measured_by].name);
}

static void read_layer_work(struct builder *b, struct reader *entry, const struct layer_rule *rule, struct layer *layer)
{
	struct place build_up_at = place_member(&entry->at, "build_up"), group_at = place_member(&entry->at, "choose");
	bool has_build_up = entry->object != NULL && json_object_get(entry->object, "build_up") != NULL;
	bool has_group = entry->object != NULL && json_object_get(entry->object, "choose") != NULL;

	layer->build_up = BUILD_UP_NONE;
	layer->group = GROUP_NONE;
	if (has_build_up == has_group)
		place_fault(&entry->at, "must have either build_up or choose");
	if (reader_name(b, entry, "build_up", MAY_MISS, NAME_BUILD_UP, &layer->build_up))
		take_build_up(b, &build_up_at, rule, layer->build_up);
	if (!reader_name(b, entry, "choose", MAY_MISS, NAME_GROUP, &layer->group))
		return;
	for (uint32_t i = 0; i < rows_count(&b->build_ups); i++)
		if (ROW(b->build_ups, struct build_up, i)->group == layer->group)
			take_build_up(b, &group_at, rule, i);
}

static void read_layer(struct builder *b, const struct place *at, json_t *value)
{
	const char *words[LAYER_KINDS];
	struct reader entry;
	struct layer layer;

	for (uint32_t kind = 0; kind < LAYER_KINDS; kind++)
		words[kind] = layer_rules[kind].word;
	reader_open(&entry, at, value);
	if (entry.object == NULL)
		return;
	layer.kind = (uint8_t)reader_word(&entry, "kind", NEEDED, words, LAYER_KINDS, LAYER_BED);
	read_layer_work(b, &entry, &layer_rules[layer.kind], &layer);
	layer.thickness_m = reader_number(&entry, "thickness_mm", layer_rules[layer.kind].needs_thickness ? NEEDED : MAY_MISS,
		layer_rules[layer.kind].needs_thickness ? 1 : 0, 1000, 0) / 1000.0;
	layer.coats = reader_whole(&entry, "coats", MAY_MISS, 1, 8, 1);
	layer.kg_m2 = reader_number(&entry, "kg_m2", MAY_MISS, 0, 5000, 0);
	layer.between_days = reader_number(&entry, "between_days", MAY_MISS, 0, 366, -1);
	layer.wait_days = reader_number(&entry, "wait_days", MAY_MISS, 0, 366, -1);
	layer.when = reader_condition(b, &entry, "when", MAY_MISS, layers);
	reader_string(&entry, "source", MAY_MISS);
	reader_string(&entry, "note", MAY_MISS);
	reader_close(&entry);
	rows_add(&b->layers, &layer);
}

static struct span read_layers(struct builder *b, struct reader *top)
{
	json_t *list = reader_list(top, "layers", NEEDED, 1, LAYERS_MOST);
	struct place at = place_member(&top->at, "layers");
	uint32_t first = rows_count(&b->layers);

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);

		read_layer(b, &place, json_array_get(list, i));
	}
	return span_since(&b->layers, first);
}

static bool has_layer(struct builder *b, const struct shell *shell, enum layer_kind kind)
{
	for (uint32_t i = 0; i < shell->layers.count; i++)
		if (ROW(b->layers, struct layer, shell->layers.first + i)->kind == kind)
			return true;
	return false;
}

static void check_form(struct builder *b, struct reader *top, const struct shell *shell, uint32_t form)
{
	struct place at = place_member(&top->at, "form");

	for (uint32_t other = 0; other < FORM_COUNT; other++)
		if (form < FORM_COUNT && has_layer(b, shell, form_layers[other]) != (other == form))
			place_fault(&at, "is %s, but the shell has %s %s layer", form_words[form], other == form ? "no" : "a",
				layer_rules[form_layers[other]].word);
}

/* ---- reasons and renewals ---- */

static struct span read_reasons(struct builder *b, struct reader *top, const char *key, enum requirement need,
	struct reach reach, uint32_t part)
{
	json_t *list = reader_list(top, key, MAY_MISS, 0, REASONS_MOST);
	struct place at = place_member(&top->at, key);
	uint32_t first = rows_count(&b->shell_reasons);

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);
		struct shell_reason reason;
		struct reader entry;

		reader_open(&entry, &place, json_array_get(list, i));
		reason.when = reader_condition(b, &entry, "when", need, reach);
		reason.text = reader_text(b, &entry, reader_id(&entry, "id"), part, 0);
		reader_close(&entry);
		rows_add(&b->shell_reasons, &reason);
	}
	return span_since(&b->shell_reasons, first);
}

static struct span read_renewed(struct builder *b, struct reader *entry)
{
	json_t *list = reader_list(entry, "build_ups", NEEDED, 1, RENEWED_MOST);
	struct place at = place_member(&entry->at, "build_ups");
	uint32_t first = rows_count(&b->build_up_refs);

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);
		uint16_t ref;

		if (value_name(b, &place, json_array_get(list, i), NAME_BUILD_UP, &ref))
			rows_add(&b->build_up_refs, &ref);
	}
	return span_since(&b->build_up_refs, first);
}

static struct span read_renewals(struct builder *b, struct reader *top)
{
	json_t *list = reader_list(top, "renewals", MAY_MISS, 0, RENEWALS_MOST);
	struct place at = place_member(&top->at, "renewals");
	uint32_t first = rows_count(&b->renewals);

	for (size_t i = 0; i < json_array_size(list); i++) {
		struct place place = place_entry(&at, i);
		struct renewal renewal;
		struct reader entry;

		reader_open(&entry, &place, json_array_get(list, i));
		renewal.every_years = reader_number(&entry, "every_years", NEEDED, 0.25, 100, 1);
		renewal.times_most = reader_whole(&entry, "times", MAY_MISS, 1, 100, 0);
		renewal.build_ups = read_renewed(b, &entry);
		renewal.share = reader_number(&entry, "share", MAY_MISS, 0.001, 1, 1);
		renewal.text = reader_text(b, &entry, NULL, TEXT_BIT(title), 0);
		reader_close(&entry);
		rows_add(&b->renewals, &renewal);
	}
	return span_since(&b->renewals, first);
}

/* ---- a shell ---- */

static void read_shell(struct builder *b, const char *path)
{
	const char *word = strrchr(path, '/') + 1;
	struct document document;
	struct shell shell;
	uint32_t form;
	char id[64];

	if (!document_open(b, path, &document) || strlen(word) - 5 >= sizeof id) {
		document_forget(&document);
		return;
	}
	memcpy(id, word, strlen(word) - 5);
	id[strlen(word) - 5] = '\0';
	form = reader_word(&document.top, "form", NEEDED, form_words, FORM_COUNT, FORM_COUNT);
	shell.layers = read_layers(b, &document.top);
	shell.unsuitable = read_reasons(b, &document.top, "unsuitable", NEEDED, take_off, TEXT_BIT(because));
	shell.cautions = read_reasons(b, &document.top, "cautions", MAY_MISS, programme, TEXT_BIT(text));
	shell.renewals = read_renewals(b, &document.top);
	shell.service_life_years = reader_number(&document.top, "service_life_years", NEEDED, 1, 200, 1);
	shell.sheet = form == FORM_SHEET;
	shell.bare_cement = reader_flag(&document.top, "bare_cement", NEEDED, false);
	shell.rigid = reader_flag(&document.top, "rigid", NEEDED, false);
	shell.text = reader_text(b, &document.top, id, TEXT_BIT(title), TEXT_BIT(mix));
	check_form(b, &document.top, &shell, form);
	rows_add(&b->shells, &shell);
	document_close(&document);
}

void compile_shells(struct builder *b)
{
	uint32_t count = each_file(b, "shells/", read_shell);

	if (count == 0)
		faults_add(b->faults, false, "shells", "", "holds no file: there is no shell to price");
	if (count > SHELLS_MOST)
		faults_add(b->faults, false, "shells", "", "hold %u shells; a quote has room for %d", count, SHELLS_MOST);
}
