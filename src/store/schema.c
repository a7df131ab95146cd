/* schema.c - is the schema of a database, all of it, that of a released version? */
#include "schema.h"

#include <stdlib.h>
#include <string.h>

#include "schema_hash.h"
#include "sql.h"
#include "text.h"

struct store_schema
schema_released(void)
{
    return (struct store_schema){
        .migrations = sql_migrations, .hashes = sql_schema_hashes, .count = sql_migration_count};
}

/* A damaged schema may lack one. */
static const char *
column(sqlite3_stmt *row, int index)
{
    const char *text = (const char *)sqlite3_column_text(row, index);

    return text == NULL ? "" : text;
}

struct comparison {
    sqlite3_stmt *found, *expected; /* rows of sql_schema_rows, in order */
    schema_sink *sink;
    void *payload;
};

static void
say(const struct comparison *comparison, sqlite3_stmt *row, const char *what)
{
    char *difference = text_format("%s '%s' %s", column(row, 1), column(row, 0), what);

    comparison->sink(difference, comparison->payload);
    free(difference);
}

/* Below 0: `found` has what `expected` lacks. */
static int
order_of(const struct comparison *comparison, bool more_found, bool more_expected)
{
    int order;

    if (!more_found || !more_expected)
        return more_found ? -1 : 1;
    order = strcmp(column(comparison->found, 0), column(comparison->expected, 0));
    return order != 0 ? order : strcmp(column(comparison->found, 1), column(comparison->expected, 1));
}

static bool
same_row(sqlite3_stmt *found, sqlite3_stmt *expected)
{
    for (int i = 0; i < sqlite3_column_count(expected); i++) {
        const char *is = column(found, i), *should = column(expected, i);
        int length = sqlite3_column_bytes(expected, i);

        if (sqlite3_column_bytes(found, i) != length || memcmp(is, should, (size_t)length) != 0)
            return false;
    }
    return true;
}

static bool
next(sqlite3_stmt *rows)
{
    return sqlite3_step(rows) == SQLITE_ROW;
}

static void
compare(const struct comparison *comparison)
{
    bool more_found = next(comparison->found), more_expected = next(comparison->expected);

    while (more_found || more_expected) {
        int order = order_of(comparison, more_found, more_expected);

        if (order < 0)
            say(comparison, comparison->found, "does not belong there");
        else if (order > 0)
            say(comparison, comparison->expected, "is missing");
        else if (!same_row(comparison->found, comparison->expected))
            say(comparison, comparison->found, "was changed");
        if (order <= 0)
            more_found = next(comparison->found);
        if (order >= 0)
            more_expected = next(comparison->expected);
    }
}

/* An empty database with the schema of a version. Given: sqlite3_close() it. */
static sqlite3 *
build(const struct store_schema *schema, int version)
{
    sqlite3 *handle = NULL;
    int code = sqlite3_open_v2(":memory:", &handle, SQLITE_OPEN_READWRITE | SQLITE_OPEN_MEMORY, NULL);

    for (int i = 0; code == SQLITE_OK && i < version; i++)
        code = sqlite3_exec(handle, schema->migrations[i], NULL, NULL, NULL);
    if (code == SQLITE_OK)
        return handle;
    sqlite3_close(handle);
    return NULL;
}

static enum status
find_differences(struct store *store, sqlite3 *built, schema_sink *sink, void *payload,
                 struct failure *failure)
{
    struct comparison comparison = {.sink = sink, .payload = payload};
    enum status status = STATUS_OK;
    int code = sqlite3_prepare_v2(store->handle, sql_schema_rows, -1, &comparison.found, NULL);

    if (code != SQLITE_OK)
        return store_failure(store, code, "cannot read the notebook", failure);
    if (sqlite3_prepare_v2(built, sql_schema_rows, -1, &comparison.expected, NULL) == SQLITE_OK)
        compare(&comparison);
    else
        status =
            failure_set(failure, STATUS_SYSTEM, "cannot make an empty notebook: %s", sqlite3_errmsg(built));
    sqlite3_finalize(comparison.found);
    sqlite3_finalize(comparison.expected);
    return status;
}

enum status
schema_compare(struct store *store, int version, schema_sink *sink, void *payload, bool *ret_exact,
               struct failure *failure)
{
    const struct store_schema *schema = &store->schema;
    char found[SCHEMA_HASH_SIZE], expected[SCHEMA_HASH_SIZE];
    enum status status = STATUS_OK;
    sqlite3 *built;
    int code = schema_hash(store->handle, sql_schema_rows, found);

    if (code != SQLITE_OK)
        return store_failure(store, code, "cannot read the notebook", failure);
    *ret_exact = schema->hashes != NULL && strcmp(found, schema->hashes[version - 1]) == 0;
    if (*ret_exact)
        return STATUS_OK;
    built = build(schema, version);
    if (built == NULL || schema_hash(built, sql_schema_rows, expected) != SQLITE_OK)
        status = failure_set(failure, STATUS_SYSTEM,
                             "cannot make an empty notebook of version %d to compare with", version);
    else if (strcmp(found, expected) == 0)
        *ret_exact = true;
    else
        status = find_differences(store, built, sink, payload, failure);
    sqlite3_close(built);
    return status;
}
