/* correction_store.h - values that were put right (correctable.h), and rows that take the place of others. */
#ifndef CORRECTION_STORE_H
#define CORRECTION_STORE_H

#include "correctable.h"
#include "store.h"

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

/* The number of another row that a row names, as it was added; 0: none, or there is no such column.
 * STATUS_MISSING: "there is no weighing number 9". */
enum status correction_store_link(struct store *store, const struct correctable *record, int64_t number,
                                  const char *column, int64_t *ret_id, struct failure *failure);

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

/* What was put right by field and is wanted, in the order of keeping, with what stood before. One field of a row is wanted
 * as a whole or not at all.
 * Given, also on a failure: correction_clear() each, free() the array. */
typedef bool correction_wanted(const struct correction *correction, const void *payload);
enum status correction_store_list(struct store *store, correction_wanted *wanted, const void *payload,
                                  struct correction **ret_corrections, size_t *ret_count,
                                  struct failure *failure);

#endif
