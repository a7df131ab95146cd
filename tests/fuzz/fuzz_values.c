/* fuzz_values.c - a notebook of the right schema with any values in any columns: every command gives a clear answer.
 *
 * The input is a list of changes: table, column, row, kind of value, length, value; the first byte says which
 * commands are run on what comes of it. */
#include <sqlite3.h>
#include <stdlib.h>
#include <string.h>

#include "bench.h"
#include "fuzz.h"
#include "memory.h"
#include "table.h"
#include "text.h"

enum { CHANGES_MOST = 8, COLUMNS_MOST = 32 };

struct bytes {
    const uint8_t *data;
    size_t size;
};

static uint8_t
take(struct bytes *bytes)
{
    if (bytes->size == 0)
        return 0;
    bytes->size--;
    return *bytes->data++;
}

static int64_t
take_integer(struct bytes *bytes)
{
    uint64_t integer = 0;

    for (int i = 0; i < 8; i++)
        integer = integer << 8 | take(bytes);
    return (int64_t)integer;
}

static void
bind(sqlite3_stmt *change, struct bytes *bytes)
{
    static const char *const texts[] = {
        "",     "9999-99-99", "2026-02-30", "0001-01-01", "2999-12-31T23:59:59",
        "soon", "1,2",        "7,8,9",      "nan",        "\033[31m\342\200\256"};
    static const double numbers[] = {0.0, -1.0, 1e308, -1e308, 1e-308, 14.0, 7.0, 1e9, 0.001, 100.0};
    double number;
    int64_t integer;
    size_t length;

    switch (take(bytes) % 6) {
    case 0:
        sqlite3_bind_null(change, 1);
        break;
    case 1:
        sqlite3_bind_int64(change, 1, take_integer(bytes));
        break;
    case 2:
        integer = take_integer(bytes);
        memcpy(&number, &integer, sizeof number);
        sqlite3_bind_double(change, 1, number);
        break;
    case 3:
        sqlite3_bind_text(change, 1, texts[take(bytes) % LENGTH(texts)], -1, SQLITE_STATIC);
        break;
    case 4:
        sqlite3_bind_double(change, 1, numbers[take(bytes) % LENGTH(numbers)]);
        break;
    default:
        length = take(bytes);
        length = length < bytes->size ? length : bytes->size;
        sqlite3_bind_text(change, 1, (const char *)bytes->data, (int)length, SQLITE_TRANSIENT);
        bytes->data += length;
        bytes->size -= length;
    }
}

/* Name of the n-th column; given. */
static char *
column_of(sqlite3 *handle, const char *table, unsigned n)
{
    char *sql = text_format("SELECT * FROM %s", table), *name;
    sqlite3_stmt *all = NULL;

    if (sqlite3_prepare_v2(handle, sql, -1, &all, NULL) != SQLITE_OK)
        abort();
    name = text_format("%s", sqlite3_column_name(all, (int)(n % (unsigned)sqlite3_column_count(all))));
    sqlite3_finalize(all);
    free(sql);
    return name;
}

static void
change_one(sqlite3 *handle, struct bytes *bytes)
{
    const char *table = table_name(take(bytes) % table_count());
    char *column = column_of(handle, table, take(bytes));
    unsigned row = take(bytes);
    char *sql =
        text_format("UPDATE %s SET %s = ?1 WHERE %u = 255 OR id = 1 + %u %% (SELECT count(*) FROM %s)", table,
                    column, row, row, table);
    sqlite3_stmt *change = NULL;

    if (sqlite3_prepare_v2(handle, sql, -1, &change, NULL) != SQLITE_OK)
        abort();
    bind(change, bytes);
    sqlite3_step(change); /* a type or a uniqueness may refuse it */
    sqlite3_finalize(change);
    free(sql);
    free(column);
}

static void
change_all(const char *path, struct bytes *bytes)
{
    sqlite3 *handle = NULL;

    if (sqlite3_open(path, &handle) != SQLITE_OK)
        exit(1);
    sqlite3_db_config(handle, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, NULL);
    sqlite3_exec(
        handle,
        "PRAGMA synchronous = OFF; PRAGMA journal_mode = MEMORY; PRAGMA ignore_check_constraints = ON; "
        "PRAGMA foreign_keys = OFF; BEGIN",
        NULL, NULL, NULL);
    for (int i = 0; i < CHANGES_MOST && bytes->size > 0; i++)
        change_one(handle, bytes);
    sqlite3_exec(handle, "COMMIT", NULL, NULL, NULL);
    sqlite3_close(handle);
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct bytes bytes = {data, size};
    struct kitchen *kitchen = bench_anew();
    size_t first = take(&bytes);

    change_all(kitchen->notebook, &bytes);
    for (size_t i = 0, run = 0; i < every_line_count() && run < 3; i++) {
        const struct every_line *line = &every_lines[(first * 3 + i) % every_line_count()];

        if (strchr(line->line, '@') != NULL && strncmp(line->line, "report", 6) != 0)
            continue; /* whole folders: not this door */
        bench_run(kitchen, line);
        run++;
    }
    return 0;
}
