/* words.h - the fixed words of a record (roles, kinds, states) as text and back. */
#ifndef WORDS_H
#define WORDS_H

#include <stddef.h>

#include "status.h"

/* Find `text` among `words` (upper and lower case alike) and give its index.
 * STATUS_FORMAT with the allowed words: "role 'plain' is unknown, allowed are ordinary, control". */
enum status words_find(const char *what, const char *text, const char *const *words, size_t count,
                       size_t *ret_index, struct failure *failure);

#endif
