/* test_verify.c - "verify" in a maker's words. */
#include "check.h"
#include "kitchen.h"

static void
a_whole_notebook_gives_its_head(void **state)
{
    struct kitchen *kitchen = *state;
    char head[65], line[128];

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02 --fat 'olive oil=500'");
    kitchen_do(kitchen, "verify");
    check_contains(kitchen->out, "checked  2 rows of 20 tables against 2 entries of the journal");
    check_contains(kitchen->out, "all is as it was written");
    assert_int_equal(sscanf(strstr(kitchen->out, "head "), "head %64[0-9a-f]", head), 1);
    kitchen_do(kitchen, "batch add W-02 --made 2026-03-03");
    snprintf(line, sizeof line, "verify --head %s", head);
    kitchen_do(kitchen, line);
    check_contains(kitchen->out, "entries after it: 1\n");
}

static void
a_head_that_is_not_there_is_refused(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02");
    kitchen_run(kitchen, "verify --head 0123456789abcdef0123456789abcdef");
    assert_int_equal(kitchen->exit_code, 1);
    check_contains(kitchen->failure.text, "is not in the journal: the notebook was rolled back or rebuilt");
    kitchen_refuses(kitchen, "verify --head nonsense", "--head: 'nonsense' is no hash of the journal");
    assert_int_equal(kitchen->exit_code, 2);
}

static void
damage_is_named_and_fails(void **state)
{
    struct kitchen *kitchen = *state;
    FILE *file;
    char bytes[65536], *title = NULL;
    size_t length;

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02 --title 'a plain bar of soap'");
    file = fopen(kitchen->notebook, "r+b");
    assert_non_null(file);
    while (title == NULL && (length = fread(bytes, 1, sizeof bytes, file)) > 0) {
        title = memmem(bytes, length, "a plain bar of soap2026", 23); /* the row, not its journal entry */
        if (title != NULL)
            fseek(file, -(long)length + (title - bytes), SEEK_CUR);
    }
    assert_non_null(title);
    fputc('A', file);
    fclose(file);
    kitchen_run(kitchen, "verify");
    assert_int_equal(kitchen->exit_code, 1);
    check_contains(kitchen->out, "row 1 of table batch is not as it was written");
    check_contains(kitchen->failure.text, "the notebook is not as it was written (1 found): entry 1 of 20");
}

#define KITCHEN_TEST(name) cmocka_unit_test_setup_teardown(name, kitchen_open, kitchen_close)

static const struct CMUnitTest tests[] = {
    KITCHEN_TEST(a_whole_notebook_gives_its_head),
    KITCHEN_TEST(a_head_that_is_not_there_is_refused),
    KITCHEN_TEST(damage_is_named_and_fails),
};

const struct check_module test_command_verify = CHECK_MODULE("command/verify", tests);
