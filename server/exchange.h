#ifndef PONDWRIGHT_EXCHANGE_H
#define PONDWRIGHT_EXCHANGE_H

#include <stddef.h>

#include <microhttpd.h>

/* The callbacks of libmicrohttpd: its protocol of first, body and final call is followed here and nowhere else.
 * Every closure is a struct listener. */

/* Leaves a target as it came: routing is on raw bytes. */
size_t exchange_leave_escaped(void *closure, struct MHD_Connection *connection, char *text);
/* A target was read: makes the request's record, which becomes the context of the calls below. */
void *exchange_target(void *closure, const char *target, struct MHD_Connection *connection);
enum MHD_Result exchange_answer(void *closure, struct MHD_Connection *connection, const char *url, const char *method,
	const char *version, const char *upload_data, size_t *upload_data_size, void **context);
/* Called once for every record. */
void exchange_completed(
	void *closure, struct MHD_Connection *connection, void **context, enum MHD_RequestTerminationCode code);
void exchange_connection(void *closure, struct MHD_Connection *connection, void **socket_context,
	enum MHD_ConnectionNotificationCode code);

#endif
