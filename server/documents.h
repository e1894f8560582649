#ifndef PONDWRIGHT_DOCUMENTS_H
#define PONDWRIGHT_DOCUMENTS_H

#include <stdatomic.h>
#include <stddef.h>
#include <stdint.h>

#include "config.h"
#include "etag.h"

/* What depends on the configuration alone, written once for each: readers share the bytes. */
enum document { DOCUMENT_ENQUIRY_SCHEMA, DOCUMENT_REGIONS, DOCUMENT_LANGUAGE, DOCUMENT_OPENAPI, DOCUMENTS };

struct document_text {
	char *bytes;
	size_t length;
	char etag[ETAG_SIZE];
};

struct documents {
	_Atomic uint32_t references;
	uint32_t count;
	struct document_text list[]; /* for each language all documents; that of programs in the first alone */
};

/* NULL when memory is short. The caller holds the one reference. */
struct documents *documents_make(const struct config *config);

/* One of them, in a language by its index. */
const struct document_text *documents_find(const struct documents *documents, enum document document, uint32_t language);

/* One reference more, one less; the last one frees. Whoever acquires must hold one, or keep the holder from releasing it
 * meanwhile. NULL is let be. The release takes the type that reply_bytes wants. */
struct documents *documents_acquire(struct documents *documents);
void documents_release(void *documents);

#endif
