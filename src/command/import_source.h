/* import_source.h - the file of an import as UTF-8 text that can be read twice.
 *
 * Rules
 * (1) UTF-8 is read as it is; UTF-16 is known by its byte-order mark and turned into UTF-8.
 * (2) What is neither is not guessed: the message shows the first such text as Windows-1252 would have it, and names the
 *     option that says so.
 * (3) A pipe, and what had to be turned, is copied to a file without a name first. */
#ifndef IMPORT_SOURCE_H
#define IMPORT_SOURCE_H

#include <stdint.h>
#include <stdio.h>

#include "status.h"

/* The words that --encoding takes. */
enum { IMPORT_ENCODINGS = 4 };
extern const char *const import_encodings[IMPORT_ENCODINGS];

/* encoding   one of the words; NULL: not told
 * ret_file   given: fclose() it; at its beginning
 * ret_bytes  its length
 *
 * STATUS_MISSING when it cannot be opened, STATUS_FORMAT by rule 2 or when it is not in that encoding, STATUS_SYSTEM. */
enum status import_source_open(const char *path, const char *encoding, FILE **ret_file, uint64_t *ret_bytes,
                               struct failure *failure);

#endif
