#include "made_enquiries.h"

#include <math.h>
#include <stdio.h>

#define CIRCLE(diameter, deep) "'pond':{'outline':{'kind':'circle','diameter_m':" diameter "},'depth_m':" deep "}"
#define BOX(length, width, deep, more) \
	"'pond':{'outline':{'kind':'rectangle','length_m':" length ",'width_m':" width "},'depth_m':" deep more "}"
#define UPRIGHT ",'profile':{'kind':'vertical'}"

const char *const directed_enquiries[] = {
	/* what trade constants work on: a sheet with seams and folds, silt, roots, a kept rim, a loose and a mortared stream */
	"{'region':'demo-north','shell':'epdm-liner'," CIRCLE("14", "1.2") ",'old_pond':{'plants_kept_share':0.2,'collar':'break-out'},"
	"'roots':{'extent':'patches','plant':'common-reed','outside_pond':true},'edge':{'coping_m':8,'beach_m':8}}",
	"{'region':'demo-north','shell':'rendered-concrete'," BOX("6", "4", "1.4", UPRIGHT ",'water_above_ground_m':0.5,'wall':'block'")
	",'site':{'water_table_depth_m':0.4},'planting':{'style':'fish'}}",
	"{'region':'demo-north','shell':'plain-concrete'," BOX("6", "4", "1.1", UPRIGHT ",'water_above_ground_m':0.5,'wall':'concrete'") "}",
	"{'region':'demo-north','shell':'epdm-liner'," BOX("6", "4", "1.4", UPRIGHT) ",'old_pond':{'shell':'preformed'}}",
	"{'region':'demo-north'," BOX("6", "4", "0.9", ",'water_above_ground_m':0.4") ",'site':{'spoil':'keep'}}",
	"{'region':'demo-north'," CIRCLE("6", "1") ",'old_pond':{'shell':'concrete'},'stream':{'length_m':7,'fall_m':4,"
	"'cascades':[{'width_m':0.6,'drop_m':0.5,'lip':'flat'}]},'planting':{'style':'ornamental'}}",
	"{'region':'demo-north'," CIRCLE("6", "1") ",'old_pond':{'shell':'clay'},'stream':{'length_m':7,'fall_m':1,'bed':'loose'}}",
	"{'region':'demo-north'," CIRCLE("5", "1") ",'planting':{'style':'ornamental'}}",
	"{'region':'demo-north','issued_on':'2027-01-04','shell':'rendered-concrete'," CIRCLE("5", "1") ",'edge':{'coping_m':5}}",
	"{'region':'demo-north','shell':'rendered-concrete'," BOX("6", "4", "1", ",'profile':{'kind':'battered','side_slope':0.4}") "}",
	"{'region':'demo-north'," CIRCLE("5", "1") ",'water':{'flow_l_per_h':6500,'static_m':1.5,'run_m':40}}",
	"{'region':'demo-north'," CIRCLE("5", "1") ",'water':{'flow_l_per_h':3000,'static_m':0.5,'run_m':5,'bore_mm':26}}",
	"{'region':'demo-north'," CIRCLE("5", "1") ",'water':{'flow_l_per_h':2600,'static_m':1,'run_m':3}}",
	/* works that the fixtures leave out */
	"{'region':'demo-north','work':'repair'," CIRCLE("5", "1") ",'old_pond':{'shell':'flexible-liner'}}",
	"{'region':'demo-north','work':'repair'," CIRCLE("5", "1") ",'old_pond':{'shell':'concrete','collar':'keep'}}",
	"{'region':'demo-north','work':'repair'," CIRCLE("5", "1") ",'old_pond':{'shell':'clay'}}",
	"{'region':'demo-north','work':'infill'," CIRCLE("9", "1.2") ",'old_pond':{'shell':'concrete'},'site':{'lorry_distance_m':5,"
	"'access_width_m':3}}",
	"{'region':'demo-north','work':'infill'," CIRCLE("3", "0.7") "}",
	"{'region':'demo-north','shell':'epdm-liner'," CIRCLE("5", "1") ",'old_pond':{},'roots':{'extent':'throughout'}}",
	/* ways in */
	"{'region':'demo-north'," CIRCLE("6", "1.3") ",'site':{'access_width_m':0.85,'headroom_m':2.1,'spoil':'keep'}}",
	"{'region':'demo-north'," CIRCLE("6", "1.3") ",'site':{'access_width_m':0.65,'lorry_distance_m':9,'spoil':'keep'},"
	"'stream':{'length_m':6,'fall_m':1,'largest_stone_kg':1500}}",
	"{'region':'demo-north'," CIRCLE("6", "1.3") ",'old_pond':{'shell':'concrete'},'site':{'access_width_m':0.8,'steps':14,"
	"'skip_place':'none','lorry_distance_m':70,'carry_m':70}}",
	"{'region':'demo-north'," CIRCLE("4", "0.8") ",'site':{'through_building':true,'skip_place':'none'},'facts':{"
	"'neighbour_structure_distance_m':2,'dig_below_neighbour_foundations':true}}",
};
const uint32_t n_directed_enquiries = sizeof directed_enquiries / sizeof directed_enquiries[0];

/* Ponds of every size, soil, way in, old pond and stone, in every region: lists of lengths that share no divisor, walked
 * side by side. */
enum { SWEEP = 840 };

static const char *swept(char *text, size_t size, uint32_t i)
{
	static const char *const regions[] = {"demo-north", "demo-isle", "demo-highland", "demo-coast"};
	static const char *const old_shells[] = {"none", "flexible-liner", "concrete", "preformed", "clay"};
	static const double lengths_m[] = {2.5, 3.2, 4.5, 6, 9, 13, 20, 33, 50};
	static const double widths_m[] = {0.7, 0.78, 0.85, 1, 1.3, 1.8, 2.3, 3.2, 2.6, 0.9, 1.2};
	const char *soil = config_word(shipped(), LIST_soil, i % soil_COUNT);
	const char *stone = config_word(shipped(), LIST_edges, i / 3 % shipped()->catalogue.n_edges);
	const char *plant = config_word(shipped(), LIST_root_plants, i / 5 % shipped()->catalogue.n_root_plants);
	double length_m = lengths_m[i % 9];

	snprintf(text, size,
	         "{'region':'%s','work':'rebuild','pond':{'outline':{'kind':'ellipse','length_m':%g,'width_m':%g},'depth_m':%g},"
	         "'old_pond':{'shell':'%s','collar':'break-out'},'roots':{'extent':'patches','plant':'%s'},"
	         "'edge':{'coping_m':%g,'material':'%s'},'stream':{'length_m':4,'fall_m':1,'rockwork_t':%g,'largest_stone_kg':%u},"
	         "'site':{'soil':'%s','access_width_m':%g,'lorry_distance_m':%u,'water_table_depth_m':%g}}",
	         regions[i % 4], length_m, 0.7 * length_m, 0.5 + i % 13 * 0.1, old_shells[i % 5], plant, i % 17 * 0.14 * length_m,
	         stone, 0.3 + i % 23, 40 + i % 19 * 20, soil, widths_m[i % 11], 4 + i % 37 * 2, 0.3 + i % 29 * 0.15);
	return text;
}

static void sweep(made_function *ask)
{
	char text[2048], name[40];

	for (uint32_t i = 0; i < SWEEP; i++) {
		json_t *enquiry = outcome_json(swept(text, sizeof text, i));

		snprintf(name, sizeof name, "sweep %u", i);
		ask(name, enquiry);
		json_decref(enquiry);
	}
}

/* Flows and lifts of every pump, on long and short runs, on a bore of choice and on each that is sold. */
static void water(made_function *ask)
{
	static const char with[] = "{'region':'demo-north','work':'stream','stream':{'length_m':3,'fall_m':1,'width_m':0.1},"
	                           "'water':{'flow_l_per_h':%g,'static_m':%g,'run_m':%g%s}}";
	char text[400], bore[40] = "", name[40];

	for (uint32_t i = 0; i < 600; i++) {
		double flow_l_per_h = 300 * pow(1.1, i % 50);
		json_t *enquiry;

		if (i >= 300)
			snprintf(bore, sizeof bore, ",'bore_mm':%g", shipped()->catalogue.bores[i % shipped()->catalogue.n_bores].bore_mm);
		snprintf(text, sizeof text, with, flow_l_per_h, 0.2 + i % 7 * (flow_l_per_h > 9000 ? 1.2 : 0.35), 2 + i % 11 * 6.0, bore);
		enquiry = outcome_json(text);
		snprintf(name, sizeof name, "water %u", i);
		ask(name, enquiry);
		json_decref(enquiry);
	}
}

void made_enquiries(made_function *ask)
{
	sweep(ask);
	water(ask);
}
