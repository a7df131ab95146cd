/* statement.c - SQL statements of the store room. */
#include "statement.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#include "memory.h"
#include "number.h"
#include "store_internal.h"
#include "value_check.h"

struct statement *
statement_open(struct store *store, const char *sql, struct failure *failure)
{
    struct statement *statement;
    int code;

    if (put_right_look(store, failure) != STATUS_OK)
        return NULL;
    for (size_t i = 0; i < store->statement_count; i++)
        if (store->statements[i].sql == sql)
            return &store->statements[i];
    assert(store->statement_count < STORE_STATEMENTS);
    statement = &store->statements[store->statement_count];
    code = sqlite3_prepare_v3(store->handle, sql, -1, SQLITE_PREPARE_PERSISTENT, &statement->handle, NULL);
    if (code != SQLITE_OK) {
        store_failure(store, code, "cannot read the notebook", failure);
        return NULL;
    }
    statement->store = store;
    statement->sql = sql;
    statement->checks = value_checks_of(statement->handle);
    store->statement_count++;
    return statement;
}

void
statement_as_it_is(struct statement *statement)
{
    value_checks_free(statement->checks);
    statement->checks = NULL;
}

void
statement_close(struct statement *statement)
{
    sqlite3_finalize(statement->handle);
    statement_as_it_is(statement);
    free(statement->standing);
}

static int
parameter(struct statement *statement, const char *name)
{
    int index = sqlite3_bind_parameter_index(statement->handle, name);

    assert(index > 0);
    return index;
}

void
statement_bind_text(struct statement *statement, const char *name, const char *text)
{
    int index = parameter(statement, name);

    if (text == NULL)
        sqlite3_bind_null(statement->handle, index);
    else
        sqlite3_bind_text(statement->handle, index, text, -1, SQLITE_TRANSIENT);
}

void
statement_bind_double(struct statement *statement, const char *name, double value)
{
    int index = parameter(statement, name);

    if (isnan(value))
        sqlite3_bind_null(statement->handle, index);
    else
        sqlite3_bind_double(statement->handle, index, value);
}

void
statement_bind_id(struct statement *statement, const char *name, int64_t id)
{
    int index = parameter(statement, name);

    if (id == 0)
        sqlite3_bind_null(statement->handle, index);
    else
        sqlite3_bind_int64(statement->handle, index, id);
}

void
statement_bind_int(struct statement *statement, const char *name, int64_t value)
{
    sqlite3_bind_int64(statement->handle, parameter(statement, name), value);
}

void
statement_bind_time(struct statement *statement, const char *name, civil_time moment)
{
    char text[MOMENT_TEXT_SIZE];

    statement_bind_text(statement, name, moment == MOMENT_NONE ? NULL : clock_moment_text(moment, text));
}

/* What stands in the current row in place of what was put right. */
static void
look_up(struct statement *statement)
{
    size_t columns = (size_t)sqlite3_column_count(statement->handle);

    if (statement->standing == NULL)
        statement->standing = memory_new(columns, sizeof *statement->standing);
    statement->put_right =
        value_checks_standing(statement->checks, statement->handle, statement->store, statement->standing);
}

static const struct correction *
standing(const struct statement *statement, int column)
{
    return statement->put_right ? statement->standing[column] : NULL;
}

enum status
statement_step(struct statement *statement, bool *ret_row, struct failure *failure)
{
    int code = sqlite3_step(statement->handle);

    if (code != SQLITE_ROW && code != SQLITE_DONE)
        return store_failure(statement->store, code,
                             sqlite3_stmt_readonly(statement->handle) ? "cannot read the notebook"
                                                                      : "cannot write the notebook",
                             failure);
    statement->put_right = false;
    if (code == SQLITE_ROW && statement->checks != NULL && !put_right_none(statement->store))
        look_up(statement);
    if (code == SQLITE_ROW && statement->checks != NULL &&
        value_checks_row(statement->checks, statement->handle,
                         statement->put_right ? statement->standing : NULL, failure) != STATUS_OK)
        return failure->status;
    *ret_row = code == SQLITE_ROW;
    return STATUS_OK;
}

bool
statement_is_null(struct statement *statement, int column)
{
    const struct correction *other = standing(statement, column);

    return other != NULL ? other->value == NULL
                         : sqlite3_column_type(statement->handle, column) == SQLITE_NULL;
}

/* A standing value as a number; NAN when it is not stated. */
static double
number_of(const struct correction *other)
{
    struct failure ignored = {0};
    double number = NAN;

    if (other->value != NULL)
        number_parse(other->value, NUMBER_POINT, &number, &ignored);
    return number;
}

double
statement_double(struct statement *statement, int column)
{
    const struct correction *other = standing(statement, column);
    sqlite3_value *value = sqlite3_column_value(statement->handle, column);

    if (other != NULL)
        return number_of(other);
    return sqlite3_value_type(value) == SQLITE_NULL ? (double)NAN : sqlite3_value_double(value);
}

int64_t
statement_id(struct statement *statement, int column)
{
    const struct correction *other = standing(statement, column);

    if (other != NULL)
        return other->value == NULL ? 0 : strtoll(other->value, NULL, 10);
    return sqlite3_column_int64(statement->handle, column); /* NULL comes as 0 */
}

int64_t
statement_int(struct statement *statement, int column)
{
    return statement_id(statement, column);
}

const char *
statement_text(struct statement *statement, int column)
{
    const struct correction *other = standing(statement, column);

    return other != NULL ? other->value : (const char *)sqlite3_column_text(statement->handle, column);
}

char *
statement_copy(struct statement *statement, int column)
{
    return memory_copy(statement_text(statement, column));
}

const char *
statement_word(struct statement *statement, int column)
{
    const char *text = statement_text(statement, column);

    return text == NULL ? "" : text;
}

char *
statement_name(struct statement *statement, int column)
{
    return memory_copy(statement_word(statement, column));
}

civil_day
statement_day(struct statement *statement, int column)
{
    const char *text = statement_text(statement, column);
    struct failure ignored = {0};
    civil_day found = DAY_NONE;

    if (text != NULL && clock_parse_day(text, &found, &ignored) != STATUS_OK)
        return DAY_NONE;
    return found;
}

civil_time
statement_time(struct statement *statement, int column)
{
    const char *text = statement_text(statement, column);
    struct failure ignored = {0};
    civil_time found = MOMENT_NONE;

    if (text != NULL && clock_parse_moment(text, &found, &ignored) != STATUS_OK)
        return MOMENT_NONE;
    return found;
}

void
statement_done(struct statement *statement)
{
    if (statement == NULL)
        return;
    sqlite3_reset(statement->handle);
    sqlite3_clear_bindings(statement->handle);
}
