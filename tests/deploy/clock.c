/* Preloaded into the service: shifts the wall clock, and that alone, by the seconds that stand in the file which
 * PONDWRIGHT_CLOCK names, from one reading to the next. Every call is the kernel's own but for that, so what goes by
 * CLOCK_MONOTONIC notices nothing. */
#define _GNU_SOURCE 1
#include <fcntl.h>
#include <stdint.h>
#include <stdlib.h>
#include <sys/mman.h>
#include <sys/syscall.h>
#include <sys/time.h>
#include <time.h>
#include <unistd.h>

static const volatile int64_t *shift_s;

__attribute__((constructor)) static void shift_map(void)
{
	const char *path = getenv("PONDWRIGHT_CLOCK");
	int file = path != NULL ? open(path, O_RDONLY | O_CLOEXEC) : -1;
	void *map = file >= 0 ? mmap(NULL, sizeof *shift_s, PROT_READ, MAP_SHARED, file, 0) : MAP_FAILED;

	if (map == MAP_FAILED)
		abort(); /* a test that shifts nothing would pass */
	close(file);
	shift_s = map;
}

int clock_gettime(clockid_t clock, struct timespec *now)
{
	int status = (int)syscall(SYS_clock_gettime, clock, now);

	if (status == 0 && (clock == CLOCK_REALTIME || clock == CLOCK_REALTIME_COARSE) && shift_s != NULL)
		now->tv_sec += *shift_s;
	return status;
}

time_t time(time_t *now_s)
{
	struct timespec now;

	clock_gettime(CLOCK_REALTIME, &now);
	if (now_s != NULL)
		*now_s = now.tv_sec;
	return now.tv_sec;
}

int gettimeofday(struct timeval *now, void *zone)
{
	struct timespec exact;
	int status = clock_gettime(CLOCK_REALTIME, &exact);

	(void)zone;
	*now = (struct timeval){.tv_sec = exact.tv_sec, .tv_usec = exact.tv_nsec / 1000};
	return status;
}
