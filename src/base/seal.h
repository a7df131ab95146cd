/* seal.h - the hash of a notebook's latest entry, written so that a person can keep it elsewhere.
 *
 * Rules
 * (1) A seal is the first 145 bits of the hash as 29 characters of base 32 (RFC 4648, section 6: A to Z and 2 to 7, so
 *     that no 0, 1, 8 or 9 can be taken for a letter) and a check character, in six groups of five with a hyphen between:
 *     on paper, or over the telephone.
 * (2) The check character is that of the hybrid systems of ISO/IEC 7064 with 32 in the place of their 10, 26 or 36: it
 *     finds every single character that is wrong, and nearly every two neighbours that changed places.
 * (3) A seal is read in either case, with or without the groups; 0 is read as O and 1 as I (RFC 4648, section 3.4). */
#ifndef SEAL_H
#define SEAL_H

#include <stdbool.h>
#include <stddef.h>

#include "status.h"

enum { SEAL_CHARACTERS = 30, SEAL_TEXT_SIZE = 36 };

/* The seal that stands for a hash of 64 hexadecimal digits; gives `text`. */
const char *seal_text(const char *hash, char text[SEAL_TEXT_SIZE]);

/* A seal as someone kept it, into the form of seal_text().
 *
 * STATUS_FORMAT when it is none, or does not fit its check character. */
enum status seal_parse(const char *typed, char ret_text[SEAL_TEXT_SIZE], struct failure *failure);

/* The check value behind `count` values from 0 to radix - 1: ISO/IEC 7064:2003, hybrid system MOD radix + 1, radix. */
unsigned seal_check_value(const unsigned char *values, size_t count, unsigned radix);

#endif
