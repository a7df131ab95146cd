/* test_verify.c - whatever is changed in a notebook behind the program's back is found. */
#include <sqlite3.h>
#include <unistd.h>

#include "check.h"
#include "file.h"
#include "filled_notebook.h"
#include "folder.h"
#include "notebook.h"
#include "tamper.h"
#include "text.h"
#include "verify.h"

static char *
make_notebook(const struct folder *folder, int rounds)
{
    char *path = file_join(folder->path, "notebook.sqlite");
    struct failure failure = {0};
    struct store *store = NULL;

    check_ok(notebook_open(path, STORE_CREATE, &store, NULL, &failure), &failure);
    for (int i = 0; i < rounds; i++)
        notebook_fill(store);
    store_close(store);
    return path;
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

    tamper_check(path, "");
    free(path);
}

static const char *const tables[] = {
    "procedure",   "batch",         "recipe_line", "gear",      "calibration", "calibration_point",
    "session",     "session_close", "specimen",    "weighing",  "answer",      "reading",
    "titration",   "state_change",  "plan_entry",  "plan_drop", "setting",     "recipe_revision",
    "observation", "bar_used_up"};

static void
every_changed_value_is_found_in_every_row_and_column(void **state)
{
    const struct folder *folder = *state;
    char *original = make_notebook(folder, 1), *copy = file_join(folder->path, "copy.sqlite");
    struct tampering try = {.path = copy};

    assert_int_equal(sqlite3_open(original, &try.whole), SQLITE_OK);
    for (size_t i = 0; i < LENGTH(tables); i++)
        tamper_table(&try, tables[i]);
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
    struct tampering try = {.path = copy};

    assert_int_equal(sqlite3_open(original, &try.whole), SQLITE_OK);
    for (size_t i = 0; i < LENGTH(tables); i++) {
        for (int id = 1; id <= 2; id++) {
            char *erase = text_format("DELETE FROM %s WHERE id = %d", tables[i], id);
            char *all = tamper_change(try.whole, tables[i], erase);
            char *expected = text_format("row %d of table %s is missing", id, tables[i]);

            tamper_copy(&try);
            tamper(copy, all);
            tamper_check(copy, expected);
            free(expected);
            free(all);
            free(erase);
        }
    }
    tamper_copy(&try);
    tamper(copy, "INSERT INTO reading (specimen, method, gear, replicate, ph, taken_at) VALUES (1, 'meter', "
                 "1, 9, 9.1, "
                 "'2026-03-04T10:10')");
    tamper_check(copy, "row 11 of table reading is in no entry");
    tamper_copy(&try);
    tamper(copy, "INSERT INTO reading (id, specimen, method, gear, replicate, ph, taken_at) VALUES (0, 1, "
                 "'meter', 1, 9, "
                 "9.1, '2026-03-04T10:10')");
    tamper_check(copy, "row 0 of table reading is in no entry");
    tamper_copy(&try);
    tamper(
        copy,
        "INSERT INTO journal SELECT seq + 500, at, what, first_row, last_row, text, previous_hash, hash FROM "
        "journal WHERE seq = 17");
    tamper_check(copy, "the chain is broken before it");
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
    struct tampering try = {.path = copy};

    assert_int_equal(sqlite3_open(original, &try.whole), SQLITE_OK);
    for (size_t i = 0; i < LENGTH(changes); i++) {
        char *all = text_format("PRAGMA foreign_keys = OFF; %s", changes[i].sql);

        tamper_copy(&try);
        tamper(copy, all);
        tamper_check(copy, changes[i].part);
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
    struct tampering try = {.path = copy};
    size_t tried = 0;

    assert_int_equal(sqlite3_open(original, &try.whole), SQLITE_OK);
    for (int seq = 1; seq <= 25; seq += 3) {
        for (size_t i = 0; i < LENGTH(columns); i++) {
            char *change =
                text_format(columns[i][0] == 's' || strstr(columns[i], "row") != NULL
                                ? "UPDATE journal SET %s = %s + 1000 WHERE seq = %d"
                                : "UPDATE journal SET %s = 'f' || substr(%s, 2) || char(0) WHERE seq = %d",
                            columns[i], columns[i], seq);
            char *all = tamper_change(try.whole, "journal", change);
            char *found;

            tamper_copy(&try);
            tamper(copy, all);
            found = tamper_findings(copy, NULL, NULL);
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
    found = tamper_findings(flips->path, NULL, NULL);
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
    tamper_check(path, "");
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
    struct tampering try = {.path = early};
    struct store *store = NULL;
    char first_head[JOURNAL_HASH_SIZE], head[JOURNAL_HASH_SIZE];
    int64_t after = 0;

    assert_int_equal(sqlite3_open(path, &try.whole), SQLITE_OK);
    tamper_copy(&try);
    sqlite3_close(try.whole);
    check_ok(notebook_open(path, STORE_WRITE, &store, NULL, &failure), &failure);
    check_ok(journal_head(store, first_head, &failure), &failure);
    notebook_fill(store);
    check_ok(journal_head(store, head, &failure), &failure);
    check_refused(verify_notebook(store, "abc", &report, &failure), STATUS_FORMAT, &failure);
    store_close(store);

    found = tamper_findings(path, head, &after);
    assert_string_equal(found, "");
    assert_int_equal(after, 0);
    free(found);
    found = tamper_findings(path, first_head, &after);
    assert_int_equal(after, 46); /* rows of one notebook_fill() */
    free(found);
    first_head[VERIFY_HEAD_SHORTEST] = '\0';
    found = tamper_findings(path, first_head, &after);
    assert_int_equal(after, 46); /* rows of one notebook_fill() */
    free(found);
    found = tamper_findings(early, head, &after); /* whole in itself, but older */
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

    check_ok(notebook_open(path, STORE_WRITE, &store, NULL, &failure), &failure);
    check_ok(store_begin(store, &failure), &failure);
    assert_int_equal(sqlite3_open(path, &handle), SQLITE_OK);
    check_ok(store_end(store, STATUS_OK, &failure), &failure);
    tamper(path,
           "WITH n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 2500) INSERT INTO setting (name, "
           "value, at) SELECT 'n', i, '2026-03-04' FROM n");
    check_ok(store_begin(store, &failure), &failure);
    notebook_journal(store, "setting", 2, 1001);
    notebook_journal(store, "setting", 1002, 2001);
    notebook_journal(store, "setting", 2002, 2501);
    check_ok(store_end(store, STATUS_OK, &failure), &failure);
    store_close(store);
    tamper_check(path, "");
    all = tamper_change(handle, "setting", "UPDATE setting SET value = '-' WHERE id = 1500");
    tamper(path, all);
    tamper_check(path, "one of rows 1002 to 2001 of table setting is not as it was written");
    free(all);
    sqlite3_close(handle);
    free(path);
}

#define FOLDER_TEST(name) cmocka_unit_test_setup_teardown(name, folder_make, folder_remove)

static const struct CMUnitTest tests[] = {
    FOLDER_TEST(an_untouched_notebook_verifies),
    FOLDER_TEST(every_changed_value_is_found_in_every_row_and_column),
    FOLDER_TEST(rows_that_are_missing_or_added_are_found),
    FOLDER_TEST(a_changed_schema_is_found),
    FOLDER_TEST(a_changed_journal_is_found),
    FOLDER_TEST(every_flipped_byte_of_a_measured_row_is_found),
    FOLDER_TEST(a_notebook_rolled_back_is_seen_by_the_head),
    FOLDER_TEST(a_block_of_rows_is_one_entry_and_is_checked),
};

const struct check_module test_store_verify = CHECK_MODULE("store/verify", tests);
