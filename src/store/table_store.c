/* table_store.c - whole tables as they are. */
#include "table_store.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "canonical.h"
#include "memory.h"
#include "sql.h"
#include "store_internal.h"
#include "text.h"

size_t
table_store_count(void)
{
    return canonical_table_count;
}

const char *
table_store_name(size_t table)
{
    return table < canonical_table_count ? canonical_tables[table].name : "journal";
}

static struct statement *
rows_of(struct store *store, size_t table, struct failure *failure)
{
    struct statement *rows;

    if (table >= canonical_table_count)
        return statement_open(store, sql_journal_list, failure);
    rows = statement_open(store, canonical_tables[table].rows_sql, failure);
    if (rows != NULL) {
        statement_bind_int(rows, ":first_row", INT64_MIN);
        statement_bind_int(rows, ":last_row", INT64_MAX);
    }
    return rows;
}

static enum table_type
type_of(const char *declared)
{
    if (declared != NULL && strcmp(declared, "INTEGER") == 0)
        return TABLE_INTEGER;
    return declared != NULL && strcmp(declared, "REAL") == 0 ? TABLE_REAL : TABLE_TEXT;
}

enum status
table_store_columns(struct store *store, size_t table, struct table_column ret_columns[TABLE_COLUMNS_MOST],
                    size_t *ret_count, struct failure *failure)
{
    struct statement *rows = rows_of(store, table, failure);
    size_t count;

    if (rows == NULL)
        return failure->status;
    count = (size_t)sqlite3_column_count(rows->handle);
    if (count > TABLE_COLUMNS_MOST)
        return failure_set(failure, STATUS_FORMAT, "table %s has %zu columns", table_store_name(table),
                           count);
    for (size_t i = 0; i < count; i++) {
        snprintf(ret_columns[i].name, sizeof ret_columns[i].name, "%s",
                 sqlite3_column_name(rows->handle, (int)i));
        ret_columns[i].type = type_of(sqlite3_column_decltype(rows->handle, (int)i));
    }
    *ret_count = count;
    statement_done(rows);
    return STATUS_OK;
}

static void
load(struct statement *row, struct table_value *values, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        int column = (int)i, type = sqlite3_column_type(row->handle, column);

        values[i] = (struct table_value){.null = type == SQLITE_NULL, .type = TABLE_TEXT};
        if (type == SQLITE_INTEGER) {
            values[i].type = TABLE_INTEGER;
            values[i].integer = statement_int(row, column);
        } else if (type == SQLITE_FLOAT) {
            values[i].type = TABLE_REAL;
            values[i].real = sqlite3_column_double(row->handle, column);
        } else if (type != SQLITE_NULL) {
            values[i].text = statement_text(row, column);
        }
    }
}

enum status
table_store_read(struct store *store, size_t table, table_sink sink, void *payload, struct failure *failure)
{
    struct statement *rows = rows_of(store, table, failure);
    struct table_value values[TABLE_COLUMNS_MOST];
    enum status status;
    size_t count;
    bool row = false;

    if (rows == NULL)
        return failure->status;
    count = (size_t)sqlite3_column_count(rows->handle);
    if (count > TABLE_COLUMNS_MOST)
        return failure_set(failure, STATUS_FORMAT, "table %s has %zu columns", table_store_name(table),
                           count);
    while ((status = statement_step(rows, &row, failure)) == STATUS_OK && row) {
        load(rows, values, count);
        status = sink(values, count, payload, failure);
        if (status != STATUS_OK)
            break;
    }
    statement_done(rows);
    return status;
}

enum status
table_store_empty(struct store *store, bool *ret_empty, struct failure *failure)
{
    bool empty = true;

    for (size_t table = 0; empty && table <= canonical_table_count; table++) {
        struct statement *rows = rows_of(store, table, failure);
        bool row = false;

        if (rows == NULL)
            return failure->status;
        if (statement_step(rows, &row, failure) != STATUS_OK)
            return failure->status;
        statement_done(rows);
        empty = !row;
    }
    *ret_empty = empty;
    return STATUS_OK;
}

struct table_filling {
    struct store *store; /* lent */
    const char *name;
    sqlite3_stmt *add; /* owned */
    size_t columns;
    int64_t rows;
};

enum status
table_store_start(struct store *store, size_t table, struct table_filling **ret_filling,
                  struct failure *failure)
{
    struct table_filling *filling = memory_new(1, sizeof *filling);
    struct table_column columns[TABLE_COLUMNS_MOST];
    struct text sql = {0};
    enum status status = table_store_columns(store, table, columns, &filling->columns, failure);
    int code;

    if (status != STATUS_OK) {
        free(filling);
        return status;
    }
    filling->store = store;
    filling->name = table_store_name(table);
    sqlite3_exec(store->handle, "PRAGMA defer_foreign_keys = ON", NULL, NULL, NULL); /* until the commit */
    text_addf(&sql, "INSERT INTO %s VALUES (", filling->name);
    for (size_t i = 0; i < filling->columns; i++)
        text_add(&sql, i == 0 ? "?" : ", ?");
    text_add(&sql, ")");
    code = sqlite3_prepare_v2(store->handle, text_of(&sql), -1, &filling->add, NULL);
    text_clear(&sql);
    if (code != SQLITE_OK) {
        free(filling);
        return store_failure(store, code, "cannot write the notebook", failure);
    }
    *ret_filling = filling;
    return STATUS_OK;
}

static void
bind(sqlite3_stmt *add, int index, const struct table_value *value)
{
    if (value->null)
        sqlite3_bind_null(add, index);
    else if (value->type == TABLE_INTEGER)
        sqlite3_bind_int64(add, index, value->integer);
    else if (value->type == TABLE_REAL)
        sqlite3_bind_double(add, index, value->real);
    else
        sqlite3_bind_text(add, index, value->text, -1, SQLITE_STATIC);
}

enum status
table_store_add(struct table_filling *filling, const struct table_value *values, size_t count,
                struct failure *failure)
{
    int code;

    if (count != filling->columns)
        return failure_set(failure, STATUS_FORMAT, "table %s has %zu columns, not %zu", filling->name,
                           filling->columns, count);
    if (values[0].null || values[0].integer != filling->rows + 1)
        return failure_set(failure, STATUS_CONFLICT,
                           "rows are numbered from 1 without a gap; expected id %lld",
                           (long long)filling->rows + 1);
    for (size_t i = 0; i < count; i++)
        bind(filling->add, (int)i + 1, &values[i]);
    code = sqlite3_step(filling->add);
    sqlite3_reset(filling->add);
    if (code != SQLITE_DONE)
        return store_failure(filling->store, code, "cannot add the row", failure);
    filling->rows++;
    return STATUS_OK;
}

enum status
table_store_finish(struct table_filling *filling, enum status status, struct failure *failure)
{
    if (filling == NULL)
        return status;
    sqlite3_finalize(filling->add);
    if (status == STATUS_OK && filling->rows > 0)
        status = journal_block(filling->store, filling->name, 1, filling->rows, failure);
    free(filling);
    return status;
}
