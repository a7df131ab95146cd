/* store_internal.h - the inside of a store, for the store room alone. */
#ifndef STORE_INTERNAL_H
#define STORE_INTERNAL_H

#include <sqlite3.h>

#include "canonical.h"
#include "statement.h"
#include "store.h"
#include "tool_store.h"

struct statement {
    struct store *store;
    const char *sql; /* its identity: texts of sql.h are unique */
    sqlite3_stmt *handle;
};

enum { STORE_STATEMENTS = 128 };

/* table.h */
struct table {
    const char *name;
    struct table_column columns[TABLE_COLUMNS_MOST];
    size_t column_count;
    char *rows_sql, *add_sql; /* owned; NULL: not asked for yet */
    /* Rows added that are in no entry of the journal yet: row.h, rule 3. */
    int64_t first_unwritten;
    struct canonical_rows unwritten; /* owned */
};

/* The migrations that make a notebook, oldest first: those of schema/, or of a test. */
struct store_schema {
    const char *const *migrations;
    int count;
};

struct store {
    sqlite3 *handle;
    char *path;
    struct store_schema schema; /* what the notebook is brought to; texts lent */
    int depth;                  /* of store_begin() */
    int reading_depth;          /* of store_begin_reading() */
    bool reading_alone;         /* the outermost one is not inside a piece of writing */
    struct statement statements[STORE_STATEMENTS];
    size_t statement_count;
    struct table tables[TABLES_MOST]; /* by number */
    bool many_rows;                   /* between rows_begin_many() and rows_end_many() */
    struct tools *tools;              /* owned: tool_store.h; NULL: not asked for */
};

/* What SQLite's last error means to a person. `doing` is the beginning of the sentence, as in
 * "cannot write the notebook". */
enum status store_failure(struct store *store, int code, const char *doing, struct failure *failure);

/* store_open() with a schema of another version than this program's. */
enum status store_open_as(const char *path, enum store_mode mode, const struct store_schema *schema,
                          struct store **ret_store, bool *ret_created, struct failure *failure);

#endif
