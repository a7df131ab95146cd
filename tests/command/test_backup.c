/* test_backup.c - "backup" in a maker's words. */
#include <limits.h>
#include <signal.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include "check.h"
#include "file.h"
#include "kitchen.h"
#include "text.h"

static void
a_backup_opens_as_the_notebook_does(void **state)
{
    struct kitchen *kitchen = *state;
    char *copy = file_join(kitchen->folder->path, "copy.sqlite"), *line = text_format("backup %s", copy),
         *seal;

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02");
    kitchen_do(kitchen, line);
    check_contains(kitchen->out, "copied and verified: ");
    seal = text_format("%.42s", strstr(kitchen->out, "seal   "));
    free(line);
    line = text_format("verify --notebook %s", copy);
    kitchen_do(kitchen, line);
    check_contains(kitchen->out, seal);
    free(line);
    line = text_format("batch list --notebook %s", copy);
    kitchen_do(kitchen, line);
    check_contains(kitchen->out, "W-01");
    free(line);
    free(seal);
    free(copy);
}

/* Batches by the hundred from another process, until it is stopped. */
static pid_t
start_writer(struct kitchen *kitchen)
{
    pid_t child = fork();

    assert_true(child >= 0);
    if (child == 0)
        prctl(PR_SET_PDEATHSIG, SIGKILL);
    for (int i = 0; child == 0 && i < INT_MAX; i++) {
        char *line = text_format("batch add V-%d --made 2026-03-02", i);

        if (kitchen_run(kitchen, line) != STATUS_OK)
            _exit(1);
        free(line);
    }
    return child;
}

/* What is kept on paper must be the seal of what is kept on the other disk, whoever writes meanwhile. */
static void
the_seal_is_that_of_the_copy_while_another_program_writes(void **state)
{
    enum { COPIES = 10 };
    struct kitchen *kitchen = *state;
    pid_t writer;
    int how;

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02");
    writer = start_writer(kitchen);
    for (int i = 0; i < COPIES; i++) {
        char *copy = text_format("%s/copy-%d.sqlite", kitchen->folder->path, i), *seal;
        char *backup = text_format("backup %s", copy), *verify = text_format("verify --notebook %s", copy);

        kitchen_do(kitchen, backup);
        seal = text_format("%.42s\n", strstr(kitchen->out, "seal   "));
        kitchen_do(kitchen, verify);
        check_contains(kitchen->out, seal);
        free(seal);
        free(verify);
        free(backup);
        free(copy);
    }
    assert_int_equal(waitpid(writer, &how, WNOHANG), 0); /* it wrote all the time */
    kill(writer, SIGKILL);
    waitpid(writer, &how, 0);
}

static void
what_is_there_is_replaced_only_by_force(void **state)
{
    struct kitchen *kitchen = *state;
    char *copy = file_join(kitchen->folder->path, "copy.sqlite"), *line = text_format("backup %s", copy);
    struct failure failure = {0};

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02");
    check_ok(file_write(copy, "my recipes\n", 11, &failure), &failure);
    kitchen_refuses(kitchen, line, "is there already (--force replaces it)");
    assert_int_equal(kitchen->exit_code, 2);
    free(line);
    line = text_format("backup %s --force", copy);
    kitchen_do(kitchen, line);
    free(line);
    line = text_format("backup %s --force", kitchen->notebook);
    kitchen_refuses(kitchen, line, "is the notebook itself");
    free(line);
    free(copy);
}

#define KITCHEN_TEST(name) cmocka_unit_test_setup_teardown(name, kitchen_open, kitchen_close)

static const struct CMUnitTest tests[] = {
    KITCHEN_TEST(a_backup_opens_as_the_notebook_does),
    KITCHEN_TEST(the_seal_is_that_of_the_copy_while_another_program_writes),
    KITCHEN_TEST(what_is_there_is_replaced_only_by_force),
};

const struct check_module test_command_backup = CHECK_MODULE("command/backup", tests);
