#ifndef PONDWRIGHT_WORDS_H
#define PONDWRIGHT_WORDS_H

#include <stdint.h>

/* The fixed words of the enquiry. A list that an owner extends (shells, pumps, edges, plants …) lives in
 * the catalogue instead. One row makes an enumerator and the word that callers write. */

#define WORDS_work(W) \
	W(WORK_NEW, "new") W(WORK_REBUILD, "rebuild") W(WORK_RELINE, "reline") W(WORK_DESILT, "desilt") \
	W(WORK_STREAM, "stream") W(WORK_REPAIR, "repair") W(WORK_INFILL, "infill")
#define WORDS_client(W) \
	W(CLIENT_HOUSEHOLDER, "householder") W(CLIENT_BUSINESS, "business") W(CLIENT_PUBLIC_BODY, "public-body") \
	W(CLIENT_SCHOOL, "school-or-nursery") W(CLIENT_COMMUNITY, "community") W(CLIENT_FARM, "farm")
#define WORDS_outline(W) /* the order of enum outline_kind */ \
	W(SHAPE_RECTANGLE, "rectangle") W(SHAPE_CIRCLE, "circle") W(SHAPE_ELLIPSE, "ellipse") \
	W(SHAPE_STADIUM, "stadium") W(SHAPE_POLYGON, "polygon")
#define WORDS_profile(W) /* the order of enum profile_kind */ \
	W(SIDES_VERTICAL, "vertical") W(SIDES_BATTERED, "battered") W(SIDES_DISH, "dish") W(SIDES_STEPPED, "stepped")
#define WORDS_wall(W) W(WALL_NONE, "none") W(WALL_BLOCK, "block") W(WALL_CONCRETE, "concrete")
#define WORDS_old_shell(W) \
	W(OLD_NONE, "none") W(OLD_LINER, "flexible-liner") W(OLD_CONCRETE, "concrete") W(OLD_PREFORMED, "preformed") \
	W(OLD_CLAY, "clay")
#define WORDS_collar(W) W(COLLAR_NONE, "none") W(COLLAR_KEEP, "keep") W(COLLAR_BREAK_OUT, "break-out")
#define WORDS_roots(W) W(ROOTS_NONE, "none") W(ROOTS_PATCHES, "patches") W(ROOTS_THROUGHOUT, "throughout")
#define WORDS_bed(W) W(BED_LOOSE, "loose") W(BED_MORTARED, "mortared")
#define WORDS_cover(W) W(COVER_SLABS, "slabs") W(COVER_PIPE, "pipe") W(COVER_GRATING, "grating")
#define WORDS_lip(W) W(LIP_FLAT, "flat") W(LIP_SHARP, "sharp")
#define WORDS_style(W) \
	W(STYLE_NONE, "none") W(STYLE_WILDLIFE, "wildlife") W(STYLE_ORNAMENTAL, "ornamental") W(STYLE_FISH, "fish")
#define WORDS_soil(W) \
	W(SOIL_TOPSOIL, "topsoil") W(SOIL_LOAM, "loam") W(SOIL_SAND, "sand") W(SOIL_GRAVEL, "gravel") \
	W(SOIL_CLAY, "clay") W(SOIL_CHALK, "chalk") W(SOIL_ROCK, "rock")
#define WORDS_spoil(W) W(SPOIL_TAKE_AWAY, "take-away") W(SPOIL_KEEP, "keep")
#define WORDS_skip_place(W) W(SKIP_DRIVE, "drive") W(SKIP_ROAD, "road") W(SKIP_NONE, "none")
#define WORDS_nation(W) \
	W(NATION_ENGLAND, "england") W(NATION_WALES, "wales") W(NATION_SCOTLAND, "scotland") \
	W(NATION_NORTHERN_IRELAND, "northern-ireland") W(NATION_IRELAND, "ireland") \
	W(NATION_UNITED_STATES, "united-states") W(NATION_OTHER, "other")

#include "fact_words.h" /* the words of /facts, and FACT_WORD_LISTS */

/* Lists whose words come from config/; the server fills them when it loads. */
#define CATALOGUE_LISTS(L) \
	L(regions) L(editions) L(shells) L(pumps) L(edges) L(root_plants) L(fittings) L(bores)

#define WORD_LISTS(L) \
	L(work) L(client) L(outline) L(profile) L(wall) L(old_shell) L(collar) L(roots) L(bed) L(cover) L(lip) L(style) L(soil) \
	L(spoil) L(skip_place) L(nation) FACT_WORD_LISTS(L)

enum word_list {
#define L(name) LIST_##name,
	LIST_none_at_all, WORD_LISTS(L) LIST_FIXED_COUNT, LIST_before_catalogue = LIST_FIXED_COUNT - 1,
	CATALOGUE_LISTS(L) LIST_COUNT
#undef L
};

#define W(id, word) id,
#define L(name) enum name##_word { WORDS_##name(W) name##_COUNT };
WORD_LISTS(L)
#undef L
#undef W

/* The words of a fixed list and how many; NULL and 0 for a list of the catalogue. */
const char *const *words_of_list(enum word_list list, uint32_t *count);

#endif
