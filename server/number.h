#ifndef PONDWRIGHT_NUMBER_H
#define PONDWRIGHT_NUMBER_H

#include <stddef.h>
#include <stdint.h>

/* Room for any text that this file writes, with its NUL. */
#define NUMBER_TEXT_SIZE 32

/* The text of a finite number, byte for byte what printf's "%.12g" gives, but minus zero is "0".
 * Always valid JSON. NaN and infinities are the caller's to keep away.
 * Returns the length, without the NUL. */
size_t number_text(double value, char text[NUMBER_TEXT_SIZE]);

/* The decimal text of a 64-bit integer, with its NUL. Returns the length. */
size_t integer_text(int64_t value, char text[NUMBER_TEXT_SIZE]);

#endif
