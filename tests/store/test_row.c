/* test_row.c - the one way into the notebook: rows, their numbers and their journal. */
#include <sqlite3.h>

#include "check.h"
#include "file.h"
#include "folder.h"
#include "memory.h"
#include "notebook.h"
#include "row.h"
#include "store_internal.h"
#include "tamper.h"
#include "text.h"

enum { MANY = 2500 }; /* rows, more than two blocks of the journal */

struct bench {
    struct folder *folder;
    char *path;
    struct store *store;
};

static int
open_bench(void **state)
{
    struct bench *bench = memory_new(1, sizeof *bench);
    struct failure failure = {0};

    *state = bench;
    if (folder_make((void **)&bench->folder) != 0)
        return 1;
    bench->path = file_join(bench->folder->path, "notebook.sqlite");
    check_ok(notebook_open(bench->path, STORE_CREATE, &bench->store, NULL, &failure), &failure);
    return 0;
}

static int
close_bench(void **state)
{
    struct bench *bench = *state;
    int code;

    store_close(bench->store);
    code = folder_remove((void **)&bench->folder);
    free(bench->path);
    free(bench);
    return code;
}

/* SQL in the connection of the writer itself: a trigger of it alone stands for what another program might do. One in the
 * notebook's schema is noticed when it is opened. */
static void
do_sql(const struct bench *bench, const char *sql)
{
    char *error = NULL;

    if (sqlite3_exec(bench->store->handle, sql, NULL, NULL, &error) != SQLITE_OK)
        print_error("%s: %s\n", sql, error);
    assert_null(error);
}

/* The only value of a query. Given: free() it. */
static char *
ask_sql(const struct bench *bench, const char *sql)
{
    sqlite3 *handle = NULL;
    sqlite3_stmt *query = NULL;
    char *answer;

    assert_int_equal(sqlite3_open(bench->path, &handle), SQLITE_OK);
    assert_int_equal(sqlite3_prepare_v2(handle, sql, -1, &query, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_step(query), SQLITE_ROW);
    answer = memory_copy((const char *)sqlite3_column_text(query, 0));
    sqlite3_finalize(query);
    sqlite3_close(handle);
    return answer;
}

static void
check_answer(const struct bench *bench, const char *sql, const char *expected)
{
    char *answer = ask_sql(bench, sql);

    assert_string_equal(answer, expected);
    free(answer);
}

/* A setting takes any text. */
static enum status
add(struct bench *bench, const char *name, const char *value, int64_t *ret_id, struct failure *failure)
{
    struct row row;

    row_start(&row, bench->store, "setting");
    row_text(&row, "name", name);
    row_text(&row, "value", value);
    row_time(&row, "at", 0);
    return row_add(&row, ret_id, failure);
}

static void
add_well(struct bench *bench, const char *value)
{
    struct failure failure = {0};
    int64_t id = 0;

    check_ok(add(bench, "n", value, &id, &failure), &failure);
}

static void
begin(struct bench *bench)
{
    struct failure failure = {0};

    check_ok(rows_begin_many(bench->store, &failure), &failure);
}

static void
end(struct bench *bench)
{
    struct failure failure = {0};

    check_ok(rows_end_many(bench->store, STATUS_OK, &failure), &failure);
}

static const double numbers[] = {9.87, 0.0,  -0.0,   14.0,   10.0,   1.0 / 3.0, 0.1 + 0.2,        1e15,
                                 1e-5, 1e-9, 5e-324, 2.5e-7, 7.0e-4, NAN,       12.3456789012345, -1e300};
static const char *const texts[] = {
    NULL,        "",           "plain", "a \"quoted\"",     "back\\slash",
    "tab\there", "two\nlines", "\r\n",  "\x01\x1b[31m\x7f", "s\xc3\xbc\xc3\x9f \xe2\x82\xac",
    "='1+1"};

static void
add_session(struct bench *bench, size_t i)
{
    struct failure failure = {0};
    struct row row;
    int64_t id = 0;

    row_start(&row, bench->store, "calibration_point"); /* most numbers, none of them bounded below */
    row_id(&row, "calibration", 1);
    row_text(&row, "buffer", texts[i % LENGTH(texts)] == NULL ? "b" : texts[i % LENGTH(texts)]);
    row_integer(&row, "kitchen_made", (int64_t)(i % 2));
    row_number(&row, "table_ph", numbers[i % LENGTH(numbers)]);
    check_ok(row_add(&row, &id, &failure), &failure);
    row_start(&row, bench->store, "session");
    row_time(&row, "started_at", (civil_time)i * 60 + (civil_time)i % 3);
    row_number(&row, "limit_ph", 7.0 + (double)(i % 8) / 3.0);
    row_text(&row, "note", texts[i % LENGTH(texts)]);
    check_ok(row_add(&row, &id, &failure), &failure);
    assert_int_equal(id, i + 1);
}

static void
add_calibration(struct bench *bench)
{
    struct failure failure = {0};
    struct row row;
    int64_t gear = 0, id = 0;

    row_start(&row, bench->store, "gear");
    row_text(&row, "name", "bench");
    row_text(&row, "kind", "meter");
    row_number(&row, "resolution_ph", 0.01);
    row_integer(&row, "atc", 0);
    row_day(&row, "expires_on", 20605);
    row_time(&row, "added_at", 0);
    check_ok(row_add(&row, &gear, &failure), &failure);
    row_start(&row, bench->store, "calibration");
    row_id(&row, "meter", gear);
    row_text(&row, "verdict", "accepted"); /* in any order */
    row_text(&row, "purpose", "check");
    row_integer(&row, "declared", 0);
    row_time(&row, "taken_at", 0);
    check_ok(row_add(&row, &id, &failure), &failure);
}

/* verify reads the tables and makes the texts of the entries anew. */
static void
what_was_bound_is_journalled_as_the_tables_hold_it(void **state)
{
    struct bench *bench = *state;

    add_calibration(bench);
    for (size_t i = 0; i < 200; i++)
        add_session(bench, i);
    begin(bench);
    for (size_t i = 200; i < MANY + 200; i++)
        add_session(bench, i);
    end(bench);
    add_well(bench, "once more");
    check_answer(bench, "SELECT count(*) FROM session", "2700");
    check_answer(bench, "SELECT count(DISTINCT note) FROM session", "10"); /* all but NULL */
    check_answer(bench,
                 "SELECT count(*) || ' ' || max(last_row) FROM journal WHERE what = 'session' AND first_row "
                 "= last_row",
                 "200 200");
    check_answer(bench,
                 "SELECT group_concat(first_row || '-' || last_row) FROM journal WHERE what = 'session' AND "
                 "last_row > first_row",
                 "201-1200,1201-2200,2201-2700");
    tamper_check(bench->path, "");
}

/* Written out by hand from journal.h, rule 2. */
static void
a_single_row_is_journalled_with_its_text(void **state)
{
    static const char *const expected[] = {
        "SELECT text FROM journal WHERE what = 'gear'",
        ("id=1\tname=\"bench\"\tkind=\"meter\"\tresolution_ph=0.01\tatc=0\texpires_on=\"2026-06-01\"\t"
         "added_at=\"1970-01-01T00:00\""),
        "SELECT text FROM journal WHERE what = 'calibration'",
        "id=1\tmeter=1\ttaken_at=\"1970-01-01T00:00\"\tpurpose=\"check\"\tdeclared=0\tverdict=\"accepted\"",
        "SELECT text FROM journal WHERE what = 'setting'",
        "id=1\tname=\"n\"\tvalue=\"a \\\"b\\\"\\tc\\\\\"\tat=\"1970-01-01T00:00\"",
    };
    struct bench *bench = *state;

    add_calibration(bench);
    begin(bench); /* a block of one */
    add_well(bench, "a \"b\"\tc\\");
    end(bench);
    for (size_t i = 0; i < LENGTH(expected); i += 2)
        check_answer(bench, expected[i], expected[i + 1]);
    tamper_check(bench->path, "");
}

static void
many_rows_number_on_where_the_ones_before_ended(void **state)
{
    struct bench *bench = *state;

    for (int round = 0; round < 3; round++) {
        begin(bench);
        for (int i = 0; i < 1100; i++)
            add_well(bench, "v");
        end(bench);
    }
    check_answer(bench,
                 "SELECT group_concat(first_row || '-' || last_row) FROM journal WHERE what = 'setting'",
                 "1-1000,1001-1100,1101-2100,2101-2200,2201-3200,3201-3300");
    tamper_check(bench->path, "");
}

/* --- when it does not go well -------------------------------------------------------------------------- */

static void
many_rows_undone_leave_nothing_and_no_entry(void **state)
{
    struct bench *bench = *state;
    struct failure failure = {0};

    begin(bench);
    for (int i = 0; i < MANY; i++)
        add_well(bench, "v");
    assert_int_equal(rows_end_many(bench->store, STATUS_CONFLICT, &failure), STATUS_CONFLICT);
    check_answer(bench, "SELECT count(*) FROM setting", "0");
    check_answer(bench, "SELECT count(*) FROM journal", "0");
    add_well(bench, "v");
    tamper_check(bench->path, "");
}

static void
a_row_that_the_table_refuses_is_in_no_entry(void **state)
{
    struct bench *bench = *state;
    struct failure failure = {0};
    int64_t id = 77;

    begin(bench);
    add_well(bench, "v");
    check_refused(add(bench, NULL, "v", &id, &failure), STATUS_CONFLICT, &failure);
    assert_string_equal(failure.text, "cannot add the row: NOT NULL constraint failed: setting.name");
    assert_int_equal(id, 77);
    add_well(bench, "w");
    end(bench);
    check_answer(bench, "SELECT first_row || '-' || last_row FROM journal", "1-2");
    tamper_check(bench->path, "");
}

/* What a hidden trigger can do to a row on its way. The notebook then either refuses or does not verify: nothing is
 * acknowledged that is not there. */
static void
what_a_trigger_makes_of_a_row_is_refused_or_seen(void **state)
{
    static const struct {
        const char *trigger, *refused, *found;
        enum status status;
    } all[] = {
        {"BEFORE INSERT ON setting BEGIN SELECT RAISE(ABORT, 'no more'); END", "cannot add the row: no more",
         "", STATUS_CONFLICT},
        {"BEFORE INSERT ON setting BEGIN SELECT RAISE(IGNORE); END", "table setting did not keep a row", "",
         STATUS_SYSTEM},
        {"BEFORE INSERT ON setting BEGIN SELECT RAISE(ROLLBACK, 'gone'); END", "cannot add the row: gone", "",
         STATUS_SYSTEM},
        {"AFTER INSERT ON setting BEGIN INSERT OR REPLACE INTO setting (id, name, value, at) VALUES (NEW.id, "
         "'n', "
         "'other', NEW.at); END",
         "cannot add the row: rows of the notebook are never changed or deleted", "", STATUS_CONFLICT},
        {"AFTER INSERT ON setting WHEN NEW.value = 'v' BEGIN INSERT INTO setting (name, value, at) VALUES "
         "('x', "
         "'y', 'z'); END",
         NULL, "row 2 of table setting is in no entry of the journal", STATUS_OK},
    };
    struct bench *bench = *state;

    for (size_t i = 0; i < LENGTH(all); i++) {
        struct failure failure = {0};
        char *sql =
            text_format("DROP TRIGGER IF EXISTS hidden; CREATE TEMP TRIGGER hidden %s", all[i].trigger);
        int64_t id = 0;

        do_sql(bench, sql);
        free(sql);
        assert_int_equal(add(bench, "n", "v", &id, &failure), all[i].status);
        if (all[i].refused != NULL)
            check_contains(failure.text, all[i].refused);
        check_answer(bench, "SELECT count(*) FROM journal", all[i].status == STATUS_OK ? "1" : "0");
        if (all[i].status == STATUS_OK) {
            tamper_check(bench->path, all[i].found);
            close_bench(state);
            open_bench(state);
            bench = *state;
        }
    }
}

/* Only someone else's program numbers rows so. */
static void
rows_that_get_other_numbers_are_refused(void **state)
{
    struct bench *bench = *state;
    struct failure failure = {0};
    int64_t id = 0;

    do_sql(bench,
           "CREATE TEMP TRIGGER twice AFTER INSERT ON setting WHEN NEW.id < 3 BEGIN INSERT INTO setting "
           "(name, value, at) VALUES ('n', 'v', 'x'); END");
    begin(bench);
    add_well(bench, "v");
    check_refused(add(bench, "n", "v", &id, &failure), STATUS_SYSTEM, &failure);
    check_contains(failure.text, "table setting does not number its rows from 1 without a gap (see verify); "
                                 "nothing was changed");
    assert_int_equal(rows_end_many(bench->store, STATUS_SYSTEM, &failure), STATUS_SYSTEM);
    check_answer(bench, "SELECT count(*) FROM setting", "0");
}

#define BENCH_TEST(name) cmocka_unit_test_setup_teardown(name, open_bench, close_bench)

static const struct CMUnitTest tests[] = {
    BENCH_TEST(what_was_bound_is_journalled_as_the_tables_hold_it),
    BENCH_TEST(a_single_row_is_journalled_with_its_text),
    BENCH_TEST(many_rows_number_on_where_the_ones_before_ended),
    BENCH_TEST(many_rows_undone_leave_nothing_and_no_entry),
    BENCH_TEST(a_row_that_the_table_refuses_is_in_no_entry),
    BENCH_TEST(what_a_trigger_makes_of_a_row_is_refused_or_seen),
    BENCH_TEST(rows_that_get_other_numbers_are_refused),
};

const struct check_module test_store_row = CHECK_MODULE("store/row", tests);
