#include <check.h>
#include <stdlib.h>

#include "config_edit.h"

/* One slip in an otherwise good configuration, and what is said of it. */
#define ITEMS "items/materials.json"
#define GROUND "build-ups/ground.json"
#define OCTOBER "regions/small-a/2026-10.json"
#define REGION "regions/small-a/region.json"

static const struct spoilt {
	const char *path, *edit, *json; /* the edit: where, and to what; NULL takes away */
	const char *file, *pointer, *reason;
} spoilt[] = {
	/* members */
	{ITEMS, "/items/0/titel", "\"x\"", ITEMS, "/items/0/titel", "not a member that is known here; did you mean title"},
	{ITEMS, "/items/0/title", NULL, ITEMS, "/items/0/title", "is missing"},
	{ITEMS, "/items/0/title", "7", ITEMS, "/items/0/title", "must be a text"},
	{ITEMS, "/items/0/title", "\"\"", ITEMS, "/items/0/title", "is empty"},
	{ITEMS, "/items/0/title", "\"a\\nb\"", ITEMS, "/items/0/title", "control character"},
	{ITEMS, "/items/0/title", "null", ITEMS, "/items/0/title", "is null"},
	{ITEMS, "/items/0/id", "\"Sheet\"", ITEMS, "/items/0/id", "lower-case"},
	{ITEMS, "/items/0/id", "\"pipe\"", ITEMS, "/items/2", "another item named pipe"},
	{ITEMS, "/items/0", "[]", ITEMS, "/items/0", "must be an object"},
	{ITEMS, "/items", "{}", ITEMS, "/items", "must be a list"},
	{ITEMS, "/items", "[]", ITEMS, "/items", "holds 0 entries"},
	{"sections.json", "/sections/-", "{\"id\": \"idle\", \"title\": \"Idle\"}", "sections.json", "/sections/6", "nothing uses it"},
	{"grades.json", "/grades/-", "{\"id\": \"idle\", \"title\": \"Idle\"}", "grades.json", "/grades/2", "nothing uses it"},
	/* items */
	{ITEMS, "/items/0/unit", "\"m22\"", ITEMS, "/items/0/unit", "did you mean m2"},
	{ITEMS, "/items/0/component", "\"labour\"", ITEMS, "/items/0/component", "priced by grade"},
	{ITEMS, "/items/0/component", "\"hire\"", ITEMS, "/items/0/unit", "counted in h"},
	{ITEMS, "/items/0/packs", "[]", ITEMS, "/items/0/packs", "holds 0 entries"},
	{ITEMS, "/items/0/packs/0/size", "0", ITEMS, "/items/0/packs/0/size", "0 is outside 0.001 to"},
	{ITEMS, "/items/0/packs/0/id", "\"delivery\"", ITEMS, "/items/0/packs/0", "can't be named delivery"},
	{ITEMS, "/items/0/packs/0/id", "\"cut\"", ITEMS, "/items/0/packs/1", "another pack"},
	{ITEMS, "/items/0/kgco2e_source", NULL, ITEMS, "/items/0/kgco2e_source", "is missing"},
	{"items/plant.json", "/items/1/density", NULL, "items/plant.json", "/items/1/density", "says most_t"},
	{"items/plant.json", "/items/1/density", "\"dig_m3\"", "items/plant.json", "/items/1/density", "its unit is m3"},
	{"items/plant.json", "/items/1/density", "\"spoil_loose_t_per_m\"", "items/plant.json", "/items/1/density",
		"did you mean spoil_loose_t_per_m3"},
	{ITEMS, "/items/-",
		"{\"id\": \"rope\", \"title\": \"Rope\", \"component\": \"material\", \"unit\": \"m\", "
		"\"packs\": [{\"id\": \"reel\", \"title\": \"Reel\", \"size\": 9}]}",
		ITEMS, "/items/4", "nothing uses it"},
	/* tasks, factors */
	{"tasks.json", "/tasks/3/follows", "[\"fill\"]", "tasks.json", "/tasks", "pump follows dig follows fill follows pump"},
	{"tasks.json", "/tasks/0/follows/1", "\"pumps\"", "tasks.json", "/tasks/0/follows/1", "did you mean pump"},
	{"tasks.json", "/tasks/3/follows", "[\"dig\"]", "tasks.json", "/tasks", "dig follows dig"},
	{"tasks.json", "/tasks/-", "{\"id\": \"rest\", \"title\": \"Rest\"}", "tasks.json", "/tasks/4", "no build-up belongs"},
	{"factors.json", "/factors/0/cases/0/times", "0", "factors.json", "/factors/0/cases/0/times", "is outside"},
	{"factors.json", "/factors/1/points/1/0", "0", "factors.json", "/factors/1/points/1", "x must rise"},
	{"factors.json", "/factors/1/by", NULL, "factors.json", "/factors/1", "cases, or by and points"},
	{"factors.json", "/factors/1/by/fact", "\"/site/soil\"", "factors.json", "/factors/1/by", "is no number"},
	{"factors.json", "/factors/1/by", "{\"quantity\": \"crew_days\"}", "factors.json", "/factors/1/by/quantity",
		"known only after the bill"},
	{"factors.json", "/factors/-", "{\"id\": \"idle\", \"title\": \"Idle\", \"cases\": [{\"when\": {\"all\": []}, \"times\": 2}]}",
		"factors.json", "/factors/2", "no build-up names this factor"},
	/* build-ups */
	{GROUND, "/build_ups/0/wait_hours", "\"dig_m3\"", GROUND, "/build_ups/0/wait_hours", "a quantity in hours"},
	{GROUND, "/build_ups/0/wait_hours", "\"fill_hh\"", GROUND, "/build_ups/0/wait_hours", "did you mean fill_h"},
	{GROUND, "/build_ups/0/measured_by", "\"dig_m\"", GROUND, "/build_ups/0/measured_by", "did you mean dig_m3"},
	{GROUND, "/build_ups/0/measured_by", "\"work_days\"", GROUND, "/build_ups/0/measured_by", "known only after the programme"},
	{GROUND, "/build_ups/0/measured_by", "\"nation\"", GROUND, "/build_ups/0/measured_by", "is no number"},
	{GROUND, "/build_ups/0/section", "\"excavations\"", GROUND, "/build_ups/0/section", "did you mean excavation"},
	{GROUND, "/build_ups/0/section", "\"water\"", GROUND, "/build_ups/0/section", "differs from the section of its group"},
	{GROUND, "/build_ups/0/why_not", NULL, GROUND, "/build_ups/0/why_not", "says why it can't be done"},
	{GROUND, "/build_ups/2/why_not", "\"Because.\"", GROUND, "/build_ups/2/why_not", "belongs to a method"},
	{GROUND, "/build_ups/2/costs", NULL, GROUND, "/build_ups/2", "costs nothing"},
	{GROUND, "/build_ups/2/costs/0/item", "\"skips\"", GROUND, "/build_ups/2/costs/0/item", "did you mean skip"},
	{GROUND, "/build_ups/2/costs/0/amount", "-1", GROUND, "/build_ups/2/costs/0/amount", "-1 is outside"},
	{GROUND, "/build_ups/2/costs/0/per", "\"month\"", GROUND, "/build_ups/2/costs/0/per", "not a word that is known"},
	{GROUND, "/build_ups/0/labour/0/per", "\"visit\"", GROUND, "/build_ups/0/labour/0/per", "not a word that is known"},
	{GROUND, "/build_ups/0/labour/0/grade", "\"laborer\"", GROUND, "/build_ups/0/labour/0/grade", "did you mean labourer"},
	{GROUND, "/build_ups/0/labour/0/factors/1", "\"soil\"", GROUND, "/build_ups/0/labour/0/factors/1", "counts twice"},
	{GROUND, "/build_ups/0/applies", "{\"quantity\": \"visits\", \"at_most\": 1}", GROUND, "/build_ups/0/applies/quantity",
		"known only after the bill"},
	{GROUND, "/groups/-", "{\"id\": \"idle\", \"title\": \"Idle\", \"measured_by\": \"job\", \"section\": \"water\"}", GROUND,
		"/groups/1", "no build-up is a method"},
	/* shells */
	{"shells/cast.json", "/layers/0/build_up", "\"lay-sheet\"", "shells/cast.json", "/layers/0/build_up",
		"not measured by sheet_m2"},
	{"shells/cast.json", "/layers/0/thickness_mm", NULL, "shells/cast.json", "/layers/0/thickness_mm", "is missing"},
	{"shells/cast.json", "/layers/0/choose", "\"digging\"", "shells/cast.json", "/layers/0", "either build_up or choose"},
	{"shells/cast.json", "/form", "\"clay\"", "shells/cast.json", "/form", "has no clay layer"},
	{"shells/cast.json", "/layers/0/when/quantity", "\"dig_m3\"", "shells/cast.json", "/layers/0/when/quantity",
		"known only after the take-off"},
	{"shells/cast.json", "/service_life_years", NULL, "shells/cast.json", "/service_life_years", "is missing"},
	{"shells/sheet.json", "/renewals/0/build_ups/0", "\"lay-sheets\"", "shells/sheet.json", "/renewals/0/build_ups/0",
		"did you mean lay-sheet"},
	/* water */
	{"pumps.json", "/pumps/0/curve/2/1", "4.6", "pumps.json", "/pumps/0/curve", "the flow rises and the head falls"},
	{"pumps.json", "/pumps/0/curve/0/0", "10", "pumps.json", "/pumps/0/curve", "the first at no flow"},
	{"pumps.json", "/pumps/0/curve/4", NULL, "pumps.json", "/pumps/0/curve", "holds 4 entries"},
	{"pumps.json", "/pumps/0/item", "\"pomp\"", "pumps.json", "/pumps/0/item", "did you mean pump"},
	{"pipes.json", "/bores/0/bore_mm", "26", "pipes.json", "/bores/1", "another bore of this width"},
	{"pipes.json", "/bores/0/bore_mm", "5", "pipes.json", "/bores/0/bore_mm", "5 is outside 8 to 200"},
	{"styles.json", "/styles/fish/equipment/filters", "1", "styles.json", "/styles/fish/equipment/filters",
		"did you mean filter"},
	{"styles.json", "/styles/fish", NULL, "styles.json", "/styles/fish", "is missing"},
	/* ground, plants */
	{"soils.json", "/soils/clay", NULL, "soils.json", "/soils/clay", "is missing"},
	{"soils.json", "/soils/peat", "{}", "soils.json", "/soils/peat", "not a member that is known"},
	{"soils.json", "/soils/clay/swell", "0.2", "soils.json", "/soils/clay/swell", "0.2 is outside 1 to 2.5"},
	{"practice.json", "/practice/sheet_flap_m", NULL, "practice.json", "/practice/sheet_flap_m", "is missing: Sheet beyond"},
	{"practice.json", "/practice/sheet_flap_m/value", "9", "practice.json", "/practice/sheet_flap_m/value", "9 is outside 0.1 to 1.5"},
	{"practice.json", "/practice/sheet_flap_m/source", NULL, "practice.json", "/practice/sheet_flap_m/source", "is missing"},
	{"practice.json", "/practice/sheet_flop_m", "{}", "practice.json", "/practice/sheet_flop_m", "did you mean sheet_flap_m"},
	{"plants.json", "/plants/0/latin", "\"crassula helmsii\"", "plants.json", "/plants/0/latin", "among the banned species"},
	{"plants.json", "/plants/0/role", "\"margins\"", "plants.json", "/plants/0/role", "did you mean margin"},
	/* unknowns */
	{"unknowns.json", "/unknowns/0", NULL, "unknowns.json", "/unknowns", "/pond/profile/kind has no row that holds always"},
	{"unknowns.json", "/unknowns/0/pointer", "\"/pond/profil/kind\"", "unknowns.json", "/unknowns/0/pointer",
		"did you mean /pond/profile/kind"},
	{"unknowns.json", "/unknowns/0/pointer", "\"/pond/depth_m\"", "unknowns.json", "/unknowns/0/pointer", "no field that is assumed"},
	{"unknowns.json", "/unknowns/0/likely", "\"battred\"", "unknowns.json", "/unknowns/0/likely", "did you mean battered"},
	{"unknowns.json", "/unknowns/1/likely", "21", "unknowns.json", "/unknowns/1/likely", "21 is outside 0 to 20"},
	{"unknowns.json", "/unknowns/1/low", "0.5", "unknowns.json", "/unknowns/1/high", "is missing"},
	{"unknowns.json", "/unknowns/1/spread", "\"uniform\"", "unknowns.json", "/unknowns/1/spread", "nothing to act on"},
	{"unknowns.json", "/unknowns/0/low", "1", "unknowns.json", "/unknowns/0/low", "is for numbers"},
	{"unknowns.json", "/unknowns/0/when", "{\"fact\": \"/site/soil\", \"is\": \"clay\"}", "unknowns.json",
		"/unknowns/0/when/fact", "has no value yet"},
	{"unknowns.json", "/unknowns/0/where", "\"post\"", "unknowns.json", "/unknowns/0/where", "not a word that is known"},
	{"unknowns.json", "/unknowns/0/question", NULL, "unknowns.json", "/unknowns/0/question", "is missing"},
	/* rules, notes */
	{"rules/common.json", "/rules/0/when/has", "\"great-crested-newts\"", "rules/common.json", "/rules/0/when/has",
		"did you mean great-crested-newt"},
	{"rules/common.json", "/rules/0/when", "{\"fact\": \"/facts/work_months\", \"overlaps\": [3, 8]}", "rules/common.json",
		"/rules/0/when/fact", "known only after the programme"},
	{"rules/common.json", "/rules/0/nations/0", "\"cymru\"", "rules/common.json", "/rules/0/nations/0", "not a word that is known"},
	{"rules/common.json", "/rules/0/sum", "\"surveys\"", "rules/common.json", "/rules/0/sum", "did you mean survey"},
	{"rules/common.json", "/rules/0/sum", NULL, "sums.json", "/sums/0", "no rule brings this sum"},
	{"rules/common.json", "/rules/0/level", "\"ask\"", "rules/common.json", "/rules/0/level", "must be stop, check or note"},
	{"rules/common.json", "/rules/0/ask", NULL, "rules/common.json", "/rules/0/ask", "is missing"},
	{"rules/common.json", "/rules/0/verified", "\"yes\"", "rules/common.json", "/rules/0/verified", "not a word that is known"},
	{"rules/common.json", "/rules/0/verified_on", "\"2026-02-30\"", "rules/common.json", "/rules/0/verified_on", "is no day"},
	{"rules/common.json", "/rules/1/season", "\"any\"", "rules/common.json", "/rules/1/season", "left out"},
	{"rules/wales.json", "/rules/0/id", "\"newt\"", "rules/wales.json", "/rules/0", "another rule named newt"},
	{"rules/wales.json", "/rules/0/nations", "[\"wales\"]", "rules/wales.json", "/rules/0/nations", "not a member"},
	{"notes.json", "/cautions/0/id", "\"furniture\"", "notes.json", "/excluded/0", "another note named furniture"},
	/* regions */
	{REGION, "/nation", "\"englund\"", REGION, "/nation", "did you mean england"},
	{REGION, "/currency", "\"gbp\"", REGION, "/currency", "three capitals"},
	{REGION, "/climate", "\"temprate\"", REGION, "/climate", "did you mean temperate"},
	{REGION, "/presets/~1pond~1freeboard_m", "3", REGION, "/presets/~1pond~1freeboard_m", "3 is outside 0 to 1"},
	{REGION, "/presets/~1site~1soil", "\"clay\"", REGION, "/presets/~1site~1soil", "is no field with a default"},
	{REGION, "/presets/~1facts~1fill_source", "\"rain\"", REGION, "/presets/~1facts~1fill_source", "is no field with a default"},
	{REGION, "/holidays/0", "\"2026-13-25\"", REGION, "/holidays/0", "is no day"},
	{REGION, "/holidays/0", "\"2027-01-01\"", REGION, "/holidays", "names a day twice"},
	{REGION, "/weather_lost/0", "1", REGION, "/weather_lost/0", "1 is outside 0 to 0.95"},
	{REGION, "/works", "[false,false,false,false,false,false,false]", REGION, "/works", "no day of the week"},
	{REGION, "/frost/concrete/0", "13", REGION, "/frost/concrete/0", "13 is outside 1 to 12"},
	/* editions */
	{OCTOBER, "/prices/sheet/cut", "-1", OCTOBER, "/prices/sheet/cut", "-1 is outside 0 to"},
	{OCTOBER, "/prices/sheet/cut", "7.123456", OCTOBER, "/prices/sheet/cut", "more than 5 decimals"},
	{OCTOBER, "/prices/sheet/cot", "7", OCTOBER, "/prices/sheet/cot", "did you mean cut"},
	{OCTOBER, "/prices/sheet/delivery", "7", OCTOBER, "/prices/sheet/delivery", "prices nothing"},
	{OCTOBER, "/prices/sheets", "{}", OCTOBER, "/prices/sheets", "did you mean sheet"},
	{OCTOBER, "/labour/skilled", NULL, OCTOBER, "/labour/skilled", "is missing"},
	{OCTOBER, "/labour/skiled", "3", OCTOBER, "/labour/skiled", "did you mean skilled"},
	{OCTOBER, "/sums/survey", NULL, OCTOBER, "/sums/survey", "is missing"},
	{OCTOBER, "/sums/survey", "650.001", OCTOBER, "/sums/survey", "more than 2 decimals"},
	{OCTOBER, "/shares/margin", "1", OCTOBER, "/shares/margin", "1 is outside 0 to 0.95"},
	{OCTOBER, "/shares/risk", "0.1234567", OCTOBER, "/shares/risk", "more than 6 decimals"},
	{OCTOBER, "/tax/classes/0/rate", "20", OCTOBER, "/tax/classes/0/rate", "20 is outside 0 to 1"},
	{OCTOBER, "/tax/of/hire", "\"reduced\"", OCTOBER, "/tax/of/hire", "no tax class of this edition is named reduced"},
	{OCTOBER, "/payment/0/share", "0.3", OCTOBER, "/payment", "1050000 parts in a million"},
	{OCTOBER, "/crew/productive_h", "9", OCTOBER, "/crew", "more hours are worked than paid"},
	{OCTOBER, "/from", "\"2026-11-01\"", OCTOBER, "/from", "does not begin with the name of the file"},
	{OCTOBER, "/round_net", "0", OCTOBER, "/round_net", "at least the smallest coin"},
	/* service */
	{"service.json", "/default_region", "\"small-c\"", "service.json", "/default_region", "did you mean small-a"},
	{"service.json", "/allowed_origins/0", "\"https://www.example.test/\"", "service.json", "/allowed_origins/0", "an origin alone"},
	{"service.json", "/body_limit", "1", "service.json", "/body_limit", "not a member"},
};
enum { SPOILT = sizeof spoilt / sizeof spoilt[0] };

START_TEST(one_slip_is_named_with_file_key_and_reason)
{
	const struct spoilt *s = &spoilt[_i];
	struct config *config;

	config_edit(&small_files, s->path, s->edit, s->json);
	config = config_compile(&small_files, &small_faults);
	ck_assert_ptr_null(config);
	if (!has_fault(&small_faults, s->file, s->pointer, s->reason))
		faults_print(&small_faults, stderr);
	ck_assert_msg(has_fault(&small_faults, s->file, s->pointer, s->reason), "%s %s: no \"%s\"", s->file, s->pointer, s->reason);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("config slips");
	TCase *slips = tcase_create("slips");
	SRunner *runner;
	int failed;

	tcase_add_checked_fixture(slips, open_small, close_small);
	tcase_add_loop_test(slips, one_slip_is_named_with_file_key_and_reason, 0, SPOILT);
	suite_add_tcase(suite, slips);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
