#ifndef PONDWRIGHT_EDITION_WRITE_H
#define PONDWRIGHT_EDITION_WRITE_H

#include <jansson.h>

#include "writer.h"

/* An edition's document as a file that people read: each member of the top on a line of its own, each item, wage, sum and
 * term too, everything below in one line. Numbers to twelve digits. Members in the document's order. */
void edition_write(struct writer *out, json_t *edition);

#endif
