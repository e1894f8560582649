#include <check.h>
#include <stdlib.h>
#include <string.h>

#include "bill.h"
#include "enquiry_check.h"
#include "enquiry_read.h"
#include "outcomes.h"
#include "priced.h"
#include "quote_parts.h"
#include "random_enquiry.h"
#include "sample.h"
#include "writer.h"

/* A bill that is made from the one before is the bill that is made from nothing. */

enum { TODAY = 20782, SAMPLES = 12, RANDOM_ENQUIRIES = 150 };

static struct enquiry taken;
static struct quote anew, again;
static struct sampler sampler;
static struct job *job;
static uint64_t dice;
static uint32_t n_priced, n_kept, n_shares;
static double least_shares;

/* Knuth's multiplier for 64 bits (The Art of Computer Programming, volume 2, table 3.3.4-1). */
static double next_share(void)
{
	dice = dice * UINT64_C(6364136223846793005) + 1442695040888963407u;
	return (double)(dice >> 11) * 0x1p-53;
}

static bool take(const char *json, size_t length)
{
	struct enquiry_faults faults;
	json_t *object;
	bool good;

	enquiry_faults_init(&faults);
	good = body_parse(json, length, &object, &faults) == BODY_READ;
	if (good) {
		enquiry_read(shipped(), NEED_QUOTE, object, "", &taken, &faults);
		enquiry_check(shipped(), TODAY, "", &taken, &faults);
		json_decref(object);
	}
	good = good && faults.count == 0;
	enquiry_faults_free(&faults);
	return good;
}

static void check_line(const struct line *a, const struct line *b)
{
	ck_assert_uint_eq(a->special, b->special);
	ck_assert_uint_eq(a->build_up, b->build_up);
	ck_assert(a->quantity == b->quantity);
	ck_assert_mem_eq(a->hours, b->hours, sizeof a->hours);
	ck_assert_mem_eq(a->cost_minor, b->cost_minor, sizeof a->cost_minor);
	ck_assert_mem_eq(a->price_minor, b->price_minor, sizeof a->price_minor);
	ck_assert_int_eq(a->alone_minor, b->alone_minor);
	ck_assert(a->was_cheapest_of_many == b->was_cheapest_of_many);
}

static void check_same(enum status status, enum status other, const struct quote *a, const struct quote *b)
{
	ck_assert_int_eq(status, other);
	if (status != ST_OK)
		return;
	ck_assert_mem_eq(a->q, b->q, sizeof a->q);
	ck_assert_int_eq(a->gross_minor, b->gross_minor);
	ck_assert_uint_eq(a->n_cannots, b->n_cannots);
	ck_assert_uint_eq(a->n_needs, b->n_needs);
	ck_assert_uint_eq(a->water.pump, b->water.pump);
	ck_assert(a->water.duty.flow_l_per_h == b->water.duty.flow_l_per_h);
	ck_assert_mem_eq(a->bought, b->bought, sizeof a->bought);
	ck_assert_mem_eq(a->item_minor, b->item_minor, sizeof a->item_minor);
	ck_assert_uint_eq(a->n_lines, b->n_lines);
	for (uint32_t i = 0; i < a->n_lines; i++)
		check_line(&a->lines[i], &b->lines[i]);
}

static enum status price_sample(const double *u, uint16_t shell, struct quote *quote)
{
	job->quote = quote;
	job->v = quote->resolved.v;
	job->q = quote->q;
	sampler_draw(&sampler, u, job, NULL);
	quote_take_shell(job, shell);
	return quote_price_begun(job);
}

/* Every other sample differs from the one before in a single draw; all are priced with every shell, once on what stands and
 * once from nothing. */
static void check_samples(bool lays)
{
	double u[AXES_MOST];

	for (uint32_t i = 0; i < AXES_MOST; i++)
		u[i] = next_share();
	for (uint32_t i = 0; i < SAMPLES; i++) {
		uint16_t shell = lays ? (uint16_t)(next_share() * shipped()->catalogue.n_shells) : NO_INDEX;
		enum status of_this, of_other;

		for (uint32_t axis = 0; axis < sampler.n_axes; axis++)
			if (i % 2 == 0 || axis == i % sampler.n_axes)
				u[axis] = next_share();
		n_kept += job->last->bill.stands;
		of_this = price_sample(u, shell, &again);
		job->last->bill.stands = job->last->takeoff.stands = false;
		of_other = price_sample(u, shell, &anew);
		check_same(of_this, of_other, &again, &anew);
		n_priced++;
	}
}

static void check_enquiry(void)
{
	const struct edition *edition = enquiry_edition(shipped(), &taken);

	if (job == NULL)
		job = malloc(quote_scratch_size());
	job->shapes_ready = false;
	quote_begin(&shipped()->catalogue, edition, &taken, job, &anew);
	quote_begin(&shipped()->catalogue, edition, &taken, job, &again);
	sampler_prepare(&sampler, job);
	quote_take_shell(job, quote_lays_shell(&taken) ? 0 : NO_INDEX);
	if (quote_price_begun(job) == ST_OK)
		check_samples(quote_lays_shell(&taken));
}

static void check_fixture(const char *name, json_t *enquiry, void *context)
{
	char *text = json_dumps(enquiry, 0);

	(void)name;
	(void)context;
	ck_assert(take(text, strlen(text)));
	check_enquiry();
	free(text);
}

static void for_random_enquiries(uint64_t first_seed, void (*check)(void))
{
	struct writer out;

	writer_init(&out);
	for (uint64_t seed = first_seed; seed < first_seed + RANDOM_ENQUIRIES; seed++) {
		writer_clear(&out);
		random_enquiry_write(&out, shipped(), seed);
		if (take(out.bytes, out.length))
			check();
	}
	writer_free(&out);
}

/* A shell that can be built and suits, then the one with least that can't be done, then the cheapest, then the first. */
static bool is_better(const struct quote *a, const struct quote *b)
{
	bool fits = a->shell_suitable && a->n_cannots == 0, other_fits = b->shell_suitable && b->n_cannots == 0;

	if (fits != other_fits)
		return fits;
	return a->n_cannots != b->n_cannots ? a->n_cannots < b->n_cannots : a->net_minor < b->net_minor;
}

static void check_choice(void)
{
	const struct catalogue *catalogue = &shipped()->catalogue;
	const struct edition *edition = enquiry_edition(shipped(), &taken);
	enum status status;
	bool any = false;

	if (!quote_lays_shell(&taken) || taken.v[F_shell].origin == GIVEN)
		return;
	if (job == NULL)
		job = malloc(quote_scratch_size());
	for (uint16_t shell = 0; shell < catalogue->n_shells; shell++) {
		if (quote_price(catalogue, edition, &taken, shell, job, &again) != ST_OK)
			continue;
		bill_least_prices(job);
		ck_assert_int_le(bill_least_net_minor(job), again.net_minor);
		least_shares += (double)bill_least_net_minor(job) / (double)again.net_minor;
		n_shares++;
		if (!any || is_better(&again, &anew))
			memcpy(&anew, &again, sizeof anew);
		any = true;
	}
	status = quote_price(catalogue, edition, &taken, NO_INDEX, job, &again);
	ck_assert_int_eq(status == ST_OK, any);
	if (!any)
		return;
	n_priced++;
	ck_assert_uint_eq(again.shell, anew.shell);
	ck_assert(again.shell_chosen);
	check_same(ST_OK, ST_OK, &again, &anew);
	ck_assert_ptr_null(outcome_change(&again, &anew));
}

static void check_fixture_choice(const char *name, json_t *enquiry, void *context)
{
	char *text;

	(void)name;
	(void)context;
	json_object_del(enquiry, "shell");
	text = json_dumps(enquiry, 0);
	if (take(text, strlen(text)))
		check_choice();
	free(text);
}

START_TEST(the_chosen_shell_is_the_best_of_all)
{
	n_priced = n_shares = 0;
	least_shares = 0;
	outcome_fixtures(check_fixture_choice, NULL);
	for_random_enquiries(1000, check_choice);
	ck_assert_uint_gt(n_priced, 50);
	ck_assert_double_gt(least_shares / n_shares, 0.6); /* less would be no help */
	free(job);
	job = NULL;
}
END_TEST

START_TEST(what_stands_is_what_would_be_worked_out)
{
	dice = 1;
	n_priced = n_kept = 0;
	outcome_fixtures(check_fixture, NULL);
	for_random_enquiries(1, check_enquiry);
	ck_assert_uint_gt(n_priced, 1000);
	ck_assert_uint_gt(n_kept, n_priced / 2);
	free(job);
	job = NULL;
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("last bill");
	TCase *cases = tcase_create("reuse");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_test(cases, the_chosen_shell_is_the_best_of_all);
	tcase_add_test(cases, what_stands_is_what_would_be_worked_out);
	suite_add_tcase(suite, cases);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
