/* The core by itself: linked with libm and nothing else, under an allocator that aborts, it prices a pond from a
 * catalogue that stands here in C. Every figure below is worked out by hand in the comments. */

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "calendar.h"
#include "quote.h"

static int armed;

/* glibc calls these by name; while `armed`, any call ends the test. */
void *__libc_malloc(size_t size);
void *malloc(size_t size)
{
	if (armed)
		abort();
	return __libc_malloc(size);
}

static int failures;

static void expect(const char *what, double is, double should, double within)
{
	if (!(fabs(is - should) <= within)) {
		printf("%s: %.12g instead of %.12g\n", what, is, should);
		failures++;
	}
}

/* ---- one region, one shell, two items, three build-ups ---- */

static const struct pack packs[] = {{.size = 25}, {.size = 1}};
static const struct item items[] = {
	{.packs = {0, 1}, .component = MATERIAL, .density = Q_none},                      /* bags of 25 kg */
	{.packs = {1, 1}, .component = HIRE, .density = Q_none, .has_fixed = true},       /* an hour, and delivery */
};
static const struct cost costs[] = {
	{.item = 0, .per = PER_UNIT, .amount = 10, .times = F_NONE},                      /* 10 kg for each m2 of water */
	{.item = 1, .per = PER_UNIT, .amount = 0.5, .times = F_NONE},                     /* half an hour for each m3 dug */
};
static const struct labour labours[] = {
	{.grade = 0, .per = PER_UNIT, .hours = 2, .times = F_NONE},                       /* for each m3 dug by hand */
	{.grade = 0, .per = PER_JOB, .hours = 3, .times = F_NONE},
};
static const struct build_up build_ups[] = {
	{.section = 0, .task = 0, .group = 0, .measured_by = Q_dig_m3, .labour = {0, 1}, .rounds = Q_none},
	{.section = 0, .task = 0, .group = 0, .measured_by = Q_dig_m3, .costs = {1, 1}, .rounds = Q_none},
	{.section = 0, .task = 1, .group = GROUP_NONE, .measured_by = Q_water_surface_m2, .labour = {1, 1}, .costs = {0, 1},
	 .rounds = Q_none, .wait_days = 7},
};
static const struct group groups[] = {{.measured_by = Q_dig_m3}};
static const struct section sections[] = {{0}, {0}};
static const uint16_t task_refs[] = {0};
static const struct task tasks[] = {{.follows = {0, 0}}, {.follows = {0, 1}}};
static const struct grade grades[] = {{0}};
static const struct layer layers[] = {
	{.kind = LAYER_BED, .build_up = BUILD_UP_NONE, .group = GROUP_NONE, .thickness_m = 0.1, .between_days = -1, .wait_days = -1}};
static const struct shell shells[] = {{.layers = {0, 1}}};
static const struct root_plant root_plants[] = {{0}};
static const struct region regions[] = {{.nation = NATION_OTHER, .works = {true, true, true, true, true, false, false}}};
static const struct tax_class classes[] = {{.rate_ppm = 200000}};
static const int64_t pack_prices[] = {5000000, 40000000}; /* 50.00 a bag, 400.00 an hour: dear, so that hands win */
static const int64_t fixed[] = {0, 9000000}, shorts[] = {0, 0};
static const struct edition editions[] = {{
	.pack_milliminor = pack_prices, .item_fixed_milliminor = fixed, .item_short_milliminor = shorts,
	.grade_milliminor_h = {2000000}, /* 20.00 a paid hour */
	.crew_people = 2, .productive_h = 8, .paid_h = 8,
	.overhead_ppm = 100000, .margin_ppm = 100000, .tax_classes = {0, 1}, .registered = true, .lead_days = 14}};

static const struct catalogue *catalogue_here(void)
{
	static struct catalogue catalogue = {
		.items = items, .n_items = 2, .packs = packs, .n_packs = 2, .build_ups = build_ups, .n_build_ups = 3,
		.groups = groups, .n_groups = 1, .sections = sections, .n_sections = 2, .tasks = tasks, .n_tasks = 2,
		.grades = grades, .n_grades = 1, .shells = shells, .n_shells = 1, .root_plants = root_plants, .n_root_plants = 1,
		.regions = regions, .n_regions = 1, .editions = editions, .n_editions = 1, .task_refs = task_refs, .costs = costs,
		.labours = labours, .layers = layers, .tax_classes = classes, .adjustments = 1, .provisional_sums = 1,
	};

	fields_parents(catalogue.parent);
	for (uint32_t i = 0; i < P_COUNT; i++)
		catalogue.practice[i] = 1;
	for (uint32_t i = 0; i < soil_COUNT; i++)
		catalogue.soils[i] = (struct soil){.bank_t_m3 = 1.6, .swell = 1.25, .refill_share = 0.9, .safe_deg = 45, .seepage = 1};
	return &catalogue;
}

static void give(struct enquiry *enquiry, enum field_id id, double number)
{
	enquiry->v[id] = (struct value){.number = number, .origin = GIVEN};
}

/* A box of 4 x 3 x 1 m, drawn at the water line. */
static void box(struct enquiry *enquiry)
{
	memset(enquiry, 0, sizeof *enquiry);
	for (uint32_t i = 0; i < F_COUNT; i++)
		enquiry->v[i].origin = LEFT_OUT;
	give(enquiry, F_region, 0);
	give(enquiry, F_issued_on, 20782); /* Wednesday 2026-11-25 */
	give(enquiry, F_pond, 1);
	give(enquiry, F_pond_outline, 1);
	give(enquiry, F_pond_outline_kind, SHAPE_RECTANGLE);
	give(enquiry, F_pond_length_m, 4);
	give(enquiry, F_pond_width_m, 3);
	give(enquiry, F_depth_m, 1);
	give(enquiry, F_pond_profile_kind, SIDES_VERTICAL);
	give(enquiry, F_style, STYLE_NONE);
}

int main(void)
{
	static struct quote quote;
	static struct enquiry enquiry;
	const struct catalogue *catalogue = catalogue_here();
	void *scratch = malloc(quote_scratch_size());
	enum status status;

	if (!scratch)
		return EXIT_FAILURE;
	box(&enquiry);
	armed = 1;
	status = quote_price(catalogue, &editions[0], &enquiry, NO_INDEX, scratch, &quote);
	armed = 0;
	expect("status", status, ST_OK, 0);
	expect("water, m3", quote.q[Q_water_volume_m3], 12, 1e-9);
	/* 0.1 m of bed outside every face: 4.2 x 3.2 x 1.1 */
	expect("dig, m3", quote.q[Q_dig_m3], 14.784, 1e-9);
	/* by hand 29.568 h at 20.00 = 591.36; by machine 8 whole hours at 400.00 and 90.00 = 3290.00 */
	expect("lines", quote.n_lines, 3, 0);
	expect("by hand", quote.lines[0].build_up, 0, 0);
	expect("by hand alone", (double)quote.lines[0].alone_minor, 59136, 0);
	/* 120 kg in 5 bags at 50.00 = 250.00, and 3 h = 60.00 */
	expect("bags", quote.bought[0], 5, 0);
	/* 32.568 h are 5 half-days of 8 h for two: 40 h, 7.432 h over at 20.00 = 148.64 */
	expect("half-days", quote.q[Q_crew_half_days], 5, 0);
	/* direct 591.36 + 250.00 + 60.00 + 148.64 = 1050.00; + 10 % = 1155.00; + 10 % = 1270.50; + 20 % tax = 1524.60 */
	expect("direct", (double)quote.direct_minor, 105000, 0);
	expect("net", (double)quote.net_minor, 127050, 0);
	expect("gross", (double)quote.gross_minor, 152460, 0);
	/* 14 days after 25 November is Wednesday 9 December; 32.568 h at 16 h a day are 2.0355 days: to Friday */
	expect("start", quote.programme.start_day, 20796, 0);
	expect("finish", quote.programme.finish_day, 20798, 0);
	expect("month", quote.q[Q_work_months], 1 << 12, 0);
	free(scratch);
	if (failures == 0)
		puts("1 passed, 0 failed");
	return failures ? EXIT_FAILURE : EXIT_SUCCESS;
}
