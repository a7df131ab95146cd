/* rows.h - what every record of the store room is read by. For the store room alone. */
#ifndef ROWS_H
#define ROWS_H

#include <stddef.h>

#include "statement.h"

/* Fill one element of an array from the current row. */
typedef void (*row_loader)(struct statement *row, void *element);

/* All rows that belong to `id`, bound to the parameter `owner`.
 * ret_array  given, also on a failure: clear *ret_count elements and free() it */
enum status rows_list(struct store *store, const char *sql, const char *owner, int64_t id, size_t size,
                      row_loader load, void **ret_array, size_t *ret_count, struct failure *failure);

/* The one row whose number is bound to :id. `what` names it in STATUS_MISSING's text. */
enum status rows_find(struct store *store, const char *sql, const char *what, int64_t id, void *ret_element,
                      row_loader load, struct failure *failure);

#endif
