#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "compare.h"
#include "enquiry_check.h"
#include "outcomes.h"

/* Nothing may be asked that nothing uses: for every field of the table there is an enquiry in which another value of it
 * alone changes a quantity, a line, a date or a flag. Run with an argument the program prints the table. */

static bool prints;

/* Enquiries that reach what no fixture asks for. */
static const char *const bases[] = {
	"{'region':'demo-north','pond':{'outline':{'kind':'circle','diameter_m':4},'depth_m':0.9,'profile':{'kind':'battered',"
	"'side_slope':1,'shelf_width_m':0.4,'shelf_depth_m':0.25}},'planting':{'style':'ornamental'}}",
	"{'region':'demo-north','pond':{'outline':{'kind':'rectangle','length_m':6,'width_m':4},'depth_m':1},"
	"'old_pond':{'shell':'concrete','outline':{'kind':'circle','diameter_m':3},'depth_m':0.8,"
	"'profile':{'kind':'battered','side_slope':1,'shelf_width_m':0.3,'shelf_depth_m':0.2},'plants_kept_share':0.3,"
	"'collar':'keep','stone_kept_t':1}}",
	"{'region':'demo-north','pond':{'outline':{'kind':'rectangle','length_m':9,'width_m':6},'depth_m':1},"
	"'old_pond':{'outline':{'kind':'polygon','points_m':[[0,0],[4,0],[4,3],[0,3]]},'depth_m':0.8,'profile':{'kind':'vertical'}}}",
	"{'region':'demo-north','pond':{'outline':{'kind':'rectangle','length_m':9,'width_m':6},'depth_m':1},"
	"'old_pond':{'outline':{'kind':'rectangle','length_m':5,'width_m':3,'corner_radius_m':0.4},"
	"'profile':{'kind':'stepped','steps':[{'inset_m':0.3,'depth_m':0.4},{'inset_m':0.9,'depth_m':0.9}]}}}",
	"{'region':'demo-north','pond':{'outline':{'kind':'ellipse','length_m':6,'width_m':4},'depth_m':1},"
	"'stream':{'length_m':6,'fall_m':1,'covered_m':2},'water':{'kept_pump':{'id':'demo-pump-8000'}}}",
	"{'region':'demo-north','pond':{'outline':{'kind':'ellipse','length_m':6,'width_m':4},'depth_m':1},'old_pond':{},"
	"'roots':{'extent':'patches','plant':'common-reed','outside_pond':true}}",
	"{'region':'demo-north','shell':'rendered-concrete','pond':{'outline':{'kind':'rectangle','length_m':6,'width_m':4},"
	"'depth_m':1.3,'profile':{'kind':'vertical'},'water_above_ground_m':0.5},'planting':{'style':'fish'}}",
	"{'region':'demo-north','pond':{'outline':{'kind':'rectangle','length_m':6,'width_m':4},'depth_m':1},"
	"'site':{'access_width_m':1.2,'steps':3,'spoil':'take-away'},'facts':{'public_access':true}}",
};
enum { BASES = sizeof bases / sizeof bases[0], FIXTURES_MOST = 24, ALTERNATIVES_MOST = 32 };

/* What was found out about each field. */
struct found {
	bool alive;
	char where[60], what[120];
};
static struct found found[F_COUNT];

/* ---- other values of one field ---- */

struct alternatives {
	json_t *values[ALTERNATIVES_MOST];
	uint32_t count;
};

static void add(struct alternatives *to, json_t *value)
{
	if (to->count < ALTERNATIVES_MOST)
		to->values[to->count++] = value;
	else
		json_decref(value);
}

static void add_number(struct alternatives *to, const struct field *field, double number)
{
	if (number < field->lo || number > field->hi)
		return;
	add(to, field->kind == FIELD_NUMBER ? json_real(number) : json_integer((json_int_t)round(number)));
}

static void numbers(struct alternatives *to, const struct field *field, double now)
{
	static const double shares[] = {0.8, 1.25, 0.5, 2, 4};

	for (size_t i = 0; i < sizeof shares / sizeof shares[0]; i++)
		add_number(to, field, now * shares[i]);
	add_number(to, field, field->lo);
	add_number(to, field, field->hi);
	add_number(to, field, field->lo + (field->hi - field->lo) * 0.05);
	add_number(to, field, field->lo + (field->hi - field->lo) * 0.5);
}

static void words(struct alternatives *to, const struct field *field)
{
	uint32_t count;
	const char *const *list = config_words(shipped(), (enum word_list)field->list, &count);

	for (uint32_t i = 0; i < count; i++)
		add(to, field->kind == FIELD_SET ? json_pack("[s]", list[i]) : json_string(list[i]));
	if (field->kind == FIELD_SET)
		add(to, json_array());
}

/* The last number of a list's last entry made greater. */
static void lengthen(json_t *value)
{
	if (json_is_array(value) && json_array_size(value) > 0) {
		size_t last = json_array_size(value) - 1;
		json_t *entry = json_array_get(value, last);

		if (json_is_number(entry))
			json_array_set_new(value, last, json_real(json_number_value(entry) * 1.2 + 0.05));
		else
			lengthen(entry);
	} else if (json_is_object(value)) {
		const char *key = json_object_get(value, "width_m") ? "width_m" : "depth_m";

		json_object_set_new(value, key, json_real(json_number_value(json_object_get(value, key)) * 1.2));
	}
}

static void lists(struct alternatives *to, const struct field *field, json_t *now)
{
	json_t *longer;

	if (field->child == CHILD_fitting)
		add(to, outcome_json("{'elbow-90':12}"));
	if (field->child == CHILD_curve) /* a longer end alone moves rounding, where the duty point is not near it */
		add(to, outcome_json("[[0,9],[3000,6],[9000,1]]"));
	if (field->child == CHILD_cascade)
		add(to, outcome_json("[{'width_m':0.9,'drop_m':0.4,'lip':'sharp'}]"));
	if (now == NULL)
		return;
	longer = json_deep_copy(now);
	lengthen(longer);
	add(to, longer);
}

static void alternatives(struct alternatives *to, enum field_id id, json_t *now)
{
	const struct field *field = &enquiry_fields[id];

	to->count = 0;
	switch ((enum field_kind)field->kind) {
	case FIELD_NUMBER:
	case FIELD_WHOLE:
	case FIELD_COUNT:
		numbers(to, field, json_is_number(now) ? json_number_value(now) : field->left_out);
		break;
	case FIELD_YESNO:
		add(to, json_true());
		add(to, json_false());
		break;
	case FIELD_CHOICE:
	case FIELD_SET:
		words(to, field);
		break;
	case FIELD_MONTHS:
		add(to, json_pack("[ii]", 1, 2));
		add(to, json_pack("[ii]", 6, 7));
		break;
	case FIELD_DATE:
		add(to, json_string("2026-11-02"));
		add(to, json_string("2027-08-02"));
		break;
	case FIELD_LIST:
		lists(to, field, now);
		break;
	case FIELD_OBJECT:
		break;
	}
}

/* ---- trying them ---- */

static struct quote first, other;

static const char *change_of(json_t *enquiry, enum route_need need, bool *has_first)
{
	struct quote *into = *has_first ? &other : &first;

	if (!outcome_of(enquiry, need, NO_INDEX, into))
		return NULL;
	if (!*has_first) {
		*has_first = true;
		return NULL;
	}
	return outcome_change(&first, &other);
}

/* As it stands, left out, and with each other value: any two that differ will do. */
static void try_field(const char *name, json_t *base, enum route_need need, enum field_id id)
{
	const char *pointer = enquiry_fields[id].pointer, *change;
	struct alternatives list;
	bool has_first = false;

	change = change_of(base, need, &has_first);
	alternatives(&list, id, outcome_get(base, pointer));
	for (uint32_t i = 0; i < list.count; i++) {
		json_t *enquiry;

		if (change != NULL) {
			json_decref(list.values[i]);
			continue;
		}
		enquiry = json_deep_copy(base);
		if (outcome_set(enquiry, pointer, list.values[i]))
			change = change_of(enquiry, need, &has_first);
		json_decref(enquiry);
	}
	if (change == NULL)
		return;
	found[id].alive = true;
	snprintf(found[id].where, sizeof found[id].where, "%s", name);
	snprintf(found[id].what, sizeof found[id].what, "%s", change);
}

static void try_all(const char *name, json_t *base, enum route_need need, enum field_id from, enum field_id to)
{
	for (uint32_t id = from; id < to; id++)
		if (!found[id].alive && enquiry_fields[id].kind != FIELD_OBJECT)
			try_field(name, base, need, (enum field_id)id);
}

static void try_fixture(const char *name, json_t *enquiry, void *context)
{
	(void)context;
	try_all(name, enquiry, NEED_QUOTE, F_region, F_facts);
}

static void print_found(uint32_t from, uint32_t to)
{
	if (!prints)
		return;
	for (uint32_t id = from; id < to; id++)
		if (enquiry_fields[id].kind != FIELD_OBJECT)
			printf("%-40s %-28s %s\n", enquiry_fields[id].pointer, found[id].alive ? found[id].where : "NOTHING USES IT",
			       found[id].what);
	fflush(stdout);
}

static void all_alive(uint32_t from, uint32_t to)
{
	for (uint32_t id = from; id < to; id++)
		ck_assert_msg(found[id].alive || enquiry_fields[id].kind == FIELD_OBJECT, "nothing uses %s", enquiry_fields[id].pointer);
}

/* ---- fields ---- */

/* What the first shell costs over the years of a comparison. */
static int64_t over_years_minor(const char *text)
{
	const struct catalogue *catalogue = &shipped()->catalogue;
	struct option *options = calloc(catalogue->n_shells, sizeof *options);
	void *scratch = malloc(compare_scratch_size());
	json_t *object = outcome_json(text);
	struct comparison comparison;
	struct enquiry_faults faults;
	static struct enquiry enquiry;
	int64_t minor;

	enquiry_faults_init(&faults);
	enquiry_read(shipped(), NEED_QUOTE, object, "", &enquiry, &faults);
	enquiry_check(shipped(), 20782, "", &enquiry, &faults);
	ck_assert_uint_eq(faults.count, 0);
	ck_assert_int_eq(compare_shells(catalogue, enquiry_edition(shipped(), &enquiry), &enquiry, scratch, options,
	                                &comparison), ST_OK);
	minor = options[0].over_years_minor;
	enquiry_faults_free(&faults);
	json_decref(object);
	free(options);
	free(scratch);
	return minor;
}

/* The only field that a quote does not use: it is the length of a comparison. */
static void try_years(void)
{
	static const char with[] = "{'region':'demo-north','service_years':%u,'pond':{'outline':{'kind':'circle','diameter_m':4},"
	                           "'depth_m':0.9}}";
	char few[200], many[200];

	snprintf(few, sizeof few, with, 5u);
	snprintf(many, sizeof many, with, 60u);
	found[F_service_years].alive = over_years_minor(few) != over_years_minor(many);
	strcpy(found[F_service_years].where, "comparison");
	strcpy(found[F_service_years].what, "cost over the years");
}

START_TEST(every_field_moves_something)
{
	try_years();
	for (uint32_t i = 0; i < BASES; i++) {
		json_t *base = outcome_json(bases[i]);
		char name[20];

		snprintf(name, sizeof name, "base %u", i + 1);
		try_all(name, base, NEED_QUOTE, F_region, F_facts);
		json_decref(base);
	}
	outcome_fixtures(try_fixture, NULL);
	print_found(F_region, F_facts);
	all_alive(F_region, F_facts);
}
END_TEST

/* ---- facts: around what makes each rule speak, else beside a pond ---- */

static void try_set(json_t *a_case, const char *set)
{
	json_t *facts = json_deep_copy(json_object_get(a_case, set)), *enquiry;

	if (!json_is_object(facts)) {
		json_decref(facts);
		return;
	}
	json_object_set(facts, "nation", json_object_get(a_case, "nation"));
	enquiry = json_pack("{s:s,s:o}", "region", "demo-north", "facts", facts);
	for (uint32_t id = F_facts + 1; id < F_COUNT; id++)
		if (!found[id].alive && outcome_get(enquiry, enquiry_fields[id].pointer) != NULL)
			try_field(json_string_value(json_object_get(a_case, "rule")), enquiry, NEED_SCREEN, (enum field_id)id);
	json_decref(enquiry);
}

static void try_cases(const char *file)
{
	static const char *const sets[] = {"fires", "silent", "unknown"};
	char path[1024];
	json_t *root, *list, *a_case;
	size_t i;

	snprintf(path, sizeof path, "%s/rules/%s", getenv("PONDWRIGHT_FIXTURES"), file);
	root = json_load_file(path, 0, NULL);
	ck_assert_ptr_nonnull(root);
	list = json_is_array(root) ? root : json_object_get(root, "cases");
	ck_assert_uint_gt(json_array_size(list), 20);
	json_array_foreach(list, i, a_case)
		for (size_t set = 0; set < 3; set++)
			try_set(a_case, sets[set]);
	json_decref(root);
}

static void try_facts_of_fixture(const char *name, json_t *enquiry, void *context)
{
	(void)context;
	try_all(name, enquiry, NEED_QUOTE, F_facts + 1, F_COUNT);
}

START_TEST(every_fact_moves_something)
{
	try_cases("common-cases.json");
	try_cases("nation-cases.json");
	outcome_fixtures(try_facts_of_fixture, NULL);
	print_found(F_facts + 1, F_COUNT);
	all_alive(F_facts + 1, F_COUNT);
}
END_TEST

int main(int argc, char **argv)
{
	Suite *suite = suite_create("liveness");
	TCase *fields = tcase_create("fields");
	SRunner *runner;
	int failed;

	(void)argv;
	prints = argc > 1;
	tcase_set_timeout(fields, 120);
	tcase_add_test(fields, every_field_moves_something);
	tcase_add_test(fields, every_fact_moves_something);
	suite_add_tcase(suite, fields);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
