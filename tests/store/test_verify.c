/* test_verify.c - whatever is changed in a notebook behind the program's back is found. */
#include <sqlite3.h>
#include <unistd.h>

#include "check.h"
#include "file.h"
#include "folder.h"
#include "notebook.h"
#include "text.h"
#include "verify.h"

static char *
make_notebook(const struct folder *folder, int rounds)
{
    char *path = file_join(folder->path, "notebook.sqlite");
    struct failure failure = {0};
    struct store *store = NULL;

    check_ok(store_open(path, STORE_CREATE, &store, NULL, &failure), &failure);
    for (int i = 0; i < rounds; i++)
        notebook_fill(store);
    store_close(store);
    return path;
}

/* What verify says, one finding a line; "" when all is well. Given: free() it. */
static char *
findings(const char *path, const char *head, int64_t *ret_after)
{
    struct failure failure = {0};
    struct verify_report report = {0};
    struct store *store = NULL;
    struct text text = {0};

    if (store_open(path, STORE_READ, &store, NULL, &failure) != STATUS_OK)
        return text_format("%s\n", failure.text);
    check_ok(verify_notebook(store, head, &report, &failure), &failure);
    for (size_t i = 0; i < report.finding_count && i < VERIFY_FINDINGS_KEPT; i++)
        text_addf(&text, "%s\n", report.findings[i]);
    if (ret_after != NULL)
        *ret_after = report.after_head;
    verify_report_clear(&report);
    store_close(store);
    return text_take(&text);
}

static void
check_findings(const char *path, const char *part)
{
    char *found = findings(path, NULL, NULL);

    if (*part == '\0')
        assert_string_equal(found, "");
    else
        check_contains(found, part);
    free(found);
}

static void
tamper(const char *path, const char *sql)
{
    sqlite3 *handle = NULL;
    char *error = NULL;

    assert_int_equal(sqlite3_open(path, &handle), SQLITE_OK);
    if (sqlite3_exec(handle, sql, NULL, NULL, &error) != SQLITE_OK)
        print_error("%s: %s\n", sql, error);
    assert_null(error);
    sqlite3_close(handle);
}

static void
an_untouched_notebook_verifies(void **state)
{
    char *path = make_notebook(*state, 3);

    check_findings(path, "");
    free(path);
}

/* Without the triggers of one table, which are put back afterwards as they were. */
static char *
change_behind_triggers(sqlite3 *handle, const char *table, const char *change)
{
    sqlite3_stmt *list = NULL;
    struct text drop = {0}, again = {0}, all = {0};

    assert_int_equal(
        sqlite3_prepare_v2(handle,
                           "SELECT name, sql FROM sqlite_schema WHERE type = 'trigger' AND tbl_name = ?", -1,
                           &list, NULL),
        SQLITE_OK);
    sqlite3_bind_text(list, 1, table, -1, SQLITE_STATIC);
    while (sqlite3_step(list) == SQLITE_ROW) {
        text_addf(&drop, "DROP TRIGGER %s;", (const char *)sqlite3_column_text(list, 0));
        text_addf(&again, "%s;", (const char *)sqlite3_column_text(list, 1));
    }
    sqlite3_finalize(list);
    text_addf(&all, "PRAGMA foreign_keys = OFF; PRAGMA ignore_check_constraints = ON; BEGIN;%s%s;%sCOMMIT;",
              text_of(&drop), change, text_of(&again));
    text_clear(&drop);
    text_clear(&again);
    return text_take(&all);
}

struct
try {
    sqlite3 *whole;   /* the untouched notebook, to copy from */
    const char *path; /* of the one tampered with */
    size_t tried, refused;
};

static void
copy_whole(const struct try *try)
{
    sqlite3 *copy = NULL;
    sqlite3_backup *backup;

    unlink(try->path);
    assert_int_equal(sqlite3_open(try->path, &copy), SQLITE_OK);
    sqlite3_exec(copy, "PRAGMA synchronous = OFF", NULL, NULL, NULL);
    backup = sqlite3_backup_init(copy, "main", try->whole, "main");
    assert_int_equal(sqlite3_backup_step(backup, -1), SQLITE_DONE);
    sqlite3_backup_finish(backup);
    sqlite3_close(copy);
}

/* One column of one row gets `value`; a NOT NULL column refuses some. */
static void
try_change(struct try *try, const char *table, int64_t id, const char *column, const char *value)
{
    char *change = text_format("UPDATE %s SET %s = %s WHERE id = %lld AND %s IS NOT (%s)", table, column,
                               value, (long long)id, column, value);
    char *all = change_behind_triggers(try->whole, table, change);
    char *expected = text_format("row %lld of table %s", (long long)id, table);
    sqlite3 *handle = NULL;

    copy_whole(try);
    assert_int_equal(sqlite3_open(try->path, &handle), SQLITE_OK);
    sqlite3_exec(handle, "PRAGMA synchronous = OFF", NULL, NULL, NULL);
    if (sqlite3_exec(handle, all, NULL, NULL, NULL) == SQLITE_OK && sqlite3_total_changes(handle) == 1) {
        sqlite3_close(handle);
        check_findings(try->path, expected);
        try->tried++;
    } else {
        sqlite3_close(handle);
        try->refused++;
    }
    free(expected);
    free(all);
    free(change);
}

/* Every column of a table's rows, each way. */
static void
try_table(struct try *try, const char *table)
{
    char *select = text_format("SELECT * FROM %s ORDER BY id", table);
    sqlite3_stmt *rows = NULL;

    assert_int_equal(sqlite3_prepare_v2(try->whole, select, -1, &rows, NULL), SQLITE_OK);
    while (sqlite3_step(rows) == SQLITE_ROW) {
        for (int i = 0; i < sqlite3_column_count(rows); i++) {
            static const char *const values[] = {
                "NULL", "0.125", "'x'", "%s + 1", "%s * 1.0000000000000002", "%s || char(0) || 'y'"};
            const char *column = sqlite3_column_name(rows, i);

            for (size_t v = 0; v < LENGTH(values); v++) {
                struct text value = {0};
                const char *gap = strstr(values[v], "%s");

                if (gap != NULL && sqlite3_column_type(rows, i) == SQLITE_NULL)
                    continue;
                if (gap == NULL)
                    text_add(&value, values[v]);
                else {
                    text_add_bytes(&value, values[v], (size_t)(gap - values[v]));
                    text_add(&value, column);
                    text_add(&value, gap + 2);
                }
                try_change(try, table, sqlite3_column_int64(rows, 0), column, text_of(&value));
                text_clear(&value);
            }
        }
    }
    sqlite3_finalize(rows);
    free(select);
}

static const char *const tables[] = {
    "procedure", "batch",         "recipe_line", "gear",      "calibration", "calibration_point",
    "session",   "session_close", "specimen",    "weighing",  "answer",      "reading",
    "titration", "state_change",  "plan_entry",  "plan_drop", "setting"};

static void
every_changed_value_is_found_in_every_row_and_column(void **state)
{
    const struct folder *folder = *state;
    char *original = make_notebook(folder, 1), *copy = file_join(folder->path, "copy.sqlite");
    struct try try = {.path = copy};

    assert_int_equal(sqlite3_open(original, &try.whole), SQLITE_OK);
    for (size_t i = 0; i < LENGTH(tables); i++)
        try_table(&try, tables[i]);
    sqlite3_close(try.whole);
    print_message("states checked: %zu values changed, every one found (SQLite itself refused %zu more)\n",
                  try.tried, try.refused);
    assert_true(try.tried > 400);
    free(original);
    free(copy);
}

/* Rows gone, and rows come from elsewhere. */
static void
rows_that_are_missing_or_added_are_found(void **state)
{
    const struct folder *folder = *state;
    char *original = make_notebook(folder, 2), *copy = file_join(folder->path, "copy.sqlite");
    struct try try = {.path = copy};

    assert_int_equal(sqlite3_open(original, &try.whole), SQLITE_OK);
    for (size_t i = 0; i < LENGTH(tables); i++) {
        for (int id = 1; id <= 2; id++) {
            char *erase = text_format("DELETE FROM %s WHERE id = %d", tables[i], id);
            char *all = change_behind_triggers(try.whole, tables[i], erase);
            char *expected = text_format("row %d of table %s is missing", id, tables[i]);

            copy_whole(&try);
            tamper(copy, all);
            check_findings(copy, expected);
            free(expected);
            free(all);
            free(erase);
        }
    }
    copy_whole(&try);
    tamper(copy, "INSERT INTO reading (specimen, method, gear, replicate, ph, taken_at) VALUES (1, 'meter', "
                 "1, 9, 9.1, "
                 "'2026-03-04T10:10')");
    check_findings(copy, "row 7 of table reading is in no entry");
    copy_whole(&try);
    tamper(copy, "INSERT INTO reading (id, specimen, method, gear, replicate, ph, taken_at) VALUES (0, 1, "
                 "'meter', 1, 9, "
                 "9.1, '2026-03-04T10:10')");
    check_findings(copy, "row 0 of table reading is in no entry");
    copy_whole(&try);
    tamper(
        copy,
        "INSERT INTO journal SELECT seq + 50, at, what, first_row, last_row, text, previous_hash, hash FROM "
        "journal WHERE seq = 17");
    check_findings(copy, "the chain is broken before it");
    sqlite3_close(try.whole);
    free(original);
    free(copy);
}

static void
a_changed_schema_is_found(void **state)
{
    static const struct {
        const char *sql, *part;
    } changes[] = {
        {"DROP TRIGGER reading_no_update", "schema: trigger 'reading_no_update' is missing"},
        {"CREATE TABLE extra (a)", "schema: table 'extra' does not belong there"},
        {"DROP INDEX reading_specimen; CREATE INDEX reading_specimen ON reading (specimen, id)",
         "schema: index 'reading_specimen' was changed"},
        {"CREATE TRIGGER sly AFTER INSERT ON reading BEGIN SELECT 1; END",
         "schema: trigger 'sly' does not belong there"},
        {"ALTER TABLE reading ADD COLUMN secret TEXT", "schema: table 'reading' was changed"},
        {"CREATE VIEW v AS SELECT 1", "holds views or virtual tables"},
        {"DROP TABLE plan_drop", "schema: table 'plan_drop' is missing"},
    };
    const struct folder *folder = *state;
    char *original = make_notebook(folder, 1), *copy = file_join(folder->path, "copy.sqlite");
    struct try try = {.path = copy};

    assert_int_equal(sqlite3_open(original, &try.whole), SQLITE_OK);
    for (size_t i = 0; i < LENGTH(changes); i++) {
        char *all = text_format("PRAGMA foreign_keys = OFF; %s", changes[i].sql);

        copy_whole(&try);
        tamper(copy, all);
        check_findings(copy, changes[i].part);
        free(all);
    }
    sqlite3_close(try.whole);
    free(original);
    free(copy);
}

/* Every value of the journal itself. */
static void
a_changed_journal_is_found(void **state)
{
    static const char *const columns[] = {"seq",      "at",   "what",          "first_row",
                                          "last_row", "text", "previous_hash", "hash"};
    const struct folder *folder = *state;
    char *original = make_notebook(folder, 1), *copy = file_join(folder->path, "copy.sqlite");
    struct try try = {.path = copy};
    size_t tried = 0;

    assert_int_equal(sqlite3_open(original, &try.whole), SQLITE_OK);
    for (int seq = 1; seq <= 25; seq += 3) {
        for (size_t i = 0; i < LENGTH(columns); i++) {
            char *change =
                text_format(columns[i][0] == 's' || strstr(columns[i], "row") != NULL
                                ? "UPDATE journal SET %s = %s + 1000 WHERE seq = %d"
                                : "UPDATE journal SET %s = 'f' || substr(%s, 2) || char(0) WHERE seq = %d",
                            columns[i], columns[i], seq);
            char *all = change_behind_triggers(try.whole, "journal", change);
            char *found;

            copy_whole(&try);
            tamper(copy, all);
            found = findings(copy, NULL, NULL);
            assert_string_not_equal(found, "");
            tried++;
            free(found);
            free(all);
            free(change);
        }
    }
    sqlite3_close(try.whole);
    print_message("states checked: %zu values of the journal changed, every one found\n", tried);
    free(original);
    free(copy);
}

/* --- bytes of the file ------------------------------------------------------------------------------- */

static size_t
varint(const unsigned char *bytes, uint64_t *ret)
{
    uint64_t value = 0;

    for (size_t i = 0; i < 8; i++) {
        value = value << 7 | (bytes[i] & 0x7f);
        if ((bytes[i] & 0x80) == 0) {
            *ret = value;
            return i + 1;
        }
    }
    *ret = value << 8 | bytes[8];
    return 9;
}

static size_t
big_endian(const unsigned char *bytes)
{
    return (size_t)bytes[0] << 8 | bytes[1];
}

static const char *const measured[] = {"calibration", "calibration_point", "weighing", "answer",
                                       "reading",     "titration",         "specimen"};

struct flips {
    const char *path;
    char *values; /* every value of the untouched notebook */
    size_t found, same;
};

/* Every value of every measured row, with its type. Given: free() it. */
static char *
all_values(const char *path)
{
    sqlite3 *handle = NULL;
    struct text text = {0};

    assert_int_equal(sqlite3_open(path, &handle), SQLITE_OK);
    for (size_t i = 0; i < LENGTH(measured); i++) {
        char *sql = text_format("SELECT * FROM %s ORDER BY id", measured[i]);
        sqlite3_stmt *rows = NULL;

        assert_int_equal(sqlite3_prepare_v2(handle, sql, -1, &rows, NULL), SQLITE_OK);
        while (sqlite3_step(rows) == SQLITE_ROW) {
            for (int c = 0; c < sqlite3_column_count(rows); c++) {
                double number = sqlite3_column_double(rows, c);
                const void *bytes;

                text_addf(&text, "%d %lld %a ", sqlite3_column_type(rows, c),
                          (long long)sqlite3_column_int64(rows, c), number);
                bytes = sqlite3_column_blob(rows, c);
                text_add_bytes(&text, bytes == NULL ? "" : bytes, (size_t)sqlite3_column_bytes(rows, c));
            }
        }
        sqlite3_finalize(rows);
        free(sql);
    }
    sqlite3_close(handle);
    return text_take(&text);
}

static int
exchange_byte(const char *path, long offset, int bits)
{
    FILE *file = fopen(path, "r+b");
    int byte;

    assert_non_null(file);
    fseek(file, offset, SEEK_SET);
    byte = fgetc(file);
    fseek(file, offset, SEEK_SET);
    fputc(byte ^ bits, file);
    fclose(file);
    return byte;
}

/* A flip is found, or it only made another way to write the same: SQLite ignores what type the header
 * gives the id, and reads 0x80 0x00 as it reads 0x00. Then every value must be what it was. */
static void
flip_and_look(struct flips *flips, long offset, int bit)
{
    char *found;

    exchange_byte(flips->path, offset, 1 << bit);
    found = findings(flips->path, NULL, NULL);
    if (*found != '\0') {
        flips->found++;
    } else {
        char *values = all_values(flips->path);

        if (strcmp(values, flips->values) != 0) {
            print_error("byte %ld, bit %d: a value was changed and not found\n", offset, bit);
            fail();
        }
        free(values);
        flips->same++;
    }
    free(found);
    exchange_byte(flips->path, offset, 1 << bit);
}

/* The cells of each leaf page of a table, laid out as "Database File Format", section 1.6, of SQLite's
 * documentation says: payload length, row number, header and values. */
static void
flip_leaf(struct flips *flips, const unsigned char *page, long page_offset)
{
    size_t cells = big_endian(page + 3);

    for (size_t i = 0; i < cells; i++) {
        size_t cell = big_endian(page + 8 + 2 * i), length;
        uint64_t payload, row;

        length = varint(page + cell, &payload);
        length += varint(page + cell + length, &row);
        assert_true(payload < 4096 - 35); /* so that nothing is on overflow pages */
        for (size_t byte = 0; byte < length + payload; byte++)
            flip_and_look(flips, page_offset + (long)(cell + byte), (int)(byte % 8));
    }
}

static void
every_flipped_byte_of_a_measured_row_is_found(void **state)
{
    char *path = make_notebook(*state, 1);
    struct flips flips = {.path = path, .values = all_values(path)};
    sqlite3 *handle = NULL;

    assert_int_equal(sqlite3_open(path, &handle), SQLITE_OK);
    for (size_t i = 0; i < LENGTH(measured); i++) {
        char *sql = text_format("SELECT rootpage FROM sqlite_schema WHERE name = '%s'", measured[i]);
        unsigned char page[4096];
        sqlite3_stmt *root = NULL;
        FILE *file = fopen(path, "rb");
        long offset;

        assert_int_equal(sqlite3_prepare_v2(handle, sql, -1, &root, NULL), SQLITE_OK);
        assert_int_equal(sqlite3_step(root), SQLITE_ROW);
        offset = (sqlite3_column_int64(root, 0) - 1) * (long)sizeof page;
        sqlite3_finalize(root);
        assert_non_null(file);
        fseek(file, offset, SEEK_SET);
        assert_int_equal(fread(page, 1, sizeof page, file), sizeof page);
        fclose(file);
        assert_int_equal(page[0], 0x0d); /* a leaf of a table: few rows need no other page */
        flip_leaf(&flips, page, offset);
        free(sql);
    }
    sqlite3_close(handle);
    check_findings(path, "");
    print_message("states checked: %zu bytes flipped; %zu found, %zu left every value as it was\n",
                  flips.found + flips.same, flips.found, flips.same);
    assert_true(flips.found > 50 * flips.same);
    free(flips.values);
    free(path);
}

static void
a_notebook_rolled_back_is_seen_by_the_head(void **state)
{
    const struct folder *folder = *state;
    char *path = make_notebook(folder, 1), *early = file_join(folder->path, "early.sqlite"), *found;
    struct failure failure = {0};
    struct verify_report report = {0};
    struct try try = {.path = early};
    struct store *store = NULL;
    char first_head[JOURNAL_HASH_SIZE], head[JOURNAL_HASH_SIZE];
    int64_t after = 0;

    assert_int_equal(sqlite3_open(path, &try.whole), SQLITE_OK);
    copy_whole(&try);
    sqlite3_close(try.whole);
    check_ok(store_open(path, STORE_WRITE, &store, NULL, &failure), &failure);
    check_ok(journal_head(store, first_head, &failure), &failure);
    notebook_fill(store);
    check_ok(journal_head(store, head, &failure), &failure);
    check_refused(verify_notebook(store, "abc", &report, &failure), STATUS_FORMAT, &failure);
    store_close(store);

    found = findings(path, head, &after);
    assert_string_equal(found, "");
    assert_int_equal(after, 0);
    free(found);
    found = findings(path, first_head, &after);
    assert_int_equal(after, 25);
    free(found);
    first_head[VERIFY_HEAD_SHORTEST] = '\0';
    found = findings(path, first_head, &after);
    assert_int_equal(after, 25);
    free(found);
    found = findings(early, head, &after); /* whole in itself, but older */
    assert_string_equal(found, "");
    assert_int_equal(after, -1);
    free(found);
    free(path);
    free(early);
}

static void
a_block_of_rows_is_one_entry_and_is_checked(void **state)
{
    const struct folder *folder = *state;
    char *path = make_notebook(folder, 1), *all;
    sqlite3 *handle = NULL;
    struct failure failure = {0};
    struct store *store = NULL;

    check_ok(store_open(path, STORE_WRITE, &store, NULL, &failure), &failure);
    check_ok(store_begin(store, &failure), &failure);
    assert_int_equal(sqlite3_open(path, &handle), SQLITE_OK);
    check_ok(store_end(store, STATUS_OK, &failure), &failure);
    tamper(path,
           "WITH n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 2500) INSERT INTO setting (name, "
           "value, at) SELECT 'n', i, '2026-03-04' FROM n");
    check_ok(store_begin(store, &failure), &failure);
    check_ok(store_end(store, journal_block(store, "setting", 2, 2501, &failure), &failure), &failure);
    store_close(store);
    check_findings(path, "");
    all = change_behind_triggers(handle, "setting", "UPDATE setting SET value = '-' WHERE id = 1500");
    tamper(path, all);
    check_findings(path, "one of rows 1002 to 2001 of table setting is not as it was written");
    free(all);
    sqlite3_close(handle);
    free(path);
}

#define FOLDER_TEST(name) cmocka_unit_test_setup_teardown(name, folder_make, folder_remove)

int
main(void)
{
    const struct CMUnitTest tests[] = {
        FOLDER_TEST(an_untouched_notebook_verifies),
        FOLDER_TEST(every_changed_value_is_found_in_every_row_and_column),
        FOLDER_TEST(rows_that_are_missing_or_added_are_found),
        FOLDER_TEST(a_changed_schema_is_found),
        FOLDER_TEST(a_changed_journal_is_found),
        FOLDER_TEST(every_flipped_byte_of_a_measured_row_is_found),
        FOLDER_TEST(a_notebook_rolled_back_is_seen_by_the_head),
        FOLDER_TEST(a_block_of_rows_is_one_entry_and_is_checked),
    };

    return check_run("integrity/verify", tests);
}
