/* row.c - the one way into the notebook. */
#include "row.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "store_internal.h"
#include "text.h"

void
row_start(struct row *row, struct store *store, const char *table)
{
    struct failure again = {0}; /* row_add() meets it once more */

    row->store = store;
    row->number = table_find(table);
    row->table = table_open(store, row->number, &again);
    row->place = row->moment_count = 0;
    for (size_t i = 0; row->table != NULL && i < row->table->column_count; i++)
        row->values[i].null = true;
}

/* Columns are mostly set in table order. */
static void
set(struct row *row, const char *column, struct table_value value)
{
    size_t count = row->table == NULL ? 0 : row->table->column_count, tried = 0;

    for (; tried < count; tried++, row->place++) {
        if (row->place >= count)
            row->place = 0;
        if (strcmp(row->table->columns[row->place].name, column) != 0)
            continue;
        row->values[row->place++] = value;
        return;
    }
    assert(count == 0);
}

void
row_text(struct row *row, const char *column, const char *text)
{
    set(row, column,
        (struct table_value){.null = text == NULL,
                             .type = TABLE_TEXT,
                             .text = text,
                             .length = text == NULL ? 0 : strlen(text)});
}

void
row_number(struct row *row, const char *column, double number)
{
    set(row, column, (struct table_value){.null = isnan(number), .type = TABLE_REAL, .real = number});
}

void
row_id(struct row *row, const char *column, int64_t id)
{
    set(row, column, (struct table_value){.null = id == 0, .type = TABLE_INTEGER, .integer = id});
}

void
row_integer(struct row *row, const char *column, int64_t integer)
{
    set(row, column, (struct table_value){.type = TABLE_INTEGER, .integer = integer});
}

static char *
moment_room(struct row *row)
{
    assert(row->moment_count < ROW_MOMENTS_MOST);
    return row->moments[row->moment_count++];
}

void
row_day(struct row *row, const char *column, civil_day day)
{
    static_assert(DAY_TEXT_SIZE <= MOMENT_TEXT_SIZE, "a day fits where a moment does");
    row_text(row, column, day == DAY_NONE ? NULL : clock_day_text(day, moment_room(row)));
}

void
row_time(struct row *row, const char *column, civil_time moment)
{
    row_text(row, column, moment == MOMENT_NONE ? NULL : clock_moment_text(moment, moment_room(row)));
}

void
row_values(struct row *row, const struct table_value *values, size_t count)
{
    if (row->table == NULL)
        return;
    assert(count == row->table->column_count);
    memcpy(row->values, values, count * sizeof *values);
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
        sqlite3_bind_text(add, index, value->text, (int)value->length, SQLITE_STATIC);
}

/* A notebook may do as it likes with a row: refuse it, drop it silently, or undo the whole transaction. */
static enum status
check_added(struct row *row, int code, struct failure *failure)
{
    struct store *store = row->store;

    if (code != SQLITE_DONE)
        store_failure(store, code,
                      (code & 0xff) == SQLITE_CONSTRAINT ? "cannot add the row" : "cannot write the notebook",
                      failure);
    else if (sqlite3_changes(store->handle) == 1)
        return STATUS_OK;
    else
        failure_set(failure, STATUS_SYSTEM,
                    "cannot write the notebook '%s': table %s did not keep a row "
                    "(see verify)",
                    store->path, row->table->name);
    if (sqlite3_get_autocommit(store->handle) != 0) /* what follows must not be kept by itself */
        failure->status = STATUS_SYSTEM;
    return failure->status;
}

static enum status
insert(struct row *row, struct failure *failure)
{
    struct statement *add;
    int code;

    assert(row->table != NULL);
    add = statement_open(row->store, row->table->add_sql, failure);
    if (add == NULL)
        return failure->status;
    for (size_t i = 1; i < row->table->column_count; i++)
        bind(add->handle, (int)i, &row->values[i]);
    code = sqlite3_step(add->handle);
    row->values[0] =
        (struct table_value){.type = TABLE_INTEGER, .integer = sqlite3_last_insert_rowid(row->store->handle)};
    sqlite3_reset(add->handle);
    return check_added(row, code, failure);
}

/* Write the entry over a table's rows that have none yet. */
static enum status
write_entry(struct store *store, struct table *table, struct failure *failure)
{
    struct canonical_rows *rows = &table->unwritten;
    int64_t first = table->first_unwritten, last = first + rows->count - 1;
    enum status status = STATUS_OK;

    if (rows->count > 0)
        status = journal_entry(store, table->name, first, last, canonical_rows_text(rows), failure);
    rows->count = 0;
    return status;
}

static enum status
log_row(struct row *row, struct failure *failure)
{
    struct store *store = row->store;
    struct table *table = &store->tables[row->number];
    struct canonical_rows *rows = &table->unwritten;
    int64_t id = row->values[0].integer;

    if (rows->count == 0) {
        canonical_rows_start(rows);
        table->first_unwritten = id;
    } else if (id != table->first_unwritten + rows->count) {
        return failure_set(
            failure, STATUS_SYSTEM,
            "cannot write the notebook '%s': table %s does not number its rows from 1 without a "
            "gap (see verify); nothing was changed",
            store->path, table->name);
    }
    canonical_add_row(canonical_rows_next(rows), table->columns, row->values, table->column_count);
    canonical_rows_add(rows);
    return store->many_rows && rows->count < JOURNAL_BLOCK_ROWS ? STATUS_OK
                                                                : write_entry(store, table, failure);
}

enum status
row_add(struct row *row, int64_t *ret_id, struct failure *failure)
{
    enum status status;

    if (row->table == NULL && table_open(row->store, row->number, failure) == NULL)
        return failure->status;
    status = store_begin(row->store, failure);
    if (status != STATUS_OK)
        return status;
    status = insert(row, failure);
    if (status == STATUS_OK)
        status = log_row(row, failure);
    if (status == STATUS_OK)
        *ret_id = row->values[0].integer;
    return store_end(row->store, status, failure);
}

/* Many rows touch more pages than SQLite keeps by itself. */
enum { MANY_CACHE_KIB = 12 * 1024, USUAL_CACHE_KIB = 2000 };

static void
set_cache(struct store *store, int kib)
{
    char *sql = text_format("PRAGMA cache_size = -%d", kib);

    sqlite3_exec(store->handle, sql, NULL, NULL, NULL);
    free(sql);
}

enum status
rows_begin_many(struct store *store, struct failure *failure)
{
    assert(!store->many_rows);
    if (store_begin(store, failure) != STATUS_OK)
        return failure->status;
    set_cache(store, MANY_CACHE_KIB);
    store->many_rows = true;
    return STATUS_OK;
}

enum status
rows_end_many(struct store *store, enum status status, struct failure *failure)
{
    store->many_rows = false;
    set_cache(store, USUAL_CACHE_KIB);
    for (size_t i = 0; i < table_count(); i++) {
        if (status == STATUS_OK)
            status = write_entry(store, &store->tables[i], failure);
        store->tables[i].unwritten.count = 0;
    }
    return store_end(store, status, failure);
}
