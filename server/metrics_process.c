#include "metrics_process.h"

#include <dirent.h>
#include <inttypes.h>
#include <stdio.h>
#include <sys/resource.h>
#include <unistd.h>

static void gauge_write(struct writer *out, const char *name, const char *help, int64_t value)
{
	writer_print(out, "# HELP %s %s\n# TYPE %s gauge\n%s %" PRId64 "\n", name, help, name, name, value);
}

/* Descriptors in use, or -1. The one that lists them does not count. */
static int64_t descriptors_open(void)
{
	DIR *list = opendir("/proc/self/fd");
	int64_t count = -1;
	const struct dirent *entry;

	if (list == NULL)
		return -1;
	while ((entry = readdir(list)) != NULL)
		count += entry->d_name[0] != '.';
	closedir(list);
	return count;
}

static void memory_write(struct writer *out)
{
	long long virtual_pages, resident_pages;
	FILE *figures = fopen("/proc/self/statm", "re");
	int found;

	if (figures == NULL)
		return;
	found = fscanf(figures, "%lld %lld", &virtual_pages, &resident_pages);
	fclose(figures);
	if (found != 2)
		return;
	gauge_write(out, "process_resident_memory_bytes", "Resident memory.", resident_pages * sysconf(_SC_PAGESIZE));
	gauge_write(out, "process_virtual_memory_bytes", "Virtual memory.", virtual_pages * sysconf(_SC_PAGESIZE));
}

static double seconds(struct timeval time)
{
	return (double)time.tv_sec + (double)time.tv_usec * 1e-6;
}

void metrics_process_write(struct writer *out, int64_t started_at_s)
{
	struct rlimit limit;
	struct rusage usage;
	int64_t open = descriptors_open();

	gauge_write(out, "process_start_time_seconds", "Start of the process, seconds since 1970.", started_at_s);
	memory_write(out);
	if (open >= 0)
		gauge_write(out, "process_open_fds", "Open descriptors.", open);
	if (getrlimit(RLIMIT_NOFILE, &limit) == 0)
		gauge_write(out, "process_max_fds", "Descriptors that may be open.", (int64_t)limit.rlim_cur);
	if (getrusage(RUSAGE_SELF, &usage) == 0)
		writer_print(out,
			"# HELP process_cpu_seconds_total User and system time.\n"
			"# TYPE process_cpu_seconds_total counter\nprocess_cpu_seconds_total %.6f\n",
			seconds(usage.ru_utime) + seconds(usage.ru_stime));
}
