/* test_batch.c - "batch add|list|show", and what every command line shares. */
#include "check.h"
#include "kitchen.h"

static void
a_batch_is_added_listed_and_shown(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add W-06 --made 2026-03-01 --role control --title 'plain bar'");
    check_contains(kitchen->err, "started a new notebook");
    check_contains(kitchen->out, "added batch W-06");
    check_contains(kitchen->out, "next: curetrace test W-06");
    kitchen_do(kitchen, "batch add W-07 --made 2026-03-02 --title 'oat bar' --role variant --reference w-06 "
                        "--fat 'olive oil=500' --fat 'coconut oil=8,8oz' --lye naoh=104.5@98.5% "
                        "--acid 'citric acid, anhydrous=10' --water-g 200");
    assert_string_equal(kitchen->err, "");
    kitchen_do(kitchen, "batch list");
    assert_string_equal(kitchen->out, "batch  made        role     state    reference  title\n"
                                      "W-06   2026-03-01  control  in-cure             plain bar\n"
                                      "W-07   2026-03-02  variant  in-cure  W-06       oat bar\n");
    kitchen_do(kitchen, "batch show W-07");
    check_contains(kitchen->out, "age        91 days\n");
    check_contains(kitchen->out, "fat     500.00  olive oil");
    check_contains(kitchen->out, "fat     249.48  coconut oil"); /* 8.8 ounces of 28.349523125 g */
    check_contains(kitchen->out, "98.5 % pure");
    check_contains(kitchen->out, "water   200.00  water");
}

static void
a_recipe_is_balanced_as_it_is_filed(void **state)
{
    struct kitchen *kitchen = *state;

    /* Olive oil needs 500 g x 184..196 x 7.129e-4 = 65.6 to 69.9 g NaOH: 60 g is short of it, 80 g too much. */
    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02 --fat 'olive oil=500' --lye naoh=60@99%");
    check_contains(kitchen->out, "superfat 12.");
    check_lacks(kitchen->out, "may exceed");
    kitchen_do(kitchen, "batch add W-02 --made 2026-03-02 --fat 'olive oil=500' --lye naoh=80@99%");
    check_contains(kitchen->out, "\nits lye exceeds the fat: look at curetrace recipe W-02");
    check_contains(kitchen->out,
                   "next: keep it held: put the recipe right if it was written down wrongly, or");
    check_contains(kitchen->out, "curetrace titrate W-02/1 W-02/2\n");
    kitchen_do(kitchen, "batch add W-04 --made 2026-03-02 --fat 'olive oil=500' --lye naoh=67@99%");
    check_contains(kitchen->out, "\nthe lye may exceed the fat: ");
    check_contains(kitchen->out, "next: curetrace test W-04\n");
    kitchen_do(kitchen, "batch add W-03 --made 2026-03-02 --fat 'olvie oil=500' --lye naoh=60@99%");
    check_contains(kitchen->out, "the recipe cannot be balanced");
    check_contains(kitchen->out, "olive oil");
    kitchen_do(kitchen, "batch list");
    check_contains(kitchen->out, "W-03");
}

static void
wrong_batches_are_refused_in_one_line(void **state)
{
    static const struct {
        const char *line, *text;
    } bad[] = {
        {"batch add W-09 --made 2026-02-30", "--made: '2026-02-30' is not a date, expected YYYY-MM-DD"},
        {"batch add W-09 --made 2026-06-02", "made on 2026-06-02, which is after today"},
        {"batch add W-09", "the day the batch was poured is missing"},
        {"batch add W-09 --made 2026-03-02 --role plain",
         "role 'plain' is unknown, allowed are ordinary, control, variant, lye-heavy"},
        {"batch add W-09 --made 2026-03-02 --fat 'olive oil=-5'",
         "fat 'olive oil': mass is -5 g, allowed is above 0 to 1000000 g"},
        {"batch add W-09 --made 2026-03-02 --water-g 21.5x", "unit 'x' is unknown"},
        {"batch add W-09 --made 2026-03-02 --reference W-99", "there is no batch 'W-99'"},
        {"batch add W-01 --made 2026-03-02", "there is a batch 'W-01' already; codes are unique"},
        {"batch add w-01 --made 2026-03-02",
         "there is a batch 'W-01' already; codes are unique, upper and lower case alike"},
        {"batch add W-09 W-10 --made 2026-03-02", "'W-10' is one word too many"},
        {"batch add --made 2026-03-02", "expected curetrace batch add CODE --made DATE"},
        {"batch add W-09 --maid 2026-03-02", "there is no option '--maid' here; did you mean '--made'?"},
        {"batch add W-09 --made", "--made needs a value (DATE)"},
        {"batch add W-09 --made 2026-03-02 --made 2026-03-03", "--made is written twice"},
        {"batch add W-09 -m 2026-03-02", "options begin with two dashes"},
        {"batch ad W-09", "'batch ad' is no command; there is batch add, batch list, batch show"},
        {"btach list", "did you mean 'batch list'?"},
        {"batch show W-02", "there is no batch 'W-02'; did you mean 'W-01'?"},
    };
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02");
    for (size_t i = 0; i < LENGTH(bad); i++)
        kitchen_refuses(kitchen, bad[i].line, bad[i].text);
    kitchen_do(kitchen, "batch list");
    check_lacks(kitchen->out, "W-09");
}

static void
reading_needs_a_notebook_that_is_there(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_refuses(kitchen, "batch list", "there is no notebook");
    assert_int_equal(kitchen->exit_code, 2);
}

static void
control_characters_in_a_title_are_shown_harmlessly(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02 --title 'a\x1b[2Jb \xe2\x80\xae c'");
    kitchen_do(kitchen, "batch list");
    check_contains(kitchen->out, "a\\x1b[2Jb \\u202e c");
    check_lacks(kitchen->out, "\x1b");
}

static void
every_command_has_help(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen->width = 200; /* so that no summary is broken */
    kitchen_do(kitchen, "--help");
    for (size_t i = 0; command_table[i] != NULL; i++) {
        char line[128];

        check_contains(kitchen->out, command_table[i]->name);
        snprintf(line, sizeof line, "%s --help", command_table[i]->name);
        kitchen_do(kitchen, line);
        check_contains(kitchen->out, command_table[i]->summary);
        check_contains(kitchen->out, "--notebook FILE");
        kitchen_do(kitchen, "--help");
    }
}

#define KITCHEN_TEST(name) cmocka_unit_test_setup_teardown(name, kitchen_open, kitchen_close)

static const struct CMUnitTest tests[] = {
    KITCHEN_TEST(a_batch_is_added_listed_and_shown),
    KITCHEN_TEST(a_recipe_is_balanced_as_it_is_filed),
    KITCHEN_TEST(wrong_batches_are_refused_in_one_line),
    KITCHEN_TEST(reading_needs_a_notebook_that_is_there),
    KITCHEN_TEST(control_characters_in_a_title_are_shown_harmlessly),
    KITCHEN_TEST(every_command_has_help),
};

const struct check_module test_command_batch = CHECK_MODULE("command/batch", tests);
