#include "enquiry_checker.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>

#include "dates.h"
#include "number.h"

/* A tape laid along a rim is not more exact than this. */
#define RIM_TOLERANCE 0.005
/* Sums of decimals come out a little beside what they should be. */
#define ROUNDING 1e-9

void checker_fault(struct checker *checker, enum field_id id, const char *code, const char *format, ...)
{
	char at[160], detail[400];
	va_list arguments;

	snprintf(at, sizeof at, "%s%s", checker->prefix, enquiry_fields[id].pointer);
	va_start(arguments, format);
	vsnprintf(detail, sizeof detail, format, arguments);
	va_end(arguments);
	enquiry_fault_add(checker->faults, at, NULL, code, "%s", detail);
}

const char *quantity_text(double number, const char *unit, char text[QUANTITY_TEXT_SIZE])
{
	char digits[NUMBER_TEXT_SIZE];

	number_text(number, digits);
	snprintf(text, QUANTITY_TEXT_SIZE, "%s %s", digits, unit);
	return text;
}

static double number_of(const struct checker *checker, enum field_id id)
{
	return checker->enquiry->v[id].number;
}

static void give(struct checker *checker, enum field_id id, double number)
{
	checker->enquiry->v[id] = (struct value){.number = number, .origin = GIVEN};
}

static void no_edition(struct checker *checker, uint32_t region, int32_t issued_day)
{
	struct span editions = checker->config->catalogue.regions[region].editions;
	bool dated = field_given(checker->enquiry, F_issued_on);
	char issued[DATE_TEXT_SIZE], first[DATE_TEXT_SIZE] = "another day";

	date_text(issued_day, issued);
	if (editions.count > 0)
		date_text(checker->config->catalogue.editions[editions.first].from_day, first);
	checker_fault(checker, dated ? F_issued_on : F_region, "no-edition",
		"%s: the region has rates from %s on, none for %s", dated ? "issued_on" : "region", first, issued);
}

/* An edition that is named is used whatever its date, so that the next one can be looked at; but a region had no
 * prices at all before its first. */
static bool check_edition(struct checker *checker, int32_t issued_day)
{
	uint32_t region = (uint32_t)number_of(checker, F_region), edition;

	if (!field_given(checker->enquiry, F_region))
		return false;
	if (!config_edition_on(checker->config, region, issued_day, &edition)) {
		no_edition(checker, region, issued_day);
		return false;
	}
	if (checker->enquiry->v[F_edition].origin == LEFT_OUT)
		give(checker, F_edition, edition);
	return field_given(checker->enquiry, F_edition);
}

static void check_start(struct checker *checker, int32_t issued_day, bool edition_is_known)
{
	char issued[DATE_TEXT_SIZE];
	double day;

	if (field_given(checker->enquiry, F_start_on) && number_of(checker, F_start_on) < issued_day) {
		date_text(issued_day, issued);
		checker_fault(checker, F_start_on, "conflict", "start_on: before issued_on, which is %s", issued);
	}
	if (checker->enquiry->v[F_start_on].origin != LEFT_OUT || !edition_is_known)
		return;
	day = (double)issued_day + enquiry_edition(checker->config, checker->enquiry)->lead_days;
	give(checker, F_start_on, day < DAY_LAST ? day : DAY_LAST);
}

static void check_dates(struct checker *checker, int32_t today_day)
{
	const struct value *issued = &checker->enquiry->v[F_issued_on];
	int32_t issued_day = issued->origin == GIVEN ? (int32_t)issued->number : today_day;
	bool edition_is_known;

	if (issued->origin == NOT_APPLICABLE)
		return;
	edition_is_known = check_edition(checker, issued_day);
	check_start(checker, issued_day, edition_is_known);
	give(checker, F_issued_on, issued_day);
}

static void check_edge(struct checker *checker, const struct outline *outline)
{
	double sum_m = number_of(checker, F_coping_m) + number_of(checker, F_beach_m) + number_of(checker, F_turf_m);
	char sum[QUANTITY_TEXT_SIZE], rim[QUANTITY_TEXT_SIZE];
	double rim_m;

	if (sum_m == 0)
		return;
	rim_m = outline_perimeter_m(outline);
	if (sum_m > rim_m * (1 + RIM_TOLERANCE))
		checker_fault(checker, F_edge, "conflict",
			"edge: coping, beach and turf are %s together, the rim only %s", quantity_text(sum_m, "m", sum),
			quantity_text(round(rim_m * 1e2) / 1e2, "m", rim));
}

static void check_ponds(struct checker *checker)
{
	struct outline outline;

	if (check_new_pond(checker, &outline))
		check_edge(checker, &outline);
	check_old_pond(checker, &outline);
}

static void check_stream(struct checker *checker)
{
	const struct enquiry *enquiry = checker->enquiry;
	double length_m = number_of(checker, F_stream_length_m), fall_m = number_of(checker, F_stream_fall_m),
	       drops_m = 0;
	char asked[QUANTITY_TEXT_SIZE], most[QUANTITY_TEXT_SIZE];

	if (field_given(enquiry, F_stream_covered_m) && field_given(enquiry, F_stream_length_m) &&
		number_of(checker, F_stream_covered_m) > length_m)
		checker_fault(checker, F_stream_covered_m, "conflict", "covered_m: %s is more than the stream's %s",
			quantity_text(number_of(checker, F_stream_covered_m), "m", asked),
			quantity_text(length_m, "m", most));
	for (uint32_t i = 0; i < (uint32_t)number_of(checker, F_cascades); i++)
		drops_m += enquiry->cascades[i].drop_m;
	if (field_given(enquiry, F_stream_fall_m) && drops_m > fall_m * (1 + ROUNDING))
		checker_fault(checker, F_cascades, "conflict",
			"cascades: they drop %s together, the stream falls only %s", quantity_text(drops_m, "m", asked),
			quantity_text(fall_m, "m", most));
}

static bool left_out(const struct checker *checker, enum field_id id)
{
	return checker->enquiry->v[id].origin == LEFT_OUT;
}

static void check_kept_pump(struct checker *checker)
{
	bool no_id = left_out(checker, F_kept_pump_id);
	bool no_curve = left_out(checker, F_kept_pump_curve), no_power = left_out(checker, F_kept_pump_w);
	struct pump_curve curve;
	enum status status = ST_OK;

	if (!field_given(checker->enquiry, F_kept_pump))
		return;
	if (field_given(checker->enquiry, F_kept_pump_curve))
		status = pump_curve_prepare(
			checker->enquiry->kept_curve, (size_t)number_of(checker, F_kept_pump_curve), &curve);
	if (status != ST_OK)
		checker_fault(checker, F_kept_pump_curve, "conflict", "curve: %s", status_sentence(status));
	if (!no_id && !(no_curve && no_power))
		checker_fault(checker, F_kept_pump, "conflict",
			"kept_pump: either id, or curve and power_w, can be given, not both");
	else if (no_id && no_curve && no_power)
		checker_fault(checker, F_kept_pump_id, "missing", "id: either id, or curve and power_w, must be given");
	else if (no_id && no_curve)
		checker_fault(checker, F_kept_pump_curve, "missing", "curve: must be given beside power_w");
	else if (no_id && no_power)
		checker_fault(checker, F_kept_pump_w, "missing", "power_w: must be given beside curve");
}

static void check_facts(struct checker *checker)
{
	if (!field_given(checker->enquiry, F_pond))
		return;
	for (uint32_t i = F_facts + 1; i < F_COUNT; i++) {
		const struct value *value = &checker->enquiry->v[i];

		if (enquiry_fields[i].how == COMPUTED && (value->origin == GIVEN || value->origin == NOT_KNOWN))
			checker_fault(checker, (enum field_id)i, "computed",
				"%s: follows from the pond, so it can't be given beside one",
				field_name((enum field_id)i));
	}
}

void enquiry_check(const struct config *config, int32_t today_day, const char *prefix, struct enquiry *enquiry,
	struct enquiry_faults *faults)
{
	struct checker checker = {config, prefix, enquiry, faults};

	check_dates(&checker, today_day);
	check_ponds(&checker);
	check_stream(&checker);
	check_kept_pump(&checker);
	check_facts(&checker);
}

void enquiry_fault_status(struct enquiry_faults *faults, const char *prefix, enum status status)
{
	char at[160];

	snprintf(
		at, sizeof at, "%s%s", prefix, status == ST_OUTLINE_AREA ? enquiry_fields[F_pond_outline].pointer : "");
	enquiry_fault_add(faults, at, NULL, "out-of-range", "%s", status_sentence(status));
}
