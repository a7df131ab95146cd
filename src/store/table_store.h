/* table_store.h - whole tables as they are, for an export of everything and the way back.
 *
 * Rules
 * (1) Tables are numbered from 0, parents before children; after them comes the journal, which can be read
 *     but not added to: a notebook's journal is its own.
 * (2) Rows come in the order of their numbers and are added with the numbers they had. */
#ifndef TABLE_STORE_H
#define TABLE_STORE_H

#include "journal.h"
#include "table.h"

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

/* Put rows into the tables of an empty notebook. Between begin and end, which commits on STATUS_OK and else undoes,
 * rows may name others that come later. Rows must be numbered from 1 without a gap.
 * STATUS_CONFLICT when a row is not what the table takes. */
enum status table_store_begin(struct store *store, struct failure *failure);
enum status table_store_add(struct store *store, size_t table, const struct table_value *values, size_t count,
                            struct failure *failure);
/* STATUS_CONFLICT when a row added so far names one that is not there. */
enum status table_store_check_names(struct store *store, struct failure *failure);

/* A journal that came with the rows, and what it has told of them so far; zeroed before its first entry. */
struct table_witness {
    int64_t entries, covered[TABLES_MOST]; /* the last row of each table that an entry spoke of */
    char head[JOURNAL_HASH_SIZE];
};

/* Take its next entry: the values of a row of the journal.
 * STATUS_CONFLICT when it does not follow the one before, or a row is not as it says. */
enum status table_store_witness(struct store *store, struct table_witness *witness,
                                const struct table_value *values, struct failure *failure);

/* STATUS_CONFLICT when a table has rows that no entry speaks of. */
enum status table_store_witnessed(const struct table_witness *witness, const size_t *rows,
                                  struct failure *failure);

enum status table_store_end(struct store *store, enum status status, struct failure *failure);

#endif
