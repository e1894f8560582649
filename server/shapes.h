#ifndef PONDWRIGHT_SHAPES_H
#define PONDWRIGHT_SHAPES_H

#include <stdint.h>

#include "writer.h"

/* The shapes of the answers (shapes.def, shapes_quote.def) as JSON Schema. They are typed and stay open: members may be added. */

enum { SHAPE_NIL = 1, SHAPE_MAY = 2 };
enum shape_type {
	SHAPE_TEXT, SHAPE_WHOLE, SHAPE_NUMBER, SHAPE_YESNO, SHAPE_DAY, SHAPE_WORD, SHAPE_ANY, SHAPE_ONE, SHAPE_MANY, SHAPE_TEXTS,
	SHAPE_NUMBERS, SHAPE_NUMBERED, SHAPE_WORDED, SHAPE_NAMED, SHAPE_BEGINS
};

/* A member, or with SHAPE_BEGINS the name of the shape that begins here. */
struct shape_row {
	const char *name, *of, *sentence;
	uint8_t type, flags;
};
extern const struct shape_row shape_rows[];
extern const uint32_t shape_row_count;

/* Every shape as a member of an object that is open, and the measures of the take-off, which are rows of quantities.def.
 * They refer to "#/components/schemas/Enquiry" too, which is the caller's to write. */
void shapes_write(struct writer *out);

/* {"$ref": "#/components/schemas/NAME"} as a value. */
void shape_reference(struct writer *out, const char *name);

#endif
