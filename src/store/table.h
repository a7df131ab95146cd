/* table.h - the tables whose rows are journalled, and the values of a row.
 *
 * A table's columns are listed in one place, the schema: what adds a row, journals, verifies and exports it asks the
 * notebook for them. */
#ifndef TABLE_H
#define TABLE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "store.h"

enum table_type { TABLE_INTEGER, TABLE_REAL, TABLE_TEXT, TABLE_BYTES /* no table has any: a damaged row */ };
enum { TABLES_MOST = 32, TABLE_COLUMNS_MOST = 32 };

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
    size_t length; /* of the text or the bytes */
};

/* Tables are numbered from 0, parents before children. */
size_t table_count(void);
const char *table_name(size_t table);

/* The number of a table; table_count() for a name that is not there. */
size_t table_find(const char *name);

/* A table as the notebook has it, lent by the store until it is closed; its id comes first. NULL when it cannot be
 * read (STATUS_SYSTEM) or has too many columns (STATUS_FORMAT). */
struct table;
const struct table *table_open(struct store *store, size_t number, struct failure *failure);

/* Its whole rows from one number to another, in order, ready to be stepped through. NULL as above. */
struct statement;
struct statement *table_rows(struct store *store, size_t number, int64_t first_row, int64_t last_row,
                             struct failure *failure);

/* The columns that a statement gives, and how many: at most TABLE_COLUMNS_MOST. */
size_t table_columns(struct statement *rows, struct table_column ret_columns[TABLE_COLUMNS_MOST]);

/* The values of the current row, lent until the next step; gives how many. */
size_t table_load(struct statement *row, struct table_value ret_values[TABLE_COLUMNS_MOST]);

#endif
