/* test_fault.c - whatever the disk does and whenever, the notebook opens, verifies, and holds every answer
 * that was acknowledged. */
#include <sqlite3.h>
#include <stdlib.h>
#include <unistd.h>

#include "backup.h"
#include "check.h"
#include "every_command.h"
#include "fault_disk.h"
#include "file.h"
#include "filled_notebook.h"
#include "kitchen.h"
#include "notebook_internal.h"
#include "sql.h"
#include "text.h"
#include "verify.h"

/* One piece of work and the notebook it begins with; or a line of every_command.h, with the notebook of that. */
struct work {
    const char *name;
    void (*prepare)(struct kitchen *kitchen);
    /* Works until something is refused; calls acknowledge() after everything that was said to be done. */
    void (*run)(struct kitchen *kitchen);
    const struct every_line *line; /* NULL: prepare and run */
};

static struct {
    char head[JOURNAL_HASH_SIZE]; /* of what was acknowledged last; "" before anything */
    size_t acknowledged, states, faults;
} seen;

/* The head as another program would read it, past the failing disk. */
static void
acknowledge(const char *path)
{
    sqlite3 *handle = NULL;
    sqlite3_stmt *latest = NULL;

    assert_int_equal(sqlite3_open_v2(path, &handle, SQLITE_OPEN_READONLY, "unix"), SQLITE_OK);
    if (sqlite3_prepare_v2(handle, "SELECT hash FROM journal ORDER BY seq DESC LIMIT 1", -1, &latest, NULL) ==
            SQLITE_OK &&
        sqlite3_step(latest) == SQLITE_ROW) {
        snprintf(seen.head, sizeof seen.head, "%s", (const char *)sqlite3_column_text(latest, 0));
        seen.acknowledged++;
    }
    sqlite3_finalize(latest);
    sqlite3_close(handle);
}

static bool
do_line(struct kitchen *kitchen, const char *line)
{
    bool done = kitchen_run(kitchen, line) == STATUS_OK;

    if (done)
        acknowledge(kitchen->notebook);
    return done;
}

/* --- the works --------------------------------------------------------------------------------------- */

static void
prepare_bench(struct kitchen *kitchen)
{
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02");
    kitchen_do(kitchen, "gear add strips --kind paper --steps 7,8,9,10,11");
    kitchen_do(kitchen, "batch add W-07 --made 2026-03-02");
}

static void
run_readings(struct kitchen *kitchen)
{
    static const char *const lines[] = {
        "batch add W-08 --made 2026-03-02 --fat 'olive oil=500' --lye naoh=64@98.5%",
        "read W-08 --water distilled --meter bench --ph 9.87 --ph 9.85 --temperature-c 40 --percent 1",
        "correct 1 --ph 9.78 --why 'digits turned'",
        "read W-08 --water distilled --paper strips --between 9..10 --temperature-c 40",
        "batch hold W-08 --why 'zap test'",
    };

    for (size_t i = 0; i < LENGTH(lines) && do_line(kitchen, lines[i]); i++)
        continue;
}

/* The walk-through asks its next question only when the answer before is filed. */
struct typed_lines {
    struct kitchen *kitchen;
    const char *rest;
    bool inside; /* of a line */
};

static ssize_t
give_answer(void *cookie, char *bytes, size_t size)
{
    struct typed_lines *answers = cookie;

    if (*answers->rest == '\0' || size == 0)
        return 0;
    if (!answers->inside)
        acknowledge(answers->kitchen->notebook);
    *bytes = *answers->rest++;
    answers->inside = *bytes != '\n';
    return 1;
}

static void
run_walk(struct kitchen *kitchen)
{
    struct typed_lines answers = {.kitchen = kitchen,
                                  .rest = "\ndistilled\nnear neutral\nnothing of "
                                          "it\n1.00\n99.00\n\nclear\n40\n9..10 40\n8..9 40\nsmells nice\n\n"};
    cookie_io_functions_t functions = {.read = give_answer};
    FILE *input = fopencookie(&answers, "r", functions);

    assert_non_null(input);
    setvbuf(input, NULL, _IONBF, 0);
    if (kitchen_run_from(kitchen, "test W-07 --procedure paper-only --paper strips", input) == STATUS_OK)
        acknowledge(kitchen->notebook);
    fclose(input);
}

static void
run_import(struct kitchen *kitchen)
{
    char *path = file_join(kitchen->folder->path, "file.csv"),
         *line = text_format("import readings %s --water distilled", path);
    struct text text = {0};
    struct failure failure = {0};

    text_add(&text, "batch,made_on,taken_at,gear,ph\n");
    for (int i = 0; i < 1200; i++) /* more than one block, so that the second thread meets the disk too */
        text_addf(&text, "N-%d,2026-01-01,2026-02-%02dT%02d:%02d,bench,9.%02d\n", i % 3, 1 + i % 20, i / 60,
                  i % 60, i % 100);
    check_ok(file_write(path, text_of(&text), text.length, &failure), &failure);
    do_line(kitchen, line);
    text_clear(&text);
    free(line);
    free(path);
}

static void
run_backup(struct kitchen *kitchen)
{
    char *copy = file_join(kitchen->folder->path, "copy.sqlite"), *line = text_format("backup %s", copy);

    acknowledge(kitchen->notebook); /* the notebook itself must not suffer */
    if (kitchen_run(kitchen, line) == STATUS_OK)
        acknowledge(copy);
    free(line);
    free(copy);
}

static void
run_creation(struct kitchen *kitchen)
{
    do_line(kitchen, "batch add W-01 --made 2026-03-02");
}

static void
prepare_nothing(struct kitchen *kitchen)
{
    (void)kitchen;
}

/* A version that does not exist yet stands for the next one. */
static const char *next_migrations[16];
static const struct store_schema *
next_schema(void)
{
    static struct store_schema schema;

    assert_true((size_t)sql_migration_count < LENGTH(next_migrations));
    for (int i = 0; i < sql_migration_count; i++)
        next_migrations[i] = sql_migrations[i];
    next_migrations[sql_migration_count] =
        "ALTER TABLE reading ADD COLUMN light TEXT; CREATE TABLE later (id INTEGER PRIMARY KEY) "
        "STRICT; CREATE INDEX later_reading ON reading (taken_at);";
    schema = (struct store_schema){.migrations = next_migrations, .count = sql_migration_count + 1};
    return &schema;
}

static void
run_migration(struct kitchen *kitchen)
{
    struct failure failure = {0};
    struct store *store = NULL;

    acknowledge(kitchen->notebook);
    if (notebook_open_as(kitchen->notebook, STORE_WRITE, next_schema(), &store, NULL, &failure) == STATUS_OK)
        acknowledge(kitchen->notebook);
    store_close(store);
}

static const struct work works[] = {
    {"a new notebook", prepare_nothing, run_creation, NULL},
    {"readings", prepare_bench, run_readings, NULL},
    {"walk-through", prepare_bench, run_walk, NULL},
    {"import", prepare_bench, run_import, NULL},
    {"backup", prepare_bench, run_backup, NULL},
    {"migration", prepare_bench, run_migration, NULL},
};

/* --- afterwards -------------------------------------------------------------------------------------- */

static void
check_notebook(const char *path, const char *head)
{
    struct failure failure = {0};
    struct verify_report report = {0};
    struct store *store = NULL;
    enum status status = notebook_open(path, STORE_WRITE, &store, NULL, &failure);

    if (status == STATUS_FORMAT && strstr(failure.text, "newer version") != NULL)
        status = notebook_open_as(path, STORE_WRITE, next_schema(), &store, NULL, &failure);
    check_ok(status, &failure);
    check_ok(verify_notebook(store, *head == '\0' ? NULL : head, &report, &failure), &failure);
    if (report.finding_count > 0)
        print_error("%s: %s\n", path, report.findings[0]);
    assert_int_equal(report.finding_count, 0);
    if (*head != '\0')
        assert_true(report.after_head >= 0);
    verify_report_clear(&report);
    store_close(store);
    seen.states++;
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

/* The notebook of every_command.h, made once a kitchen, and an export to import. */
static void
prepare_line(struct kitchen *kitchen)
{
    char *furnished = file_join(kitchen->folder->path, "furnished.sqlite");
    char *export = text_format("export %s/export", kitchen->folder->path);

    if (!file_exists(furnished)) {
        every_command_furnish(kitchen);
        kitchen_do(kitchen, export);
        copy_file(kitchen->notebook, furnished);
    }
    copy_file(furnished, kitchen->notebook);
    free(export);
    free(furnished);
}

static void
run_work(struct kitchen *kitchen, const struct work *work)
{
    if (work->line == NULL) {
        work->run(kitchen);
        return;
    }
    acknowledge(kitchen->notebook);
    if (every_command_run(kitchen, work->line, "") == STATUS_OK)
        acknowledge(kitchen->notebook);
}

/* Back to the beginning: the prepared notebook, and no file that work made. */
static void
begin_again(const struct kitchen *kitchen, const char *prepared)
{
    static const char *const made[] = {
        "notebook.sqlite", "notebook.sqlite-journal", "copy.sqlite",
        "another.sqlite",  "another.sqlite-journal",  "notebook.sqlite.before-1"};

    for (size_t i = 0; i < LENGTH(made); i++) {
        char *path = file_join(kitchen->folder->path, made[i]);

        unlink(path);
        free(path);
    }
    if (file_exists(prepared))
        copy_file(prepared, kitchen->notebook);
    seen.head[0] = '\0';
}

/* A new notebook whose first transaction never ended. */
static bool
is_empty(const char *path)
{
    struct failure failure = {0};
    struct store *store = NULL;
    enum status status = notebook_open(path, STORE_READ, &store, NULL, &failure);

    store_close(store);
    return status != STATUS_OK && strstr(failure.text, "is empty") != NULL;
}

static void
check_copies(const struct kitchen *kitchen)
{
    static const char *const copies[] = {"copy.sqlite", "notebook.sqlite.before-1", "another.sqlite"};

    for (size_t i = 0; i < LENGTH(copies); i++) {
        char *path = file_join(kitchen->folder->path, copies[i]);

        if (file_exists(path) && !is_empty(path)) /* then it is whole */
            check_notebook(path, "");
        free(path);
    }
}

/* Nothing was ever acknowledged and no file holds anything: the disk failed before there was a notebook. */
static bool
never_begun(const struct kitchen *kitchen)
{
    struct failure failure = {0};
    struct store *store = NULL;
    enum status status = notebook_open(kitchen->notebook, STORE_READ, &store, NULL, &failure);

    store_close(store);
    return seen.head[0] == '\0' && (status == STATUS_MISSING || strstr(failure.text, "is empty") != NULL);
}

/* One run with one fault; false when the work was done before it could happen. */
static bool
try_fault(struct kitchen *kitchen, const struct work *work, const char *prepared, enum fault fault, long n,
          unsigned chance)
{
    bool happened;

    begin_again(kitchen, prepared);
    fault_disk_arm(fault, n);
    run_work(kitchen, work);
    happened = fault_disk_happened();
    if (fault == FAULT_POWER)
        fault_disk_restart(chance);
    fault_disk_arm(FAULT_NONE, 0);
    if (!never_begun(kitchen))
        check_notebook(kitchen->notebook, seen.head);
    check_copies(kitchen);
    seen.faults += happened ? 1 : 0;
    return happened;
}

/* How far apart the faults of a line are tried: each with EVERY_FAULT set in the environment (a quarter of an hour), else
 * some, from another one on in each line. The works before the lines try each. */
static long
fault_step(const struct work *work, enum fault fault)
{
    if (work->line == NULL || getenv("EVERY_FAULT") != NULL)
        return 1;
    return fault == FAULT_READ ? 23 : 5;
}

/* Until the work gets through without the fault. */
static void
try_work(struct kitchen *kitchen, const struct work *work, enum fault fault)
{
    char *prepared = file_join(kitchen->folder->path, "prepared.sqlite");
    long step = fault_step(work, fault), n = 1 + (work->line == NULL ? 0 : (work->line - every_lines) % step);
    unsigned chance = 1;

    unlink(prepared);
    begin_again(kitchen, prepared);
    if (work->line == NULL)
        work->prepare(kitchen);
    else
        prepare_line(kitchen);
    if (file_exists(kitchen->notebook))
        copy_file(kitchen->notebook, prepared);
    while (try_fault(kitchen, work, prepared, fault, n, 0)) {
        if (fault == FAULT_POWER)
            try_fault(kitchen, work, prepared, fault, n, chance++);
        n += step;
        assert_true(n < 100000);
    }
    print_message("  %s, %s: %ld\n", work->name, fault_name(fault), n - 1);
    free(prepared);
}

static void
try_works(struct kitchen *kitchen, enum fault fault)
{
    memset(&seen, 0, sizeof seen);
    fault_disk_install();
    for (size_t i = 0; i < LENGTH(works); i++)
        try_work(kitchen, &works[i], fault);
    for (size_t i = 0; i < every_line_count(); i++) {
        const struct work work = {.name = every_lines[i].line, .line = &every_lines[i]};

        if (every_lines[i].writes)
            try_work(kitchen, &work, fault);
    }
    fault_disk_remove();
    print_message("faults injected: %zu (%s), states checked: %zu, answers acknowledged: %zu, lost: 0\n",
                  seen.faults, fault_name(fault), seen.states, seen.acknowledged);
    assert_true(seen.faults > 10);
}

static void
every_command_that_writes_is_tried(void **state)
{
    (void)state;
    if (every_command_missing(true) != NULL)
        fail_msg("tests/support/every_command.c has no line in which '%s' writes",
                 every_command_missing(true));
}

static void
a_read_that_fails_costs_nothing(void **state)
{
    try_works(*state, FAULT_READ);
}

static void
a_write_that_fails_costs_nothing(void **state)
{
    try_works(*state, FAULT_WRITE);
}

static void
a_sync_that_fails_costs_nothing(void **state)
{
    try_works(*state, FAULT_SYNC);
}

static void
a_full_disk_costs_nothing(void **state)
{
    try_works(*state, FAULT_FULL);
}

static void
a_power_cut_costs_nothing_that_was_acknowledged(void **state)
{
    try_works(*state, FAULT_POWER);
}

#define KITCHEN_TEST(name) cmocka_unit_test_setup_teardown(name, kitchen_open, kitchen_close)

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_command_that_writes_is_tried),
    KITCHEN_TEST(a_read_that_fails_costs_nothing),
    KITCHEN_TEST(a_write_that_fails_costs_nothing),
    KITCHEN_TEST(a_sync_that_fails_costs_nothing),
    KITCHEN_TEST(a_full_disk_costs_nothing),
    KITCHEN_TEST(a_power_cut_costs_nothing_that_was_acknowledged),
};

const struct check_module test_fault_fault = CHECK_MODULE("fault/fault", tests);
