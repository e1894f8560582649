#define _GNU_SOURCE
#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "owner.h"

#define NOW_MS 5000000

static const char word[] = "abcdefghijklmnopqrstuvwxyz";

static char path[] = "/tmp/pondwright-owner-XXXXXX";

static void write_file(const char *text)
{
	FILE *file = fopen(path, "wb");

	ck_assert_ptr_nonnull(file);
	ck_assert_int_ge(fputs(text, file), 0);
	ck_assert_int_eq(fclose(file), 0);
}

static void file_make(void)
{
	int descriptor = mkstemp(path);

	ck_assert_int_ge(descriptor, 0);
	close(descriptor);
}

static void file_remove(void)
{
	unlink(path);
}

static struct owner_token token_of(const char *text)
{
	struct owner_token token = {.length = (uint32_t)strlen(text)};

	memcpy(token.bytes, text, token.length);
	return token;
}

START_TEST(a_token_is_the_first_line_of_its_file)
{
	static const char *const texts[] = {"abcdefghijklmnopqrstuvwxyz", "abcdefghijklmnopqrstuvwxyz\n",
		"abcdefghijklmnopqrstuvwxyz\r\nand more\n"};
	struct owner_token token;

	write_file(texts[_i]);
	ck_assert_ptr_null(owner_token_read(path, &token));
	ck_assert_uint_eq(token.length, strlen(word));
	ck_assert_mem_eq(token.bytes, word, token.length);
}
END_TEST

START_TEST(a_token_that_could_be_guessed_or_mistyped_is_refused)
{
	char longest[OWNER_TOKEN_MOST + 2];
	struct owner_token token;

	write_file("short");
	ck_assert_ptr_nonnull(owner_token_read(path, &token));
	ck_assert_uint_eq(token.length, 0);
	write_file("abcdefghijklm opqrstuvwxyz");
	ck_assert_ptr_nonnull(owner_token_read(path, &token));
	write_file("");
	ck_assert_ptr_nonnull(owner_token_read(path, &token));
	write_file("abcdeabcdeabcdeabcdeabcde"); /* long, and all but one guess */
	ck_assert_ptr_nonnull(owner_token_read(path, &token));
	ck_assert_uint_eq(token.length, 0);
	for (size_t i = 0; i < sizeof longest; i++)
		longest[i] = word[i % 6];
	longest[OWNER_TOKEN_MOST + 1] = '\0';
	write_file(longest);
	ck_assert_ptr_nonnull(owner_token_read(path, &token));
	longest[OWNER_TOKEN_MOST] = '\0';
	write_file(longest);
	ck_assert_ptr_null(owner_token_read(path, &token));
	ck_assert_uint_eq(token.length, OWNER_TOKEN_MOST);
	ck_assert_ptr_nonnull(owner_token_read("/nonexistent/token", &token));
	ck_assert_ptr_nonnull(owner_token_read("/", &token));
	ck_assert_ptr_null(owner_token_read(NULL, &token));
	ck_assert_uint_eq(token.length, 0);
}
END_TEST

START_TEST(the_whole_token_alone_proves_the_owner)
{
	struct owner_token token = token_of(word), none = {0};
	struct owner_gate gate = {0};

	ck_assert_int_eq(owner_check(&gate, &token, "Bearer abcdefghijklmnopqrstuvwxyz", NOW_MS), OWNER_PROVEN);
	ck_assert_int_eq(owner_check(&gate, &token, "bearer  abcdefghijklmnopqrstuvwxyz", NOW_MS), OWNER_PROVEN);
	ck_assert_int_eq(owner_check(&gate, &token, NULL, NOW_MS), OWNER_ABSENT);
	ck_assert_int_eq(owner_check(&gate, &token, "Basic abcdefghijklmnopqrstuvwxyz", NOW_MS), OWNER_ABSENT);
	ck_assert_int_eq(owner_check(&gate, &token, "Bearerabcdefghijklmnopqrstuvwxyz", NOW_MS), OWNER_ABSENT);
	ck_assert_int_eq(owner_check(&gate, &token, "Bearer abcdefghijklmnopqrstuvwxy", NOW_MS), OWNER_WRONG);
	ck_assert_int_eq(owner_check(&gate, &token, "Bearer abcdefghijklmnopqrstuvwxyzz", NOW_MS), OWNER_WRONG);
	ck_assert_int_eq(owner_check(&gate, &token, "Bearer Abcdefghijklmnopqrstuvwxyz", NOW_MS), OWNER_WRONG);
	ck_assert_int_eq(owner_check(&gate, &token, "Bearer ", NOW_MS), OWNER_WRONG);
	ck_assert_int_eq(owner_check(&gate, &none, "Bearer ", NOW_MS), OWNER_WRONG);
	ck_assert_int_eq(owner_check(&gate, &none, "Bearer abcdefghijklmnopqrstuvwxyz", NOW_MS), OWNER_WRONG);
}
END_TEST

START_TEST(guessing_is_slowed_and_never_keeps_the_owner_out)
{
	struct owner_token token = token_of(word);
	struct owner_gate gate = {0};
	int wrong = 0, too_many = 0;

	for (int i = 0; i < 10 * OWNER_FAILURES_MOST; i++) {
		enum owner_verdict verdict = owner_check(&gate, &token, "Bearer wrong", NOW_MS);

		wrong += verdict == OWNER_WRONG;
		too_many += verdict == OWNER_TOO_MANY;
		ck_assert_int_eq(owner_check(&gate, &token, "Bearer abcdefghijklmnopqrstuvwxyz", NOW_MS), OWNER_PROVEN);
	}
	ck_assert_int_eq(wrong, OWNER_FAILURES_MOST);
	ck_assert_int_eq(too_many, 9 * OWNER_FAILURES_MOST);
	ck_assert_int_eq(owner_check(&gate, &token, NULL, NOW_MS), OWNER_ABSENT);
	ck_assert_int_eq(owner_check(&gate, &token, "Bearer wrong", NOW_MS + 1000), OWNER_WRONG);
	ck_assert_int_eq(owner_check(&gate, &token, "Bearer wrong", NOW_MS + 1000), OWNER_TOO_MANY);
	ck_assert_int_eq(owner_check(&gate, &token, "Bearer wrong", NOW_MS + 2000), OWNER_WRONG);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("owner");
	TCase *tcase = tcase_create("owner");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_unchecked_fixture(tcase, file_make, file_remove);
	tcase_add_loop_test(tcase, a_token_is_the_first_line_of_its_file, 0, 3);
	tcase_add_test(tcase, a_token_that_could_be_guessed_or_mistyped_is_refused);
	tcase_add_test(tcase, the_whole_token_alone_proves_the_owner);
	tcase_add_test(tcase, guessing_is_slowed_and_never_keeps_the_owner_out);
	suite_add_tcase(suite, tcase);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
