/* store_internal.h - the inside of a store, for the store room alone. */
#ifndef STORE_INTERNAL_H
#define STORE_INTERNAL_H

#include <sqlite3.h>

#include "statement.h"
#include "store.h"

struct statement {
    struct store *store;
    const char *sql; /* its identity: texts of sql.h are unique */
    sqlite3_stmt *handle;
};

enum { STORE_STATEMENTS = 96 };

struct store {
    sqlite3 *handle;
    char *path;
    int depth; /* of store_begin() */
    struct statement statements[STORE_STATEMENTS];
    size_t statement_count;
};

/* What SQLite's last error means to a person. `doing` is the beginning of the sentence, as in
 * "cannot write the notebook". */
enum status store_failure(struct store *store, int code, const char *doing, struct failure *failure);

#endif
