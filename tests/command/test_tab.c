/* test_tab.c - a person at a real bash on a pseudo-terminal who presses Tab: names are completed, nothing runs. */
#include <poll.h>
#include <pty.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "check.h"
#include "file.h"
#include "kitchen.h"
#include "text.h"

enum { PATIENCE_MS = 60000 }; /* a test that stands still ends; no time is measured */

struct shell {
    struct kitchen *kitchen;
    int screen;
    pid_t bash;
    struct text seen;
};

static void
type(struct shell *shell, const char *keys)
{
    assert_int_equal(write(shell->screen, keys, strlen(keys)), strlen(keys));
}

/* Wait until the screen shows the words; what came before them is forgotten then. */
static void
see(struct shell *shell, const char *words)
{
    char *after;

    while (strstr(text_of(&shell->seen), words) == NULL) {
        struct pollfd input = {.fd = shell->screen, .events = POLLIN};
        char bytes[4096];
        ssize_t length = poll(&input, 1, PATIENCE_MS) == 1 ? read(shell->screen, bytes, sizeof bytes) : 0;

        if (length <= 0)
            check_contains(text_of(&shell->seen), words);
        text_add_bytes(&shell->seen, bytes, (size_t)length);
    }
    after = memory_copy(strstr(text_of(&shell->seen), words) + strlen(words));
    text_clear(&shell->seen);
    text_add(&shell->seen, after);
    free(after);
}

/* In the child: bash in the kitchen's folder, with the program on its path. */
static void
be_bash(const struct kitchen *kitchen)
{
    char *path = text_format("%s:%s", getenv("BUILD_ROOT"), getenv("PATH"));

    setenv("PATH", path, 1);
    setenv("HOME", kitchen->folder->path, 1);
    setenv("CURETRACE_NOTEBOOK", kitchen->notebook, 1);
    setenv("TERM", "dumb", 1);
    setenv("PS1", "ready> ", 1);
    unsetenv("INPUTRC");
    if (chdir(kitchen->folder->path) == 0)
        execlp("bash", "bash", "--norc", "--noprofile", "-i", (char *)NULL);
    _exit(99);
}

static void
open_shell(struct shell *shell, struct kitchen *kitchen)
{
    struct winsize size = {.ws_row = 24, .ws_col = 200};
    char *line = text_format("bind 'set bell-style none'; . '%s/docs/curetrace' && echo sour''ced\n",
                             getenv("BUILD_ROOT"));

    *shell = (struct shell){.kitchen = kitchen};
    shell->bash = forkpty(&shell->screen, NULL, NULL, &size);
    assert_true(shell->bash >= 0);
    if (shell->bash == 0)
        be_bash(kitchen);
    see(shell, "ready> ");
    type(shell, line);
    see(shell, "sourced");
    see(shell, "ready> ");
    free(line);
}

static void
close_shell(struct shell *shell)
{
    kill(shell->bash, SIGHUP);
    close(shell->screen);
    waitpid(shell->bash, NULL, 0);
    text_clear(&shell->seen);
}

static bool
came_to_be(const struct kitchen *kitchen, const char *name)
{
    char *path = file_join(kitchen->folder->path, name);
    bool there = file_exists(path);

    free(path);
    return there;
}

/* Codes that a shell would run or take apart; they come from elsewhere, in a file. */
static void
import_codes(struct kitchen *kitchen)
{
    char *path = file_join(kitchen->folder->path, "batches.csv"), *line;
    FILE *file = fopen(path, "w");

    assert_non_null(file);
    fputs("batch,made_on,title\n"
          "$(touch${IFS}RAN),2026-03-02,a\n"
          "`touch${IFS}RAN`,2026-03-02,b\n"
          "q;touch RAN;,2026-03-02,c\n"
          "oat bar,2026-03-02,the oat bar\n"
          "it's here,2026-03-02,the quoted one\n"
          "colon:07=x,2026-03-02,the one with signs\n",
          file);
    fclose(file);
    line = text_format("import batches '%s'", path);
    kitchen_do(kitchen, line);
    kitchen_do(kitchen, "gear add 'pocket $(touch RAN)' --kind meter --resolution-ph 0.01");
    free(line);
    free(path);
}

static void
tab_runs_nothing(void **state)
{
    /* the second Tab lists what there is */
    static const char *const lines[] = {
        "curetrace verdict \t\t",
        "curetrace verdict '$\t\t",
        "curetrace verdict \\$\t\t",
        "curetrace batch show q\t\t",
        "curetrace test oat --procedure \t\t",
        "curetrace batch add x --reference \t\t",
        "curetrace gear show \t\t",
        "curetrace read x --meter \t\t",
        "curetrace verdict \\`\t\t",
        "curetrace verdict \"\\$\t\t",
    };
    struct shell shell;

    import_codes(*state);
    open_shell(&shell, *state);
    for (size_t i = 0; i < LENGTH(lines); i++) {
        type(&shell, lines[i]);
        type(&shell, "\025echo st''ill $((40 + 2))\n"); /* Ctrl-U: the line is not sent */
        see(&shell, "still 42");
        see(&shell, "ready> ");
        if (came_to_be(*state, "RAN"))
            fail_msg("Tab ran a name behind: %s", lines[i]);
    }
    close_shell(&shell);
}

static void
names_complete_to_one_word(void **state)
{
    static const struct {
        const char *typed, *shown;
    } lines[] = {
        {"curetrace batch show oa\t\n", "title      the oat bar"},
        {"curetrace batch show 'oa\t\n", "title      the oat bar"},
        {"curetrace batch show \"oa\t\n", "title      the oat bar"},
        {"curetrace batch show oat\\ b\t\n", "title      the oat bar"},
        {"curetrace batch show it\t\n", "title      the quoted one"},
        {"curetrace batch show \"it\t\n", "title      the quoted one"},
        {"curetrace batch show co\t\n", "title      the one with signs"},
        {"curetrace batch show colon:0\t\n", "title      the one with signs"},
        {"curetrace batch show \\$\t\n", "title      a"},
        {"curetrace batch show '$\t\n", "title      a"},
        {"curetrace gear show po\t\n", "meter pocket $(touch RAN): reads to 0.01 pH"},
        {"curetrace bat\tli\t--co\t\n", "it's here"},
    };
    struct shell shell;

    import_codes(*state);
    open_shell(&shell, *state);
    for (size_t i = 0; i < LENGTH(lines); i++) {
        type(&shell, lines[i].typed);
        see(&shell, lines[i].shown);
        see(&shell, "ready> "); /* before it, the terminal itself would take the Tab */
    }
    assert_false(came_to_be(*state, "RAN"));
    close_shell(&shell);
}

#define in_kitchen(behaviour) cmocka_unit_test_setup_teardown(behaviour, kitchen_open, kitchen_close)
static const struct CMUnitTest tests[] = {
    in_kitchen(tab_runs_nothing),
    in_kitchen(names_complete_to_one_word),
};

const struct check_module test_command_tab = CHECK_MODULE("command/tab", tests);
