#include "documents.h"

#include <stdlib.h>

#include "answer_regions.h"
#include "openapi.h"
#include "schema.h"
#include "writer.h"

typedef void document_writer(struct writer *out, const struct config *config);

static document_writer *const writers[DOCUMENTS] = {
	[DOCUMENT_ENQUIRY_SCHEMA] = schema_write,
	[DOCUMENT_OPENAPI] = openapi_write,
	[DOCUMENT_REGIONS] = answer_regions,
};

static bool document_make(struct document_text *document, document_writer *write, const struct config *config)
{
	struct writer out;

	writer_init(&out);
	write(&out, config);
	document->bytes = writer_release(&out, &document->length);
	if (document->bytes != NULL)
		etag_make(document->bytes, document->length, document->etag);
	return document->bytes != NULL;
}

struct documents *documents_make(const struct config *config)
{
	struct documents *documents = calloc(1, sizeof *documents);

	if (documents == NULL)
		return NULL;
	atomic_init(&documents->references, 1);
	for (int i = 0; i < DOCUMENTS; i++)
		if (!document_make(&documents->list[i], writers[i], config)) {
			documents_release(documents);
			return NULL;
		}
	return documents;
}

struct documents *documents_acquire(struct documents *documents)
{
	if (documents != NULL)
		atomic_fetch_add_explicit(&documents->references, 1, memory_order_relaxed);
	return documents;
}

/* As config_release: release, so that whatever a reader did comes before the end; acquire, so that the end comes after. */
void documents_release(void *held)
{
	struct documents *documents = held;

	if (documents == NULL || atomic_fetch_sub_explicit(&documents->references, 1, memory_order_acq_rel) != 1)
		return;
	for (int i = 0; i < DOCUMENTS; i++)
		free(documents->list[i].bytes);
	free(documents);
}
