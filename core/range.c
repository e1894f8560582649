#include "range.h"

#include <math.h>

#include "calendar.h"
#include "quote_parts.h"

/* Of so many samples one serves the total shares, and one the other shells; never more than the most, which is plenty. */
enum { SAMPLES_TO_SWAP = 32, SWAPS_LEAST = 8, SWAPS_MOST = 4096, SAMPLES_TO_RIVAL = 32, RIVAL_SAMPLES_MOST = 1024 };

/* A share below this may be chance alone; a question that moved no sample either is no question of this job. */
static const double chance_share = 0.01;

struct range_scratch {
	struct job job;
	struct quote sample;
	struct sampler sampler;
	struct sensitivity sensitivity;
	uint32_t month_of[TASKS_MOST];
	uint16_t shell;
	uint32_t seen, kept, rival_samples, n_rivals, priced;
	struct value base[SWAPPED_MOST]; /* of the questions, in the last plain sample, whose gross price this is */
	double base_gross;
	uint32_t cheaper[SHELLS_MOST];
	uint16_t rivals[SHELLS_MOST];
	int64_t *gross_minor, *net_minor, *days;
	int64_t lists[]; /* room for these three */
};

size_t range_scratch_size(uint32_t samples)
{
	return sizeof(struct range_scratch) + 3 * (size_t)samples * sizeof(int64_t);
}

/* ---- one sample ---- */

/* As days_on_site of the programme, in the months that the headline quote works in. */
static int64_t days_on_site(const struct range_scratch *range)
{
	const struct job *job = &range->job;
	double days = 0;

	for (uint32_t task = 0; task < job->catalogue->n_tasks; task++)
		if (job->work[task].active && !job->catalogue->tasks[task].after_handover)
			days += job->work[task].crew_days /
			        fmax(0.1, 1 - job->region->weather_lost[range->month_of[task] - 1]);
	return (int64_t)ceil(fmax(days, job->q[Q_crew_days]) - 1e-9);
}

/* Prices the sample that was drawn with a shell; false where it can't be built, or is larger than any quote can be. */
static bool price(struct range_scratch *range, uint16_t shell)
{
	range->priced++;
	quote_take_shell(&range->job, shell);
	return quote_price_begun(&range->job) == ST_OK && range->sample.n_cannots == 0;
}

static void price_rivals(struct range_scratch *range, const double *u, int64_t net_minor)
{
	range->rival_samples++;
	for (uint32_t i = 0; i < range->n_rivals; i++) {
		sampler_draw(&range->sampler, u, &range->job, NULL);
		if (price(range, range->rivals[i]) && range->sample.shell_suitable && range->sample.net_minor < net_minor)
			range->cheaper[i]++;
	}
}

static void keep_base(struct range_scratch *range)
{
	for (uint32_t i = 0; i < range->sampler.n_questions; i++)
		range->base[i] = range->sample.resolved.v[range->sampler.fields[i]];
	range->base_gross = (double)range->sample.gross_minor;
}

/* One answer swapped for another that is the same (a word for the same word, a slope where there is none) prices the same, and
 * so does one that the take-off had no use for and turned into a default: over a third of a phone call's swaps. */
static bool is_base(const struct range_scratch *range)
{
	for (uint32_t i = 0; i < range->sampler.n_questions; i++) {
		const struct value *value = &range->sample.resolved.v[range->sampler.fields[i]], *base = &range->base[i];

		if (base->origin != BY_DEFAULT && (value->number != base->number || value->origin != base->origin))
			return false;
	}
	return true;
}

static bool price_swapped(struct range_scratch *range, const double *u, double *result)
{
	bool built = true;

	sampler_draw(&range->sampler, u, &range->job, NULL);
	*result = range->base_gross;
	if (!is_base(range)) {
		built = price(range, range->shell);
		*result = (double)range->sample.gross_minor;
	}
	return built;
}

static void keep_sample(struct range_scratch *range, const double *u)
{
	int64_t net_minor = range->sample.net_minor;

	range->gross_minor[range->kept] = range->sample.gross_minor;
	range->net_minor[range->kept] = net_minor;
	range->days[range->kept++] = days_on_site(range);
	if (range->seen++ % SAMPLES_TO_RIVAL == 0 && range->rival_samples < RIVAL_SAMPLES_MOST)
		price_rivals(range, u, net_minor);
}

/* A sensitivity_model: the gross price. */
static bool model(void *with, const double *u, uint8_t *cells, double *result)
{
	struct range_scratch *range = with;
	bool built;

	if (!cells)
		return price_swapped(range, u, result);
	sampler_draw(&range->sampler, u, &range->job, cells);
	built = price(range, range->shell);
	*result = (double)range->sample.gross_minor;
	keep_base(range);
	if (built)
		keep_sample(range, u);
	return built;
}

/* ---- percentiles ---- */

static void sift(int64_t *list, uint32_t top, uint32_t n)
{
	int64_t moved = list[top];

	for (uint32_t child; (child = 2 * top + 1) < n; top = child) {
		if (child + 1 < n && list[child + 1] > list[child])
			child++;
		if (list[child] <= moved)
			break;
		list[top] = list[child];
	}
	list[top] = moved;
}

/* Heapsort (J. W. J. Williams, 1964): no memory, no bad case. */
static void sort(int64_t *list, uint32_t n)
{
	for (uint32_t i = n / 2; i-- > 0;)
		sift(list, i, n);
	for (uint32_t last = n; last-- > 1;) {
		int64_t greatest = list[0];

		list[0] = list[last];
		list[last] = greatest;
		sift(list, 0, last);
	}
}

static double percentile(const int64_t *sorted, uint32_t n, double share)
{
	double at = (n - 1) * share;
	uint32_t below = (uint32_t)at;

	if (below + 1 >= n)
		return (double)sorted[n - 1];
	return (double)sorted[below] + (at - below) * (double)(sorted[below + 1] - sorted[below]);
}

static struct band_minor money_band(int64_t *list, uint32_t n)
{
	sort(list, n);
	return (struct band_minor){llround(percentile(list, n, 0.1)), llround(percentile(list, n, 0.5)),
	                           llround(percentile(list, n, 0.9))};
}

/* Whole days: between two samples the nearer one. */
static struct band_days days_band(int64_t *list, uint32_t n)
{
	sort(list, n);
	return (struct band_days){round(percentile(list, n, 0.1)), round(percentile(list, n, 0.5)),
	                          round(percentile(list, n, 0.9))};
}

/* ---- questions ---- */

static bool is_word(uint32_t field)
{
	return enquiry_fields[field].kind == FIELD_CHOICE || enquiry_fields[field].kind == FIELD_YESNO;
}

/* Least and greatest mean over the answers; of fewer than 8 samples no mean is taken. */
static void means(const struct sensitivity *sensitivity, const struct sensitivity_axis *axis, uint32_t cells_together,
                  struct range_question *question)
{
	double low = (double)INFINITY, high = -low;

	for (uint32_t i = 0; i < CELLS_MOST; i += cells_together) {
		double sum = 0, count = 0;

		for (uint32_t k = i; k < i + cells_together; k++) {
			sum += axis->cells[k].sum;
			count += axis->cells[k].count;
		}
		if (count < 8)
			continue;
		low = fmin(low, sum / count);
		high = fmax(high, sum / count);
	}
	if (!(low <= high))
		low = high = sensitivity->mean - sensitivity->origin;
	question->low_minor = llround(sensitivity->origin + low);
	question->high_minor = llround(sensitivity->origin + high);
}

/* Largest share first; of two with the same the earlier field. */
static void put_question(struct range *range, const struct range_question *question)
{
	uint32_t place = range->n_questions++;

	for (; place > 0 && range->questions[place - 1].share < question->share; place--)
		range->questions[place] = range->questions[place - 1];
	range->questions[place] = *question;
}

static void judge_axes(const struct range_scratch *scratch, struct range *range)
{
	const struct sensitivity *sensitivity = &scratch->sensitivity;

	for (uint32_t i = 0; i < scratch->sampler.n_axes; i++) {
		const struct axis *axis = &scratch->sampler.axes[i];
		const struct sensitivity_axis *found = &sensitivity->axes[i];
		struct range_question question = {.field = axis->field, .share = found->first_share,
		                                  .total_share = fmax(found->total_share, found->first_share)};

		if (axis->kind == AXIS_LABOUR)
			range->labour_share = found->first_share;
		else if (axis->kind == AXIS_PRICE)
			range->price_share = found->first_share;
		else if (axis->kind != AXIS_QUESTION)
			range->measuring_share += found->first_share;
		else if (found->square_sum > 0 || found->first_share > chance_share) {
			means(sensitivity, found, is_word(axis->field) ? 1 : sensitivity->n_cells / 4, &question);
			put_question(range, &question);
		}
	}
}

/* ---- all of it ---- */

static void list_months(struct range_scratch *scratch, const struct quote *quote)
{
	for (uint32_t task = 0; task < TASKS_MOST; task++) {
		const struct task_result *result = &quote->programme.tasks[task];

		scratch->month_of[task] = day_month(result->active ? result->from_day : quote->programme.start_day);
	}
}

static void list_rivals(struct range_scratch *scratch, const struct quote *quote)
{
	for (uint16_t shell = 0; quote->shell != NO_INDEX && shell < scratch->job.catalogue->n_shells; shell++)
		if (shell != quote->shell)
			scratch->rivals[scratch->n_rivals++] = shell;
}

static void begin(struct range_scratch *scratch, const struct quote *quote, uint32_t samples)
{
	scratch->shell = quote->shell;
	scratch->seen = scratch->kept = scratch->rival_samples = scratch->n_rivals = scratch->priced = 0;
	scratch->gross_minor = scratch->lists;
	scratch->net_minor = scratch->lists + samples;
	scratch->days = scratch->lists + 2 * (size_t)samples;
	for (uint32_t i = 0; i < SHELLS_MOST; i++)
		scratch->cheaper[i] = 0;
	list_months(scratch, quote);
	list_rivals(scratch, quote);
	sampler_prepare(&scratch->sampler, &scratch->job);
}

static uint32_t swaps_of(uint32_t samples)
{
	uint32_t swaps = samples / SAMPLES_TO_SWAP;

	return swaps < SWAPS_LEAST ? SWAPS_LEAST : swaps > SWAPS_MOST ? SWAPS_MOST : swaps;
}

static void put_rivals(const struct range_scratch *scratch, struct range *range)
{
	range->n_rivals = scratch->rival_samples > 0 ? scratch->n_rivals : 0;
	range->rival_samples = scratch->rival_samples;
	for (uint32_t i = 0; i < range->n_rivals; i++)
		range->rivals[i] = (struct range_rival){scratch->rivals[i], (double)scratch->cheaper[i] / scratch->rival_samples};
}

static void finish(struct range_scratch *scratch, uint32_t samples, struct range *range)
{
	uint32_t n = scratch->kept;

	*range = (struct range){.shell = scratch->shell, .samples = samples, .any = n > 0,
	                        .quotes = scratch->priced,
	                        .cannot_share = (double)(samples - n) / samples};
	if (n == 0)
		return;
	range->gross = money_band(scratch->gross_minor, n);
	range->net = money_band(scratch->net_minor, n);
	range->on_site_days = days_band(scratch->days, n);
	judge_axes(scratch, range);
	put_rivals(scratch, range);
}

enum status range_price(const struct catalogue *catalogue, const struct edition *edition, const struct enquiry *enquiry,
                        uint32_t samples, void *scratch, struct quote *quote, struct range *range)
{
	struct range_scratch *own = scratch;
	enum status status = quote_price(catalogue, edition, enquiry, NO_INDEX, &own->job, quote);
	struct sensitivity_plan plan = {.samples = samples, .swaps = swaps_of(samples)};

	if (status != ST_OK)
		return status;
	quote_begin(catalogue, edition, enquiry, &own->job, &own->sample);
	begin(own, quote, samples);
	plan.n_axes = own->sampler.n_axes;
	plan.n_swapped = own->sampler.n_questions;
	if (plan.n_axes == 0)
		plan.n_axes = 1; /* nothing is unsure: every sample is the quote */
	sensitivity_run(&plan, model, own, &own->sensitivity);
	finish(own, samples, range);
	return ST_OK;
}
