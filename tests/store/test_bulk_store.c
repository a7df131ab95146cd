/* test_bulk_store.c - many readings at once: the rows, their numbers and their journal. */
#include <sqlite3.h>
#include <unistd.h>

#include "bulk_store.h"
#include "calibration_store.h"
#include "check.h"
#include "file.h"
#include "folder.h"
#include "gear_store.h"
#include "notebook.h"
#include "store_internal.h"
#include "tamper.h"
#include "text.h"
#include "tool_store.h"

enum { DAY_S = 86400, MANY = 2500 }; /* more rows than a block has, so that the second thread writes some */
static const civil_time now = 20605LL * DAY_S; /* 2026-06-01 */
static const civil_day made_on = 20514;        /* 2026-03-02 */

struct bench {
    struct folder *folder;
    char *path;
    struct store *store;
    struct bulk *bulk;
};

static int64_t
add_meter(struct store *store, const char *name)
{
    struct failure failure = {0};
    struct gear gear;
    int64_t id;

    gear_init(&gear, GEAR_METER);
    gear.name = memory_copy(name);
    gear.resolution_ph = 0.01;
    gear.added_at = now;
    check_ok(gear_store_add(store, &gear, &failure), &failure);
    id = gear.id;
    gear_clear(&gear);
    return id;
}

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
    add_meter(bench->store, "bench");
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

/* SQL from outside, which must work. */
static void
do_sql(const struct bench *bench, const char *sql)
{
    sqlite3 *handle = NULL;
    char *error = NULL;

    assert_int_equal(sqlite3_open(bench->path, &handle), SQLITE_OK);
    if (sqlite3_exec(handle, sql, NULL, NULL, &error) != SQLITE_OK)
        print_error("%s: %s\n", sql, error);
    assert_null(error);
    sqlite3_close(handle);
}

/* The same in the connection of the import itself: a trigger of it alone stands for what a disk or another program
 * might do. One in the notebook's schema would be noticed. */
static void
do_sql_inside(const struct bench *bench, const char *sql)
{
    assert_int_equal(sqlite3_exec(bench->store->handle, sql, NULL, NULL, NULL), SQLITE_OK);
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

static void
begin(struct bench *bench)
{
    struct failure failure = {0};

    check_ok(bulk_open(bench->store, now, &bench->bulk, &failure), &failure);
}

static void
end(struct bench *bench)
{
    struct failure failure = {0};

    check_ok(bulk_close(bench->bulk, true, STATUS_OK, &failure), &failure);
}

static const struct bulk_batch *
batch_of(struct bench *bench, const char *code)
{
    struct failure failure = {0};

    if (bulk_find_batch(bench->bulk, code) == NULL)
        check_ok(bulk_add_batch(bench->bulk, code, made_on, BATCH_ORDINARY, &failure), &failure);
    return bulk_find_batch(bench->bulk, code);
}

/* A reading of the only meter, the `minute`-th after the batch was made. */
static struct bulk_reading
some_reading(struct bench *bench, const char *code, int minute)
{
    return (struct bulk_reading){.batch = batch_of(bench, code),
                                 .gear = bulk_find_gear(bench->bulk, READING_METER, "bench"),
                                 .ph = 9.87,
                                 .ph_low = NAN,
                                 .ph_high = NAN,
                                 .temperature_c = 40.0,
                                 .concentration_pct = 1.0,
                                 .taken_at = (civil_time)made_on * DAY_S + (civil_time)minute * 60};
}

static void
add(struct bench *bench, const struct bulk_reading *reading)
{
    struct failure failure = {0};
    bool added = false;

    check_ok(bulk_add_reading(bench->bulk, reading, &added, &failure), &failure);
    assert_true(added);
}

/* --- the journal -------------------------------------------------------------------------------------- */

static const double numbers[] = {9.87, 0.0,  -0.0,   14.0,   10.0,   1.0 / 3.0, 0.1 + 0.2,
                                 1e-5, 1e-9, 5e-324, 2.5e-7, 7.0e-4, NAN,       12.3456789012345};
static const char *const notes[] = {
    NULL,        "",           "plain", "a \"quoted\"",     "back\\slash",
    "tab\there", "two\nlines", "\r\n",  "\x01\x1b[31m\x7f", "s\xc3\xbc\xc3\x9f \xe2\x82\xac",
    "='1+1"};

/* verify reads the tables again and makes the texts of the entries anew. */
static void
what_was_handed_over_is_journalled_as_the_tables_hold_it(void **state)
{
    struct bench *bench = *state;

    begin(bench);
    for (int i = 0; i < MANY; i++) {
        char *code = text_format("W-%d", i % 7);
        struct bulk_reading reading = some_reading(bench, code, i);

        reading.ph = isnan(numbers[(size_t)i % LENGTH(numbers)]) ? 7.5 : numbers[(size_t)i % LENGTH(numbers)];
        reading.temperature_c = numbers[(size_t)(i / 3) % LENGTH(numbers)];
        reading.concentration_pct = i % 5 == 0 ? (double)NAN : 1.0 + i % 3 / 7.0;
        reading.note = notes[(size_t)i % LENGTH(notes)];
        add(bench, &reading);
        free(code);
    }
    end(bench);
    check_answer(bench, "SELECT count(*) FROM reading", "2500");
    check_answer(bench, "SELECT count(DISTINCT note) FROM reading", "10"); /* all but NULL */
    check_answer(bench, "SELECT count(*) > 0 FROM reading WHERE temperature_c IS NULL", "1");
    check_answer(bench,
                 "SELECT group_concat(first_row || '-' || last_row) FROM journal WHERE what = 'reading'",
                 "1-1000,1001-2000,2001-2500");
    tamper_check(bench->path, "");
}

/* Written out by hand from journal.h, rule 2. */
static void
a_single_row_is_journalled_with_its_text(void **state)
{
    struct bench *bench = *state;
    struct bulk_reading reading;

    begin(bench);
    reading = some_reading(bench, "W-07", 600);
    reading.temperature_c = NAN;
    reading.note = "a \"b\"\tc\\";
    add(bench, &reading);
    end(bench);
    check_answer(
        bench, "SELECT text FROM journal WHERE what = 'batch'",
        "id=1\tcode=\"W-07\"\tmade_on=\"2026-03-02\"\trole=\"ordinary\"\tadded_at=\"2026-06-01T00:00\"");
    check_answer(bench, "SELECT text FROM journal WHERE what = 'specimen'",
                 "id=1\tsession=1\tbatch=1\tstated_concentration_pct=1");
    check_answer(
        bench, "SELECT text FROM journal WHERE what = 'reading'",
        "id=1\tspecimen=1\tmethod=\"meter\"\tgear=1\treplicate=1\tph=9.87\ttaken_at=\"2026-03-02T10:00\"\t"
        "note=\"a \\\"b\\\"\\tc\\\\\"");
    tamper_check(bench->path, "");
}

static void
imports_number_on_where_the_one_before_ended(void **state)
{
    struct bench *bench = *state;

    for (int round = 0; round < 3; round++) {
        begin(bench);
        for (int i = 0; i < 1100; i++) {
            struct bulk_reading reading = some_reading(bench, i % 2 == 0 ? "W-1" : "W-2", round * 1100 + i);

            add(bench, &reading);
        }
        end(bench);
    }
    check_answer(bench, "SELECT count(*) || ' ' || max(id) FROM reading", "3300 3300");
    check_answer(bench,
                 "SELECT group_concat(first_row || '-' || last_row) FROM journal WHERE what = 'reading'",
                 "1-1000,1001-1100,1101-2100,2101-2200,2201-3200,3201-3300");
    tamper_check(bench->path, "");
}

/* Notes of a mebibyte would fill the memory if a thousand of them were kept until they are written. */
static void
long_notes_are_written_before_a_thousand_rows_are_there(void **state)
{
    struct bench *bench = *state;
    char *note = memory_new(1 << 20, 1);

    memset(note, 'n', (1 << 20) - 1);
    begin(bench);
    for (int i = 0; i < 20; i++) {
        struct bulk_reading reading = some_reading(bench, "W-1", i);

        reading.note = note;
        add(bench, &reading);
    }
    end(bench);
    check_answer(bench, "SELECT sum(length(note)) FROM reading", "20971500");
    tamper_check(bench->path, "");
    free(note);
}

/* --- when it does not go well -------------------------------------------------------------------------- */

/* Add until a failure comes, which it must. */
static void
add_until_refused(struct bench *bench, struct failure *ret_failure)
{
    enum status status = STATUS_OK;

    for (int i = 0; i < 10 * MANY && status == STATUS_OK; i++) {
        char *code = text_format("W-%d", i % 7);
        struct bulk_reading reading = some_reading(bench, code, i);
        bool added;

        status = bulk_add_reading(bench->bulk, &reading, &added, ret_failure);
        free(code);
    }
    check_refused(status, STATUS_SYSTEM, ret_failure);
}

static void
check_nothing_was_written(const struct bench *bench)
{
    check_answer(bench, "SELECT count(*) FROM batch", "0");
    check_answer(bench, "SELECT count(*) FROM reading", "0");
    check_answer(bench, "SELECT count(*) FROM journal WHERE what <> 'gear'", "0");
}

static void
a_failure_of_the_writer_ends_the_import_and_undoes_it(void **state)
{
    struct bench *bench = *state;
    struct failure failure = {0}, again = {0};
    bool added;

    do_sql_inside(bench,
                  "CREATE TEMP TRIGGER no_more BEFORE INSERT ON reading WHEN NEW.taken_at >= '2026-03-03T04' "
                  "BEGIN SELECT RAISE(ABORT, 'no more'); END");
    begin(bench);
    add_until_refused(bench, &failure);
    assert_string_equal(failure.text, "cannot write the notebook: no more");
    { /* and it stays so */
        struct bulk_reading reading = some_reading(bench, "W-1", 1);

        for (int i = 0; i < MANY; i++) {
            reading.taken_at += 1;
            if (bulk_add_reading(bench->bulk, &reading, &added, &again) != STATUS_OK)
                break;
        }
        assert_string_equal(again.text, failure.text);
    }
    check_refused(bulk_close(bench->bulk, true, STATUS_SYSTEM, &failure), STATUS_SYSTEM, &failure);
    check_nothing_was_written(bench);
}

/* The last block is written by bulk_close(). */
static void
a_failure_at_the_end_undoes_all_too(void **state)
{
    struct bench *bench = *state;
    struct failure failure = {0};
    struct bulk_reading reading;

    do_sql_inside(bench,
                  "CREATE TEMP TRIGGER none BEFORE INSERT ON reading BEGIN SELECT RAISE(ABORT, 'none'); END");
    begin(bench);
    reading = some_reading(bench, "W-1", 1);
    add(bench, &reading);
    check_refused(bulk_close(bench->bulk, true, STATUS_OK, &failure), STATUS_SYSTEM, &failure);
    assert_string_equal(failure.text, "cannot write the notebook: none");
    check_nothing_was_written(bench);
}

/* Only someone else's program numbers rows so. */
static void
rows_that_get_other_numbers_are_refused(void **state)
{
    struct bench *bench = *state;
    struct failure failure = {0};
    struct bulk_reading reading;

    do_sql_inside(
        bench, "CREATE TEMP TRIGGER twice AFTER INSERT ON session WHEN NEW.id < 3 BEGIN INSERT INTO session "
               "(started_at, limit_ph) VALUES (NEW.started_at, 10); END");
    begin(bench);
    for (int i = 0; i < 3; i++) {
        reading = some_reading(bench, "W-1", i * 1440);
        add(bench, &reading);
    }
    check_refused(bulk_close(bench->bulk, true, STATUS_OK, &failure), STATUS_SYSTEM, &failure);
    check_contains(failure.text, "table session does not number its rows from 1 without a gap (see verify); "
                                 "nothing was changed");
    check_nothing_was_written(bench);
}

static void
a_notebook_without_numbers_left_is_refused(void **state)
{
    struct bench *bench = *state;
    struct failure failure = {0};

    do_sql(bench,
           "INSERT INTO session (id, started_at, limit_ph) VALUES (9223372036854775807, '2026-03-02', 10)");
    check_refused(bulk_open(bench->store, now, &bench->bulk, &failure), STATUS_SYSTEM, &failure);
    check_contains(failure.text, "table session has a row numbered 9223372036854775807 (see verify)");
}

static void
a_notebook_cannot_look_at_the_rows_that_wait(void **state)
{
    struct bench *bench = *state;
    struct failure failure = {0};

    do_sql(bench, "CREATE TRIGGER look AFTER INSERT ON reading BEGIN "
                  "INSERT INTO setting (name, value, at) SELECT 'x', note, 'y' FROM pending_reading; END");
    check_refused(bulk_open(bench->store, now, &bench->bulk, &failure), STATUS_SYSTEM, &failure);
    check_contains(failure.text, "another program changed its tables while it was open");
    check_nothing_was_written(bench);
}

static void
nothing_of_an_import_stays_behind_in_the_connection(void **state)
{
    struct bench *bench = *state;
    struct bulk_reading reading;
    sqlite3_stmt *query = NULL;

    begin(bench);
    reading = some_reading(bench, "W-1", 1);
    add(bench, &reading);
    end(bench);
    assert_int_equal(
        sqlite3_prepare_v2(bench->store->handle, "SELECT * FROM pending_reading", -1, &query, NULL),
        SQLITE_ERROR);
}

/* --- the calibration in force --------------------------------------------------------------------------- */

static void
add_calibration(struct store *store, int64_t meter_id, int minute, enum calibration_purpose purpose,
                enum calibration_verdict verdict)
{
    struct failure failure = {0};
    struct calibration calibration = {.meter_id = meter_id,
                                      .taken_at = minute * 60,
                                      .purpose = purpose,
                                      .slope_percent = 98.0,
                                      .offset_mv = 1.0,
                                      .verdict = verdict};

    check_ok(calibration_store_add(store, &calibration, &failure), &failure);
    calibration_clear(&calibration);
}

/* Found in memory as SQL finds it, at, before and after every calibration. */
static void
the_calibration_in_force_is_the_one_that_sql_finds(void **state)
{
    static const struct {
        int meter, minute;
        enum calibration_purpose purpose;
        enum calibration_verdict verdict;
    } all[] = {
        {0, 100, CALIBRATION_ADJUST, CALIBRATION_ACCEPTED},
        {0, 50, CALIBRATION_ADJUST, CALIBRATION_MARGINAL},
        {0, 200, CALIBRATION_ADJUST, CALIBRATION_REFUSED},
        {0, 150, CALIBRATION_CHECK, CALIBRATION_ACCEPTED},
        {0, 250, CALIBRATION_ADJUST, CALIBRATION_ACCEPTED},
        {0, 250, CALIBRATION_ADJUST, CALIBRATION_REFUSED},
        {0, 300, CALIBRATION_ADJUST, CALIBRATION_REFUSED},
        {0, 300, CALIBRATION_ADJUST, CALIBRATION_ACCEPTED},
        {1, 120, CALIBRATION_ADJUST, CALIBRATION_ACCEPTED},
        {1, 300, CALIBRATION_CHECK, CALIBRATION_REFUSED},
    };
    struct bench *bench = *state;
    struct failure failure = {0};
    int64_t meters[3] = {add_meter(bench->store, "a"), add_meter(bench->store, "b"),
                         add_meter(bench->store, "never calibrated")};
    const struct tools *tools = NULL;
    size_t found = 0;

    for (size_t i = 0; i < LENGTH(all); i++)
        add_calibration(bench->store, meters[all[i].meter], all[i].minute, all[i].purpose, all[i].verdict);
    check_ok(tool_store_load(bench->store, &tools, &failure), &failure);
    assert_int_equal(tools_of_meter(tools, meters[0])->count + tools_of_meter(tools, meters[1])->count,
                     LENGTH(all));
    for (size_t i = 0; i < LENGTH(meters); i++) {
        for (int second = 0; second < 400 * 60; second += 10) {
            int64_t expected = -1;

            check_ok(calibration_store_in_force(bench->store, meters[i], second, &expected, &failure),
                     &failure);
            assert_int_equal(calibration_store_find_in_force(tools, meters[i], second), expected);
            found += expected != 0;
        }
    }
    assert_true(found > 1000);
    assert_int_equal(calibration_store_find_in_force(tools, meters[2] + 1, 0), 0); /* no such meter */
}

#define BENCH_TEST(name) cmocka_unit_test_setup_teardown(name, open_bench, close_bench)

static const struct CMUnitTest tests[] = {
    BENCH_TEST(what_was_handed_over_is_journalled_as_the_tables_hold_it),
    BENCH_TEST(a_single_row_is_journalled_with_its_text),
    BENCH_TEST(imports_number_on_where_the_one_before_ended),
    BENCH_TEST(long_notes_are_written_before_a_thousand_rows_are_there),
    BENCH_TEST(a_failure_of_the_writer_ends_the_import_and_undoes_it),
    BENCH_TEST(a_failure_at_the_end_undoes_all_too),
    BENCH_TEST(rows_that_get_other_numbers_are_refused),
    BENCH_TEST(a_notebook_without_numbers_left_is_refused),
    BENCH_TEST(a_notebook_cannot_look_at_the_rows_that_wait),
    BENCH_TEST(nothing_of_an_import_stays_behind_in_the_connection),
    BENCH_TEST(the_calibration_in_force_is_the_one_that_sql_finds),
};

const struct check_module test_store_bulk_store = CHECK_MODULE("store/bulk_store", tests);
