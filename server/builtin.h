#ifndef PONDWRIGHT_BUILTIN_H
#define PONDWRIGHT_BUILTIN_H

#include "router.h"

/* The routes that every service has: /healthz, /readyz, /metrics. */
extern const struct route builtin_routes[];
extern const size_t n_builtin_routes;

#endif
