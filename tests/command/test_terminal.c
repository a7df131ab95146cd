/* test_terminal.c - the program itself on a pseudo-terminal: a person at the bench, typing, cutting a wait
 * short, pulling the plug and coming back. */
#include <fcntl.h>
#include <poll.h>
#include <pty.h>
#include <signal.h>
#include <sys/wait.h>
#include <termios.h>
#include <unistd.h>

#include "check.h"
#include "file.h"
#include "folder.h"
#include "text.h"

enum { PATIENCE_MS = 60000 }; /* a test that stands still ends; no time is measured */

struct terminal {
    int screen; /* what the person sees and types into */
    pid_t program;
    struct text seen; /* all that was on the screen */
    size_t read_so_far;
};

static char *
program_path(void)
{
    return text_format("%s/curetrace", getenv("BUILD_ROOT"));
}

/* Run the program to its end without a terminal; it must succeed. */
static void
run(const char *arguments)
{
    char *program = program_path(), *line = text_format("%s %s >/dev/null 2>&1", program, arguments);

    assert_int_equal(system(line), 0);
    free(line);
    free(program);
}

/* The words are those of a command line; the first is the program. */
static void
start_words(struct terminal *terminal, const char *const *words)
{
    *terminal = (struct terminal){0};
    terminal->program = forkpty(&terminal->screen, NULL, NULL, NULL);
    assert_true(terminal->program >= 0);
    if (terminal->program == 0) {
        execv(program_path(), (char *const *)(uintptr_t)words);
        _exit(99);
    }
}

static void
start(struct terminal *terminal, const char *command, const char *name)
{
    const char *const words[] = {"curetrace", command, name, NULL};

    start_words(terminal, words);
}

/* Wait until the screen shows the words, behind those waited for before. */
static void
see(struct terminal *terminal, const char *words)
{
    for (;;) {
        struct pollfd input = {.fd = terminal->screen, .events = POLLIN};
        const char *found = strstr(text_of(&terminal->seen) + terminal->read_so_far, words);
        char bytes[4096];
        ssize_t length;

        if (found != NULL) {
            terminal->read_so_far = (size_t)(found - terminal->seen.data) + strlen(words);
            return;
        }
        length = poll(&input, 1, PATIENCE_MS) == 1 ? read(terminal->screen, bytes, sizeof bytes) : 0;
        if (length <= 0)
            check_contains(text_of(&terminal->seen) + terminal->read_so_far, words);
        text_add_bytes(&terminal->seen, bytes, (size_t)length);
    }
}

static void
type(struct terminal *terminal, const char *line)
{
    assert_int_equal(write(terminal->screen, line, strlen(line)), strlen(line));
}

/* The program's end; gives what waitpid() tells. */
static int
end(struct terminal *terminal)
{
    int how = 0;

    assert_int_equal(waitpid(terminal->program, &how, 0), terminal->program);
    close(terminal->screen);
    text_clear(&terminal->seen);
    return how;
}

static void
set_up_kitchen(const struct folder *folder)
{
    setenv("XDG_DATA_HOME", folder->path, 1);
    setenv("XDG_CONFIG_HOME", folder->path, 1);
    unsetenv("CURETRACE_NOTEBOOK");
    run("batch add W-07 --made 2024-03-02");
    run("gear add bench --kind meter --resolution-ph 0.01");
    run("gear add scale --kind balance --readability-g 0.01");
}

static void
a_person_is_killed_at_a_question_and_comes_back(void **state)
{
    struct terminal terminal;
    int how;

    set_up_kitchen(*state);
    start(&terminal, "test", "W-07");
    see(&terminal, "Enter when done:");
    type(&terminal, "\n");
    see(&terminal, "deionised, other:");
    type(&terminal, "distilled\n");
    see(&terminal, "pH and its temperature:");
    type(&terminal, "15\n");
    see(&terminal, "a pH of 15 cannot be");
    see(&terminal, "pH and its temperature:");
    type(&terminal, "6,8\n");
    see(&terminal, "kept: pH 6.80");
    see(&terminal, "its temperature, degC:");
    kill(terminal.program, SIGKILL);
    how = end(&terminal);
    assert_true(WIFSIGNALED(how));

    start(&terminal, "resume", NULL);
    see(&terminal, "its temperature, degC:");
    type(&terminal, "25\n");
    see(&terminal, "kept: pH 6.80 at 25 degC");
    see(&terminal, "checked, not checked:");
    type(&terminal, "\x04"); /* Ctrl-D: the end of the input */
    see(&terminal, "next: curetrace resume 1");
    how = end(&terminal);
    assert_true(WIFEXITED(how) && WEXITSTATUS(how) == 0);
}

static void
check_interrupted(int how)
{
    assert_true(WIFSIGNALED(how)); /* which a shell shows as 130 */
    assert_int_equal(WTERMSIG(how), SIGINT);
}

static void
ctrl_c_keeps_every_answer_and_says_how_to_go_on(void **state)
{
    static const char *const words[] = {"curetrace", "test", "W-07", "--at", "2024-03-10T10:00", NULL};
    struct termios before, after;
    struct terminal terminal;

    set_up_kitchen(*state);
    start_words(&terminal, words);
    see(&terminal, "Enter when done:");
    assert_int_equal(tcgetattr(terminal.screen, &before), 0);
    type(&terminal, "\n");
    see(&terminal, "deionised, other:");
    type(&terminal, "distilled\n");
    see(&terminal, "pH and its temperature:");
    type(&terminal, "6,8\n");
    see(&terminal, "kept: pH 6.80");
    see(&terminal, "its temperature, degC:");
    type(&terminal, "2"); /* half an answer, without Enter, is none */
    see(&terminal, "2");
    type(&terminal, "\x03");
    see(&terminal, "next: curetrace resume 1 --at 2024-03-10T10:00\r\n");
    assert_int_equal(tcgetattr(terminal.screen, &after), 0);
    assert_int_equal(before.c_lflag, after.c_lflag);
    assert_int_equal(before.c_iflag, after.c_iflag);
    assert_int_equal(before.c_oflag, after.c_oflag);
    check_interrupted(end(&terminal));

    start(&terminal, "resume", NULL);
    see(&terminal, "kept last: pH 6.80");
    see(&terminal, "its temperature, degC:");
    type(&terminal, "\x03");
    see(&terminal, "next: curetrace resume 1\r\n");
    check_interrupted(end(&terminal));
}

static void
ctrl_c_leaves_a_calibration_unfiled(void **state)
{
    struct terminal terminal;

    set_up_kitchen(*state);
    start(&terminal, "calibrate", "bench");
    see(&terminal, "Which buffer?");
    type(&terminal, "borax\n");
    see(&terminal, "(bought, made)");
    type(&terminal, "\x03");
    see(&terminal, "so nothing is filed.");
    check_interrupted(end(&terminal));
}

/* Through a pipe the signal comes from elsewhere, as from kill(1). */
static void
an_interrupt_of_a_walk_through_a_pipe_keeps_its_answers(void **state)
{
    struct folder *folder = *state;
    char *program = program_path(), said[8192] = "";
    char *notebook = text_format("%s/curetrace/notebook.sqlite", folder->path);
    int typed[2], shown[2], how;
    size_t length = 0;
    pid_t child;

    set_up_kitchen(folder);
    assert_int_equal(pipe(typed), 0);
    assert_int_equal(pipe(shown), 0);
    child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        dup2(typed[0], STDIN_FILENO);
        dup2(shown[1], STDOUT_FILENO);
        close(typed[1]);
        close(shown[0]);
        execl(program, "curetrace", "test", "W-07", "--notebook", notebook, NULL);
        _exit(99);
    }
    close(typed[0]);
    close(shown[1]);
    assert_int_equal(write(typed[1], "\ndistilled\n6.8\n", 15), 15);
    while (strstr(said, "its temperature") == NULL) {
        ssize_t got = read(shown[0], said + length, sizeof said - 1 - length);

        assert_true(got > 0);
        length += (size_t)got;
    }
    kill(child, SIGINT);
    for (ssize_t got; (got = read(shown[0], said + length, sizeof said - 1 - length)) > 0;)
        length += (size_t)got;
    assert_int_equal(waitpid(child, &how, 0), child);
    check_interrupted(how);
    check_contains(said, "next: curetrace resume 1 --notebook ");
    close(typed[1]);
    close(shown[0]);
    free(notebook);
    free(program);
}

static void
a_wait_counts_down_and_is_cut_short(void **state)
{
    const struct folder *folder = *state;
    struct failure failure = {0};
    char *path = text_format("%s/wait.ini", folder->path);
    static const char procedure[] =
        "[procedure]\ntitle=Waiting\nsummary=s\napplies=meter\ncautions=Mind the kettle.\n"
        "[step rest]\nkind=wait\nduration_s=1200\ntext=Let it rest.\n"
        "[step short]\nkind=wait\nduration_s=1\ntext=A moment.\n"
        "[step end]\nkind=note\ntext=Well?\n";
    struct terminal terminal;
    int how;

    set_up_kitchen(folder);
    check_ok(file_write(path, procedure, strlen(procedure), &failure), &failure);
    free(path);
    path = text_format("--procedure=%s/wait.ini", folder->path);
    start(&terminal, "test", path);
    see(&terminal, "Mind the kettle.");
    see(&terminal, "\r  ");
    see(&terminal, " left, Enter goes on"); /* a second may have passed */
    type(&terminal, "\x03");
    see(&terminal, "next: curetrace resume 1\r\n");
    check_interrupted(end(&terminal));
    start(&terminal, "resume", NULL);
    see(&terminal, "left, Enter goes on"); /* it ran on meanwhile */
    type(&terminal, "note kettle sings\n");
    see(&terminal, "noted");
    see(&terminal, "left, Enter goes on"); /* what was left of it */
    type(&terminal, "\n");
    see(&terminal, "kept: cut short after ");
    see(&terminal, "A moment.");
    see(&terminal, "0:00 left");
    see(&terminal, "words, or Enter:");
    type(&terminal, "\n");
    see(&terminal, "Session 1 is finished.");
    how = end(&terminal);
    assert_true(WIFEXITED(how) && WEXITSTATUS(how) == 0);
    free(path);
}

/* Asked once: the session keeps the answer for the rest of the sitting. */
static void
of_several_meters_one_is_chosen_for_the_sitting(void **state)
{
    struct terminal terminal;
    int how;

    set_up_kitchen(*state);
    run("gear add spare --kind meter --resolution-ph 0.1");
    start(&terminal, "test", "W-07");
    see(&terminal, "Which meter? bench, spare:");
    type(&terminal, "x\n");
    see(&terminal, "'x' is none of the answers");
    see(&terminal, "Which meter? bench, spare:");
    type(&terminal, "sp\n");
    see(&terminal, "With meter spare");
    see(&terminal, "Enter when done:");
    type(&terminal, "quit\n");
    see(&terminal, "resume 1");
    how = end(&terminal);
    assert_true(WIFEXITED(how) && WEXITSTATUS(how) == 0);
    start(&terminal, "resume", NULL);
    see(&terminal, "Enter when done:");
    type(&terminal, "\n");
    see(&terminal, "deionised, other:");
    type(&terminal, "quit\n");
    how = end(&terminal);
    assert_true(WIFEXITED(how) && WEXITSTATUS(how) == 0);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(of_several_meters_one_is_chosen_for_the_sitting, folder_make,
                                    folder_remove),
    cmocka_unit_test_setup_teardown(a_person_is_killed_at_a_question_and_comes_back, folder_make,
                                    folder_remove),
    cmocka_unit_test_setup_teardown(ctrl_c_keeps_every_answer_and_says_how_to_go_on, folder_make,
                                    folder_remove),
    cmocka_unit_test_setup_teardown(ctrl_c_leaves_a_calibration_unfiled, folder_make, folder_remove),
    cmocka_unit_test_setup_teardown(an_interrupt_of_a_walk_through_a_pipe_keeps_its_answers, folder_make,
                                    folder_remove),
    cmocka_unit_test_setup_teardown(a_wait_counts_down_and_is_cut_short, folder_make, folder_remove),
};

const struct check_module test_command_terminal = CHECK_MODULE("command/terminal", tests);
