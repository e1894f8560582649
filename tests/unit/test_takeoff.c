#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "priced.h"

/* Figures are worked out in the comments, from the trade constants of config/practice.json where one is needed. The
 * tolerance is 1e-6 of the figure's own unit, the grain in which quantities are kept, unless the comment says another. */
#define NEAR(is, should) ck_assert_double_eq_tol(is, should, 2e-6)

/* A sheet on a standing side gets a wall behind it: the box's 14 m2 of sides, and the room that it takes. */
#define BACKING_M3 (14 * shipped()->catalogue.practice[P_backing_wall_m])

#define OVAL "'pond':{'outline':{'kind':'ellipse','length_m':5.5,'width_m':3.5},'depth_m':0.6"
#define BOX "'pond':{'outline':{'kind':'rectangle','length_m':4,'width_m':3},'depth_m':1"

/* Oval 5.5 x 3.5 x 0.6: 9.07, 6.72 and 5.03 m3 upright, at 45 degrees and as a dish; half of the last digit. */
START_TEST(profile_of_the_oval_matters)
{
	ck_assert_double_eq_tol(priced("{'region':'demo-north'," OVAL ",'profile':{'kind':'vertical'}}}")->q[Q_water_volume_m3],
	                        9.07, 0.005);
	ck_assert_double_eq_tol(
		priced("{'region':'demo-north'," OVAL ",'profile':{'kind':'battered','side_slope':1}}}")->q[Q_water_volume_m3], 6.72,
		0.005);
	ck_assert_double_eq_tol(priced("{'region':'demo-north'," OVAL ",'profile':{'kind':'dish'}}}")->q[Q_water_volume_m3], 5.03,
	                        0.005);
}
END_TEST

/* At 45 degrees with 50 mm of bed: about 7.7 m3 in the ground, 9.6 loose in loam (swell 1.25), which is two skips of
 * 8 yd3 (6.116 m3 each); by hand 2.2 h for each m3, about 17 h. */
START_TEST(phone_call_by_hand)
{
	const struct quote *quote =
		priced("{'region':'demo-north','shell':'epdm-liner'," OVAL ",'profile':{'kind':'battered','side_slope':1,"
		       "'shelf_width_m':0}},'site':{'soil':'loam','access_width_m':0.7,'carry_m':20}}");
	const struct line *dig = line_of(quote, "dig-by-hand");
	const struct line *skips = line_of(quote, "spoil-by-skip");
	double hours = 0;

	ck_assert_double_eq_tol(quote->q[Q_dig_m3], 7.7, 0.05);
	ck_assert_double_eq_tol(quote->q[Q_spoil_loose_m3], 9.6, 0.05);
	NEAR(quote->q[Q_spoil_loose_m3], quote->q[Q_dig_m3] * 1.25);
	ck_assert_ptr_nonnull(dig);
	for (uint32_t i = 0; i < GRADES_MOST; i++)
		hours += dig->hours[i];
	/* 16.9 h, and 15 % more for a way in under 0.9 m and 10 % for a start in December */
	ck_assert_double_eq_tol(hours, quote->q[Q_dig_m3] * 2.2 * 1.15 * 1.1, 1e-4);
	ck_assert_ptr_nonnull(skips);
	ck_assert_uint_eq(skips->needs.count, 1);
	{
		const struct item *item = &shipped()->catalogue.items[quote->needs[skips->needs.first].item];
		uint32_t bought = 0;

		for (uint32_t i = 0; i < item->packs.count; i++)
			bought += quote->bought[item->packs.first + i];
		ck_assert_uint_eq(bought, 2);
	}
}
END_TEST

/* Box 4 x 3 x 1 upright in concrete of 150 mm on 50 mm of blinding under 18 mm of render, freeboard 0.1:
 * render: 1 x 14 + 12 + 0.1 x 14 = 27.4 m2; with it the hole is 4.036 x 3.036 x 1.018 = 12.473949 m3, so render in place is
 * 0.473949 + 1.4 x 0.018 = 0.499149 m3;
 * concrete: 4.336 x 3.336 x 1.168 - 12.473949 = 4.421020 m3, + 1.4 x 0.15 = 4.631020;
 * blinding: 4.436 x 3.436 x 1.218 - 16.894969 = 1.670073;
 * dig: 18.565042 m3, 1.218 m deep */
START_TEST(concrete_is_the_hole_less_the_basin)
{
	const struct quote *quote = priced("{'region':'demo-north','shell':'rendered-concrete'," BOX
	                                   ",'profile':{'kind':'vertical'}},'site':{'soil':'clay','water_table_depth_m':5}}");
	double inner = 4.036 * 3.036 * 1.018, middle = 4.336 * 3.336 * 1.168, outer = 4.436 * 3.436 * 1.218;

	NEAR(quote->q[Q_render_m2], 27.4);
	NEAR(quote->q[Q_render_coat_m2], 2 * 27.4);
	NEAR(quote->q[Q_paint_coat_m2], 3 * 27.4);
	NEAR(quote->q[Q_render_m3], inner - 12 + 1.4 * 0.018);
	NEAR(quote->q[Q_concrete_m3], middle - inner + 1.4 * 0.15);
	NEAR(quote->q[Q_blinding_m3], outer - middle);
	NEAR(quote->q[Q_dig_m3], outer);
	NEAR(quote->q[Q_excavation_depth_m], 1.218);
	NEAR(quote->q[Q_formwork_m2], 14 + 1.4);
	NEAR(quote->q[Q_shell_kg_m2], 396); /* 150 mm of 2400 and 18 mm of 2000 kg/m3 */
	NEAR(quote->q[Q_underdrain_m], 0);
}
END_TEST

/* Groundwater 0.5 m down: 1.218 - 0.5 = 0.718 m over the underside, 718 kg/m2 up against 396 down. */
START_TEST(empty_shell_floats_when_uplift_passes_its_weight)
{
	static const char with[] = "{'region':'demo-north','shell':'rendered-concrete'," BOX
			   ",'profile':{'kind':'vertical'}},'site':{'water_table_depth_m':%s,'soil':'loam'}}";
	const struct quote *quote = priced_with(with, "0.5");

	NEAR(quote->q[Q_groundwater_head_m], 0.718);
	NEAR(quote->q[Q_uplift_kg_m2], 718);
	NEAR(quote->q[Q_shell_floats], 1);
	ck_assert(quote->q[Q_underdrain_m] > 0);
	NEAR(quote->q[Q_sump_count], 1);
	NEAR(quote->q[Q_dewater_m3_day], shipped()->catalogue.practice[P_seepage_m3_day_m2_m] * 12 * 0.718);
	/* 396 kg/m2 are 0.396 m of water: just under, it stays; just over, it floats */
	NEAR(priced_with(with, "0.823")->q[Q_shell_floats], 0);
	NEAR(priced_with(with, "0.821")->q[Q_shell_floats], 1);
}
END_TEST

/* A sheet over the box: girth 4 + 2 x 1 + 2 x (0.1 + 0.3) = 6.8 by 5.8; no folds on a rectangle. Over an oval of that
 * size they take 5 %: 7.14 by 6.09, in steps of 0.1 m. */
START_TEST(sheet_by_girth_and_by_rule)
{
	const struct quote *quote =
		priced("{'region':'demo-north','shell':'epdm-liner'," BOX ",'profile':{'kind':'vertical'}}}");

	NEAR(quote->q[Q_sheet_length_m], 6.8);
	NEAR(quote->q[Q_sheet_width_m], 5.8);
	NEAR(quote->q[Q_sheet_by_rule_length_m], 6.6); /* 4 + 2 x 1 + 2 x 0.3: the rule knows no freeboard */
	NEAR(quote->q[Q_sheet_by_rule_width_m], 5.6);
	NEAR(quote->q[Q_sheet_m2], 6.8 * 5.8);
	NEAR(quote->q[Q_sheet_kg], 6.8 * 5.8 * 1.25);
	NEAR(quote->q[Q_bed_m3], 4.1 * 3.1 * 1.05 - 12);
	NEAR(quote->q[Q_sheet_seam_m], 0);
	quote = priced("{'region':'demo-north','shell':'epdm-liner','pond':{'outline':{'kind':'ellipse','length_m':4,"
		       "'width_m':3},'depth_m':1,'profile':{'kind':'vertical'}}}");
	NEAR(quote->q[Q_sheet_length_m], 7.2);
	NEAR(quote->q[Q_sheet_width_m], 6.1);
}
END_TEST

START_TEST(sheet_wider_than_a_roll_has_seams)
{
	const struct quote *quote = priced("{'region':'demo-north','shell':'epdm-liner','pond':{'outline':{'kind':'rectangle',"
	                                   "'length_m':40,'width_m':20},'depth_m':1,'profile':{'kind':'vertical'}}}");
	double roll_m = shipped()->catalogue.practice[P_roll_width_m];

	/* 22.8 m by 42.8 m from rolls of 15.25 m: two strips, one seam as long as the sheet */
	ck_assert_double_eq_tol(roll_m, 15.25, 1e-12);
	NEAR(quote->q[Q_sheet_seam_m], 42.8);
}
END_TEST

/* Rebuild in its own hole: only what the shell and the wall behind it add is dug. 4.1 x 3.1 x 1.05 - 12 = 1.3455 m3, and
 * 14 m2 of 0.14 m. */
START_TEST(rebuild_digs_what_the_old_hole_lacks)
{
	const struct quote *quote = priced("{'region':'demo-north','shell':'epdm-liner'," BOX
	                                   ",'profile':{'kind':'vertical'}},'old_pond':{'shell':'flexible-liner'}}");

	NEAR(quote->q[Q_old_void_m3], 12);
	NEAR(quote->q[Q_backing_wall_m2], 14);
	NEAR(quote->q[Q_dig_m3], 4.1 * 3.1 * 1.05 - 12 + BACKING_M3);
	NEAR(quote->q[Q_backfill_m3], 0);
	/* 26 m2 wetted and a flap of 0.3 m on both sides of 14 m: 34.4 m2 at 2.2 kg */
	NEAR(quote->q[Q_old_liner_m2], 26 + 0.6 * 14);
	NEAR(quote->q[Q_old_liner_t], 34.4 * shipped()->catalogue.practice[P_usual_old_liner_kg_m2] / 1000);
	NEAR(quote->q[Q_drain_m3], 12);
	/* upright sides: about 12 m3 an hour, as the pump of practice.json moves */
	ck_assert_double_eq_tol(quote->q[Q_drain_h], 1, 0.1);
	NEAR(quote->q[Q_rescue_m2], 12);
}
END_TEST

/* An old hole of 6 x 5 x 1.2 m and its clay against 13.3455 m3 and the wall behind the sheet; nothing is dug, so what is
 * filled is brought in: firm / 0.9 x 1.25 loose. */
START_TEST(larger_old_hole_is_filled)
{
	const struct quote *quote =
		priced("{'region':'demo-north','shell':'epdm-liner'," BOX ",'profile':{'kind':'vertical'}},'old_pond':{'shell':'clay',"
		       "'outline':{'kind':'rectangle','length_m':6,'width_m':5},'depth_m':1.2},'site':{'soil':'loam'}}");
	double clay_m = shipped()->catalogue.practice[P_old_clay_m];
	double old_m3 = (6 + 2 * clay_m) * (5 + 2 * clay_m) * (1.2 + clay_m); /* the clay comes out as well */

	NEAR(quote->q[Q_old_void_m3], old_m3);
	NEAR(quote->q[Q_dig_m3], 0);
	NEAR(quote->q[Q_backfill_m3], old_m3 - 4.1 * 3.1 * 1.05 - BACKING_M3);
	NEAR(quote->q[Q_infill_import_m3], (old_m3 - 13.3455 - BACKING_M3) / 0.9 * 1.25);
	NEAR(quote->q[Q_spoil_away_loose_m3], 0);
}
END_TEST

START_TEST(old_concrete_and_collar_become_rubble)
{
	const struct quote *quote =
		priced("{'region':'demo-north','shell':'epdm-liner'," BOX ",'profile':{'kind':'vertical'}},"
		       "'old_pond':{'shell':'concrete','collar':'break-out'}}");
	const double *practice = shipped()->catalogue.practice;
	double t = practice[P_old_concrete_m], shell_m3 = (4 + 2 * t) * (3 + 2 * t) * (1 + t) - 12;
	double rubble_m3 = shell_m3 + 14 * practice[P_collar_section_m2];

	NEAR(quote->q[Q_old_concrete_m3], shell_m3);
	NEAR(quote->q[Q_rubble_m3], rubble_m3);
	NEAR(quote->q[Q_rubble_loose_m3], rubble_m3 * practice[P_rubble_swell]);
	NEAR(quote->q[Q_rubble_t], rubble_m3 * practice[P_concrete_t_m3]);
	quote = priced("{'region':'demo-north'," BOX ",'profile':{'kind':'vertical'}},'old_pond':{'shell':'preformed',"
		       "'collar':'keep'}}");
	NEAR(quote->q[Q_collar_keep_m], 14);
	NEAR(quote->q[Q_old_liner_t], 26 * practice[P_old_preformed_kg_m2] / 1000);
	NEAR(quote->q[Q_rubble_m3], 0);
}
END_TEST

/* 0.25 m over 12 m2 is 3 m3; drained to 60 % 1.8 m3, 1.2 t/m3. */
START_TEST(silt_lies_over_the_bed)
{
	static const char with[] = "{'region':'demo-north'," BOX ",'profile':{'kind':'vertical'}},'old_pond':{'silt_depth_m':0.25},"
			   "'site':{'spoil':'%s'},'facts':{%s}}";
	const struct quote *quote = priced_with(with, "take-away", "");

	NEAR(quote->q[Q_silt_m3], 3);
	NEAR(quote->q[Q_silt_drained_m3], 1.8);
	NEAR(quote->q[Q_silt_away_t], 1.8 * 1.2);
	NEAR(quote->q[Q_people_enter_silt], 1);
	NEAR(quote->q[Q_silt_kept_m3], 0);
	NEAR(priced_with(with, "keep", "")->q[Q_silt_away_t], 0);
	NEAR(priced_with(with, "keep", "")->q[Q_silt_kept_m3], 1.8);
	NEAR(priced_with(with, "take-away", "'silt_disposal':'bank-same-water'")->q[Q_silt_away_t], 0);
	NEAR(priced_with(with, "keep", "'silt_disposal':'off-site'")->q[Q_silt_away_t], 2.16);
}
END_TEST

START_TEST(roots_are_treated_dug_and_kept_out)
{
	static const char with[] = "{'region':'demo-north'," BOX ",'profile':{'kind':'vertical'}},'old_pond':{},'roots':{%s},"
			   "'site':{'soil':'loam'}}";
	const struct quote *quote = priced_with(with, "'extent':'throughout','plant':'common-reed','dig_out_depth_m':0.3");
	uint32_t reed = shipped_word(LIST_root_plants, "common-reed");
	const struct root_plant *plant = &shipped()->catalogue.root_plants[reed];

	NEAR(quote->q[Q_roots_m2], 12);
	NEAR(quote->q[Q_herbicide_visits], plant->visits);
	NEAR(quote->q[Q_reinspect_visits], plant->reinspect_visits);
	NEAR(quote->q[Q_root_dig_m3], 3.6);
	NEAR(quote->q[Q_root_barrier_m], 0);
	quote = priced_with(with, "'extent':'patches','outside_pond':true,'dig_out_depth_m':0,'barrier_m':5");
	/* a margin of a metre around 4 x 3: 6 x 5 = 30 m2, of which the patches' share */
	NEAR(quote->q[Q_roots_m2], 30 * shipped()->catalogue.practice[P_rooted_patch_share]);
	NEAR(quote->q[Q_root_barrier_m], 5);
	NEAR(priced_with(with, "'extent':'none'")->q[Q_herbicide_visits], 0);
}
END_TEST

/* Raised 0.6 m in block: wall 0.7 m high around 14 m; half the thickness out, its middle is 14 + pi x 0.215 long. */
START_TEST(raised_pool_stands_on_a_wall)
{
	const struct quote *quote =
		priced("{'region':'demo-north','shell':'rendered-concrete'," "'pond':{'outline':{'kind':'rectangle','length_m':4,"
		       "'width_m':3},'depth_m':1,'profile':{'kind':'vertical'},'water_above_ground_m':0.6,'wall':'block'}}");
	const double *practice = shipped()->catalogue.practice;
	double t = practice[P_wall_block_m], length_m = 14 + 3.14159265358979 * t;

	NEAR(quote->q[Q_wall_height_m], 0.7);
	NEAR(quote->q[Q_wall_length_m], length_m);
	NEAR(quote->q[Q_wall_m2], (14 + 2 * 3.14159265358979 * t) * 0.7);
	NEAR(quote->q[Q_footing_m3], length_m * practice[P_footing_width_m] * practice[P_footing_depth_m]);
	NEAR(quote->q[Q_raised_storage_m3], 7.2);
	NEAR(quote->q[Q_usual_edge_m], 0); /* a wall ends in its cap */
	NEAR(quote->q[Q_wall_cap_m], length_m);
	/* 0.4 m of the water and 218 mm of shell lie in the ground, and the room to work behind the wall */
	NEAR(quote->q[Q_dig_m3], 4.436 * 3.436 * 0.618 + length_m * practice[P_working_space_m] * 0.4);
	NEAR(quote->q[Q_excavation_depth_m], 0.618);
}
END_TEST

/* Stream of 6 m falling 1 m, of which 0.6 m in cascades: bed hypot(6, 0.4) = 6.013319 m. Channel 0.6 wide, 0.1 water and
 * the practice's freeboard deep, banks at 45 degrees. */
START_TEST(stream_is_measured_along_its_slope)
{
	const struct quote *quote =
		priced("{'region':'demo-north','work':'stream','stream':{'length_m':6,'width_m':0.6,'depth_m':0.1,'fall_m':1,"
		       "'covered_m':1,'cascades':[{'width_m':0.5,'drop_m':0.4,'lip':'flat'},{'width_m':0.4,'drop_m':0.2,'lip':'sharp'}]},"
		       "'site':{'ground_fall_m':0.25}}");
	const double *practice = shipped()->catalogue.practice;
	double along = hypot(6, 0.4), deep = 0.1 + practice[P_stream_freeboard_m], girth = 0.6 + 2 * sqrt(2) * deep;
	double crest = 0.6 + 2 * practice[P_mound_crest_m];

	NEAR(quote->q[Q_stream_m], along);
	NEAR(quote->q[Q_stream_open_m], along - 1);
	NEAR(quote->q[Q_stream_bed_m2], girth * along);
	NEAR(quote->q[Q_stream_liner_m2],
	     (girth + 2 * practice[P_stream_flap_m]) * (along + 0.6 + 3 * practice[P_stream_lap_m]));
	NEAR(quote->q[Q_stream_concrete_m3], girth * along * practice[P_stream_bed_m]);
	NEAR(quote->q[Q_stream_gravel_t], 0);
	/* the ground falls 0.25 m by itself: the head stands 0.75 m above it */
	NEAR(quote->q[Q_feature_height_m], 0.75);
	NEAR(quote->q[Q_mound_m3], 6 * (crest * 0.75 / 2 + practice[P_mound_side_slope] * 0.75 * 0.75 / 3));
	NEAR(quote->q[Q_cascade_count], 2);
	NEAR(quote->q[Q_cascade_sill_m], 0.9);
	NEAR(quote->q[Q_widest_cascade_m], 0.5);
	NEAR(quote->q[Q_rockwork_t], 2 * (along - 1) * practice[P_stream_stone_t_per_m] +
	                                     ((0.5 + 2 * practice[P_cascade_wing_m]) * 0.4 +
	                                      (0.4 + 2 * practice[P_cascade_wing_m]) * 0.2) *
	                                             practice[P_cascade_stone_t_m2]);
	NEAR(quote->q[Q_transit_m3], 0.6 * 0.1 * along);
	ck_assert_uint_eq(quote->shell, NO_INDEX);
}
END_TEST

/* A fall of 0.5 m, half of it the ground's own: half of the run is dug. */
START_TEST(the_run_on_the_ground_is_dug)
{
	const struct quote *quote = priced("{'region':'demo-north','work':'stream','stream':{'length_m':5,'width_m':0.5,'depth_m':0.1,"
	                                   "'fall_m':0.5,'bed':'loose'},'site':{'ground_fall_m':0.25}}");
	const double *practice = shipped()->catalogue.practice;
	double deep = 0.1 + practice[P_stream_freeboard_m] + practice[P_stream_gravel_m];

	NEAR(quote->q[Q_stream_dig_m3], 0.5 * 5 * deep * (0.5 + deep));
}
END_TEST

START_TEST(loose_bed_is_gravel_and_given_figures_stand)
{
	const struct quote *quote =
		priced("{'region':'demo-north'," BOX "},'old_pond':{'stone_kept_t':3},'stream':{'length_m':5,'width_m':0.5,'fall_m':0.5,"
		       "'bed':'loose','mound_m3':2,'rockwork_t':1.25,'largest_stone_kg':200}}");
	const double *practice = shipped()->catalogue.practice;

	NEAR(quote->q[Q_mound_m3], 2);
	NEAR(quote->q[Q_rockwork_t], 1.25);
	NEAR(quote->q[Q_rockwork_new_t], 0);
	NEAR(quote->q[Q_rockwork_kept_t], 1.25);
	NEAR(quote->q[Q_stone_relay_t], 1.75);
	NEAR(quote->q[Q_largest_stone_kg], 200);
	NEAR(quote->q[Q_rock_mortar_m3], 0);
	NEAR(quote->q[Q_stream_gravel_t],
	     0.5 * hypot(5, 0.5) * practice[P_stream_gravel_m] * practice[P_stone_t_m3]);
}
END_TEST

/* Coping 4 m, beach 3 m, turf 2 m of 14 m; the rest has the usual edge. Beach 1.5 m wide, 0.12 m thick, 1.6 t/m3. */
START_TEST(whole_rim_is_finished)
{
	const struct quote *quote =
		priced("{'region':'demo-north'," BOX ",'profile':{'kind':'vertical'}},'edge':{'coping_m':4,'beach_m':3,'turf_m':2,"
		       "'beach_width_m':1.5,'beach_thickness_mm':120}}");
	double w = shipped()->catalogue.practice[P_coping_width_m];

	NEAR(quote->q[Q_usual_edge_m], 5);
	NEAR(quote->q[Q_beach_m2], 4.5);
	NEAR(quote->q[Q_beach_t], 4.5 * 0.12 * 1.6);
	NEAR(quote->q[Q_coping_m2], 4 * w + 3.14159265358979 * w * w * 4 / 14);
	NEAR(quote->q[Q_curved_m], 0);
	quote = priced("{'region':'demo-north'," OVAL "},'edge':{'coping_m':4}}");
	NEAR(quote->q[Q_curved_m], 4);
}
END_TEST

START_TEST(relining_lines_the_stream_too)
{
	const struct quote *quote =
		priced("{'region':'demo-north','work':'reline'," BOX "},'stream':{'length_m':4,'fall_m':0.5}}");

	ck_assert_double_gt(quote->q[Q_stream_liner_m2], 0);
}
END_TEST

START_TEST(kinds_of_work_take_off_what_they_do)
{
	static const char with[] = "{'region':'demo-north','work':'%s'," BOX ",'profile':{'kind':'vertical'}},'old_pond':{'silt_depth_m':0.2}}";
	const struct quote *quote = priced_with(with, "desilt");

	NEAR(quote->q[Q_silt_m3], 2.4);
	NEAR(quote->q[Q_dig_m3] + quote->q[Q_sheet_m2] + quote->q[Q_usual_edge_m] + quote->q[Q_old_liner_m2], 0);
	NEAR(quote->q[Q_fill_m3], 12);
	ck_assert_uint_eq(quote->shell, NO_INDEX);
	quote = priced_with(with, "repair");
	NEAR(quote->q[Q_repair_m2], 26);
	NEAR(quote->q[Q_sheet_m2], 0);
	quote = priced_with(with, "infill");
	NEAR(quote->q[Q_backfill_m3], 12);
	ck_assert(quote->q[Q_infill_import_m3] > 12);
	NEAR(quote->q[Q_fill_m3], 0);
	quote = priced_with(with, "reline");
	ck_assert(quote->q[Q_sheet_m2] > 0);
	NEAR(quote->q[Q_dig_m3], 0);
	quote = priced_with(with, "rebuild");
	ck_assert(quote->q[Q_dig_m3] > 0);
}
END_TEST

START_TEST(desilting_needs_no_old_pond_spelt_out)
{
	const struct quote *quote = priced("{'region':'demo-north','work':'desilt'," BOX ",'profile':{'kind':'vertical'}}}");

	NEAR(quote->q[Q_old_pond_present], 1);
	ck_assert(quote->q[Q_silt_m3] > 0);
	ck_assert_int_eq(quote->resolved.v[F_silt_depth_m].origin, BY_ASSUMPTION);
}
END_TEST

START_TEST(kept_soil_stays_and_is_spread)
{
	const struct quote *quote = priced("{'region':'demo-north','shell':'epdm-liner'," BOX
	                                   ",'profile':{'kind':'vertical'}},'site':{'spoil':'keep','soil':'clay'}}");

	NEAR(quote->q[Q_spoil_kept_m3], (4.1 * 3.1 * 1.05 + BACKING_M3) * 1.4);
	NEAR(quote->q[Q_spoil_away_loose_m3], 0);
	NEAR(quote->q[Q_ground_raise_m], shipped()->catalogue.practice[P_kept_spread_m]);
}
END_TEST

START_TEST(bare_cement_is_rinsed)
{
	const struct quote *quote =
		priced("{'region':'demo-north','shell':'plain-concrete'," BOX ",'profile':{'kind':'vertical'}}}");

	NEAR(quote->q[Q_fill_m3], 12 * (1 + shipped()->catalogue.practice[P_lime_rinses]));
	NEAR(quote->q[Q_fill_h], quote->q[Q_fill_m3] * 1000 / shipped()->catalogue.practice[P_tap_l_per_min] / 60);
	ck_assert_int_eq(quote->fill_water_minor, 14040); /* 36 m3 at 3.90 */
}
END_TEST

START_TEST(fish_pond_brings_its_equipment)
{
	const struct quote *quote = priced("{'region':'demo-north'," BOX ",'profile':{'kind':'vertical'}},"
	                                   "'planting':{'style':'fish'},'equipment':{'lights':3,'uv':false}}");
	const struct style *fish = &shipped()->catalogue.styles[STYLE_FISH];

	NEAR(quote->q[Q_fish_pond], 1);
	NEAR(quote->q[Q_light_count], 3);
	NEAR(quote->q[Q_uv_count], 0);
	ck_assert(quote->q[Q_filter_count] >= fish->equipment[0]);
	NEAR(quote->q[Q_turnover_l_per_h], 12000 / fish->turnover_h);
}
END_TEST

START_TEST(sloping_ground_is_cut_and_made_up)
{
	static const char with[] = "{'region':'demo-north','shell':'epdm-liner'," BOX
			   ",'profile':{'kind':'vertical'}},'site':{'ground_fall_m':%s}}";
	double level_m3 = priced_with(with, "0")->q[Q_dig_m3];
	const struct quote *quote = priced_with(with, "0.4");

	NEAR(quote->q[Q_dig_m3], level_m3 + 12 * 0.4 / 8);
	NEAR(quote->q[Q_ground_make_up_m2], 14.0 / 2 * 0.4 / 2);
}
END_TEST

START_TEST(supply_is_new_unless_one_is_there)
{
	static const char with[] = "{'region':'demo-north'," BOX "},'water':{'flow_l_per_h':2000},'site':{'existing_supply':%s,'supply_run_m':22}}";
	const struct quote *quote = priced_with(with, "false");

	NEAR(quote->q[Q_supply_new_m], 22);
	NEAR(quote->q[Q_electrical_kind], ELECTRICAL_NEW_CIRCUIT);
	quote = priced_with(with, "true");
	NEAR(quote->q[Q_supply_new], 0);
	NEAR(quote->q[Q_electrical_kind], ELECTRICAL_FIXED_EXISTING_CIRCUIT);
	NEAR(priced("{'region':'demo-north'," BOX "}}")->q[Q_electrical_kind], ELECTRICAL_NONE);
}
END_TEST

START_TEST(carry_in_counts_every_heavy_material)
{
	const struct quote *quote = priced("{'region':'demo-north','shell':'epdm-liner'," BOX
	                                   ",'profile':{'kind':'vertical'}},'edge':{'coping_m':5,'beach_m':4},'planting':{'style':'none'}}");
	const double *practice = shipped()->catalogue.practice, *q = quote->q;

	NEAR(q[Q_carry_in_t], q[Q_beach_t] + q[Q_sheet_kg] / 1000 + q[Q_coping_m2] * practice[P_coping_t_m2] +
	                              q[Q_bed_m3] * practice[P_stone_t_m3] +
	                              14 * practice[P_wall_t_m2] * practice[P_backing_wall_m] / practice[P_wall_block_m]);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("takeoff");
	TCase *figures = tcase_create("figures");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_test(figures, profile_of_the_oval_matters);
	tcase_add_test(figures, phone_call_by_hand);
	tcase_add_test(figures, concrete_is_the_hole_less_the_basin);
	tcase_add_test(figures, empty_shell_floats_when_uplift_passes_its_weight);
	tcase_add_test(figures, sheet_by_girth_and_by_rule);
	tcase_add_test(figures, sheet_wider_than_a_roll_has_seams);
	tcase_add_test(figures, rebuild_digs_what_the_old_hole_lacks);
	tcase_add_test(figures, larger_old_hole_is_filled);
	tcase_add_test(figures, old_concrete_and_collar_become_rubble);
	tcase_add_test(figures, silt_lies_over_the_bed);
	tcase_add_test(figures, roots_are_treated_dug_and_kept_out);
	tcase_add_test(figures, raised_pool_stands_on_a_wall);
	tcase_add_test(figures, stream_is_measured_along_its_slope);
	tcase_add_test(figures, loose_bed_is_gravel_and_given_figures_stand);
	tcase_add_test(figures, the_run_on_the_ground_is_dug);
	tcase_add_test(figures, whole_rim_is_finished);
	tcase_add_test(figures, kinds_of_work_take_off_what_they_do);
	tcase_add_test(figures, relining_lines_the_stream_too);
	tcase_add_test(figures, desilting_needs_no_old_pond_spelt_out);
	tcase_add_test(figures, kept_soil_stays_and_is_spread);
	tcase_add_test(figures, bare_cement_is_rinsed);
	tcase_add_test(figures, fish_pond_brings_its_equipment);
	tcase_add_test(figures, sloping_ground_is_cut_and_made_up);
	tcase_add_test(figures, supply_is_new_unless_one_is_there);
	tcase_add_test(figures, carry_in_counts_every_heavy_material);
	suite_add_tcase(suite, figures);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
