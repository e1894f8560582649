#ifndef PONDWRIGHT_WRITER_H
#define PONDWRIGHT_WRITER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

/* A streaming JSON writer into one buffer. Commas come by themselves; the caller keeps keys and brackets paired.
 * Memory that cannot be had sets a flag that stays: later calls do nothing, and the flag is asked once, at the end.
 * Strings are UTF-8; a byte that is not becomes U+FFFD, so the text is valid JSON whatever came in. */
struct writer {
	char *bytes;
	size_t length;
	size_t capacity;
	bool fixed;         /* the storage is the caller's and never grows */
	bool out_of_memory; /* sticky, also when a fixed buffer is full */
};

/* A growable writer, without storage yet; free with writer_free or hand its bytes on with writer_release. */
void writer_init(struct writer *out);
/* A writer into storage of the caller, which must outlive it. */
void writer_init_fixed(struct writer *out, char *storage, size_t size);
void writer_free(struct writer *out);
/* Forgets the text and the flag, keeps the storage. */
void writer_clear(struct writer *out);
/* Room for so many bytes at once, for who knows that much is coming. */
void writer_reserve(struct writer *out, size_t more);
/* The bytes, the caller's to free(), or NULL after a failed allocation. The writer is empty afterwards. */
char *writer_release(struct writer *out, size_t *length);

void writer_object_open(struct writer *out);
void writer_object_close(struct writer *out);
void writer_array_open(struct writer *out);
void writer_array_close(struct writer *out);
/* A member's name. It is written as it stands: a constant that needs no escapes. */
void writer_key_n(struct writer *out, const char *key, size_t length);
static inline void writer_key(struct writer *out, const char *key)
{
	writer_key_n(out, key, strlen(key));
}

void writer_string(struct writer *out, const char *text); /* NULL writes null */
void writer_string_n(struct writer *out, const char *text, size_t length);
/* The plain text of another writer as a string; frees that one. */
void writer_string_of(struct writer *out, struct writer *text);
void writer_int(struct writer *out, int64_t value);
void writer_number(struct writer *out, double value); /* twelve significant digits; NaN and infinities write null */
void writer_bool(struct writer *out, bool value);
void writer_null(struct writer *out);
/* One whole JSON value, or members without their brackets, escaped and checked before. */
void writer_raw(struct writer *out, const char *json, size_t length);

/* Key and value in one call; of a constant key the compiler knows the length. */
void writer_member_string_n(struct writer *out, const char *key, size_t key_length, const char *text);
void writer_member_int_n(struct writer *out, const char *key, size_t key_length, int64_t value);
void writer_member_number_n(struct writer *out, const char *key, size_t key_length, double value);
void writer_member_raw_n(struct writer *out, const char *key, size_t key_length, const char *json, size_t length);

static inline void writer_member_string(struct writer *out, const char *key, const char *text)
{
	writer_member_string_n(out, key, strlen(key), text);
}

static inline void writer_member_int(struct writer *out, const char *key, int64_t value)
{
	writer_member_int_n(out, key, strlen(key), value);
}

static inline void writer_member_number(struct writer *out, const char *key, double value)
{
	writer_member_number_n(out, key, strlen(key), value);
}

static inline void writer_member_bool(struct writer *out, const char *key, bool value)
{
	writer_member_raw_n(out, key, strlen(key), value ? "true" : "false", value ? 4 : 5);
}

static inline void writer_member_null(struct writer *out, const char *key)
{
	writer_member_raw_n(out, key, strlen(key), "null", 4);
}

/* Plain bytes and printf text, without commas or escapes: for what is not JSON. */
void writer_text(struct writer *out, const char *bytes, size_t length);
void writer_print(struct writer *out, const char *format, ...) __attribute__((format(printf, 2, 3)));

#endif
