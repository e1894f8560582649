#include "enquiry_checker.h"

#include <math.h>
#include <string.h>

#include "basin.h"

/* The fields of one pond: the new and the old one have the same. */
struct shape_fields {
	enum field_id kind, length, width, corner, diameter, points, outline;
	enum field_id bed, shelf_width, shelf_depth, steps, depth;
};

static const struct shape_fields new_pond = {
	.kind = F_pond_outline_kind,
	.length = F_pond_length_m,
	.width = F_pond_width_m,
	.corner = F_pond_corner_radius_m,
	.diameter = F_pond_diameter_m,
	.points = F_pond_points_m,
	.outline = F_pond_outline,
	.bed = F_pond_profile_kind,
	.shelf_width = F_pond_shelf_width_m,
	.shelf_depth = F_pond_shelf_depth_m,
	.steps = F_pond_steps,
	.depth = F_depth_m,
};
static const struct shape_fields old_pond = {
	.kind = F_old_outline_kind,
	.length = F_old_length_m,
	.width = F_old_width_m,
	.corner = F_old_corner_radius_m,
	.diameter = F_old_diameter_m,
	.points = F_old_points_m,
	.outline = F_old_outline,
	.bed = F_old_profile_kind,
	.shelf_width = F_old_shelf_width_m,
	.shelf_depth = F_old_shelf_depth_m,
	.steps = F_old_steps,
	.depth = F_old_depth_m,
};

static double number_of(const struct checker *checker, enum field_id id)
{
	return checker->enquiry->v[id].number;
}

static bool outline_is_whole(const struct checker *checker, const struct shape_fields *of)
{
	const enum field_id members[] = {of->length, of->width, of->diameter, of->points};
	uint32_t kind = (uint32_t)number_of(checker, of->kind);

	if (!field_given(checker->enquiry, of->kind) || checker->enquiry->v[of->corner].origin == NOT_APPLICABLE)
		return false;
	for (size_t i = 0; i < sizeof members / sizeof members[0]; i++)
		if ((enquiry_fields[members[i]].variant_mask >> kind & 1) && !field_given(checker->enquiry, members[i]))
			return false;
	return true;
}

static void outline_of(const struct checker *checker, const struct shape_fields *of, struct outline *outline)
{
	const struct point *points = of == &new_pond ? checker->enquiry->pond_points : checker->enquiry->old_points;

	memset(outline, 0, sizeof *outline);
	outline->kind = (enum outline_kind)number_of(checker, of->kind);
	outline->length_m = number_of(checker, of->length);
	outline->width_m = number_of(checker, of->width);
	outline->corner_radius_m = number_of(checker, of->corner);
	outline->diameter_m = number_of(checker, of->diameter);
	outline->n_points = (uint32_t)number_of(checker, of->points);
	memcpy(outline->points, points, outline->n_points * sizeof points[0]);
}

/* Where an edge ends: the next point that differs from its beginning. */
static uint32_t edge_end(const struct outline *outline, uint32_t begin)
{
	const struct point *points = outline->points;
	uint32_t end = begin;

	do
		end = (end + 1) % outline->n_points;
	while (end != begin && points[end].x_m == points[begin].x_m && points[end].y_m == points[begin].y_m);
	return end;
}

static void edges_fault(struct checker *checker, const struct shape_fields *of, const struct outline *outline,
	const struct outline_fault *fault, bool folds)
{
	checker_fault(checker, of->points, folds ? "folds" : "crossing",
		"points_m: the edge from point %u to point %u %s the edge from point %u to point %u; points are "
		"counted from 0",
		fault->first_edge, edge_end(outline, fault->first_edge), folds ? "folds back on" : "crosses or touches",
		fault->second_edge, edge_end(outline, fault->second_edge));
}

static bool check_outline(struct checker *checker, const struct shape_fields *of, struct outline *outline)
{
	struct outline_fault fault;
	enum status status;

	if (!outline_is_whole(checker, of))
		return false;
	outline_of(checker, of, outline);
	status = outline_check(outline, &fault);
	if (status == ST_OUTLINE_CROSSES || status == ST_OUTLINE_FOLDS)
		edges_fault(checker, of, outline, &fault, status == ST_OUTLINE_FOLDS);
	else if (status == ST_OUTLINE_POINTS)
		checker_fault(checker, of->points, "too-few", "points_m: %s", status_sentence(status));
	else if (status == ST_OUTLINE_CORNER)
		checker_fault(checker, of->corner, "out-of-range", "corner_radius_m: %s", status_sentence(status));
	else if (status != ST_OK)
		checker_fault(checker, of->outline, "out-of-range", "outline: %s", status_sentence(status));
	return status == ST_OK;
}

static void stepped_of(const struct checker *checker, const struct shape_fields *of, struct profile *profile)
{
	const struct profile_step *steps = of == &new_pond ? checker->enquiry->pond_steps : checker->enquiry->old_steps;

	memset(profile, 0, sizeof *profile);
	profile->kind = PROFILE_STEPPED;
	profile->n_steps = (uint32_t)number_of(checker, of->steps);
	memcpy(profile->steps, steps, profile->n_steps * sizeof steps[0]);
}

/* A depth beside steps would be a second truth, so it must be the same one. */
static void check_steps(struct checker *checker, const struct shape_fields *of)
{
	struct value *depth = &checker->enquiry->v[of->depth];
	char given[QUANTITY_TEXT_SIZE], last[QUANTITY_TEXT_SIZE];
	struct profile profile;
	enum status status;
	double reached_m;

	if (!field_given(checker->enquiry, of->steps))
		return;
	stepped_of(checker, of, &profile);
	reached_m = profile_depth_m(&profile, 0);
	status = profile_check(&profile, reached_m);
	if (status != ST_OK)
		checker_fault(checker, of->steps, "conflict", "steps: %s", status_sentence(status));
	else if (depth->origin == LEFT_OUT)
		*depth = (struct value){.number = reached_m, .origin = BY_DERIVATION};
	else if (depth->origin == GIVEN && depth->number != reached_m)
		checker_fault(checker, of->depth, "conflict", "depth_m: %s is not the last step's %s; leave it out",
			quantity_text(depth->number, "m", given), quantity_text(reached_m, "m", last));
}

/* Only what was given can be at fault: an assumed shelf gives way to a shallow pond. */
static void check_shelf(struct checker *checker, const struct shape_fields *of, double depth_m)
{
	bool none = field_given(checker->enquiry, of->shelf_width) && number_of(checker, of->shelf_width) == 0;
	double shelf_m = number_of(checker, of->shelf_depth);
	char given[QUANTITY_TEXT_SIZE], floor[QUANTITY_TEXT_SIZE];

	if (field_given(checker->enquiry, of->shelf_depth) && !none && shelf_m >= depth_m)
		checker_fault(checker, of->shelf_depth, "conflict", "shelf_depth_m: %s is not above the floor at %s",
			quantity_text(shelf_m, "m", given), quantity_text(depth_m, "m", floor));
}

static void check_bed(struct checker *checker, const struct shape_fields *of, enum field_id depth)
{
	if (field_given(checker->enquiry, of->bed) && number_of(checker, of->bed) == SIDES_STEPPED)
		check_steps(checker, of);
	else if (field_given(checker->enquiry, depth))
		check_shelf(checker, of, number_of(checker, depth));
}

bool check_new_pond(struct checker *checker, struct outline *outline)
{
	check_bed(checker, &new_pond, F_depth_m);
	return check_outline(checker, &new_pond, outline);
}

bool check_old_pond(struct checker *checker, struct outline *outline)
{
	check_bed(checker, &old_pond, field_given(checker->enquiry, F_old_depth_m) ? F_old_depth_m : F_depth_m);
	return check_outline(checker, &old_pond, outline);
}
