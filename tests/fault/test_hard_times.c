/* test_hard_times.c - real processes, killed, starved and in each other's way. */
#include <fcntl.h>
#include <signal.h>
#include <sqlite3.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "check.h"
#include "every_command.h"
#include "file.h"
#include "kitchen.h"
#include "notebook.h"
#include "text.h"

enum { KILLS = 200, SEED = 20260601 };

#if defined(__SANITIZE_ADDRESS__)
#define SANITIZED 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define SANITIZED 1
#endif
#endif
#ifndef SANITIZED
#define SANITIZED 0
#endif

static void
check_verified(struct kitchen *kitchen)
{
    kitchen_do(kitchen, "verify");
    check_contains(kitchen->out, "Nothing in it contradicts its journal");
}

static int64_t
count_batches(const char *path, const char *first_letter)
{
    char *sql = text_format("SELECT count(*) FROM batch WHERE code LIKE '%s-%%'", first_letter);
    sqlite3 *handle = NULL;
    sqlite3_stmt *count = NULL;
    int64_t found;

    assert_int_equal(sqlite3_open(path, &handle), SQLITE_OK);
    sqlite3_busy_timeout(handle, 10000);
    assert_int_equal(sqlite3_prepare_v2(handle, sql, -1, &count, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_step(count), SQLITE_ROW);
    found = sqlite3_column_int64(count, 0);
    sqlite3_finalize(count);
    sqlite3_close(handle);
    free(sql);
    return found;
}

/* Add batches named LETTER-1, LETTER-2, ... and write one byte to `told` after each that is done. */
static void
add_batches(struct kitchen *kitchen, const char *letter, int first, int count, int told)
{
    for (int i = first; i < first + count; i++) {
        char *line = text_format(
            "batch add %s-%d --made 2026-03-02 --fat 'olive oil=500' --lye naoh=64@98.5%%", letter, i);
        bool done = kitchen_run(kitchen, line) == STATUS_OK;

        free(line);
        if (!done) {
            fprintf(stderr, "%s\n", kitchen->failure.text);
            _exit(1);
        }
        if (told >= 0 && write(told, "x", 1) != 1)
            _exit(1);
    }
}

/* The bytes that come until the other end is closed, and one by one the first `awaited`. */
static int
count_bytes(int descriptor, int awaited)
{
    char bytes[4096];
    int total = 0;
    ssize_t got;

    while (total < awaited && read(descriptor, bytes, 1) == 1)
        total++;
    if (awaited > 0)
        return total;
    while ((got = read(descriptor, bytes, sizeof bytes)) > 0)
        total += (int)got;
    return total;
}

static void
a_killed_program_loses_nothing_it_acknowledged(void **state)
{
    struct kitchen *kitchen = *state;
    int64_t acknowledged = 0;
    unsigned chance = SEED;

    kitchen_do(kitchen, "batch add X-1 --made 2026-03-02");
    for (int i = 0; i < KILLS; i++) {
        char letter[16];
        int told[2];
        pid_t child;
        int done;

        snprintf(letter, sizeof letter, "K%d", i);
        assert_int_equal(pipe(told), 0);
        child = fork();
        if (child == 0) {
            close(told[0]);
            add_batches(kitchen, letter, 1, 1000, told[1]);
            _exit(0);
        }
        close(told[1]);
        chance = chance * 1664525u + 1013904223u;
        done = count_bytes(told[0], 1 + (int)(chance >> 29)); /* then at any moment of the next */
        usleep((chance >> 8) % 12000);
        kill(child, SIGKILL);
        waitpid(child, NULL, 0);
        done += count_bytes(told[0], 0);
        close(told[0]);
        acknowledged += done;
        assert_true(count_batches(kitchen->notebook, letter) >= done);
        if (i % 10 == 9)
            check_verified(kitchen);
    }
    check_verified(kitchen);
    print_message("kill -9: %d times, answers acknowledged: %lld, lost: 0\n", KILLS, (long long)acknowledged);
    assert_true(acknowledged > 0);
}

/* Entries of the journal. */
static int64_t
count_entries(const char *path)
{
    sqlite3 *handle = NULL;
    sqlite3_stmt *count = NULL;
    int64_t found;

    assert_int_equal(sqlite3_open(path, &handle), SQLITE_OK);
    sqlite3_busy_timeout(handle, 10000);
    assert_int_equal(sqlite3_prepare_v2(handle, "SELECT count(*) FROM journal", -1, &count, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_step(count), SQLITE_ROW);
    found = sqlite3_column_int64(count, 0);
    sqlite3_finalize(count);
    sqlite3_close(handle);
    return found;
}

/* In the child: the line, then a byte when it was said to be done. */
static void
work_to_be_killed(struct kitchen *kitchen, const struct every_line *line, int told)
{
    if (every_command_run(kitchen, line, "") != STATUS_OK || write(told, "x", 1) != 1)
        _exit(1);
    pause();
}

static void
copy_notebook(const char *from, const char *to)
{
    char *line = text_format("rm -f '%s' '%s-journal' && cp '%s' '%s'", to, to, from, to);

    assert_int_equal(system(line), 0);
    free(line);
}

static void
every_command_that_writes_may_be_killed(void **state)
{
    enum { KILLS_EACH = 12 };
    struct kitchen *kitchen = *state;
    char *whole = text_format("%s.whole", kitchen->notebook),
         *export = text_format("export %s/export", kitchen->folder->path);
    unsigned chance = SEED;
    size_t kills = 0, acknowledged = 0;
    int64_t before;

    if (every_command_missing(true) != NULL)
        fail_msg("tests/support/every_command.c has no line in which '%s' writes",
                 every_command_missing(true));
    every_command_furnish(kitchen);
    kitchen_do(kitchen, export);
    copy_notebook(kitchen->notebook, whole);
    before = count_entries(whole);
    for (size_t i = 0; i < every_line_count() * KILLS_EACH; i++) {
        const struct every_line *line = &every_lines[i / KILLS_EACH];
        bool elsewhere = strstr(line->line, "--notebook") != NULL;
        int told[2], done;
        pid_t child;

        if (!line->writes)
            continue;
        copy_notebook(whole, kitchen->notebook);
        assert_int_equal(pipe(told), 0);
        child = fork();
        if (child == 0)
            work_to_be_killed(kitchen, line, told[1]);
        close(told[1]);
        chance = chance * 1664525u + 1013904223u;
        usleep((chance >> 8) % 60000);
        kill(child, SIGKILL);
        waitpid(child, NULL, 0);
        done = count_bytes(told[0], 0);
        close(told[0]);
        kills++;
        acknowledged += done > 0 ? 1 : 0;
        if (!elsewhere && done > 0 && count_entries(kitchen->notebook) <= before)
            fail_msg("%s: said to be done, and nothing is there", line->line);
        check_verified(kitchen);
    }
    print_message("kill -9 in every command that writes: %zu times, acknowledged before it: %zu, lost: 0\n",
                  kills, acknowledged);
    assert_true(acknowledged > 0 && acknowledged < kills);
    free(export);
    free(whole);
}

static void
two_programs_wait_for_each_other(void **state)
{
    enum { PROGRAMS = 4, EACH = 25 };
    static const char *const letters[PROGRAMS] = {"A", "B", "C", "D"};
    struct kitchen *kitchen = *state;
    pid_t children[PROGRAMS];

    kitchen_do(kitchen, "batch add X-1 --made 2026-03-02");
    for (size_t i = 0; i < PROGRAMS; i++) {
        children[i] = fork();
        if (children[i] == 0) {
            add_batches(kitchen, letters[i], 1, EACH, -1);
            _exit(0);
        }
    }
    for (size_t i = 0; i < PROGRAMS; i++) {
        int how = 0;

        waitpid(children[i], &how, 0);
        assert_true(WIFEXITED(how) && WEXITSTATUS(how) == 0);
    }
    for (size_t i = 0; i < PROGRAMS; i++)
        assert_int_equal(count_batches(kitchen->notebook, letters[i]), EACH);
    check_verified(kitchen);
}

static void
two_programs_may_make_the_notebook_at_once(void **state)
{
    struct kitchen *kitchen = *state;

    for (int i = 0; i < 20; i++) {
        pid_t children[2];

        unlink(kitchen->notebook);
        for (int c = 0; c < 2; c++) {
            children[c] = fork();
            if (children[c] == 0) {
                add_batches(kitchen, c == 0 ? "A" : "B", 1, 2, -1);
                _exit(0);
            }
        }
        for (int c = 0; c < 2; c++) {
            int how = 0;

            waitpid(children[c], &how, 0);
            assert_true(WIFEXITED(how) && WEXITSTATUS(how) == 0);
        }
        assert_int_equal(count_batches(kitchen->notebook, "_"), 4);
        check_verified(kitchen);
    }
}

/* Run as someone whom the modes of files bind; a test may run as root. */
static int
as_anyone(struct kitchen *kitchen, void (*work)(struct kitchen *kitchen))
{
    int how = 0;
    pid_t child = fork();

    if (child == 0) {
        if (geteuid() == 0 && (setgid(65534) != 0 || setuid(65534) != 0))
            _exit(9);
        work(kitchen);
        _exit(0);
    }
    waitpid(child, &how, 0);
    return WIFEXITED(how) ? WEXITSTATUS(how) : 99;
}

/* In the child: expectations end it with a number of their own. */
static void
read_only_work(struct kitchen *kitchen)
{
    if (kitchen_run(kitchen, "batch list") != STATUS_OK || strstr(kitchen->out, "X-1") == NULL)
        _exit(2);
    if (kitchen_run(kitchen, "verify") != STATUS_OK)
        _exit(3);
    if (kitchen_run(kitchen, "batch add Y-1 --made 2026-03-02") != STATUS_SYSTEM)
        _exit(4);
    if (strstr(kitchen->failure.text, "read-only") == NULL &&
        strstr(kitchen->failure.text, "it, or its folder, is not open to you") == NULL)
        _exit(5);
}

static void
a_read_only_notebook_can_be_read(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add X-1 --made 2026-03-02");
    assert_int_equal(chmod(kitchen->notebook, 0444), 0);
    assert_int_equal(chmod(kitchen->folder->path, 0555), 0);
    assert_int_equal(as_anyone(kitchen, read_only_work), 0);
    assert_int_equal(chmod(kitchen->notebook, 0666), 0); /* the folder alone: no journal can be made */
    assert_int_equal(as_anyone(kitchen, read_only_work), 0);
    assert_int_equal(chmod(kitchen->folder->path, 0755), 0);
    check_verified(kitchen);
}

static void
a_notebook_deleted_under_a_running_program_is_noticed(void **state)
{
    struct kitchen *kitchen = *state;
    struct failure failure = {0};
    struct store *store = NULL;

    kitchen_do(kitchen, "batch add X-1 --made 2026-03-02");
    check_ok(notebook_open(kitchen->notebook, STORE_WRITE, &store, NULL, &failure), &failure);
    assert_int_equal(unlink(kitchen->notebook), 0);
    check_ok(store_begin(store, &failure), &failure);
    assert_int_equal(kitchen_run(kitchen, "batch list"), STATUS_MISSING);
    check_refused(store_end(store, STATUS_OK, &failure), STATUS_SYSTEM, &failure);
    check_contains(failure.text, "was moved or deleted while it was open");
    store_close(store);
}

/* RLIMIT_FSIZE fails a write as a disk does that has no more room for this file. */
static void
small_disk_work(struct kitchen *kitchen)
{
    struct rlimit limit = {300000, 300000};
    int done = 0;

    signal(SIGXFSZ, SIG_IGN);
    if (setrlimit(RLIMIT_FSIZE, &limit) != 0)
        _exit(2);
    for (; done < 2000; done++) {
        char *line = text_format(
            "batch add S-%d --made 2026-03-02 --note 'a note that takes its room on the disk'", done);
        enum status status = kitchen_run(kitchen, line);

        free(line);
        if (status == STATUS_SYSTEM)
            break;
        if (status != STATUS_OK)
            _exit(3);
    }
    if (done < 10 || done == 2000 || count_batches(kitchen->notebook, "S") != done)
        _exit(4);
}

static void
a_disk_without_room_refuses_and_keeps_what_it_has(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add X-1 --made 2026-03-02");
    assert_int_equal(chmod(kitchen->folder->path, 0777), 0);
    assert_int_equal(chmod(kitchen->notebook, 0666), 0);
    assert_int_equal(as_anyone(kitchen, small_disk_work), 0);
    check_verified(kitchen);
}

#if !SANITIZED
/* Too little memory for an import: it stops, and nothing of it is in the notebook. */
static void
small_memory_work(struct kitchen *kitchen)
{
    struct rlimit limit = {48 << 20, 48 << 20};
    char *program = file_join(getenv("BUILD_ROOT"), "curetrace");
    char *file = file_join(kitchen->folder->path, "large.csv");
    int nothing = open("/dev/null", O_WRONLY);

    dup2(nothing, STDERR_FILENO);
    if (setrlimit(RLIMIT_AS, &limit) == 0)
        execl(program, program, "--notebook", kitchen->notebook, "import", "readings", file, (char *)NULL);
    _exit(9);
}

static void
too_little_memory_stops_an_import_whole(void **state)
{
    struct kitchen *kitchen = *state;
    char *path = file_join(kitchen->folder->path, "large.csv");
    FILE *file = fopen(path, "w");
    int how = 0;
    pid_t child;

    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01");
    assert_non_null(file);
    fputs("batch,made_on,taken_at,ph\n", file);
    for (int i = 0; i < 400000; i++)
        fprintf(file, "M-%d,2024-01-01,2025-%02d-%02dT%02d:%02d,9.5\n", i % 5000, 1 + i / 5000 % 12,
                1 + i / 60000 % 28, i % 24, i % 60);
    fclose(file);
    child = fork();
    if (child == 0)
        small_memory_work(kitchen);
    waitpid(child, &how, 0);
    assert_false(WIFEXITED(how) && (WEXITSTATUS(how) == 0 || WEXITSTATUS(how) == 9));
    assert_int_equal(count_batches(kitchen->notebook, "M"), 0);
    check_verified(kitchen);
    free(path);
}
#endif

#define KITCHEN_TEST(name) cmocka_unit_test_setup_teardown(name, kitchen_open, kitchen_close)

static const struct CMUnitTest tests[] = {
    KITCHEN_TEST(a_killed_program_loses_nothing_it_acknowledged),
    KITCHEN_TEST(every_command_that_writes_may_be_killed),
    KITCHEN_TEST(two_programs_wait_for_each_other),
    KITCHEN_TEST(two_programs_may_make_the_notebook_at_once),
    KITCHEN_TEST(a_read_only_notebook_can_be_read),
    KITCHEN_TEST(a_notebook_deleted_under_a_running_program_is_noticed),
    KITCHEN_TEST(a_disk_without_room_refuses_and_keeps_what_it_has),
#if !SANITIZED /* a sanitizer's own memory is beyond any limit */
    KITCHEN_TEST(too_little_memory_stops_an_import_whole),
#endif
};

const struct check_module test_fault_hard_times = CHECK_MODULE("fault/hard_times", tests);
