#ifndef PONDWRIGHT_CALENDAR_TEXT_H
#define PONDWRIGHT_CALENDAR_TEXT_H

#include <stdint.h>

#include "writer.h"

/* Content lines of iCalendar (RFC 5545 section 3.1): CRLF after each, folded before the 76th octet and never within a
 * UTF-8 character. */

/* A line as it stands: name, parameters and value. */
void calendar_line(struct writer *out, const char *line);

/* NAME:value, with the escapes of a TEXT value (section 3.3.11). NULL writes nothing. */
void calendar_text(struct writer *out, const char *name, const char *value);

/* NAME;VALUE=DATE:YYYYMMDD, for a day that date_text takes. */
void calendar_day(struct writer *out, const char *name, int32_t day);

#endif
