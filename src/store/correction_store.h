/* correction_store.h - values that were put right (correctable.h), and rows that take the place of others. */
#ifndef CORRECTION_STORE_H
#define CORRECTION_STORE_H

#include "correctable.h"
#include "store.h"
#include "table.h"

/* A value of a row, to be put right. */
struct put_right_value {
    const struct correct_field *field;
    char *value; /* owned by the caller: as it is kept (0003_put_right.sql); NULL: not stated any more */
};

/* Why, when and by whom. Texts are lent. */
struct put_right_reason {
    const char *why, *who; /* who may be NULL */
    civil_time at;
};

/* The row as it stands, to be changed: its values by column. The texts are lent until the store is used again.
 * STATUS_MISSING: "there is no weighing number 9". */
enum status correction_store_row(struct store *store, const struct correctable *record, int64_t number,
                                 const struct table **ret_table,
                                 struct table_value ret_values[TABLE_COLUMNS_MOST], struct failure *failure);

/* Put values of a row right, by the way of its record (correctable.h, rule 1), inside a transaction. Each is checked as its
 * column is; what the columns say together is the caller's to check.
 *
 * withdrawn   the row does not count at all; `values` are none
 * ret_number  of the row that stands: the same, or that of the new one
 *
 * STATUS_MISSING when there is no such row; STATUS_CONFLICT when it is replaced or withdrawn already (the text names the one to
 * correct), or the table does not take it; STATUS_RANGE for a value that the column cannot hold. */
enum status correction_store_add(struct store *store, const struct correctable *record, int64_t number,
                                 const struct put_right_value *values, size_t count, bool withdrawn,
                                 const struct put_right_reason *reason, int64_t *ret_number,
                                 struct failure *failure);

/* All that was put right by field, in the order of keeping, with what stood before.
 * Given, also on a failure: correction_clear() each, free() the array. */
enum status correction_store_list(struct store *store, struct correction **ret_corrections, size_t *ret_count,
                                  struct failure *failure);

#endif
