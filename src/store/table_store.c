/* table_store.c - whole tables as they are. */
#include "table_store.h"

#include "row.h"
#include "sql.h"
#include "store_internal.h"

size_t
table_store_count(void)
{
    return table_count();
}

const char *
table_store_name(size_t table)
{
    return table < table_count() ? table_name(table) : "journal";
}

static struct statement *
rows_of(struct store *store, size_t table, struct failure *failure)
{
    return table < table_count() ? table_rows(store, table, INT64_MIN, INT64_MAX, failure)
                                 : statement_open(store, sql_journal_list, failure);
}

enum status
table_store_columns(struct store *store, size_t table, struct table_column ret_columns[TABLE_COLUMNS_MOST],
                    size_t *ret_count, struct failure *failure)
{
    struct statement *rows = rows_of(store, table, failure);

    if (rows == NULL)
        return failure->status;
    *ret_count = table_columns(rows, ret_columns);
    statement_done(rows);
    return STATUS_OK;
}

enum status
table_store_read(struct store *store, size_t table, table_sink sink, void *payload, struct failure *failure)
{
    struct statement *rows = rows_of(store, table, failure);
    struct table_value values[TABLE_COLUMNS_MOST];
    enum status status;
    bool row = false;

    if (rows == NULL)
        return failure->status;
    while ((status = statement_step(rows, &row, failure)) == STATUS_OK && row) {
        status = sink(values, table_load(rows, values), payload, failure);
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

    for (size_t table = 0; empty && table <= table_count(); table++) {
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

enum status
table_store_begin(struct store *store, struct failure *failure)
{
    enum status status = rows_begin_many(store, failure);

    if (status == STATUS_OK) /* rows may name others that come later; the commit looks */
        sqlite3_exec(store->handle, "PRAGMA defer_foreign_keys = ON", NULL, NULL, NULL);
    return status;
}

enum status
table_store_end(struct store *store, enum status status, struct failure *failure)
{
    return rows_end_many(store, status, failure);
}

enum status
table_store_add(struct store *store, size_t table, const struct table_value *values, size_t count,
                struct failure *failure)
{
    struct row row;
    int64_t id = 0;
    enum status status;

    row_start(&row, store, table_name(table));
    row_values(&row, values, count);
    status = row_add(&row, &id, failure);
    if (status == STATUS_OK && (values[0].null || values[0].integer != id))
        return failure_set(failure, STATUS_CONFLICT,
                           "rows are numbered from 1 without a gap; expected id %lld", (long long)id);
    return status;
}
