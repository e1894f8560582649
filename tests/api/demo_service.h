#ifndef PONDWRIGHT_TESTS_DEMO_SERVICE_H
#define PONDWRIGHT_TESTS_DEMO_SERVICE_H

#include "http.h"

/* The HTTP layer alone, with invented routes, started in the test's own process on free ports of 127.0.0.1:
 *   POST /v1/echo         the body's length and text
 *   GET  /v1/things/{id}  JSON or CSV; "none" is unknown
 *   GET  /v1/starved      runs out of memory while it writes
 *   GET  /v1/silent       a handler that forgets to answer
 *   GET  /v1/faults       a problem with a list
 *   GET  /v1/page-sized   16 MiB, so that an answer can be read slowly
 *   GET  /                one page
 * https://www.example.test may read the answers of echo and things. */

#define DEMO_DEADLINE_MS 600
#define HOST "Host: x\r\n"
#define JSON "Content-Type: application/json\r\n"

extern const char demo_page[];

/* Check fixtures. */
void demo_service_start(void);
void demo_service_stop(void);

struct http *demo_http(void);
unsigned demo_port(void);
unsigned demo_admin_port(void);
/* Whether price tables count as loaded; they do at first. */
void demo_tables_load(bool loaded);
/* The application, for a test that starts a service of its own. */
struct http_app demo_app(void);

#endif
