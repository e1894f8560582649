#include "clocks.h"

#include <stdio.h>
#include <time.h>

static int64_t clock_ns(clockid_t clock)
{
	struct timespec now;

	clock_gettime(clock, &now);
	return (int64_t)now.tv_sec * 1000000000 + now.tv_nsec;
}

int64_t monotonic_ns(void)
{
	return clock_ns(CLOCK_MONOTONIC);
}

int64_t thread_cpu_ns(void)
{
	return clock_ns(CLOCK_THREAD_CPUTIME_ID);
}

int64_t monotonic_ms(void)
{
	return monotonic_ns() / 1000000;
}

int64_t wall_clock_s(void)
{
	return (int64_t)time(NULL);
}

void instant_text(char text[INSTANT_TEXT_SIZE])
{
	struct timespec now;
	struct tm parts;
	size_t length;

	clock_gettime(CLOCK_REALTIME, &now);
	gmtime_r(&now.tv_sec, &parts);
	length = strftime(text, INSTANT_TEXT_SIZE, "%Y-%m-%dT%H:%M:%S", &parts);
	snprintf(text + length, INSTANT_TEXT_SIZE - length, ".%03uZ", (unsigned)(now.tv_nsec / 1000000) % 1000);
}
