/* words.h - the fixed words of a record (roles, kinds, states) as text and back. */
#ifndef WORDS_H
#define WORDS_H

#include <stddef.h>

#include "status.h"

/* Find `text` among `words` (upper and lower case alike) and give its index.
 * STATUS_FORMAT with the allowed words: "role 'plain' is unknown, allowed are ordinary, control". */
enum status words_find(const char *what, const char *text, const char *const *words, size_t count,
                       size_t *ret_index, struct failure *failure);

/* Check a new name that people will type and read ("code" of a batch, "name" of gear): every character shows as
 * itself, no blank at an end, no dash at the beginning. STATUS_RANGE when it has more than `longest` bytes, else
 * STATUS_FORMAT. An empty one is the caller's to refuse. */
enum status words_check_name(const char *what, const char *text, size_t longest, struct failure *failure);

#endif
