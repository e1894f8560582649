#ifndef PONDWRIGHT_MONEY_TEXT_H
#define PONDWRIGHT_MONEY_TEXT_H

#include <stdint.h>

/* Room for any amount, a symbol of up to 15 bytes and the NUL. */
#define MONEY_TEXT_SIZE 64

/* An amount for people: "-£1,234.50". symbol may be NULL; a longer one is cut. minor_digits is 0 to 3. */
void money_text(int64_t amount_minor, const char *symbol, uint8_t minor_digits, char text[MONEY_TEXT_SIZE]);

/* The same for a spreadsheet and for files: "-1234.50", no symbol and no groups. */
void money_plain_text(int64_t amount_minor, uint8_t minor_digits, char text[MONEY_TEXT_SIZE]);

#endif
