#ifndef PONDWRIGHT_ROUTES_H
#define PONDWRIGHT_ROUTES_H

#include "router.h"

/* The application's routes; request->app is the struct pondwright. */
extern const struct route pond_routes[];
extern const size_t n_pond_routes;

#endif
