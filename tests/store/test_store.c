/* test_store.c - opening notebooks of every kind, and transactions. */
#include <signal.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include <sqlite3.h>

#include "batch_store.h"
#include "check.h"
#include "file.h"
#include "folder.h"
#include "notebook.h"
#include "store_internal.h"
#include "text.h"

static void
a_new_notebook_is_private_and_marked(void **state)
{
    struct folder *folder = *state;
    char *path = file_join(folder->path, "deep/er/notebook.sqlite");
    struct failure failure = {0};
    struct store *store = NULL;
    struct stat about;
    struct notebook_news news = {0};

    check_refused(notebook_open(path, STORE_READ, &store, NULL, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text, "there is no notebook");
    check_ok(notebook_open(path, STORE_CREATE, &store, &news, &failure), &failure);
    assert_true(news.created);
    store_close(store);
    assert_int_equal(stat(path, &about), 0);
    assert_int_equal(about.st_mode & 0777, 0600);
    check_ok(notebook_open(path, STORE_CREATE, &store, &news, &failure), &failure);
    assert_false(news.created);
    store_close(store);
    check_ok(notebook_open(path, STORE_READ, &store, NULL, &failure), &failure);
    store_close(store);
    free(path);
}

/* A file made by running SQL on an empty database. */
static void
make_database(const char *path, const char *sql)
{
    sqlite3 *handle = NULL;

    assert_int_equal(sqlite3_open(path, &handle), SQLITE_OK);
    assert_int_equal(sqlite3_exec(handle, sql, NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(handle);
}

static void
what_is_no_notebook_is_refused_and_left_alone(void **state)
{
    struct folder *folder = *state;
    static const struct {
        const char *sql, *part;
    } bad[] = {
        {"CREATE TABLE shopping (what TEXT);", "a database of another program, not a notebook"},
        {"PRAGMA application_id = 1131762802; PRAGMA user_version = 99; CREATE TABLE a (b);",
         "newer version"},
        {"PRAGMA application_id = 1131762802; CREATE TABLE a (b);", "does not say of which version"},
        {"PRAGMA application_id = 5; PRAGMA user_version = 1; CREATE TABLE a (b);",
         "a database of another program, not a notebook"},
    };
    char *path = file_join(folder->path, "other.sqlite");
    struct failure failure = {0};
    struct store *store = NULL;

    for (size_t i = 0; i < LENGTH(bad); i++) {
        char *before, *after;
        struct stat about;

        unlink(path);
        make_database(path, bad[i].sql);
        assert_int_equal(stat(path, &about), 0);
        before = text_format("%lld %lld", (long long)about.st_size, (long long)about.st_mtim.tv_nsec);
        check_refused(notebook_open(path, STORE_CREATE, &store, NULL, &failure), STATUS_FORMAT, &failure);
        check_contains(failure.text, bad[i].part);
        assert_int_equal(stat(path, &about), 0);
        after = text_format("%lld %lld", (long long)about.st_size, (long long)about.st_mtim.tv_nsec);
        assert_string_equal(before, after);
        free(before);
        free(after);
    }
    unlink(path); /* no output replaces a database (file.h, rule 1) */
    check_ok(
        file_write(path, "Dear diary, today I made soap. It was a long day in the kitchen.", 64, &failure),
        &failure);
    check_refused(notebook_open(path, STORE_CREATE, &store, NULL, &failure), STATUS_SYSTEM, &failure);
    check_contains(failure.text, "damaged, or no notebook");
    free(path);
}

static void
begin_batch(struct batch *batch, const char *code)
{
    *batch = (struct batch){.code = memory_copy(code), .made_on = 20000, .added_at = 20000 * 86400LL};
}

static void
what_fails_in_a_transaction_is_undone_whole(void **state)
{
    struct failure failure = {0};
    struct store *store = NULL;
    struct batch batch, found = {0};

    (void)state;
    check_ok(notebook_open(":memory:", STORE_CREATE, &store, NULL, &failure), &failure);
    check_ok(store_begin(store, &failure), &failure);
    begin_batch(&batch, "W-01");
    check_ok(batch_store_add(store, &batch, &failure), &failure);
    assert_int_equal(store_end(store, STATUS_RANGE, &failure), STATUS_RANGE);
    check_refused(batch_store_find(store, "W-01", &found, &failure), STATUS_MISSING, &failure);
    check_ok(batch_store_add(store, &batch, &failure), &failure);
    check_ok(batch_store_find(store, "w-01", &found, &failure), &failure);
    assert_string_equal(found.code, "W-01");
    batch_clear(&found);
    batch_clear(&batch);
    store_close(store);
}

static void
rows_and_log_refuse_to_be_changed(void **state)
{
    static const char *const tables[] = {"batch", "journal"};
    struct folder *folder = *state;
    char *path = file_join(folder->path, "fixed.sqlite");
    struct failure failure = {0};
    struct store *store = NULL;
    struct batch batch;
    sqlite3 *handle = NULL;

    check_ok(notebook_open(path, STORE_CREATE, &store, NULL, &failure), &failure);
    begin_batch(&batch, "W-01");
    check_ok(batch_store_add(store, &batch, &failure), &failure);
    batch_clear(&batch);
    store_close(store);
    assert_int_equal(sqlite3_open(path, &handle), SQLITE_OK);
    for (size_t i = 0; i < LENGTH(tables); i++) {
        char *change = text_format("UPDATE %s SET rowid = 7", tables[i]);
        char *erase = text_format("DELETE FROM %s", tables[i]);

        assert_int_equal(sqlite3_exec(handle, change, NULL, NULL, NULL), SQLITE_CONSTRAINT);
        assert_int_equal(sqlite3_exec(handle, erase, NULL, NULL, NULL), SQLITE_CONSTRAINT);
        free(change);
        free(erase);
    }
    sqlite3_close(handle);
    free(path);
}

/* A limit on the size of files stands for a disk that is full. */
static void
a_full_disk_loses_nothing_that_was_there(void **state)
{
    struct folder *folder = *state;
    char *path = file_join(folder->path, "full.sqlite"), *title = memory_new(200001, 1);
    struct failure failure = {0};
    struct store *store = NULL;
    struct batch batch, found = {0};
    struct rlimit before, small;
    struct stat about;

    check_ok(notebook_open(path, STORE_CREATE, &store, NULL, &failure), &failure);
    begin_batch(&batch, "W-01");
    check_ok(batch_store_add(store, &batch, &failure), &failure);
    batch_clear(&batch);
    assert_int_equal(stat(path, &about), 0);
    signal(SIGXFSZ, SIG_IGN);
    getrlimit(RLIMIT_FSIZE, &before);
    small = (struct rlimit){.rlim_cur = (rlim_t)about.st_size + 4096, .rlim_max = before.rlim_max};
    setrlimit(RLIMIT_FSIZE, &small);
    begin_batch(&batch, "W-02");
    batch.title = memset(title, 'x', 200000);
    check_refused(batch_store_add(store, &batch, &failure), STATUS_SYSTEM, &failure);
    setrlimit(RLIMIT_FSIZE, &before);
    batch_clear(&batch);
    store_close(store);
    check_ok(notebook_open(path, STORE_WRITE, &store, NULL, &failure), &failure);
    check_ok(batch_store_find(store, "W-01", &found, &failure), &failure);
    batch_clear(&found);
    check_refused(batch_store_find(store, "W-02", &found, &failure), STATUS_MISSING, &failure);
    store_close(store);
    free(path);
}

/* A dossier is read inside an export, and may be read inside a piece of writing: neither ends the other. */
static void
reading_nests_and_does_not_end_the_writing_around_it(void **state)
{
    struct store *store = NULL;
    struct failure failure = {0};
    struct batch batch, found;

    (void)state;
    check_ok(notebook_open(":memory:", STORE_CREATE, &store, NULL, &failure), &failure);
    begin_batch(&batch, "W-01");
    check_ok(store_begin(store, &failure), &failure);
    check_ok(batch_store_add(store, &batch, &failure), &failure);
    check_ok(store_begin_reading(store, &failure), &failure);
    check_ok(store_begin_reading(store, &failure), &failure);
    check_ok(batch_store_find(store, "W-01", &found, &failure), &failure);
    batch_clear(&found);
    store_end_reading(store);
    store_end_reading(store);
    check_ok(store_end(store, STATUS_OK, &failure), &failure);
    batch_clear(&batch);

    check_ok(store_begin_reading(store, &failure), &failure);
    check_ok(store_begin_reading(store, &failure), &failure);
    store_end_reading(store);
    check_ok(batch_store_find(store, "W-01", &found, &failure), &failure);
    batch_clear(&found);
    store_end_reading(store);

    begin_batch(&batch, "W-02");
    check_ok(batch_store_add(store, &batch, &failure), &failure);
    batch_clear(&batch);
    store_close(store);
}

static void
add_batch(struct store *store, const char *code, enum status expected, const char *text)
{
    struct failure failure = {0};
    struct batch batch;

    begin_batch(&batch, code);
    check_refused(batch_store_add(store, &batch, &failure), expected, &failure);
    check_contains(failure.text, text);
    batch_clear(&batch);
}

/* Another program's row is nothing; a trigger that came between would run with the next write. */
static void
a_schema_that_changes_while_it_is_open_is_noticed(void **state)
{
    struct folder *folder = *state;
    char *path = file_join(folder->path, "open.sqlite");
    struct failure failure = {0};
    struct store *store = NULL, *other = NULL;

    check_ok(notebook_open(path, STORE_CREATE, &store, NULL, &failure), &failure);
    add_batch(store, "W-01", STATUS_OK, "");
    check_ok(notebook_open(path, STORE_WRITE, &other, NULL, &failure), &failure);
    add_batch(other, "W-02", STATUS_OK, "");
    store_close(other);
    add_batch(store, "W-03", STATUS_OK, "");
    make_database(path, "CREATE TRIGGER sly BEFORE INSERT ON journal BEGIN SELECT RAISE(IGNORE); END;");
    add_batch(store, "W-04", STATUS_SYSTEM,
              "another program changed its tables while it was open; nothing was written");
    add_batch(store, "W-04", STATUS_SYSTEM, "another program changed its tables while it was open");
    store_close(store);
    free(path);
}

static void
copy_file(const char *from, const char *to)
{
    char bytes[65536];
    FILE *in = fopen(from, "rb"), *out = fopen(to, "wb");
    size_t length;

    assert_true(in != NULL && out != NULL);
    while ((length = fread(bytes, 1, sizeof bytes, in)) > 0)
        assert_int_equal(fwrite(bytes, 1, length, out), length);
    fclose(in);
    assert_int_equal(fclose(out), 0);
}

static void
a_file_that_another_takes_the_place_of_is_noticed(void **state)
{
    struct folder *folder = *state;
    char *path = file_join(folder->path, "open.sqlite"), *away = file_join(folder->path, "away.sqlite");
    struct failure failure = {0};
    struct store *store = NULL;
    struct batch found;

    check_ok(notebook_open(path, STORE_CREATE, &store, NULL, &failure), &failure);
    add_batch(store, "W-01", STATUS_OK, "");
    assert_int_equal(rename(path, away), 0);
    add_batch(store, "W-02", STATUS_SYSTEM, "it was moved or deleted while it was open");
    copy_file(away, path);
    add_batch(store, "W-02", STATUS_SYSTEM, "another file took its place while it was open");
    store_close(store);
    for (int i = 0; i < 2; i++) {
        check_ok(notebook_open(i == 0 ? path : away, STORE_READ, &store, NULL, &failure), &failure);
        check_refused(batch_store_find(store, "W-02", &found, &failure), STATUS_MISSING, &failure);
        store_close(store);
    }
    free(path);
    free(away);
}

/* Deleting by REPLACE is deleting. */
static void
replace_is_refused_as_delete_is(void **state)
{
    struct failure failure = {0};
    struct store *store = NULL;

    (void)state;
    check_ok(notebook_open(":memory:", STORE_CREATE, &store, NULL, &failure), &failure);
    add_batch(store, "W-01", STATUS_OK, "");
    assert_int_equal(
        sqlite3_exec(store->handle,
                     "INSERT OR REPLACE INTO batch (id, code, made_on, role, added_at) VALUES (1, 'W-09', "
                     "'2026-01-01', 'ordinary', '2026-01-01T00:00')",
                     NULL, NULL, NULL),
        SQLITE_CONSTRAINT);
    assert_string_equal(sqlite3_errmsg(store->handle), "rows of the notebook are never changed or deleted");
    store_close(store);
}

/* An endless statement, and a value of 2 MiB; in an own notebook neither bound is there. */
static void
reading_what_is_not_trusted_ends(void **state)
{
    static const char endless[] = "WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n ) SELECT "
                                  "count(*) FROM n";
    static const char large[] = "SELECT length(zeroblob(2000000))";
    struct folder *folder = *state;
    char *path = file_join(folder->path, "foreign.sqlite"),
         *attach = text_format("ATTACH '%s' AS other", path);
    struct failure failure = {0};
    struct store *store = NULL;
    int64_t number = 0;

    check_ok(notebook_open(path, STORE_CREATE, &store, NULL, &failure), &failure);
    check_ok(store_number(store, large, &number, &failure), &failure);
    assert_int_equal(number, 2000000);
    assert_null(store_foreign(store));
    assert_int_not_equal(sqlite3_exec(store->handle, attach, NULL, NULL, NULL), SQLITE_OK);
    store_close(store);
    make_database(path, "CREATE TABLE more (a);");
    check_ok(notebook_open(path, STORE_READ, &store, NULL, &failure), &failure);
    assert_string_equal(store_foreign(store), "table 'more' does not belong there");
    store->deadline = clock();
    check_refused(store_number(store, endless, &number, &failure), STATUS_SYSTEM, &failure);
    check_contains(failure.text, "reading it takes too long, and it is not as this program makes it");
    store->deadline = clock() + 1000 * CLOCKS_PER_SEC;
    check_refused(store_number(store, large, &number, &failure), STATUS_SYSTEM, &failure);
    check_contains(failure.text, "it holds a value that is longer than any of this program's");
    store_close(store);
    free(attach);
    free(path);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(a_new_notebook_is_private_and_marked, folder_make, folder_remove),
    cmocka_unit_test_setup_teardown(what_is_no_notebook_is_refused_and_left_alone, folder_make,
                                    folder_remove),
    cmocka_unit_test(what_fails_in_a_transaction_is_undone_whole),
    cmocka_unit_test_setup_teardown(rows_and_log_refuse_to_be_changed, folder_make, folder_remove),
    cmocka_unit_test_setup_teardown(a_full_disk_loses_nothing_that_was_there, folder_make, folder_remove),
    cmocka_unit_test_setup_teardown(a_schema_that_changes_while_it_is_open_is_noticed, folder_make,
                                    folder_remove),
    cmocka_unit_test_setup_teardown(a_file_that_another_takes_the_place_of_is_noticed, folder_make,
                                    folder_remove),
    cmocka_unit_test(replace_is_refused_as_delete_is),
    cmocka_unit_test_setup_teardown(reading_what_is_not_trusted_ends, folder_make, folder_remove),
    cmocka_unit_test(reading_nests_and_does_not_end_the_writing_around_it),
};

const struct check_module test_store_store = CHECK_MODULE("store/store", tests);
