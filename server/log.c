#include "log.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <unistd.h>

#include "clocks.h"

#define MESSAGE_SIZE 601 /* escaped to its longest it still fits a line */
#define LIBRARY_LINES_PER_S 10

/* How a write that must not wait is made, by what the descriptor is. */
enum log_sink {
	SINK_FILE,   /* a plain file never waits for a reader */
	SINK_OWN,    /* a pipe or terminal opened again, so that O_NONBLOCK is ours alone */
	SINK_SOCKET, /* the journal: MSG_DONTWAIT */
	SINK_POLLED, /* could not be opened again: ask before each write, one thread at a time */
};

/* The process has one standard error, so this is the one record that is not handed round. Set before threads start. */
static struct {
	int descriptor;
	enum log_sink sink;
	pthread_mutex_t polled;
	atomic_bool torn; /* part of a line went out: the next starts on a fresh one */
	_Atomic uint64_t dropped;
	_Atomic uint64_t dropped_told;
	_Atomic int64_t library_second;
	_Atomic uint64_t library_lines;
	_Atomic uint64_t library_kept_back;
} sink = {.descriptor = STDERR_FILENO, .sink = SINK_FILE, .polled = PTHREAD_MUTEX_INITIALIZER};

void log_open(int descriptor)
{
	char path[32];
	struct stat kind;
	int again;

	sink.descriptor = descriptor;
	sink.sink = SINK_FILE;
	if (fstat(descriptor, &kind) != 0 || S_ISREG(kind.st_mode))
		return;
	if (S_ISSOCK(kind.st_mode)) {
		sink.sink = SINK_SOCKET;
		return;
	}
	/* O_NONBLOCK on the inherited description would reach every process that shares it */
	snprintf(path, sizeof path, "/proc/self/fd/%d", descriptor);
	again = open(path, O_WRONLY | O_NONBLOCK | O_CLOEXEC | O_NOCTTY);
	sink.sink = again >= 0 ? SINK_OWN : SINK_POLLED;
	if (again >= 0)
		sink.descriptor = again;
}

static ssize_t write_polled(const char *bytes, size_t length)
{
	struct pollfd ready = {.fd = sink.descriptor, .events = POLLOUT};
	ssize_t written = -1;

	pthread_mutex_lock(&sink.polled);
	if (poll(&ready, 1, 0) == 1 && (ready.revents & POLLOUT) != 0)
		written = write(sink.descriptor, bytes, length);
	pthread_mutex_unlock(&sink.polled);
	return written;
}

static ssize_t write_once(const char *bytes, size_t length)
{
	ssize_t written;

	do {
		if (sink.sink == SINK_SOCKET)
			written = send(sink.descriptor, bytes, length, MSG_DONTWAIT | MSG_NOSIGNAL);
		else if (sink.sink == SINK_POLLED)
			written = write_polled(bytes, length);
		else
			written = write(sink.descriptor, bytes, length);
	} while (written < 0 && errno == EINTR);
	return written;
}

/* True when the whole line went out. */
static bool line_write(const char *bytes, size_t length)
{
	ssize_t written;

	if (atomic_exchange(&sink.torn, false) && write_once("\n", 1) != 1) {
		atomic_store(&sink.torn, true);
		return false;
	}
	written = write_once(bytes, length);
	if (written > 0 && (size_t)written < length)
		atomic_store(&sink.torn, true);
	return written == (ssize_t)length;
}

void log_begin(struct log_line *line, enum log_level level, const char *event, const char *message)
{
	static const char *const words[] = {"info", "warn", "error"};
	char instant[INSTANT_TEXT_SIZE];

	writer_init_fixed(&line->out, line->storage, sizeof line->storage);
	instant_text(instant);
	writer_object_open(&line->out);
	writer_member_string(&line->out, "ts", instant);
	writer_member_string(&line->out, "level", words[level]);
	writer_member_string(&line->out, "event", event);
	writer_member_string(&line->out, "msg", message);
}

void log_end(struct log_line *line)
{
	uint64_t dropped = atomic_load(&sink.dropped);
	uint64_t told = atomic_load(&sink.dropped_told);

	if (dropped > told)
		writer_member_int(&line->out, "dropped_before", (int64_t)(dropped - told));
	writer_object_close(&line->out);
	writer_text(&line->out, "\n", 1);
	if (line->out.out_of_memory || !line_write(line->out.bytes, line->out.length))
		atomic_fetch_add(&sink.dropped, 1);
	else if (dropped > told)
		atomic_store(&sink.dropped_told, dropped);
}

void log_event(enum log_level level, const char *event, const char *format, ...)
{
	struct log_line line;
	char message[MESSAGE_SIZE];
	va_list arguments;

	va_start(arguments, format);
	vsnprintf(message, sizeof message, format, arguments);
	va_end(arguments);
	log_begin(&line, level, event, message);
	log_end(&line);
}

/* At most so many lines in one second; a race over the turn of the second lets one more through. */
static bool library_line_passes(void)
{
	int64_t now_s = monotonic_ms() / 1000;

	if (atomic_exchange(&sink.library_second, now_s) != now_s)
		atomic_store(&sink.library_lines, 0);
	return atomic_fetch_add(&sink.library_lines, 1) < LIBRARY_LINES_PER_S;
}

void log_library(void *unused, const char *format, va_list arguments)
{
	struct log_line line;
	char message[MESSAGE_SIZE];
	uint64_t kept_back;

	(void)unused;
	if (!library_line_passes()) {
		atomic_fetch_add(&sink.library_kept_back, 1);
		return;
	}
	vsnprintf(message, sizeof message, format, arguments);
	message[strcspn(message, "\r\n")] = '\0';
	log_begin(&line, LEVEL_INFO, "library", message); /* mostly about clients that went away */
	kept_back = atomic_exchange(&sink.library_kept_back, 0);
	if (kept_back > 0)
		writer_member_int(&line.out, "kept_back", (int64_t)kept_back);
	log_end(&line);
}

uint64_t log_dropped(void)
{
	return atomic_load(&sink.dropped);
}
