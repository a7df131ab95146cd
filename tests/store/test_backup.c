/* test_backup.c - backups are whole, private and never in the way; older notebooks are copied first. */
#include <dirent.h>

#include <sqlite3.h>
#include <sys/stat.h>
#include <unistd.h>

#include "backup.h"
#include "check.h"
#include "file.h"
#include "filled_notebook.h"
#include "folder.h"
#include "notebook_internal.h"
#include "sql.h"
#include "tamper.h"
#include "text.h"
#include "verify.h"

static struct store *
open_filled(const char *path)
{
    struct failure failure = {0};
    struct store *store = NULL;

    check_ok(notebook_open(path, STORE_CREATE, &store, NULL, &failure), &failure);
    notebook_fill(store);
    return store;
}

/* All bytes of a file, in hexadecimal. Given: free() it. */
static char *
file_bytes(const char *path)
{
    struct text text = {0};
    FILE *file = fopen(path, "rb");

    assert_non_null(file);
    for (int byte; (byte = fgetc(file)) != EOF;)
        text_addf(&text, "%02x", (unsigned)byte);
    fclose(file);
    return text_take(&text);
}

static void
check_verifies(const char *path, const char *expected_head)
{
    struct failure failure = {0};
    struct verify_report report = {0};
    struct store *store = NULL;

    check_ok(notebook_open(path, STORE_READ, &store, NULL, &failure), &failure);
    check_ok(verify_notebook(store, NULL, &report, &failure), &failure);
    assert_int_equal(report.finding_count, 0);
    assert_string_equal(report.head, expected_head);
    verify_report_clear(&report);
    store_close(store);
}

static void
a_backup_is_the_same_notebook_and_private(void **state)
{
    const struct folder *folder = *state;
    char *path = file_join(folder->path, "notebook.sqlite"), *copy = file_join(folder->path, "copy.sqlite");
    struct failure failure = {0};
    struct store *store = open_filled(path);
    char head[JOURNAL_HASH_SIZE];
    struct stat about;

    check_ok(journal_head(store, head, &failure), &failure);
    check_ok(backup_write(store, copy, false, true, NULL, &failure), &failure);
    check_verifies(copy, head);
    assert_int_equal(stat(copy, &about), 0);
    assert_int_equal(about.st_mode & 0777, 0600);

    notebook_fill(store);
    check_refused(backup_write(store, copy, false, true, NULL, &failure), STATUS_CONFLICT, &failure);
    check_contains(failure.text, "is there already (--force replaces it)");
    check_verifies(copy, head);
    check_ok(journal_head(store, head, &failure), &failure);
    check_ok(backup_write(store, copy, true, true, NULL, &failure), &failure);
    check_verifies(copy, head);
    check_refused(backup_write(store, path, true, true, NULL, &failure), STATUS_CONFLICT, &failure);
    check_contains(failure.text, "is the notebook itself");
    store_close(store);
    free(path);
    free(copy);
}

static size_t
files_in(const struct folder *folder)
{
    DIR *open = opendir(folder->path);
    size_t count = 0;

    assert_non_null(open);
    for (const struct dirent *entry; (entry = readdir(open)) != NULL;)
        count += entry->d_name[0] == '.' ? 0 : 1;
    closedir(open);
    return count;
}

static void
a_backup_that_fails_leaves_nothing_behind(void **state)
{
    const struct folder *folder = *state;
    char *path = file_join(folder->path, "notebook.sqlite"),
         *nowhere = file_join(folder->path, "no/copy.sqlite");
    char *copy = file_join(folder->path, "copy.sqlite");
    struct failure failure = {0};
    struct store *store = open_filled(path);

    check_refused(backup_write(store, nowhere, false, true, NULL, &failure), STATUS_SYSTEM, &failure);
    check_contains(failure.text, "No such file or directory");
    assert_int_equal(sqlite3_exec(store->handle,
                                  "INSERT INTO setting (name, value, at) VALUES ('a', 'b', '2026-01-01')",
                                  NULL, NULL, NULL),
                     SQLITE_OK);
    check_refused(backup_write(store, copy, false, true, NULL, &failure), STATUS_SYSTEM, &failure);
    check_contains(failure.text, "the copy does not verify");
    assert_false(file_exists(copy));
    store_close(store); /* which removes the rollback journal too */
    assert_int_equal(files_in(folder), 1);
    free(path);
    free(nowhere);
    free(copy);
}

enum { MIGRATIONS_MOST = 50 };

/* What a later version would do: everything there is, and one migration more. */
static struct store_schema
schema_after(const char *migrations[MIGRATIONS_MOST], const char *more)
{
    assert_true(sql_migration_count < MIGRATIONS_MOST);
    for (int i = 0; i < sql_migration_count; i++)
        migrations[i] = sql_migrations[i];
    migrations[sql_migration_count] = more;
    return (struct store_schema){.migrations = migrations, .count = sql_migration_count + 1};
}

static void
an_older_notebook_is_copied_and_brought_up_to_date(void **state)
{
    const struct folder *folder = *state;
    const char *migrations[MIGRATIONS_MOST];
    const struct store_schema newer =
        schema_after(migrations, "ALTER TABLE reading ADD COLUMN light TEXT; CREATE TABLE later (id INTEGER "
                                 "PRIMARY KEY) STRICT;");
    char *path = file_join(folder->path, "notebook.sqlite");
    char *kept = text_format("%s.before-%d", path, sql_migration_count);
    struct failure failure = {0};
    struct verify_report report = {0};
    struct store *store = open_filled(path);
    struct notebook_news news = {0};
    char head[JOURNAL_HASH_SIZE], *before, *after;

    check_ok(journal_head(store, head, &failure), &failure);
    store_close(store);
    before = file_bytes(path);
    check_ok(notebook_open_as(path, STORE_READ, &newer, &store, NULL, &failure), &failure); /* in memory */
    check_ok(verify_notebook(store, NULL, &report, &failure), &failure);
    assert_int_equal(report.finding_count, 0);
    assert_string_equal(report.head, head);
    assert_int_equal(sqlite3_exec(store->handle, "SELECT light FROM reading", NULL, NULL, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_exec(store->handle, "INSERT INTO later DEFAULT VALUES", NULL, NULL, NULL),
                     SQLITE_READONLY);
    verify_report_clear(&report);
    store_close(store);
    after = file_bytes(path);
    assert_string_equal(before, after);
    assert_false(file_exists(kept));
    free(before);
    free(after);
    check_ok(notebook_open_as(path, STORE_WRITE, &newer, &store, &news, &failure), &failure);
    assert_string_equal(news.kept, kept);
    notebook_news_clear(&news);
    check_verifies(kept, head);
    check_ok(verify_notebook(store, NULL, &report, &failure), &failure);
    assert_int_equal(report.finding_count, 0); /* the new column is NULL, so no row's text changed */
    verify_report_clear(&report);
    store_close(store);
    check_refused(notebook_open(path, STORE_READ, &store, NULL, &failure), STATUS_FORMAT, &failure);
    check_contains(failure.text, "newer version of curetrace");
    free(path);
    free(kept);
}

/* An earlier copy may be of another state: going back to an older backup and upgrading it again must not take it for
 * this one's, nor write over it. */
static void
an_earlier_copy_stays_and_the_same_state_is_copied_once(void **state)
{
    const struct folder *folder = *state;
    const char *migrations[MIGRATIONS_MOST], *broken_migrations[MIGRATIONS_MOST];
    const struct store_schema newer =
        schema_after(migrations, "CREATE TABLE later (id INTEGER PRIMARY KEY) STRICT;");
    const struct store_schema broken = schema_after(broken_migrations, "CREATE TABEL x;");
    char *path = file_join(folder->path, "notebook.sqlite"), *before, *after;
    char *first = text_format("%s.before-%d", path, sql_migration_count),
         *second = text_format("%s-2", first);
    struct failure failure = {0};
    struct store *store = open_filled(path);
    struct notebook_news news = {0};

    store_close(store);
    check_refused(notebook_open_as(path, STORE_WRITE, &broken, &store, NULL, &failure), STATUS_SYSTEM,
                  &failure);
    check_refused(notebook_open_as(path, STORE_WRITE, &broken, &store, NULL, &failure), STATUS_SYSTEM,
                  &failure);
    check_contains(failure.text, "syntax error");
    assert_int_equal(files_in(folder), 2); /* and one copy, though it was tried twice */
    before = file_bytes(first);
    check_ok(notebook_open(path, STORE_WRITE, &store, NULL, &failure), &failure);
    notebook_fill(store);
    store_close(store);
    check_ok(notebook_open_as(path, STORE_WRITE, &newer, &store, &news, &failure), &failure);
    store_close(store);
    assert_string_equal(news.kept, second);
    assert_true(file_exists(second));
    after = file_bytes(first);
    assert_string_equal(before, after);
    notebook_news_clear(&news);
    free(before);
    free(after);
    free(first);
    free(second);
    free(path);
}

/* Within its own transaction it may do what a writer never may; what it leaves must verify. */
static void
a_migration_may_lift_the_triggers_and_must_leave_a_journal_that_verifies(void **state)
{
    static const char *const values[] = {"'forged'", "value"};
    const struct folder *folder = *state;
    char *path = file_join(folder->path, "notebook.sqlite");
    struct failure failure = {0};
    struct store *store = open_filled(path);
    char head[JOURNAL_HASH_SIZE];

    check_ok(journal_head(store, head, &failure), &failure);
    store_close(store);
    for (int i = 0; i < 2; i++) {
        char *sql =
            text_format("DROP TRIGGER setting_no_update; UPDATE setting SET value = %s; CREATE TRIGGER "
                        "setting_no_update BEFORE UPDATE ON setting BEGIN SELECT RAISE(ABORT, 'no'); END;",
                        values[i]);
        const char *migrations[MIGRATIONS_MOST];
        const struct store_schema newer = schema_after(migrations, sql);
        enum status status;

        status = notebook_open_as(path, STORE_WRITE, &newer, &store, NULL, &failure);
        if (i == 0) {
            check_refused(status, STATUS_SYSTEM, &failure);
            check_contains(failure.text, "the notebook would not verify: entry");
            check_verifies(path, head);
        } else {
            check_ok(status, &failure);
            store_close(store);
        }
        free(sql);
    }
    free(path);
}

static void
a_migration_that_fails_leaves_the_old_notebook(void **state)
{
    const struct folder *folder = *state;
    const char *migrations[MIGRATIONS_MOST];
    const struct store_schema broken =
        schema_after(migrations, "CREATE TABLE later (id INTEGER PRIMARY KEY); CREATE TABEL x;");
    char *path = file_join(folder->path, "notebook.sqlite");
    struct failure failure = {0};
    struct store *store = open_filled(path);
    char head[JOURNAL_HASH_SIZE];

    check_ok(journal_head(store, head, &failure), &failure);
    store_close(store);
    check_refused(notebook_open_as(path, STORE_WRITE, &broken, &store, NULL, &failure), STATUS_SYSTEM,
                  &failure);
    check_verifies(path, head);
    free(path);
}

/* Notebooks that earlier versions made, kept in the repository, are opened, verified and written to. They were made by
 * tests/store/notebooks/make.c when the version was released, and stay as they are. */
static void
check_kept(const struct folder *folder, int version)
{
    char *kept = text_format("%s/tests/store/notebooks/version-%d.sqlite", getenv("SOURCE_ROOT"), version);
    char *head_path = text_format("%s/tests/store/notebooks/version-%d.head", getenv("SOURCE_ROOT"), version);
    char *name = text_format("notebook-%d.sqlite", version), *path = file_join(folder->path, name),
         *head = NULL;
    struct tampering copy = {.path = path};
    struct failure failure = {0};
    struct store *store = NULL;
    struct notebook_news news = {0};

    check_ok(file_read(head_path, 1000, &head, &failure), &failure);
    assert_int_equal(sqlite3_open_v2(kept, &copy.whole, SQLITE_OPEN_READONLY, NULL), SQLITE_OK);
    tamper_copy(&copy);
    sqlite3_close(copy.whole);
    check_verifies(path, text_trim(head));                                         /* read as it is */
    check_ok(notebook_open(path, STORE_WRITE, &store, &news, &failure), &failure); /* brings it up to date */
    store_close(store);
    check_verifies(path, text_trim(head));
    check_verifies(news.kept, text_trim(head));
    notebook_news_clear(&news);
    check_ok(notebook_open(path, STORE_WRITE, &store, NULL, &failure), &failure);
    notebook_fill(store);
    store_close(store);
    free(head_path);
    free(head);
    free(kept);
    free(path);
    free(name);
}

static void
kept_notebooks_of_released_versions_open(void **state)
{
    for (int version = 1; version < sql_migration_count; version++)
        check_kept(*state, version);
}

#define FOLDER_TEST(name) cmocka_unit_test_setup_teardown(name, folder_make, folder_remove)

static const struct CMUnitTest tests[] = {
    FOLDER_TEST(a_backup_is_the_same_notebook_and_private),
    FOLDER_TEST(a_backup_that_fails_leaves_nothing_behind),
    FOLDER_TEST(an_older_notebook_is_copied_and_brought_up_to_date),
    FOLDER_TEST(an_earlier_copy_stays_and_the_same_state_is_copied_once),
    FOLDER_TEST(a_migration_may_lift_the_triggers_and_must_leave_a_journal_that_verifies),
    FOLDER_TEST(a_migration_that_fails_leaves_the_old_notebook),
    FOLDER_TEST(kept_notebooks_of_released_versions_open),
};

const struct check_module test_store_backup = CHECK_MODULE("store/backup", tests);
