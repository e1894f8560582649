#ifndef PONDWRIGHT_METRICS_PROCESS_H
#define PONDWRIGHT_METRICS_PROCESS_H

#include <stdint.h>

#include "writer.h"

/* The process_* family: what every Prometheus dashboard expects to find. A figure that the system does not give
 * is left out. */
void metrics_process_write(struct writer *out, int64_t started_at_s);

#endif
