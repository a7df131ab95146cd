/* test_interrupted.c - the program itself, ended in the midst of its work: nothing with data is left, and the work can
 * be done again. */
#include <dirent.h>
#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "check.h"
#include "every_command.h"
#include "file.h"
#include "kitchen.h"
#include "text.h"

/* Start the program on the kitchen's notebook, with `path` before $PATH and a TMPDIR of its own. */
static pid_t
start(const struct kitchen *kitchen, const char *const *words)
{
    char *program = file_join(getenv("BUILD_ROOT"), "curetrace");
    char *path = text_format("%s/bin:%s", kitchen->folder->path, getenv("PATH"));
    char *temporary = file_join(kitchen->folder->path, "tmp");
    pid_t child = fork();

    assert_true(child >= 0);
    if (child == 0) {
        int nothing = open("/dev/null", O_WRONLY);

        signal(SIGHUP, SIG_DFL); /* which who runs the tests may have told to be passed over */
        setenv("CURETRACE_NOTEBOOK", kitchen->notebook, 1);
        setenv("PATH", path, 1);
        setenv("TMPDIR", temporary, 1);
        dup2(nothing, STDOUT_FILENO);
        dup2(nothing, STDERR_FILENO);
        execv(program, (char *const *)(uintptr_t)words);
        _exit(127);
    }
    free(temporary);
    free(path);
    free(program);
    return child;
}

static size_t
count_files(const char *path)
{
    DIR *folder = opendir(path);
    size_t count = 0;

    assert_non_null(folder);
    for (const struct dirent *entry; (entry = readdir(folder)) != NULL;)
        count += entry->d_name[0] == '.' ? 0 : 1;
    closedir(folder);
    return count;
}

/* A gnuplot that sends its caller a signal, and takes its time. */
static void
make_gnuplot(const struct kitchen *kitchen, const char *signal_name)
{
    char *folder = file_join(kitchen->folder->path, "bin"), *path = file_join(folder, "gnuplot");
    char *script = text_format("#!/bin/sh\nkill -%s $PPID\nsleep 0.3\n", signal_name);
    struct failure failure = {0};

    check_ok(file_make_folder(folder, &failure), &failure);
    check_ok(file_write(path, script, strlen(script), &failure), &failure);
    assert_int_equal(chmod(path, 0700), 0);
    free(script);
    free(path);
    free(folder);
}

static void
a_plot_leaves_no_folder_with_data(void **state)
{
    static const struct {
        const char *name;
        int number;
    } signals[] = {{"INT", SIGINT}, {"TERM", SIGTERM}, {"HUP", SIGHUP}};
    struct kitchen *kitchen = *state;
    char *temporary = file_join(kitchen->folder->path, "tmp"),
         *plot = file_join(kitchen->folder->path, "x.svg");
    char *page = file_join(kitchen->folder->path, "x.html");
    struct failure failure = {0};

    every_command_furnish(kitchen);
    check_ok(file_make_folder(temporary, &failure), &failure);
    for (size_t i = 0; i < LENGTH(signals); i++) {
        const char *const works[][6] = {{"curetrace", "trend", "W-07", "--plot", plot, NULL},
                                        {"curetrace", "report", "W-07", "--output", page, NULL}};

        make_gnuplot(kitchen, signals[i].name);
        for (size_t k = 0; k < LENGTH(works); k++) {
            pid_t child = start(kitchen, works[k]);
            int how = 0;

            assert_int_equal(waitpid(child, &how, 0), child);
            assert_true(WIFSIGNALED(how) && WTERMSIG(how) == signals[i].number);
            assert_int_equal(count_files(temporary), 0);
            assert_false(file_exists(plot) || file_exists(page));
        }
    }
    free(page);
    free(plot);
    free(temporary);
}

static void
a_killed_demo_can_be_run_again(void **state)
{
    struct kitchen *kitchen = *state;
    char *folder = file_join(kitchen->folder->path, "demo"), *line = text_format("demo %s", folder);
    char *unfinished = file_join(folder, "unfinished"), *finished = file_join(folder, "notebook.sqlite");
    const char *const words[] = {"curetrace", "demo", folder, NULL};
    pid_t child = start(kitchen, words);

    for (int i = 0; i < 6000 && !file_exists(unfinished); i++)
        usleep(10000);
    kill(child, SIGKILL);
    assert_int_equal(waitpid(child, NULL, 0), child);
    assert_true(file_exists(unfinished));
    assert_false(file_exists(finished));
    kitchen_do(kitchen, line);
    assert_true(file_exists(finished));
    assert_false(file_exists(unfinished));
    kitchen_refuses(kitchen, line, "holds a notebook already");
    free(finished);
    free(unfinished);
    free(line);
    free(folder);
}

#define in_kitchen(behaviour) cmocka_unit_test_setup_teardown(behaviour, kitchen_open, kitchen_close)
static const struct CMUnitTest tests[] = {
    in_kitchen(a_plot_leaves_no_folder_with_data),
    in_kitchen(a_killed_demo_can_be_run_again),
};

const struct check_module test_command_interrupted = CHECK_MODULE("command/interrupted", tests);
