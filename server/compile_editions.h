#ifndef PONDWRIGHT_COMPILE_EDITIONS_H
#define PONDWRIGHT_COMPILE_EDITIONS_H

#include "compile.h"

/* One edition while it is read. */
struct edition_reader {
	struct builder *b;
	struct reader *top;
	uint8_t minor_digits;
};

/* Adds the edition's prices to b->prices: by pack, then deliveries by item, then short charges by item. */
void read_prices(struct edition_reader *in);

/* Tax classes and which component is in which. */
void read_tax(struct edition_reader *in, struct edition *edition);

/* What commercial clients keep back for a while: optional. */
void read_retention(struct edition_reader *in, struct edition *edition);

/* Where and when prices were asked for, optional: checked and left to whoever keeps the rates. */
void read_sources(struct edition_reader *in);

#endif
