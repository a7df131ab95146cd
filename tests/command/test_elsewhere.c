/* test_elsewhere.c - notebooks from elsewhere: whatever is in their schema, nothing of it runs, nothing is written to them,
 * and what they are not is said. */
#include <dirent.h>
#include <fcntl.h>
#include <sqlite3.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "check.h"
#include "file.h"
#include "kitchen.h"
#include "text.h"

static void
run_sql(const char *path, const char *sql)
{
    sqlite3 *handle = NULL;
    char *error = NULL;

    assert_int_equal(sqlite3_open(path, &handle), SQLITE_OK);
    if (sqlite3_exec(handle, sql, NULL, NULL, &error) != SQLITE_OK)
        print_error("%s: %s\n", sql, error);
    assert_null(error);
    sqlite3_close(handle);
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

static size_t
entries(const char *path)
{
    DIR *folder = opendir(path);
    size_t count = 0;

    assert_non_null(folder);
    while (readdir(folder) != NULL)
        count++;
    closedir(folder);
    return count;
}

/* A bar that burns, tested with a meter. */
static void
fill(struct kitchen *kitchen)
{
    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02");
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02");
    kitchen_do(kitchen, "read W-01 --meter bench --ph 12.4 --ph 12.4 --temperature-c 40 --percent 1");
}

/* What another program can put into a schema, and what must be said of it. SQLite runs triggers of any name; "sqlite_" is
 * reserved, so such a name is written past it. */
static const char rename_sly[] =
    "PRAGMA writable_schema = ON; UPDATE sqlite_schema SET name = 'NEW', sql = replace(sql, "
    "'sly', 'NEW') WHERE name = 'sly'; UPDATE sqlite_schema SET tbl_name = name WHERE type = "
    "'table' AND name = 'NEW'";
static const struct {
    const char *sql, *name, *difference; /* name: that of `sly`; NULL: it stays */
} foreign[] = {
    {"CREATE TRIGGER sly AFTER INSERT ON reading WHEN NEW.ph > 11 BEGIN INSERT OR REPLACE INTO reading (id, "
     "specimen, method, "
     "gear, replicate, ph, temperature_c, taken_at) VALUES (NEW.id, NEW.specimen, NEW.method, NEW.gear, "
     "NEW.replicate, 9.9, "
     "NEW.temperature_c, NEW.taken_at); END",
     "sqlite_stat9", "trigger 'sqlite_stat9' does not belong there"},
    {"CREATE TRIGGER sly AFTER INSERT ON reading BEGIN SELECT 1; END", "sqlite_stat1",
     "trigger 'sqlite_stat1' does not belong there"},
    {"CREATE TABLE sly (tbl, idx, stat, more)", "sqlite_stat1", "table 'sqlite_stat1' does not belong there"},
    {"CREATE TABLE sly (tbl, idx, stat)", "sqlite_stat3", "table 'sqlite_stat3' does not belong there"},
    {"CREATE TRIGGER sly BEFORE INSERT ON journal BEGIN SELECT RAISE(IGNORE); END", NULL,
     "trigger 'sly' does not belong"},
    {"CREATE TRIGGER sly BEFORE INSERT ON batch BEGIN SELECT RAISE(IGNORE); END", NULL,
     "trigger 'sly' does not belong"},
    {"CREATE TRIGGER sly BEFORE INSERT ON batch BEGIN SELECT RAISE(ROLLBACK, 'so'); END", NULL,
     "trigger 'sly' does not"},
    {"CREATE TRIGGER sly AFTER INSERT ON batch BEGIN INSERT INTO batch (code, made_on, role, added_at) "
     "VALUES (NEW.code || "
     "'x', NEW.made_on, NEW.role, NEW.added_at); END",
     NULL, "trigger 'sly' does not belong there"},
    {"CREATE TRIGGER sly AFTER INSERT ON journal BEGIN INSERT INTO setting (name, value, at) WITH RECURSIVE "
     "n (i) AS (SELECT 1 "
     "UNION ALL SELECT i + 1 FROM n) SELECT i, i, i FROM n; END",
     NULL, "trigger 'sly' does not belong there"},
    {"DROP TRIGGER batch_no_delete", NULL, "trigger 'batch_no_delete' is missing"},
    {"CREATE INDEX sly ON batch (hex(zeroblob(10)))", NULL, "index 'sly' does not belong there"},
};

static void
refuse(struct kitchen *kitchen, const char *line, const char *text)
{
    kitchen_run(kitchen, line);
    if (kitchen->exit_code == 0)
        print_error("%s was not refused\n", line);
    assert_int_not_equal(kitchen->exit_code, 0);
    check_contains(kitchen->failure.text, text);
}

static void
check_only_read(struct kitchen *kitchen, const char *difference)
{
    char *before = file_bytes(kitchen->notebook), *after;
    char *copy = text_format("backup %s/copy.sqlite", kitchen->folder->path);
    size_t files = entries(kitchen->folder->path);

    kitchen_do(kitchen, "batch list");
    check_contains(kitchen->out, "W-01");
    check_contains(kitchen->err, "is not as curetrace makes it (");
    check_contains(kitchen->err, difference);
    check_contains(kitchen->err, "it is only read");
    kitchen_do(kitchen, "verdict W-01");
    check_contains(kitchen->err, difference);
    refuse(kitchen, "batch add W-02 --made 2026-03-02", "so nothing is written to it");
    refuse(kitchen, "read W-01 --meter bench --ph 12.4 --temperature-c 40 --percent 1", difference);
    assert_int_equal(kitchen->exit_code, 2);
    refuse(kitchen, "verify", "the notebook is not as it was written");
    assert_int_equal(kitchen->exit_code, 1);
    check_contains(kitchen->out, difference);
    refuse(kitchen, copy, "the copy does not verify");
    after = file_bytes(kitchen->notebook);
    assert_string_equal(before, after);
    assert_int_equal(entries(kitchen->folder->path), files);
    free(before);
    free(after);
    free(copy);
}

static void
what_another_program_put_into_the_schema_is_said_and_never_runs(void **state)
{
    struct kitchen *kitchen = *state;
    char *whole, *changed;

    fill(kitchen);
    whole = kitchen->notebook;
    changed = file_join(kitchen->folder->path, "changed.sqlite");
    for (size_t i = 0; i < LENGTH(foreign); i++) {
        char *copy = text_format("backup %s --force", changed);

        kitchen->notebook = whole;
        kitchen_do(kitchen, copy);
        free(copy);
        run_sql(changed, foreign[i].sql);
        if (foreign[i].name != NULL) {
            struct text sql = {0};

            for (const char *at = rename_sly; *at != '\0';) {
                size_t length = strstr(at, "NEW") == at ? 3 : 1;

                text_add_bytes(&sql, length == 3 ? foreign[i].name : at,
                               length == 3 ? strlen(foreign[i].name) : 1);
                at += length;
            }
            run_sql(changed, text_of(&sql));
            text_clear(&sql);
        }
        kitchen->notebook = changed;
        check_only_read(kitchen, foreign[i].difference);
    }
    kitchen->notebook = whole;
    kitchen_do(kitchen, "batch add W-02 --made 2026-03-02"); /* this one was never touched */
    assert_string_equal(kitchen->err, "");
    free(changed);
}

/* The tables that ANALYZE makes, and nothing else of such a name. */
static void
statistics_of_sqlite_are_no_foreign_schema(void **state)
{
    struct kitchen *kitchen = *state;

    fill(kitchen);
    run_sql(kitchen->notebook, "ANALYZE");
    kitchen_do(kitchen, "batch add W-02 --made 2026-03-02");
    assert_string_equal(kitchen->err, "");
    kitchen_do(kitchen, "verify");
}

/* Run a line in a process of its own; gives how much memory it came to, in KiB. */
static long
memory_of(struct kitchen *kitchen, const char *line)
{
    struct rusage used;
    pid_t child = fork();
    int how;

    assert_true(child >= 0);
    if (child == 0) {
        kitchen_run(kitchen, line);
        _exit(strstr(kitchen->out, "table 'batch' was changed") == NULL ? 2 : kitchen->exit_code);
    }
    assert_int_equal(wait4(child, &how, 0, &used), child);
    assert_true(WIFEXITED(how) && WEXITSTATUS(how) == 1);
    return used.ru_maxrss;
}

/* Each row asked for 2 x 400 MB and more. */
static void
a_column_that_asks_for_gigabytes_gets_none(void **state)
{
    enum { MOST_KIB = 600 * 1024 }; /* the sanitizers take most of it */
    struct kitchen *kitchen = *state;

    fill(kitchen);
    run_sql(kitchen->notebook, "ALTER TABLE batch ADD COLUMN wide TEXT AS (hex(zeroblob(400000000)))");
    assert_true(memory_of(kitchen, "verify") < MOST_KIB);
    refuse(kitchen, "batch add W-02 --made 2026-03-02", "table 'batch' was changed");
}

static void
what_is_no_file_is_no_notebook(void **state)
{
    static const char *const names[] = {":memory:", "file:x?mode=memory", "file:x.sqlite", ":x", ""};
    struct kitchen *kitchen = *state;
    size_t files = entries(kitchen->folder->path);

    assert_int_equal(chdir(kitchen->folder->path), 0);
    for (size_t i = 0; i < LENGTH(names); i++) {
        const char *words[] = {"batch", "add", "W-01", "--made", "2026-03-02", "--notebook", names[i], NULL};

        assert_int_equal(kitchen_run_words(kitchen, words), STATUS_USAGE);
        check_contains(kitchen->failure.text, "is no file that keeps a notebook");
        assert_string_equal(kitchen->out, "");
    }
    assert_int_equal(entries(kitchen->folder->path), files);
    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02 --notebook ./file:x");
    kitchen_do(kitchen, "batch list --notebook ./file:x");
    check_contains(kitchen->out, "W-01");
    assert_true(file_exists("file:x"));
    assert_int_equal(chdir("/"), 0);
}

static void
an_empty_file_that_others_can_read_becomes_private(void **state)
{
    struct kitchen *kitchen = *state;
    struct failure failure = {0};
    struct stat about;

    check_ok(file_write(kitchen->notebook, "", 0, &failure), &failure);
    assert_int_equal(chmod(kitchen->notebook, 0644), 0);
    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02");
    assert_int_equal(stat(kitchen->notebook, &about), 0);
    assert_int_equal(about.st_mode & 0777, 0600);
}

/* What is wrong with the file, in words; root may read everything, so as another user then. */
static void
refuse_as_nobody(struct kitchen *kitchen, const char *line, const char *text)
{
    pid_t child = fork();
    int how;

    assert_true(child >= 0);
    if (child == 0) {
        if (geteuid() == 0 && (setgid(65534) != 0 || setuid(65534) != 0)) /* nobody */
            _exit(2);
        kitchen_run(kitchen, line);
        if (kitchen->exit_code != 1 || strstr(kitchen->failure.text, text) == NULL) {
            print_error("%s\n  '%s', expected '%s'\n", line, kitchen->failure.text, text);
            _exit(1);
        }
        _exit(0);
    }
    assert_int_equal(waitpid(child, &how, 0), child);
    assert_true(WIFEXITED(how) && WEXITSTATUS(how) == 0);
}

/* The file and its rollback journal as a program leaves them that is cut off in the middle of a write. */
static void
leave_half_a_write(const char *path)
{
    pid_t child = fork();

    assert_true(child >= 0);
    if (child == 0) {
        sqlite3 *handle = NULL;

        sqlite3_open(path, &handle);
        sqlite3_exec(handle,
                     "PRAGMA cache_size = 1; BEGIN IMMEDIATE; CREATE TABLE half (a); INSERT INTO half WITH "
                     "RECURSIVE n (i) "
                     "AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 500) SELECT zeroblob(2000) FROM n",
                     NULL, NULL, NULL);
        _exit(0);
    }
    waitpid(child, NULL, 0);
}

static void
what_cannot_be_opened_is_said_in_words(void **state)
{
    struct kitchen *kitchen = *state;
    char *journal = text_format("%s-journal", kitchen->notebook);

    fill(kitchen);
    assert_int_equal(chmod(kitchen->folder->path, 0755), 0);
    refuse_as_nobody(kitchen, "batch list", "cannot read the notebook");
    refuse_as_nobody(kitchen, "batch list", "it, or its folder, is not open to you");
    refuse_as_nobody(kitchen, "batch add W-02 --made 2026-03-02", "it, or its folder, is not open to you");
    assert_int_equal(chmod(kitchen->notebook, 0644), 0);
    leave_half_a_write(kitchen->notebook);
    assert_true(file_exists(journal));
    assert_int_equal(chmod(journal, 0644), 0);
    refuse_as_nobody(kitchen, "batch list", "a program that was cut off left half a write in it");
    kitchen_do(kitchen, "batch list"); /* who may write it undoes it */
    kitchen_do(kitchen, "verify");

    run_sql(kitchen->notebook, "PRAGMA user_version = 0");
    refuse(kitchen, "batch list", "is marked as a notebook but does not say of which version");
    run_sql(kitchen->notebook, "PRAGMA application_id = 77");
    refuse(kitchen, "batch list", "is a database of another program, not a notebook of this one");
    free(journal);
}

/* One value that this program cannot make sense of, behind a schema that is right: it counts for nothing, and stops nothing
 * that has nothing to do with it. */
static void
a_calibration_that_cannot_be_read_stops_no_command(void **state)
{
    static const char *const lines[] = {"batch list",
                                        "batch show W-01",
                                        "verdict W-01",
                                        "due",
                                        "trend W-01 --csv",
                                        "gear show bench",
                                        "gear list",
                                        "batch hold W-01 --why no",
                                        ("read W-01 --meter bench --ph 9.7 "
                                         "--temperature-c 40 --percent 1")};
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02");
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02");
    kitchen_do(kitchen,
               "calibrate bench --at 2026-05-01T09:30 --buffer borax@25=9.18 --buffer 'lime water@25=12.45'");
    kitchen_do(kitchen,
               "read W-01 --meter bench --ph 9.6 --temperature-c 40 --percent 1 --at 2026-05-01T10:00");
    run_sql(kitchen->notebook,
            "DROP TRIGGER calibration_point_no_update; UPDATE calibration_point SET buffer = 'moon water' "
            "WHERE id = 1;"
            "CREATE TRIGGER calibration_point_no_update BEFORE UPDATE ON calibration_point\n"
            "BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;");
    for (size_t i = 0; i < LENGTH(lines); i++) {
        kitchen_do(kitchen, lines[i]);
        assert_string_equal(kitchen->err, "");
    }
    kitchen_do(kitchen, "verdict W-01");
    check_contains(kitchen->out, "it cannot be cleared");
    check_lacks(kitchen->out, "within\n");
    check_contains(kitchen->out, "no calibration of the meter is on record before the reading");
    refuse(kitchen, "verify", "row 1 of table calibration_point is not as it was written");
}

#define KITCHEN_TEST(name) cmocka_unit_test_setup_teardown(name, kitchen_open, kitchen_close)

static const struct CMUnitTest tests[] = {
    KITCHEN_TEST(what_another_program_put_into_the_schema_is_said_and_never_runs),
    KITCHEN_TEST(statistics_of_sqlite_are_no_foreign_schema),
    KITCHEN_TEST(a_column_that_asks_for_gigabytes_gets_none),
    KITCHEN_TEST(what_is_no_file_is_no_notebook),
    KITCHEN_TEST(an_empty_file_that_others_can_read_becomes_private),
    KITCHEN_TEST(what_cannot_be_opened_is_said_in_words),
    KITCHEN_TEST(a_calibration_that_cannot_be_read_stops_no_command),
};

const struct check_module test_command_elsewhere = CHECK_MODULE("command/elsewhere", tests);
