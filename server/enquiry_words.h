#ifndef PONDWRIGHT_ENQUIRY_WORDS_H
#define PONDWRIGHT_ENQUIRY_WORDS_H

#include <stdbool.h>
#include <stdint.h>

#include "config.h"

/* Words as callers write them: an edition is a word of its region, all others are words of their list. */

enum { REGION_ALL = UINT16_MAX };

/* Place of a word in its list. region is read for LIST_editions alone; REGION_ALL there takes any region's. */
bool word_find(const struct config *config, enum word_list list, uint32_t region, const char *word, uint32_t *place);

/* Room for what word_choices writes. */
#define CHOICES_SIZE 480

/* "topsoil, loam, sand" and what the caller may have meant by `word`: all words where they fit into some 300 bytes,
 * else the first of them and how many more there are. */
const char *word_choices(const struct config *config, enum word_list list, uint32_t region, const char *word,
	char text[CHOICES_SIZE]);

#endif
