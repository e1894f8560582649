#include "config.h"

#include <stdlib.h>
#include <string.h>

#include <nettle/base16.h>
#include <nettle/sha2.h>

struct config *config_load(const char *directory, struct faults *faults)
{
	struct config_files files;
	struct config *config = NULL;

	config_files_init(&files);
	config_files_read(&files, directory, faults);
	if (files.count == 0 && faults->n_faults == 0)
		faults_add(faults, false, directory, "", "holds no configuration");
	else if (files.count > 0)
		config = config_compile(&files, faults);
	config_files_free(&files);
	return config;
}

struct config *config_acquire(struct config *config)
{
	if (config != NULL)
		atomic_fetch_add_explicit(&config->references, 1, memory_order_relaxed);
	return config;
}

/* Release, so that whatever a reader did comes before the end; acquire, so that the end comes after it. */
void config_release(struct config *config)
{
	if (config != NULL && atomic_fetch_sub_explicit(&config->references, 1, memory_order_acq_rel) == 1)
		free(config);
}

void config_digest(const struct config_files *files, char text[DIGEST_TEXT_SIZE])
{
	uint8_t digest[SHA256_DIGEST_SIZE], size[8];
	struct sha256_ctx hash;

	sha256_init(&hash);
	for (size_t i = 0; i < files->count; i++) {
		const struct config_file *file = &files->list[i];

		for (size_t k = 0; k < sizeof size; k++)
			size[k] = (uint8_t)((uint64_t)file->size >> (56 - 8 * k));
		sha256_update(&hash, strlen(file->path) + 1, (const uint8_t *)file->path);
		sha256_update(&hash, sizeof size, size);
		sha256_update(&hash, file->size, (const uint8_t *)file->bytes);
	}
	sha256_digest(&hash, sizeof digest, digest);
	base16_encode_update(text, sizeof digest, digest);
	text[DIGEST_TEXT_SIZE - 1] = '\0';
}
