/* test_trouble.c - trouble from outside: one clear line, the exit status as designed, nothing half-written. */
#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <sqlite3.h>

#include "check.h"
#include "file.h"
#include "kitchen.h"
#include "schema.h"
#include "store.h"
#include "text.h"

static void
put_file(struct kitchen *kitchen, const char *name, const char *text, size_t length, char **ret_path)
{
    struct failure failure = {0};

    *ret_path = file_join(kitchen->folder->path, name);
    check_ok(file_write(*ret_path, text, length, &failure), &failure);
}

static void
run_sql(const char *path, const char *sql)
{
    sqlite3 *handle = NULL;

    assert_int_equal(sqlite3_open(path, &handle), SQLITE_OK);
    assert_int_equal(sqlite3_exec(handle, sql, NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(handle);
}

static void
a_notebook_of_a_newer_version_is_left_alone(void **state)
{
    struct kitchen *kitchen = *state;
    char *version = text_format("PRAGMA user_version = %d", schema_released().count);

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02");
    run_sql(kitchen->notebook, "PRAGMA user_version = 99");
    kitchen_refuses(kitchen, "batch list", "made by a newer version");
    kitchen_refuses(kitchen, "batch add W-02 --made 2026-03-02", "made by a newer version");
    assert_int_equal(kitchen->exit_code, 2);
    run_sql(kitchen->notebook, version); /* as it was */
    kitchen_do(kitchen, "batch list");
    check_contains(kitchen->out, "W-01");
    check_lacks(kitchen->out, "W-02");
    free(version);
}

static void
a_file_that_is_no_notebook_is_refused_unchanged(void **state)
{
    struct kitchen *kitchen = *state;
    static const char diary[] =
        "Dear diary, this is my soap book, and not a database of any kind at all. The end.";
    char *path, *line, *after = NULL;
    struct failure failure = {0};

    put_file(kitchen, "diary.txt", diary, sizeof diary - 1, &path);
    line = text_format("batch add W-01 --made 2026-03-02 --notebook %s", path);
    kitchen_refuses(kitchen, line, "damaged, or no notebook");
    assert_int_equal(kitchen->exit_code, 1);
    check_ok(file_read(path, 4096, &after, &failure), &failure);
    assert_string_equal(after, diary);
    free(after);
    free(line);
    free(path);
}

static void
procedure_files_empty_huge_or_wrong_are_refused_before_the_first_question(void **state)
{
    struct kitchen *kitchen = *state;
    char *huge = memory_new(200001, 1), *path, *line;
    static const struct {
        const char *text, *part;
    } bad[] = {
        {"", "there is no [procedure] section"},
        {"[procedure]\ntitle = x\nsummary = x\napplies = soup\ncautions = x\n[step a]\nkind = do\ntext = x\n",
         "soup"},
        {"[procedure]\ntitle = x\nsummary = x\napplies = meter\ncautions = x\n[step a]\nkind = do\ntaxt = "
         "x\n",
         "text"},
    };

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02");
    memset(huge, ';', 200000);
    put_file(kitchen, "own.ini", huge, 200000, &path);
    line = text_format("test W-01 --procedure %s", path);
    kitchen_refuses(kitchen, line, "larger than");
    free(path);
    for (size_t i = 0; i < LENGTH(bad); i++) {
        put_file(kitchen, "own.ini", bad[i].text, strlen(bad[i].text), &path);
        kitchen_refuses(kitchen, line, bad[i].part);
        free(path);
    }
    kitchen_refuses(kitchen, "resume", "no unfinished session");
    free(line);
    free(huge);
}

static void
without_gnuplot_data_and_script_are_left_and_said(void **state)
{
    struct kitchen *kitchen = *state;
    char *path = memory_copy(getenv("PATH")), *plot = file_join(kitchen->folder->path, "cure.svg");
    char *line = text_format("trend W-01 --plot %s", plot), *script = text_format("%s.gnuplot", plot);

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02");
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01");
    kitchen_do(kitchen,
               "read W-01 --water distilled --ph 9.9 --temperature-c 40 --percent 1 --at 2026-03-05T10:00");
    setenv("PATH", "/nonexistent", 1);
    assert_int_equal(kitchen_run(kitchen, line), STATUS_MISSING);
    setenv("PATH", path, 1);
    check_contains(kitchen->failure.text, "gnuplot");
    check_contains(kitchen->failure.text, "apt-get install");
    assert_false(file_exists(plot));
    assert_true(file_exists(script));
    free(script);
    free(line);
    free(plot);
    free(path);
}

/* Run the program with a full disk behind its output; what it says in its error output, given. */
static char *
run_to_full(const struct kitchen *kitchen, const char *const *words)
{
    char *program = file_join(getenv("BUILD_ROOT"), "curetrace"), bytes[1024];
    struct text said = {0};
    int pipes[2], how;
    ssize_t length;
    pid_t child;

    assert_int_equal(pipe(pipes), 0);
    child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        int full = open("/dev/full", O_WRONLY);

        setenv("CURETRACE_NOTEBOOK", kitchen->notebook, 1);
        dup2(full, STDOUT_FILENO);
        dup2(pipes[1], STDERR_FILENO);
        close(pipes[0]);
        execv(program, (char *const *)(uintptr_t)words);
        _exit(127);
    }
    close(pipes[1]);
    while ((length = read(pipes[0], bytes, sizeof bytes)) > 0)
        text_add_bytes(&said, bytes, (size_t)length);
    close(pipes[0]);
    assert_int_equal(waitpid(child, &how, 0), child);
    assert_true(WIFEXITED(how) && WEXITSTATUS(how) == 1);
    free(program);
    return text_take(&said);
}

static void
output_that_cannot_be_written_ends_with_1(void **state)
{
    struct kitchen *kitchen = *state;
    char *said;

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02");
    said = run_to_full(kitchen, (const char *const[]){"curetrace", "batch", "list", NULL});
    assert_string_equal(said, "curetrace: cannot write the output: No space left on device\n");
    free(said);
    said = run_to_full(
        kitchen, (const char *const[]){"curetrace", "batch", "add", "W-02", "--made", "2026-03-02", NULL});
    check_contains(said, "what was to be kept is in the notebook");
    check_contains(said, "No space left on device");
    free(said);
    kitchen_do(kitchen, "batch show W-02");
}

/* A batch with so many readings that its CSV fills more than a pipe holds (64 KiB, pipe(7)). */
static void
read_much(struct kitchen *kitchen)
{
    struct text line = {0};

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02");
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01");
    text_add(&line, "read W-01 --water distilled --temperature-c 40 --percent 1");
    for (int i = 0; i < 50; i++)
        text_add(&line, " --ph 9.87");
    for (int i = 0; i < 20; i++)
        kitchen_do(kitchen, text_of(&line));
    text_clear(&line);
}

/* dup2() what is given, run the command, and give how it ended; what it said of it is in `ret_said`. */
static int
run_into(const struct kitchen *kitchen, int out, const char *const *words, char **ret_said)
{
    char *program = file_join(getenv("BUILD_ROOT"), "curetrace");
    int said[2], how;
    char text[4096];
    size_t length = 0;
    ssize_t got;
    pid_t child;

    assert_int_equal(pipe(said), 0);
    child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        dup2(out, STDOUT_FILENO);
        dup2(said[1], STDERR_FILENO);
        close(out);
        setenv("CURETRACE_NOTEBOOK", kitchen->notebook, 1);
        signal(SIGPIPE, SIG_IGN); /* as some callers leave it */
        execv(program, (char *const *)(uintptr_t)words);
        _exit(127);
    }
    close(out);
    close(said[1]);
    while ((got = read(said[0], text + length, sizeof text - 1 - length)) > 0)
        length += (size_t)got;
    text[length] = '\0';
    close(said[0]);
    assert_int_equal(waitpid(child, &how, 0), child);
    *ret_said = text_format("%s", text);
    free(program);
    return how;
}

static void
a_reader_that_goes_away_ends_the_program_quietly(void **state)
{
    static const char *const commands[][4] = {{"curetrace", "trend", "W-01", "--csv"},
                                              {"curetrace", "batch", "show", "W-01"}};
    struct kitchen *kitchen = *state;

    read_much(kitchen);
    for (size_t i = 0; i < LENGTH(commands); i++) {
        const char *words[] = {commands[i][0], commands[i][1], commands[i][2], commands[i][3], NULL};
        int reader[2], how;
        char *said;

        assert_int_equal(pipe(reader), 0);
        close(reader[0]);
        how = run_into(kitchen, reader[1], words, &said);
        assert_string_equal(said, "");
        assert_true(WIFSIGNALED(how) && WTERMSIG(how) == SIGPIPE); /* 141 in a shell, as cat and sort end */
        free(said);
    }
}

static void
a_table_that_does_not_fit_on_the_disk_is_said(void **state)
{
    static const char *const words[] = {"curetrace", "trend", "W-01", "--csv", NULL};
    struct kitchen *kitchen = *state;
    char *said;
    int how;

    read_much(kitchen);
    how = run_into(kitchen, open("/dev/full", O_WRONLY), words, &said);
    assert_string_equal(said, "curetrace: cannot write the output: No space left on device\n");
    assert_true(WIFEXITED(how) && WEXITSTATUS(how) == 1);
    free(said);
}

/* Run a line as someone who may not write the notebook: root may write everything, so as another user then. */
static void
do_without_writing(struct kitchen *kitchen, const char *line)
{
    pid_t child = fork();
    int how;

    assert_true(child >= 0);
    if (child == 0) {
        if (geteuid() == 0 && (setgid(65534) != 0 || setuid(65534) != 0)) /* nobody */
            _exit(2);
        _exit(kitchen_run(kitchen, line) == STATUS_OK ? 0 : 1);
    }
    assert_int_equal(waitpid(child, &how, 0), child);
    if (!WIFEXITED(how) || WEXITSTATUS(how) != 0)
        print_error("%s\n", line);
    assert_true(WIFEXITED(how) && WEXITSTATUS(how) == 0);
}

static void
a_notebook_that_may_not_be_written_is_shown(void **state)
{
    struct kitchen *kitchen = *state;
    char *csv = text_format("export %s/csv", kitchen->folder->path);

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02 --fat 'olive oil=1000' --lye naoh=128");
    kitchen_do(kitchen, "batch add W-02 --made 2026-03-02");
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --atc");
    kitchen_do(kitchen,
               "read W-01 --water distilled --ph 11.6 --temperature-c 40 --percent 1 --at 2026-03-05T10:00");
    kitchen_do(kitchen,
               "read W-02 --water distilled --ph 9.9 --temperature-c 40 --percent 1 --at 2026-03-05T10:20");
    assert_int_equal(chmod(kitchen->notebook, 0444), 0);
    assert_int_equal(chmod(kitchen->folder->path, 0555), 0);
    do_without_writing(kitchen, "policy");
    do_without_writing(kitchen, "policy --csv");
    do_without_writing(kitchen, "plan W-01 W-02");
    do_without_writing(kitchen, "rework W-01 --mass-g 1000");
    do_without_writing(kitchen, "batch list");
    do_without_writing(kitchen, "verify");
    assert_int_equal(chmod(kitchen->folder->path, 0777), 0); /* the CSV goes beside it */
    do_without_writing(kitchen, csv);
    assert_int_equal(chmod(kitchen->folder->path, 0700), 0);
    kitchen_refuses(kitchen, "policy --notebook /tmp/there-is-no-such-notebook", "there is no notebook");
    free(csv);
}

static void
what_is_typed_in_any_script_is_kept_as_typed(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen,
               "batch add 'Zit-\xc3\xa9-7' --made 2026-03-02 --title 'Zitrone \xe6\x9f\xa0 \xd9\x84'");
    kitchen_do(kitchen, "batch show zit-\xc3\xa9-7");
    check_contains(kitchen->out, "Zitrone \xe6\x9f\xa0 \xd9\x84");
    kitchen_refuses(kitchen, "batch add 'W\x01' --made 2026-03-02", "printable");
}

static void
a_family_of_commands_explains_itself(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch --help");
    check_contains(kitchen->out, "curetrace batch hold CODE --why TEXT\n    ");
    check_contains(kitchen->out, "curetrace batch add CODE --made DATE\n    record a batch");
    check_lacks(kitchen->out, "curetrace gear");
    kitchen_do(kitchen, "gear -h");
    kitchen_do(kitchen, "import --help");
    check_contains(kitchen->out, "curetrace import notebook FOLDER\n");
    kitchen_refuses(kitchen, "verdic --help", "is no command; did you mean 'verdict'?");
}

static void
half_a_table_is_none(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add P-01 --made 2026-03-02");
    kitchen_do(kitchen, "batch add P-02 --made 2026-03-02");
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01");
    kitchen_do(kitchen, "read P-01 --meter bench --ph 9.6 --temperature-c 40 --percent 1");
    kitchen_refuses(kitchen, "verdict P-01 NOPE --csv", "there is no batch 'NOPE'");
    kitchen_refuses(kitchen, "verdict P-01 P-02 --csv", "has no readings yet");
}

#define TROUBLE_TEST(name) cmocka_unit_test_setup_teardown(name, kitchen_open, kitchen_close)

static const struct CMUnitTest tests[] = {
    TROUBLE_TEST(a_notebook_of_a_newer_version_is_left_alone),
    TROUBLE_TEST(a_file_that_is_no_notebook_is_refused_unchanged),
    TROUBLE_TEST(procedure_files_empty_huge_or_wrong_are_refused_before_the_first_question),
    TROUBLE_TEST(without_gnuplot_data_and_script_are_left_and_said),
    TROUBLE_TEST(output_that_cannot_be_written_ends_with_1),
    TROUBLE_TEST(a_reader_that_goes_away_ends_the_program_quietly),
    TROUBLE_TEST(a_table_that_does_not_fit_on_the_disk_is_said),
    TROUBLE_TEST(a_notebook_that_may_not_be_written_is_shown),
    TROUBLE_TEST(what_is_typed_in_any_script_is_kept_as_typed),
    TROUBLE_TEST(a_family_of_commands_explains_itself),
    TROUBLE_TEST(half_a_table_is_none),
};

const struct check_module test_command_trouble = CHECK_MODULE("command/trouble", tests);
