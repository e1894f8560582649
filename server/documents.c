#include "documents.h"

#include <stdlib.h>

#include "answer_language.h"
#include "answer_regions.h"
#include "openapi.h"
#include "schema.h"
#include "writer.h"

typedef void document_writer(struct writer *out, const struct config *config);

static document_writer *const writers[DOCUMENTS] = {
	[DOCUMENT_ENQUIRY_SCHEMA] = schema_write,
	[DOCUMENT_REGIONS] = answer_regions,
	[DOCUMENT_LANGUAGE] = answer_language,
	[DOCUMENT_OPENAPI] = openapi_write,
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

static bool is_in_one_language(enum document document)
{
	return document == DOCUMENT_OPENAPI;
}

struct documents *documents_make(const struct config *config)
{
	uint32_t count = config->n_languages * DOCUMENTS;
	struct documents *documents = calloc(1, sizeof *documents + count * sizeof documents->list[0]);

	if (documents == NULL)
		return NULL;
	atomic_init(&documents->references, 1);
	documents->count = count;
	for (uint32_t i = 0; i < count; i++) {
		enum document document = (enum document)(i % DOCUMENTS);

		if (i >= DOCUMENTS && is_in_one_language(document))
			continue;
		if (!document_make(&documents->list[i], writers[document], config_language(config, i / DOCUMENTS))) {
			documents_release(documents);
			return NULL;
		}
	}
	return documents;
}

const struct document_text *documents_find(const struct documents *documents, enum document document, uint32_t language)
{
	return &documents->list[(is_in_one_language(document) ? 0 : language * DOCUMENTS) + document];
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
	for (uint32_t i = 0; i < documents->count; i++)
		free(documents->list[i].bytes);
	free(documents);
}
