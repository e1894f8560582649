#include <check.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "reference.h"

#define ZEROS "0000000000000000000000000000000000000000000000000000000000000000"

static const char symbols[] = "0123456789ABCDEFGHJKMNPQRSTVWXYZ*~$=U";

static const char *reference_of(const char *canonical, const char *edition, const char *digest)
{
	static char text[REFERENCE_SIZE];

	reference_text(canonical, strlen(canonical), edition, digest, text);
	return text;
}

static unsigned place_of(char symbol)
{
	const char *at = strchr(symbols, symbol);

	ck_assert_ptr_nonnull(at);
	return (unsigned)(at - symbols);
}

/* Horner's rule modulo 37: another route than the 55-bit number. */
static bool check_holds(const char *text)
{
	unsigned remainder = 0;

	for (int i = 0; i < 11; i++) {
		ck_assert_uint_lt(place_of(text[i]), 32);
		remainder = (remainder * 32 + place_of(text[i])) % 37;
	}
	return remainder == place_of(text[11]);
}

/* Worked out with Python's hashlib. */
START_TEST(known_references)
{
	ck_assert_str_eq(reference_of("{}", "2026-10", ZEROS), "S34QXD0BM4F7");
	ck_assert_str_eq(reference_of("{\"region\":\"demo-north\"}", "2026-10",
				 "abababababababababababababababababababababababababababababababab"), "CDYTY31SRHB5");
	ck_assert_str_eq(reference_of("", "", ""), "EPGHV92CG0J*");
	ck_assert_str_eq(reference_of("{}14", "2026-10", ZEROS), "PX32FK1DWTC~");
	ck_assert_str_eq(reference_of("{}6", "2026-10", ZEROS), "CCN82GCPYJJ$");
	ck_assert_str_eq(reference_of("{}38", "2026-10", ZEROS), "CH3WJ2DYQVV=");
	ck_assert_str_eq(reference_of("{}54", "2026-10", ZEROS), "B04HP4SZ9E5U");
}
END_TEST

START_TEST(each_part_counts)
{
	char first[REFERENCE_SIZE];

	memcpy(first, reference_of("{}", "2026-10", ZEROS), REFERENCE_SIZE);
	ck_assert_str_ne(reference_of("{} ", "2026-10", ZEROS), first);
	ck_assert_str_ne(reference_of("{}", "2026-11", ZEROS), first);
	ck_assert_str_ne(reference_of("{}", "2026-10", ZEROS "0"), first);
	ck_assert_str_ne(reference_of("{}\n2026", "-10", ZEROS), first);
	ck_assert_str_eq(reference_of("{}", "2026-10", ZEROS), first);
}
END_TEST

/* What the check symbol is for: a letter misheard, two neighbours swapped. */
START_TEST(a_slip_of_the_pen_is_told)
{
	char text[REFERENCE_SIZE], canonical[16], slip[REFERENCE_SIZE];

	for (int i = 0; i < 8; i++) {
		snprintf(canonical, sizeof canonical, "{%d}", i);
		memcpy(text, reference_of(canonical, "2026-10", ZEROS), sizeof text);
		ck_assert_uint_eq(strlen(text), 12);
		ck_assert(check_holds(text));
		for (int at = 0; at < 11; at++) {
			memcpy(slip, text, sizeof slip);
			for (int other = 0; other < 32; other++) {
				slip[at] = symbols[other];
				ck_assert(check_holds(slip) == (slip[at] == text[at]));
			}
			slip[at] = text[at];
			if (at < 10 && text[at] != text[at + 1]) {
				slip[at] = text[at + 1];
				slip[at + 1] = text[at];
				ck_assert(!check_holds(slip));
			}
		}
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("reference");
	TCase *cases = tcase_create("reference");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_test(cases, known_references);
	tcase_add_test(cases, each_part_counts);
	tcase_add_test(cases, a_slip_of_the_pen_is_told);
	suite_add_tcase(suite, cases);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
