/* table.c - the tables whose rows are journalled, and the values of a row. */
#include "table.h"

#include <assert.h>
#include <stdio.h>
#include <string.h>

#include "memory.h"
#include "store_internal.h"
#include "text.h"

static const char *const names[] = {
    "procedure",         "batch",       "recipe_revision", "recipe_line",  "gear",       "calibration",
    "calibration_point", "session",     "session_close",   "specimen",     "weighing",   "answer",
    "reading",           "observation", "titration",       "state_change", "plan_entry", "plan_drop",
    "bar_used_up",       "batch_close", "setting",         "correction",
};
static_assert(LENGTH(names) <= TABLES_MOST, "a store keeps no more tables");

size_t
table_count(void)
{
    return LENGTH(names);
}

const char *
table_name(size_t table)
{
    return names[table];
}

size_t
table_find(const char *name)
{
    size_t i = 0;

    while (i < LENGTH(names) && strcmp(names[i], name) != 0)
        i++;
    return i;
}

static enum table_type
type_of(const char *declared)
{
    if (declared != NULL && strcmp(declared, "INTEGER") == 0)
        return TABLE_INTEGER;
    return declared != NULL && strcmp(declared, "REAL") == 0 ? TABLE_REAL : TABLE_TEXT;
}

size_t
table_columns(struct statement *rows, struct table_column ret_columns[TABLE_COLUMNS_MOST])
{
    int count = sqlite3_column_count(rows->handle);

    for (int i = 0; i < count && i < TABLE_COLUMNS_MOST; i++) {
        snprintf(ret_columns[i].name, sizeof ret_columns[i].name, "%s", sqlite3_column_name(rows->handle, i));
        ret_columns[i].type = type_of(sqlite3_column_decltype(rows->handle, i));
    }
    return count < TABLE_COLUMNS_MOST ? (size_t)count : TABLE_COLUMNS_MOST;
}

/* The id is left to SQLite, which numbers on. */
static char *
insert_sql(const struct table *table)
{
    struct text sql = {0};

    text_addf(&sql, "INSERT INTO %s (", table->name);
    for (size_t i = 1; i < table->column_count; i++)
        text_addf(&sql, "%s%s", i == 1 ? "" : ", ", table->columns[i].name);
    text_add(&sql, ") VALUES (");
    for (size_t i = 1; i < table->column_count; i++)
        text_add(&sql, i == 1 ? "?" : ", ?");
    text_add(&sql, ")");
    return text_take(&sql);
}

const struct table *
table_open(struct store *store, size_t number, struct failure *failure)
{
    struct table *table = &store->tables[number];
    struct statement *rows;

    assert(number < LENGTH(names));
    if (table->add_sql != NULL)
        return table;
    table->name = names[number];
    if (table->rows_sql == NULL)
        table->rows_sql = text_format(
            "SELECT * FROM %s WHERE id BETWEEN :first_row AND :last_row ORDER BY id", table->name);
    rows = statement_open(store, table->rows_sql, failure);
    if (rows == NULL)
        return NULL;
    statement_as_it_is(rows);
    if (sqlite3_column_count(rows->handle) > TABLE_COLUMNS_MOST) {
        failure_set(failure, STATUS_FORMAT, "table %s has %d columns", table->name,
                    sqlite3_column_count(rows->handle));
        return NULL;
    }
    table->column_count = table_columns(rows, table->columns);
    table->add_sql = insert_sql(table);
    return table;
}

struct statement *
table_rows(struct store *store, size_t number, int64_t first_row, int64_t last_row, struct failure *failure)
{
    const struct table *table = table_open(store, number, failure);
    struct statement *rows = table == NULL ? NULL : statement_open(store, table->rows_sql, failure);

    if (rows != NULL) {
        statement_bind_int(rows, ":first_row", first_row);
        statement_bind_int(rows, ":last_row", last_row);
    }
    return rows;
}

static struct table_value
load(sqlite3_stmt *row, int column)
{
    static const enum table_type types[] = {[SQLITE_INTEGER] = TABLE_INTEGER,
                                            [SQLITE_FLOAT] = TABLE_REAL,
                                            [SQLITE_TEXT] = TABLE_TEXT,
                                            [SQLITE_BLOB] = TABLE_BYTES};
    int type = sqlite3_column_type(row, column);
    struct table_value value = {.null = type == SQLITE_NULL};

    if (value.null)
        return value;
    value.type = types[type];
    if (type == SQLITE_INTEGER) {
        value.integer = sqlite3_column_int64(row, column);
    } else if (type == SQLITE_FLOAT) {
        value.real = sqlite3_column_double(row, column);
    } else { /* the text before its length, as SQLite asks */
        value.text = type == SQLITE_TEXT ? (const char *)sqlite3_column_text(row, column)
                                         : sqlite3_column_blob(row, column);
        value.length = (size_t)sqlite3_column_bytes(row, column);
    }
    return value;
}

size_t
table_load(struct statement *row, struct table_value ret_values[TABLE_COLUMNS_MOST])
{
    int count = sqlite3_column_count(row->handle);

    for (int i = 0; i < count && i < TABLE_COLUMNS_MOST; i++)
        ret_values[i] = load(row->handle, i);
    return count < TABLE_COLUMNS_MOST ? (size_t)count : TABLE_COLUMNS_MOST;
}
