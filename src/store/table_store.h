/* table_store.h - whole tables as they are, for an export of everything and the way back.
 *
 * Rules
 * (1) Tables are numbered from 0, parents before children; after them comes the journal, which can be read
 *     but not added to: a notebook's journal is its own.
 * (2) Rows come in the order of their numbers and are added with the numbers they had. */
#ifndef TABLE_STORE_H
#define TABLE_STORE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "store.h"

enum table_type { TABLE_INTEGER, TABLE_REAL, TABLE_TEXT };
enum { TABLE_COLUMNS_MOST = 32 };

struct table_column {
    char name[64];
    enum table_type type;
};

/* One value; the text is lent. */
struct table_value {
    bool null;
    enum table_type type;
    int64_t integer;
    double real;
    const char *text;
};

size_t table_store_count(void); /* without the journal */
const char *table_store_name(size_t table);

/* ret_columns  in table order
 * STATUS_SYSTEM when the notebook cannot be read. */
enum status table_store_columns(struct store *store, size_t table,
                                struct table_column ret_columns[TABLE_COLUMNS_MOST], size_t *ret_count,
                                struct failure *failure);

/* Every row; the values are lent until the sink returns. */
typedef enum status (*table_sink)(const struct table_value *values, size_t count, void *payload,
                                  struct failure *failure);
enum status table_store_read(struct store *store, size_t table, table_sink sink, void *payload,
                             struct failure *failure);

/* True when no table has a row. */
enum status table_store_empty(struct store *store, bool *ret_empty, struct failure *failure);

/* Put rows into the tables of an empty notebook, inside store_begin() and store_end(). Between start and
 * finish rows may name others that come later; finish journals the table and checks nothing more. Rows must
 * be numbered from 1 without a gap.
 * STATUS_CONFLICT when a row is not what the table takes. */
struct table_filling;
enum status table_store_start(struct store *store, size_t table, struct table_filling **ret_filling,
                              struct failure *failure);
enum status table_store_add(struct table_filling *filling, const struct table_value *values, size_t count,
                            struct failure *failure);
enum status table_store_finish(struct table_filling *filling, enum status status, struct failure *failure);

#endif
