/* test_backup.c - "backup" in a maker's words. */
#include "check.h"
#include "file.h"
#include "kitchen.h"
#include "text.h"

static void
a_backup_opens_as_the_notebook_does(void **state)
{
    struct kitchen *kitchen = *state;
    char *copy = file_join(kitchen->folder->path, "copy.sqlite"), *line = text_format("backup %s", copy),
         *head;

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02");
    kitchen_do(kitchen, line);
    check_contains(kitchen->out, "copied and verified: ");
    head = memory_copy(strstr(kitchen->out, "head "));
    head[73] = '\0';
    free(line);
    line = text_format("verify --notebook %s", copy);
    kitchen_do(kitchen, line);
    check_contains(kitchen->out, head);
    free(line);
    line = text_format("batch list --notebook %s", copy);
    kitchen_do(kitchen, line);
    check_contains(kitchen->out, "W-01");
    free(line);
    free(head);
    free(copy);
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
    KITCHEN_TEST(what_is_there_is_replaced_only_by_force),
};

const struct check_module test_command_backup = CHECK_MODULE("command/backup", tests);
