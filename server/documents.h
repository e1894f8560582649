#ifndef PONDWRIGHT_DOCUMENTS_H
#define PONDWRIGHT_DOCUMENTS_H

#include <stdatomic.h>
#include <stddef.h>
#include <stdint.h>

#include "config.h"
#include "etag.h"

/* What depends on the configuration alone, written once for each: readers share the bytes. */
enum document { DOCUMENT_ENQUIRY_SCHEMA, DOCUMENT_OPENAPI, DOCUMENT_REGIONS, DOCUMENTS };

struct document_text {
	char *bytes;
	size_t length;
	char etag[ETAG_SIZE];
};

struct documents {
	struct document_text list[DOCUMENTS];
	_Atomic uint32_t references;
};

/* NULL when memory is short. The caller holds the one reference. */
struct documents *documents_make(const struct config *config);

/* One reference more, one less; the last one frees. Whoever acquires must hold one, or keep the holder from releasing it
 * meanwhile. NULL is let be. The release takes the type that reply_bytes wants. */
struct documents *documents_acquire(struct documents *documents);
void documents_release(void *documents);

#endif
