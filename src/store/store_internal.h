/* store_internal.h - the inside of a store, for the store room alone. */
#ifndef STORE_INTERNAL_H
#define STORE_INTERNAL_H

#include <sqlite3.h>

#include <time.h>

#include "canonical.h"
#include "put_right.h"
#include "statement.h"
#include "store.h"

struct statement {
    struct store *store;
    const char *sql; /* its identity: texts of sql.h are unique */
    sqlite3_stmt *handle;
    struct value_checks *checks; /* owned; NULL: none */
    const struct correction *
        *standing;  /* of the current row, by column; owned; NULL: nothing was put right */
    bool put_right; /* one of them is there */
};
void statement_close(struct statement *statement);

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
    const char *const
        *hashes; /* of what the migrations up to each make (schema_hash.h); NULL: not taken yet */
    int count;
};

struct store {
    sqlite3 *handle;
    char *path;
    enum store_mode mode;
    struct store_schema schema; /* what the notebook is brought to; texts lent */
    char *foreign;              /* store_foreign(); owned */
    clock_t deadline;           /* processor time at which reading what is not trusted ends */
    int64_t schema_cookie;      /* of the schema that was compared */
    unsigned data_version;      /* when it was compared, or seen to be the same */
    int depth;                  /* of store_begin() */
    int reading_depth;          /* of store_begin_reading() */
    bool reading_alone;         /* the outermost one is not inside a piece of writing */
    struct statement statements[STORE_STATEMENTS];
    size_t statement_count;
    struct table tables[TABLES_MOST]; /* by number */
    struct put_right *put_right;      /* put_right.h; NULL: not looked at yet */
    bool many_rows;                   /* between rows_begin_many() and rows_end_many() */
    void *kept; /* what a module of this room read once for many uses (tool_store.c); NULL: nothing */
    void (*free_kept)(void *);
    bool kept_stale; /* it was added to or put right since */
};

/* What SQLite's last error means to a person. `doing` is the beginning of the sentence, as in
 * "cannot write the notebook". */
enum status store_failure(struct store *store, int code, const char *doing, struct failure *failure);

/* Open the file alone, with the limits of one that is not trusted; nothing is compared and nothing is written.
 * ":memory:" is a new one that is empty. What is opened for reading cannot be written through.
 * ret_store  given: store_close() it */
enum status store_connect(const char *path, enum store_mode mode, const struct store_schema *schema,
                          struct store **ret_store, struct failure *failure);

/* Its schema is that of a released version: no limits but those of every notebook, and none but that schema. */
enum status store_trust(struct store *store, struct failure *failure);

/* Run statements that give no rows, or one that gives a whole number. */
enum status store_run(struct store *store, const char *sql, const char *doing, struct failure *failure);
enum status store_number(struct store *store, const char *sql, int64_t *ret_number, struct failure *failure);

#endif
