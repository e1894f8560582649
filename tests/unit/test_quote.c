#include <check.h>
#include <stdlib.h>
#include <string.h>

#include "priced.h"
#include "resolve.h"

#define BOX "'pond':{'outline':{'kind':'rectangle','length_m':5,'width_m':3},'depth_m':1,'profile':{'kind':'battered','side_slope':0.7}}"

static const char *shell_id(uint16_t shell)
{
	return config_word(shipped(), LIST_shells, shell);
}

static uint16_t shell_named(const char *id)
{
	return (uint16_t)shipped_word(LIST_shells, id);
}

START_TEST(left_out_shell_is_the_cheapest_suitable_one)
{
	int64_t cheapest = INT64_MAX;
	uint16_t best = 0, chosen;
	const struct quote *quote = priced("{'region':'demo-north'," BOX "}");

	chosen = quote->shell;
	ck_assert(quote->shell_chosen);
	for (uint16_t shell = 0; shell < shipped()->catalogue.n_shells; shell++) {
		quote = priced_with("{'region':'demo-north','shell':'%s'," BOX "}", shell_id(shell));
		ck_assert_uint_eq(quote->shell, shell);
		ck_assert(!quote->shell_chosen);
		if (quote->shell_suitable && quote->n_cannots == 0 && quote->net_minor < cheapest) {
			cheapest = quote->net_minor;
			best = shell;
		}
	}
	ck_assert_uint_eq(chosen, best);
}
END_TEST

START_TEST(roots_everywhere_rule_liners_out)
{
	static const char with[] = "{'region':'demo-north'," BOX ",'old_pond':{},'roots':{'extent':'throughout','plant':'common-reed'}%s}";
	const struct quote *quote = priced_with(with, "");

	ck_assert_uint_ne(quote->shell, shell_named("epdm-liner"));
	ck_assert(quote->shell_suitable);
	ck_assert(!shipped()->catalogue.shells[quote->shell].sheet);
	quote = priced_with(with, ",'shell':'epdm-liner'"); /* priced all the same, since it was asked for */
	ck_assert(!quote->shell_suitable);
	ck_assert_int_gt(quote->net_minor, 0);
}
END_TEST

START_TEST(what_was_left_out_is_assumed_with_its_origin)
{
	const struct quote *quote = priced("{'region':'demo-north','pond':{'outline':{'kind':'circle','diameter_m':4},'depth_m':0.8}}");
	const struct value *v = quote->resolved.v;

	ck_assert_int_eq(v[F_soil].origin, BY_ASSUMPTION);
	ck_assert_int_eq(v[F_pond_profile_kind].origin, BY_ASSUMPTION);
	ck_assert_int_eq(v[F_depth_m].origin, GIVEN);
	ck_assert_int_eq(v[F_client_kind].origin, BY_DEFAULT);
	ck_assert_int_eq(v[F_work].origin, BY_DERIVATION);
	ck_assert_int_eq((int)v[F_work].number, WORK_NEW);
	ck_assert_int_eq(v[F_stream_width_m].origin, NOT_APPLICABLE);
	ck_assert_int_eq(v[F_pond_length_m].origin, NOT_APPLICABLE);
	ck_assert_int_eq(v[F_old_shell].origin, NOT_APPLICABLE);
	quote = priced("{'region':'demo-north'," BOX ",'old_pond':{}}");
	ck_assert_int_eq((int)quote->resolved.v[F_work].number, WORK_REBUILD);
	ck_assert_int_eq(quote->resolved.v[F_old_shell].origin, BY_ASSUMPTION);
}
END_TEST

START_TEST(assumed_shelf_gives_way_in_a_shallow_pond)
{
	const struct quote *quote = priced("{'region':'demo-north','pond':{'outline':{'kind':'circle','diameter_m':4},'depth_m':0.15,"
	                                   "'profile':{'kind':'battered','side_slope':1}}}");

	ck_assert(quote->resolved.v[F_pond_shelf_depth_m].number < 0.15);
	ck_assert(quote->q[Q_depth_reached_m] > 0.149);
}
END_TEST

START_TEST(newt_found_stops_and_brings_its_sum)
{
	static const char with[] = "{'region':'demo-north'," BOX ",'old_pond':{},'facts':{%s}}";
	const struct quote *quote = priced_with(with, "'species_found':['great-crested-newt']");
	uint32_t ecologist = 0;

	ck_assert(flagged(quote, "newt-crested-found", LEVEL_STOP, RAISED_BY_FACT));
	for (uint32_t i = 0; i < shipped()->catalogue.n_sums; i++)
		if (strcmp(config_text(shipped(), shipped()->catalogue.sums[i].text)->id, "licensed-ecologist") == 0)
			ecologist = i;
	ck_assert(quote->sum_in_price[ecologist]);
	for (uint32_t i = 0; i < quote->n_lines; i++)
		if (quote->lines[i].special == LINE_SUM && quote->lines[i].build_up == ecologist)
			ck_assert_int_gt(quote->lines[i].amount_minor, 0);
	quote = priced_with(with, "'species_found':['unknown']");
	ck_assert(flagged(quote, "newt-crested-found", LEVEL_ASK, RAISED_BY_UNKNOWN));
	ck_assert(!quote->sum_in_price[ecologist]);
	quote = priced_with(with, "'species_found':[]");
	ck_assert(!flagged(quote, "newt-crested-found", LEVEL_ASK, RAISED_BY_UNKNOWN));
}
END_TEST

START_TEST(flags_stand_in_order_of_seriousness)
{
	const struct quote *quote =
		priced("{'region':'demo-north'," BOX ",'old_pond':{},'facts':{'species_found':['great-crested-newt'],'watercourse_link':'on-line'}}");
	static const int rank[] = {[LEVEL_STOP] = 0, [LEVEL_CHECK] = 1, [LEVEL_ASK] = 2, [LEVEL_NOTE] = 3};

	ck_assert_uint_gt(quote->n_flags, 4);
	for (uint32_t i = 1; i < quote->n_flags; i++) {
		const struct flag *before = &quote->flags[i - 1], *flag = &quote->flags[i];

		ck_assert_int_le(rank[before->level], rank[flag->level]);
		if (before->level == flag->level)
			ck_assert_uint_lt(before->rule, flag->rule);
	}
}
END_TEST

START_TEST(pond_tells_the_rules_what_it_knows)
{
	const struct quote *quote = priced("{'region':'demo-north','shell':'rendered-concrete','pond':{'outline':{'kind':'rectangle',"
	                                   "'length_m':6,'width_m':4},'depth_m':1.4,'profile':{'kind':'vertical'}},'water':{'flow_l_per_h':3000}}");
	const struct value *v = quote->resolved.v;

	ck_assert_double_eq_tol(v[F_fact_pond_area_m2].number, 24, 1e-9);
	ck_assert_double_eq_tol(v[F_fact_excavation_depth_m].number, quote->q[Q_excavation_depth_m], 1e-12);
	ck_assert_double_eq_tol(v[F_fact_cement_or_lime_use].number, 1, 0.1);
	ck_assert_int_eq(v[F_fact_cement_or_lime_use].origin, BY_DERIVATION);
	ck_assert(flagged(quote, "cement-skin", LEVEL_NOTE, RAISED_BY_FACT));
	ck_assert_double_eq_tol(v[F_fact_excavation_support].number, SUPPORT_SUPPORTED, 0.1); /* its price holds the sides up */
	ck_assert(!flagged(quote, "dig-deep-unsupported", LEVEL_STOP, RAISED_BY_FACT));
	ck_assert(flagged(quote, "en-electric-notify", LEVEL_ASK, RAISED_BY_UNKNOWN)); /* what kind of land is it? */
	quote = priced("{'region':'demo-north','shell':'epdm-liner','pond':{'outline':{'kind':'rectangle','length_m':6,'width_m':4},"
	               "'depth_m':1.4,'profile':{'kind':'battered','side_slope':1.2}}}");
	ck_assert_double_eq_tol(v[F_fact_excavation_support].number, SUPPORT_BATTERED, 0.1);
	ck_assert(!flagged(quote, "dig-deep-unsupported", LEVEL_STOP, RAISED_BY_FACT));
	ck_assert_double_eq_tol(v[F_fact_cement_or_lime_use].number, 0, 0.1);
	quote = priced("{'region':'demo-north','pond':{'outline':{'kind':'rectangle','length_m':6,'width_m':4},'depth_m':1.4,"
	               "'profile':{'kind':'vertical'}},'facts':{'excavation_support':'none'}}");
	ck_assert(flagged(quote, "dig-deep-unsupported", LEVEL_STOP, RAISED_BY_FACT));
}
END_TEST

START_TEST(nation_selects_the_rules)
{

	ck_assert(flagged(screened("{'region':'demo-north','facts':{'site_setting':'house-garden','listed_curtilage':false,"
	                           "'rights_removed':false}}"),
	                  "en-pond-usual", LEVEL_NOTE, RAISED_BY_FACT));
	ck_assert(flagged(screened("{'region':'demo-north','facts':{'nation':'wales','site_setting':'house-garden',"
	                           "'listed_curtilage':false,'rights_removed':false}}"),
	                  "wa-pond-usual", LEVEL_NOTE, RAISED_BY_FACT));
	ck_assert(flagged(screened("{'region':'demo-north','facts':{'nation':'unknown'}}"), "ask-locally", LEVEL_CHECK, RAISED_BY_FACT));
}
END_TEST

START_TEST(screening_with_a_pond_knows_the_pond)
{
	const struct quote *quote = screened("{'region':'demo-isle'," BOX ",'facts':{'site_setting':'house-garden'}}");

	/* a metre deep and a shell below it: over a metre */
	ck_assert(flagged(quote, "ie-level-change", LEVEL_CHECK, RAISED_BY_FACT));
	quote = screened("{'region':'demo-isle','facts':{'site_setting':'house-garden','excavation_depth_m':0.6}}");
	ck_assert(!flagged(quote, "ie-level-change", LEVEL_CHECK, RAISED_BY_FACT));
}
END_TEST

START_TEST(cautions_and_exclusions_follow_the_job)
{
	uint32_t said = 0, silent = 0, said_roots = 0;
	const struct quote *quote = priced("{'region':'demo-north'," BOX "}");

	for (uint32_t i = 0; i < shipped()->catalogue.n_notes; i++) {
		said += quote->note_said[i];
		silent += !quote->note_said[i];
	}
	ck_assert_uint_gt(said, 0);
	ck_assert_uint_gt(silent, 0);
	quote = priced("{'region':'demo-north'," BOX ",'old_pond':{},'roots':{'extent':'throughout'}}");
	for (uint32_t i = 0; i < shipped()->catalogue.n_notes; i++)
		said_roots += quote->note_said[i];
	ck_assert_uint_gt(said_roots, said);
}
END_TEST

START_TEST(same_enquiry_gives_the_same_quote)
{
	static struct quote first;
	const char *json = "{'region':'demo-north'," BOX ",'stream':{'length_m':5,'fall_m':1}}";

	first = *priced(json);
	priced("{'region':'demo-coast','work':'desilt'," BOX "}"); /* whatever was priced in between */
	{
		const struct quote *again = priced(json);

		ck_assert_int_eq(first.net_minor, again->net_minor);
		ck_assert_int_eq(first.n_lines, again->n_lines);
		ck_assert_int_eq(memcmp(first.q, again->q, sizeof first.q), 0);
		for (uint32_t i = 0; i < first.n_lines; i++)
			ck_assert_int_eq(first.lines[i].amount_minor, again->lines[i].amount_minor);
		ck_assert_int_eq(first.programme.finish_day, again->programme.finish_day);
	}
}
END_TEST

START_TEST(an_enquiry_is_copied_with_its_lists)
{
	static struct enquiry from, to;

	from.v[F_cascades] = (struct value){.number = 2, .origin = GIVEN};
	from.cascades[1].drop_m = 0.4;
	from.v[F_pond_points_m].number = 3;
	from.pond_points[2].y_m = 7;
	from.n_measured = 1;
	from.measured[0].share = 0.1;
	from.fittings[3] = 2;
	enquiry_copy(&to, &from);
	ck_assert_double_eq_tol(to.cascades[1].drop_m, 0.4, 1e-12);
	ck_assert_double_eq_tol(to.pond_points[2].y_m, 7, 1e-12);
	ck_assert_double_eq_tol(to.measured[0].share, 0.1, 1e-12);
	ck_assert_double_eq_tol(to.fittings[3], 2, 1e-12);
}
END_TEST

START_TEST(every_row_of_the_tables_is_sound)
{
	uint16_t parent[F_COUNT];

	fields_parents(parent);
	for (uint32_t id = 0; id < F_COUNT; id++) {
		const struct field *field = &enquiry_fields[id];
		uint32_t words;

		ck_assert_int_eq(field->pointer[0], '/');
		ck_assert_msg(strlen(field->help) > 5, "%s", field->pointer);
		ck_assert(field->lo <= field->hi);
		if (parent[id] != F_NONE) {
			ck_assert_uint_lt(parent[id], id); /* an object stands before its members */
			ck_assert_int_eq(enquiry_fields[parent[id]].kind, FIELD_OBJECT);
		}
		if (field->kind == FIELD_NUMBER && field->presence == DEFAULTED)
			ck_assert_msg(field->left_out >= field->lo && field->left_out <= field->hi, "%s", field->pointer);
		if (field->kind == FIELD_SET || (field->kind == FIELD_CHOICE && field->list < LIST_FIXED_COUNT)) {
			const char *const *list = words_of_list((enum word_list)field->list, &words);

			ck_assert_uint_gt(words, 0);
			ck_assert_ptr_nonnull(list);
			if (field->kind == FIELD_SET)
				ck_assert_uint_le(words, 32);
		}
	}
	for (uint32_t i = 0; i < Q_COUNT; i++)
		ck_assert_msg(strlen(quantity_table[i].sentence) > 5 && quantity_table[i].stage < AT_FLAGS, "%s", quantity_table[i].name);
	for (uint32_t i = 0; i < P_COUNT; i++)
		ck_assert_msg(practice_table[i].lo < practice_table[i].hi, "%s", practice_table[i].name);
	for (int status = 0; status < ST_COUNT; status++)
		ck_assert(strlen(status_slug((enum status)status)) > 1 && strlen(status_sentence((enum status)status)) > 5);
	ck_assert_str_eq(field_name(F_soil), "soil");
	ck_assert_str_eq(field_name(F_region), "region");
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("quote");
	TCase *whole = tcase_create("whole");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_test(whole, left_out_shell_is_the_cheapest_suitable_one);
	tcase_add_test(whole, roots_everywhere_rule_liners_out);
	tcase_add_test(whole, what_was_left_out_is_assumed_with_its_origin);
	tcase_add_test(whole, assumed_shelf_gives_way_in_a_shallow_pond);
	tcase_add_test(whole, newt_found_stops_and_brings_its_sum);
	tcase_add_test(whole, flags_stand_in_order_of_seriousness);
	tcase_add_test(whole, pond_tells_the_rules_what_it_knows);
	tcase_add_test(whole, nation_selects_the_rules);
	tcase_add_test(whole, screening_with_a_pond_knows_the_pond);
	tcase_add_test(whole, cautions_and_exclusions_follow_the_job);
	tcase_add_test(whole, same_enquiry_gives_the_same_quote);
	tcase_add_test(whole, an_enquiry_is_copied_with_its_lists);
	tcase_add_test(whole, every_row_of_the_tables_is_sound);
	suite_add_tcase(suite, whole);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
