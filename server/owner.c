#define _GNU_SOURCE 1
#include "owner.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

#define FAILURE_MS 1000

/* Up to size bytes of a file; -1 where it cannot be read. Plain descriptors, so that no stream keeps a copy. */
static ssize_t read_start(const char *path, char *bytes, size_t size)
{
	int descriptor = open(path, O_RDONLY | O_CLOEXEC);
	size_t length = 0;
	ssize_t got = 1;

	if (descriptor < 0)
		return -1;
	while (length < size && got != 0) {
		got = read(descriptor, bytes + length, size - length);
		if (got < 0 && errno != EINTR)
			break;
		if (got > 0)
			length += (size_t)got;
	}
	close(descriptor);
	return got < 0 ? -1 : (ssize_t)length;
}

static size_t characters_different(const char *text, size_t length)
{
	size_t different = 0;

	for (size_t i = 0; i < length; i++)
		different += memchr(text, text[i], i) == NULL;
	return different;
}

static const char *fault_of(const char *text, size_t length)
{
	if (length < OWNER_TOKEN_LEAST)
		return "the token has fewer than 24 characters";
	if (length > OWNER_TOKEN_MOST)
		return "the token has more than 256 characters";
	for (size_t i = 0; i < length; i++)
		if (text[i] <= ' ' || text[i] > '~')
			return "the token may hold printable ASCII without blanks only";
	if (characters_different(text, length) < OWNER_TOKEN_VARIETY)
		return "the token has fewer than 6 different characters";
	return NULL;
}

const char *owner_token_read(const char *path, struct owner_token *token)
{
	char text[OWNER_TOKEN_MOST + 3]; /* one character too many, an end of line and a NUL */
	const char *fault;
	ssize_t length;

	token->length = 0;
	if (path == NULL)
		return NULL;
	length = read_start(path, text, sizeof text - 1);
	if (length < 0)
		return "the file cannot be read";
	text[length] = '\0';
	length = (ssize_t)strcspn(text, "\r\n");
	fault = fault_of(text, (size_t)length);
	if (fault == NULL) {
		memcpy(token->bytes, text, (size_t)length);
		token->length = (uint32_t)length;
	}
	explicit_bzero(text, sizeof text);
	return fault;
}

/* Looks at every byte whatever came before, so that the time tells nothing but the length. */
static bool same(const struct owner_token *token, const char *text, size_t length)
{
	volatile unsigned char differs = token->length != length;

	for (size_t i = 0; i < token->length; i++)
		differs |= (unsigned char)(token->bytes[i] ^ text[i < length ? i : 0]);
	return differs == 0 && length > 0;
}

/* The token in "Bearer TOKEN", or NULL. */
static const char *bearer(const char *authorization)
{
	static const char scheme[] = "bearer";
	const char *text;

	if (authorization == NULL || strncasecmp(authorization, scheme, sizeof scheme - 1) != 0)
		return NULL;
	text = authorization + sizeof scheme - 1;
	if (*text != ' ')
		return NULL;
	return text + strspn(text, " ");
}

/* Takes a failure out of the bucket; false where none is left. */
static bool failure_taken(struct owner_gate *gate, int64_t now_ms)
{
	int64_t was = atomic_load(&gate->full_at_ms), next;

	do {
		if (was - now_ms > (OWNER_FAILURES_MOST - 1) * (int64_t)FAILURE_MS)
			return false;
		next = (was > now_ms ? was : now_ms) + FAILURE_MS;
	} while (!atomic_compare_exchange_weak(&gate->full_at_ms, &was, next));
	return true;
}

enum owner_verdict owner_check(struct owner_gate *gate, const struct owner_token *token, const char *authorization,
	int64_t now_ms)
{
	const char *text = bearer(authorization);

	if (text == NULL)
		return OWNER_ABSENT;
	if (token->length > 0 && same(token, text, strlen(text)))
		return OWNER_PROVEN;
	return failure_taken(gate, now_ms) ? OWNER_WRONG : OWNER_TOO_MANY;
}
