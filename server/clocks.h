#ifndef PONDWRIGHT_CLOCKS_H
#define PONDWRIGHT_CLOCKS_H

#include <stdint.h>

/* Room for an RFC 3339 instant with its NUL. */
#define INSTANT_TEXT_SIZE 32

/* Time since some start that never jumps. */
int64_t monotonic_ns(void);
int64_t monotonic_ms(void);

/* What the calling thread has had of the processor. */
int64_t thread_cpu_ns(void);

/* Seconds since 1970, UTC. */
int64_t wall_clock_s(void);

/* Now as RFC 3339 with milliseconds and Z. */
void instant_text(char text[INSTANT_TEXT_SIZE]);

#endif
