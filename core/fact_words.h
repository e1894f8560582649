#ifndef PONDWRIGHT_FACT_WORDS_H
#define PONDWRIGHT_FACT_WORDS_H

/* The fixed words of /facts, in the form of words.h, which includes this file. Lists that the rest of the enquiry
 * has already (nation, client) are not repeated. A list read by a FACT_SET row holds at most 32 words, since a
 * set is one bit a word. */

#define WORDS_setting(W) \
	W(SETTING_HOUSE_GARDEN, "house-garden") W(SETTING_FLATS_GROUNDS, "flats-grounds") \
	W(SETTING_FARMLAND, "farmland") W(SETTING_WOODLAND, "woodland") \
	W(SETTING_PUBLIC_OPEN_SPACE, "public-open-space") W(SETTING_SCHOOL_GROUNDS, "school-grounds") \
	W(SETTING_BUSINESS_PREMISES, "business-premises") W(SETTING_OTHER, "other")
#define WORDS_work_kind(W) /* a set */ \
	W(WORK_KIND_NEW_POND, "new-pond") W(WORK_KIND_REBUILD, "rebuild") W(WORK_KIND_DESILT, "desilt") \
	W(WORK_KIND_RELINE, "reline") W(WORK_KIND_INFILL, "infill") W(WORK_KIND_DRAIN_DOWN, "drain-down") \
	W(WORK_KIND_STREAM_OR_CASCADE, "stream-or-cascade") W(WORK_KIND_PLANTING_ONLY, "planting-only")
#define WORDS_species(W) /* a set; otters, bats, birds and badgers by the place that they use */ \
	W(SPECIES_GREAT_CRESTED_NEWT, "great-crested-newt") W(SPECIES_NATTERJACK_TOAD, "natterjack-toad") \
	W(SPECIES_POOL_FROG, "pool-frog") W(SPECIES_OTTER_HOLT, "otter-holt") W(SPECIES_BAT_ROOST, "bat-roost") \
	W(SPECIES_SAND_LIZARD, "sand-lizard") W(SPECIES_SMOOTH_SNAKE, "smooth-snake") W(SPECIES_BEAVER, "beaver") \
	W(SPECIES_DORMOUSE, "dormouse") W(SPECIES_WATER_VOLE, "water-vole") \
	W(SPECIES_WHITE_CLAWED_CRAYFISH, "white-clawed-crayfish") W(SPECIES_GRASS_SNAKE, "grass-snake") \
	W(SPECIES_SLOW_WORM, "slow-worm") W(SPECIES_COMMON_LIZARD, "common-lizard") W(SPECIES_ADDER, "adder") \
	W(SPECIES_COMMON_FROG, "common-frog") W(SPECIES_COMMON_TOAD, "common-toad") \
	W(SPECIES_SMOOTH_NEWT, "smooth-newt") W(SPECIES_PALMATE_NEWT, "palmate-newt") \
	W(SPECIES_ACTIVE_BIRD_NEST, "active-bird-nest") W(SPECIES_BADGER_SETT, "badger-sett") \
	W(SPECIES_NON_NATIVE_CRAYFISH, "non-native-crayfish")
#define WORDS_newt_survey(W) \
	W(NEWT_SURVEY_NONE_NEEDED, "none-needed") W(NEWT_SURVEY_NOT_DONE, "not-done") \
	W(NEWT_SURVEY_BOOKED, "booked") W(NEWT_SURVEY_NEGATIVE, "negative") W(NEWT_SURVEY_POSITIVE, "positive")
#define WORDS_tree_protection(W) /* a set */ \
	W(TREE_TPO, "tpo") W(TREE_CONSERVATION_AREA, "conservation-area")
#define WORDS_protected_area(W) /* a set */ \
	W(AREA_NATIONAL_PARK, "national-park") W(AREA_NATIONAL_LANDSCAPE, "national-landscape") \
	W(AREA_BROADS, "broads") W(AREA_WORLD_HERITAGE, "world-heritage") \
	W(AREA_CONSERVATION_AREA, "conservation-area")
#define WORDS_permission(W) W(PERMISSION_NONE, "none") W(PERMISSION_GRANTED, "granted")
#define WORDS_monument(W) W(MONUMENT_NO, "no") W(MONUMENT_INSIDE, "inside") W(MONUMENT_NEAR, "near")
#define WORDS_watercourse_class(W) \
	W(WATERCOURSE_NONE, "none") W(WATERCOURSE_ORDINARY, "ordinary") W(WATERCOURSE_MAIN, "main")
#define WORDS_watercourse_link(W) \
	W(LINK_NONE, "none") W(LINK_INLET, "inlet") W(LINK_OUTLET, "outlet") W(LINK_BOTH, "both") \
	W(LINK_ON_LINE, "on-line")
#define WORDS_fill_source(W) \
	W(FILL_MAINS, "mains") W(FILL_RAIN, "rain") W(FILL_STREAM, "stream") W(FILL_SPRING, "spring") \
	W(FILL_BOREHOLE, "borehole") W(FILL_TANKER, "tanker")
#define WORDS_dewater_to(W) \
	W(DEWATER_NONE, "none") W(DEWATER_GROUND_ON_SITE, "ground-on-site") W(DEWATER_WATERCOURSE, "watercourse") \
	W(DEWATER_SURFACE_DRAIN, "surface-drain") W(DEWATER_FOUL_SEWER, "foul-sewer") W(DEWATER_TANKER, "tanker")
#define WORDS_fish_action(W) \
	W(FISH_NONE, "none") W(FISH_KEEP, "keep") W(FISH_ADD, "add") W(FISH_REMOVE, "remove")
#define WORDS_herbicide_target(W) W(HERBICIDE_ON_OTHER, "other") W(HERBICIDE_ON_INVASIVE, "invasive")
#define WORDS_silt_disposal(W) \
	W(SILT_NONE, "none") W(SILT_BANK_SAME_WATER, "bank-same-water") W(SILT_OTHER_LAND, "other-land") \
	W(SILT_OTHER_WATER_BANK, "other-water-bank") W(SILT_OFF_SITE, "off-site")
#define WORDS_services_search(W) W(SEARCH_DONE, "done") W(SEARCH_NOT_DONE, "not-done")
#define WORDS_support(W) W(SUPPORT_NONE, "none") W(SUPPORT_BATTERED, "battered") W(SUPPORT_SUPPORTED, "supported")
#define WORDS_electrical(W) \
	W(ELECTRICAL_NONE, "none") W(ELECTRICAL_LOW_VOLTAGE, "low-voltage") W(ELECTRICAL_PLUG_IN, "plug-in") \
	W(ELECTRICAL_FIXED_EXISTING_CIRCUIT, "fixed-existing-circuit") W(ELECTRICAL_NEW_CIRCUIT, "new-circuit")
#define WORDS_barrier(W) W(BARRIER_NONE, "none") W(BARRIER_FENCE, "fence") W(BARRIER_GRILLE, "grille")

#define FACT_WORD_LISTS(L) \
	L(setting) L(work_kind) L(species) L(newt_survey) L(tree_protection) L(protected_area) L(permission) \
	L(monument) L(watercourse_class) L(watercourse_link) L(fill_source) L(dewater_to) L(fish_action) \
	L(herbicide_target) L(silt_disposal) L(services_search) L(support) L(electrical) L(barrier)

#endif
