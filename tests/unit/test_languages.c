#include <check.h>
#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "answers.h"
#include "config_edit.h"
#include "media.h"
#include "outcomes.h"

/* ---- which language is wanted ---- */

static const struct wanted {
	const char *accept;
	size_t language;
} wanted[] = {
	{NULL, 0}, {"", 0}, {"fr", 1}, {"FR-ca", 1}, {"de", 0}, {"fr;q=0", 0}, {"fr;q=0, en;q=0", 0},
	/* RFC 9110 section 12.5.4: "I prefer Danish, but will accept British English and other types of English" */
	{"da, en-gb;q=0.8, en;q=0.7", 2}, {"en-gb;q=0.8, en;q=0.7, fr;q=0.75", 0},
	{"en;q=0.5, fr;q=0.9", 1}, {"fr, da", 1}, {"da, fr", 2}, {"*", 0}, {"fr;q=0.3, *;q=0.8", 0}, {"de, *;q=0.1, fr;q=0.2", 1},
	/* RFC 4647 section 3.4: a range is shortened from its end, a tag never is */
	{"da-Latn-DK-x-private1", 2}, {"d", 0}, {"frr", 0}, {"fr_FR", 0},
	{",, ;q=1,;;, fr", 1}, {"fr;q=", 1},
};
enum { WANTED = sizeof wanted / sizeof wanted[0] };

START_TEST(the_language_that_is_wanted_most_is_chosen)
{
	static const char *const tags[] = {"en", "fr", "da"};

	ck_assert_msg(media_language(wanted[_i].accept, tags, 3) == wanted[_i].language, "%s", wanted[_i].accept);
}
END_TEST

/* ---- the files ---- */

static struct config *with_file(const char *path, const char *json)
{
	char *text = strdup(json);

	for (char *at = text; *at != '\0'; at++)
		if (*at == '\'')
			*at = '"';
	ck_assert(config_files_add(&small_files, path, text, strlen(text)));
	free(text);
	return config_compile(&small_files, &small_faults);
}

#define FILE_OF(page, fields, words, texts) \
	"{'title':'Dansk','page':" page ",'fields':" fields ",'words':" words ",'texts':" texts "}"

static const struct slip {
	const char *path, *json, *pointer, *reason;
} slips[] = {
	{"languages/da.json", "[]", "", "object"},
	{"languages/da.json", "{'title':'Dansk'}", "/page", "is missing"},
	{"languages/da.json", FILE_OF("{}", "{}", "{}", "{},'lyrics':{}"), "/lyrics", "not a member"},
	{"languages/da.json", FILE_OF("7", "{}", "{}", "{}"), "/page", "must be an object"},
	{"languages/da.json", FILE_OF("{'title':7}", "{}", "{}", "{}"), "/page/title", "must be a text"},
	{"languages/da.json", FILE_OF("{}", "{'/site/soli':'x'}", "{}", "{}"), "/fields/~1site~1soli",
		"no field of the enquiry is /site/soli; did you mean /site/soil"},
	{"languages/da.json", FILE_OF("{}", "{'/site/soil':''}", "{}", "{}"), "/fields/~1site~1soil", "is empty"},
	{"languages/da.json", FILE_OF("{}", "{}", "{'nations':{}}", "{}"), "/words/nations", "did you mean nation"},
	{"languages/da.json", FILE_OF("{}", "{}", "{'nation':[]}", "{}"), "/words/nation", "must be an object"},
	{"languages/da.json", FILE_OF("{}", "{}", "{'nation':{'whales':'x'}}", "{}"), "/words/nation/whales", "did you mean wales"},
	{"languages/da.json", FILE_OF("{}", "{}", "{'nation':{'wales':[]}}", "{}"), "/words/nation/wales", "must be a text"},
	{"languages/da.json", FILE_OF("{}", "{}", "{}", "{'Pump':null}"), "/texts/Pump", "must be a text"},
	{"languages/da.json", FILE_OF("{}", "{}", "{}", "{'{shell}: {money} now':'{shell}: {penge} nu'}"),
		"/texts/{shell}: {money} now", "says {penge}, which the English does not"},
	{"languages/en.json", FILE_OF("{}", "{}", "{}", "{}"), "", "the other files are in English"},
	{"languages/danish.json", FILE_OF("{}", "{}", "{}", "{}"), "", "two or three letters"},
	{"languages/d.json", FILE_OF("{}", "{}", "{}", "{}"), "", "two or three letters"},
};
enum { SLIPS = sizeof slips / sizeof slips[0] };

START_TEST(a_slip_refuses_the_edition_with_its_place)
{
	const struct slip *slip = &slips[_i];

	ck_assert_ptr_null(with_file(slip->path, slip->json));
	if (!has_fault(&small_faults, slip->path, slip->pointer, slip->reason))
		faults_print(&small_faults, stderr);
	ck_assert_msg(has_fault(&small_faults, slip->path, slip->pointer, slip->reason), "%s: no \"%s\"", slip->json, slip->reason);
}
END_TEST

START_TEST(one_language_more_than_there_may_be_is_refused)
{
	char path[] = "languages/aaa.json";

	for (; path[12] < 'q'; path[12]++) {
		struct config *config = with_file(path, FILE_OF("{}", "{}", "{}", "{}"));

		ck_assert_ptr_nonnull(config);
		config_release(config);
	}
	ck_assert_ptr_null(with_file(path, FILE_OF("{}", "{}", "{}", "{}")));
	ck_assert(has_fault(&small_faults, path, "", "one language more than 16"));
}
END_TEST

/* What is not translated stays English, and is told; so is what translates nothing. Neither refuses. */
START_TEST(a_gap_stays_english_and_is_a_warning)
{
	struct config *config = with_file("languages/da.json",
		FILE_OF("{'skip':'Videre'}", "{'/site/soil':'Jord'}", "{'nation':{'wales':'Wales (da)'}}",
			"{'Pump':'Pumpe','No such text':'Intet'}"));
	const struct config *danish;
	uint32_t translated = 0;

	ck_assert_ptr_nonnull(config);
	ck_assert(has_fault(&small_faults, "languages/da.json", "/texts",
		"has words for 1 texts that no file says, such as \"No such text\""));
	ck_assert(has_fault(&small_faults, "languages/da.json", "/texts", "they stay English"));
	ck_assert(has_fault(&small_faults, "languages/da.json", "/fields", "they stay English"));
	danish = config_spoken(config, "da");
	ck_assert_str_eq(danish->tags[danish->language], "da");
	ck_assert_str_eq(danish->language_titles[danish->language], "Dansk");
	ck_assert_str_eq(danish->page_words, "{\"skip\":\"Videre\"}");
	ck_assert_str_eq(config_help(danish, F_soil), "Jord");
	ck_assert_str_eq(config_help(danish, F_depth_m), config_help(config, F_depth_m));
	ck_assert_str_eq(config_word_titles(danish, LIST_nation)[NATION_WALES], "Wales (da)");
	ck_assert_ptr_null(config_word_titles(danish, LIST_nation)[NATION_SCOTLAND]);
	ck_assert_ptr_null(config_word_titles(config, LIST_nation));
	for (uint32_t i = 0; i < config->n_texts; i++) {
		const char *english = config_text(config, i)->title, *own = config_text(danish, i)->title;

		ck_assert((english == NULL) == (own == NULL));
		if (english != NULL && strcmp(english, "Pump") == 0) {
			ck_assert_str_eq(own, "Pumpe");
			translated++;
		} else if (english != NULL) {
			ck_assert_str_eq(own, english);
		}
	}
	ck_assert_uint_gt(translated, 0);
	config_release(config);
}
END_TEST

/* ---- French as it is shipped ---- */

START_TEST(shipped_languages_leave_nothing_out)
{
	struct faults of_shipped;
	struct config *config;

	faults_init(&of_shipped);
	config = config_load(getenv("PONDWRIGHT_CONFIG"), &of_shipped);
	faults_print(&of_shipped, stderr);
	ck_assert_ptr_nonnull(config);
	ck_assert_uint_eq(of_shipped.n_warnings, 0);
	ck_assert_uint_ge(config->n_languages, 2);
	ck_assert_str_eq(config->tags[0], "en");
	for (uint32_t i = 1; i < config->n_languages; i++)
		for (uint32_t list = 1; list < LIST_FIXED_COUNT; list++)
			for (uint32_t word = 0; word < config->words[list].count && list != LIST_soil && list != LIST_style; word++)
				ck_assert_msg(config_word_titles(config_language(config, i), (enum word_list)list)[word] != NULL,
					"%s: %s", config->tags[i], config->words[list].words[word]);
	config_release(config);
	faults_free(&of_shipped);
}
END_TEST

static json_t *answered(answer_function *function, const struct config *config, json_t *enquiry)
{
	struct room *room = room_new();
	struct writer out;
	struct answer answer;
	char *body = json_dumps(enquiry, 0);
	json_t *whole;

	writer_init(&out);
	answer = function(&(struct ask){.config = config, .room = room, .body = body, .body_length = strlen(body),
		.today_day = 20782}, &out);
	ck_assert_uint_eq(answer.status, 200);
	whole = json_loadb(out.bytes, out.length, 0, NULL);
	ck_assert_ptr_nonnull(whole);
	free(body);
	writer_free(&out);
	room_free(room);
	return whole;
}

static size_t count_blanks(const char *text)
{
	size_t all = 0;

	for (; *text != '\0'; text++)
		all += *text == ' ';
	return all;
}

/* Sources prove something and are quoted as they are. */
static bool is_english_anyway(const char *key)
{
	return strcmp(key, "source") == 0 || strcmp(key, "verified") == 0;
}

static uint32_t compare_answers(const char *key, json_t *english, json_t *french)
{
	uint32_t differing = 0;
	const char *name;
	json_t *value;
	size_t i;

	ck_assert_msg(json_typeof(english) == json_typeof(french), "%s", key);
	if (json_is_object(english)) {
		ck_assert_uint_eq(json_object_size(english), json_object_size(french));
		json_object_foreach(english, name, value)
			differing += compare_answers(name, value, json_object_get(french, name));
	} else if (json_is_array(english)) {
		ck_assert_uint_eq(json_array_size(english), json_array_size(french));
		json_array_foreach(english, i, value)
			differing += compare_answers(key, value, json_array_get(french, i));
	} else if (json_is_string(english)) {
		const char *a = json_string_value(english), *b = json_string_value(french);

		differing = strcmp(a, b) != 0;
		ck_assert_msg(differing || count_blanks(a) < 3 || is_english_anyway(key), "%s: %s", key, a);
	} else {
		ck_assert_msg(json_equal(english, french), "%s", key);
	}
	return differing;
}

static void compare_fixture(const char *name, json_t *enquiry, void *context)
{
	static answer_function *const functions[] = {answer_quote, answer_range, answer_compare, answer_screen, answer_water};
	const struct config *config = shipped(), *french = config_spoken(config, "fr-FR,fr;q=0.8");
	uint32_t *differing = context;

	(void)name;
	ck_assert_str_eq(french->tags[french->language], "fr");
	for (size_t f = 0; f < sizeof functions / sizeof functions[0]; f++) {
		json_t *a = answered(functions[f], config, enquiry), *b = answered(functions[f], french, enquiry);

		differing[f] += compare_answers("", a, b);
		json_decref(a);
		json_decref(b);
	}
}

START_TEST(an_answer_in_french_differs_in_words_alone)
{
	uint32_t differing[5] = {0};

	outcome_fixtures(compare_fixture, differing);
	for (size_t f = 0; f < 5; f++)
		ck_assert_uint_gt(differing[f], 10);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("languages");
	TCase *choice = tcase_create("choice"), *small = tcase_create("files"), *french = tcase_create("French");
	SRunner *runner;
	int failed;

	tcase_add_loop_test(choice, the_language_that_is_wanted_most_is_chosen, 0, WANTED);
	tcase_add_checked_fixture(small, open_small, close_small);
	tcase_add_loop_test(small, a_slip_refuses_the_edition_with_its_place, 0, SLIPS);
	tcase_add_test(small, one_language_more_than_there_may_be_is_refused);
	tcase_add_test(small, a_gap_stays_english_and_is_a_warning);
	tcase_add_test(french, shipped_languages_leave_nothing_out);
	tcase_add_test(french, an_answer_in_french_differs_in_words_alone);
	tcase_set_timeout(french, 60);
	suite_add_tcase(suite, choice);
	suite_add_tcase(suite, small);
	suite_add_tcase(suite, french);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
