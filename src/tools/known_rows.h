/* known_rows.h - reference rows that the program would not know: data without a name in the code is data lost. */
#ifndef KNOWN_ROWS_H
#define KNOWN_ROWS_H

#include <stddef.h>

#include "status.h"
#include "table_acid_constants.h"
#include "table_buffers.h"

/* Each row is found by the name in its first column: a buffer by buffer_find(), an acid and its step by acid.h. Acids
 * "in soap solution" only bound the soap model and have no name.
 *
 * STATUS_MISSING with the file, the name and where it is to be added. */
enum status known_rows_buffers(const struct buffer_row *rows, size_t count, struct failure *failure);
enum status known_rows_acids(const struct acid_constant_row *rows, size_t count, struct failure *failure);

#endif
