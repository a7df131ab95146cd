/* put_right.h - the values that stand in place of those that were put right. For the store room alone.
 *
 * Rules
 * (1) One place: whatever a statement gives out of a column that can be put right (correctable.h, CORRECT_BY_FIELD) is
 *     what stands, as long as it gives the row's number before it. What verify, export and import read, they read as it is.
 * (2) Where SQL itself asks for such a value, to find, join or sort rows, it says standing(TABLE, number, COLUMN, value), and
 *     standing_row(TABLE, COLUMN, value) is the number of the row that was put right to that value.
 * (3) All are kept in memory, for they are few, and looked at anew whenever others may have written. */
#ifndef PUT_RIGHT_H
#define PUT_RIGHT_H

#include <sqlite3.h>

#include "correctable.h"
#include "status.h"
#include "store.h"

struct put_right;

/* Before a statement is used: what stands as of now. STATUS_SYSTEM; STATUS_FORMAT for a correction of what cannot be put
 * right. */
enum status put_right_look(struct store *store, struct failure *failure);

/* Others may have written, or what this one wrote was undone. */
void put_right_stale(struct store *store);

/* The connection is another one, or none. */
void put_right_forget(struct store *store);

/* The latest correction of a field; NULL: none. Lent until the next look. */
const struct correction *put_right_find(const struct store *store, const char *table, int64_t number,
                                        const char *column);

/* True while nothing at all was put right. */
bool put_right_none(const struct store *store);

#endif
