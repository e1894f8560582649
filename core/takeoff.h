#ifndef PONDWRIGHT_TAKEOFF_H
#define PONDWRIGHT_TAKEOFF_H

#include "job.h"

/* The take-off, part by part, in the order in which they must run. Each fills quantities of stage AT_TAKEOFF and
 * reads given values and the parts before it. None can fail on a checked enquiry except where a status is returned.
 * Sources of the methods stand beside the formulas; trade constants come from the catalogue's practice. */

/* The outline and the bed that an enquiry holds: the new pond's, or the old one's own. The caller owns the result. */
void enquiry_outline(const struct enquiry *enquiry, bool old, struct outline *outline);
void enquiry_profile(const struct enquiry *enquiry, bool old, struct profile *profile);

/* Prepares both outlines and beds. ST_OK, or what outline_prepare says. */
enum status takeoff_shapes(struct job *job);

void takeoff_basin(struct job *job);       /* surface, volume, areas */
void takeoff_old_pond(struct job *job);    /* emptying, rescue, silt, strip-out */
void takeoff_roots(struct job *job);
void takeoff_wall(struct job *job);
void takeoff_stream(struct job *job);
void takeoff_edge(struct job *job);
void takeoff_planting(struct job *job);
void takeoff_equipment(struct job *job);
void takeoff_water(struct job *job);       /* demand, lift, pump and pipe */

/* From here on it matters which shell is laid. */
void takeoff_groundwater_head(struct job *job);
void takeoff_shell(struct job *job);       /* by the layers of job->shell */
void takeoff_ground(struct job *job);      /* dig, backfill, spoil, groundwater */
void takeoff_site(struct job *job);        /* people, access, carrying, reinstatement */

/* What is dug for the water and a shell of a thickness around it, below the water line, in the new pond and the old; shells with
 * beds in common ask for the same hole. */
double takeoff_hole_m3(struct job *job, double thickness_m);
double takeoff_old_hole_m3(struct job *job, double thickness_m);

/* Whether the old pond has an outline of its own. */
bool takeoff_old_outline_is_own(const struct job *job);

/* Faces too steep for concrete or a sheet to stay on: walls of the bed, or all of its sides where they slope too steeply. */
double takeoff_steep_face_m2(const struct job *job);

/* All of them, then every quantity fixed to 1e-6. */
enum status takeoff_all(struct job *job);

/* The parts that a pump needs: shapes, basin, stream, equipment, water. */
enum status takeoff_for_water(struct job *job);

#endif
