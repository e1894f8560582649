#define _GNU_SOURCE

#include <check.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

#include "priced.h"
#include "readers.h"

/* Two states of an enquiry, each list at the very end of the memory that may be read: a page after it may not be. */
static struct value *v, *old_v;
static double *q, *old_q;

static void *list_before_a_wall(size_t size)
{
	size_t page = (size_t)sysconf(_SC_PAGESIZE), room = (size + page - 1) / page * page;
	char *start = mmap(NULL, room + page, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);

	ck_assert_ptr_ne(start, MAP_FAILED);
	ck_assert_int_eq(mprotect(start + room, page, PROT_NONE), 0);
	return start + room - size;
}

/* Check runs each test in a process of its own, whose end gives the memory back. */
static void begin(void)
{
	v = list_before_a_wall(F_COUNT * sizeof *v);
	old_v = list_before_a_wall(F_COUNT * sizeof *v);
	q = list_before_a_wall(Q_COUNT * sizeof *q);
	old_q = list_before_a_wall(Q_COUNT * sizeof *q);
}

static void assert_found(const struct build_up_set *expected)
{
	struct build_up_set found = readers_of_changes(&shipped()->catalogue, v, old_v, q, old_q);

	ck_assert_mem_eq(&found, expected, sizeof found);
}

START_TEST(what_reads_a_change_is_found_wherever_it_stands)
{
	const struct build_up_set *readers = shipped()->catalogue.readers, nobody = {{0}};
	uint32_t read = 0;

	assert_found(&nobody);
	for (uint32_t i = 0; i < Q_COUNT; i++) {
		q[i] = 1;
		assert_found(&readers[i]);
		read += memcmp(&readers[i], &nobody, sizeof nobody) != 0;
		q[i] = 0;
	}
	for (uint32_t i = 0; i < F_COUNT; i++) {
		v[i].number = 1;
		assert_found(&readers[Q_COUNT + i]);
		read += memcmp(&readers[Q_COUNT + i], &nobody, sizeof nobody) != 0;
		v[i].number = 0;
	}
	ck_assert_uint_gt(read, 100);
}
END_TEST

START_TEST(readers_of_several_changes_are_joined)
{
	const struct build_up_set *readers = shipped()->catalogue.readers;
	struct build_up_set all = {{0}};

	for (uint32_t i = 0; i < READ_SUBJECTS; i++)
		for (uint32_t k = 0; k < sizeof all.bits / sizeof all.bits[0]; k++)
			all.bits[k] |= readers[i].bits[k];
	for (uint32_t i = 0; i < Q_COUNT; i++)
		old_q[i] = 1;
	for (uint32_t i = 0; i < F_COUNT; i++)
		old_v[i].number = 1;
	assert_found(&all);
}
END_TEST

START_TEST(all_values_but_the_shell_are_compared)
{
	for (uint32_t i = 0; i < F_COUNT; i++)
		v[i].number = old_v[i].number = i + 1;
	ck_assert(values_same_but_shell(v, old_v));
	for (uint32_t i = 0; i < F_COUNT; i++) {
		v[i].number = 0;
		ck_assert(values_same_but_shell(v, old_v) == (i == F_shell));
		v[i].number = i + 1;
	}
}
END_TEST

/* Who lays a layer has other work with another shell. */
START_TEST(layers_read_the_shell)
{
	const struct catalogue *catalogue = &shipped()->catalogue;
	uint32_t layers = 0;

	for (uint32_t i = 0; i < catalogue->n_build_ups; i++) {
		bool reads = (catalogue->readers[Q_COUNT + F_shell].bits[i / 64] >> i % 64 & 1) != 0;

		ck_assert(reads || !catalogue->build_ups[i].layer);
		layers += catalogue->build_ups[i].layer;
	}
	ck_assert_uint_gt(layers, 5);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("readers");
	TCase *cases = tcase_create("changes");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_checked_fixture(cases, begin, NULL);
	tcase_add_test(cases, what_reads_a_change_is_found_wherever_it_stands);
	tcase_add_test(cases, readers_of_several_changes_are_joined);
	tcase_add_test(cases, all_values_but_the_shell_are_compared);
	tcase_add_test(cases, layers_read_the_shell);
	suite_add_tcase(suite, cases);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
