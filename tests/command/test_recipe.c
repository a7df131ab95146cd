/* test_recipe.c - "recipe". */
#include "check.h"
#include "kitchen.h"

static void
a_batch_is_balanced_in_words(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add W-07 --made 2026-03-02 --fat 'olive oil=500@sv 190' --lye naoh=70@98.5% "
                        "--acid 'citric acid, anhydrous=10' --water-g 180");
    kitchen_do(kitchen, "recipe W-07");
    /* 500 x 0.190 x 39.997/56.105 = 67.725; 70 x 0.985 = 68.95; 10 x 0.62455 = 6.25; by hand. */
    check_contains(kitchen->out, "the fats need     67.73 g");
    check_contains(kitchen->out, "the lye gives     68.95 g");
    check_contains(kitchen->out, "acids take         6.25 g");
    check_contains(kitchen->out, "left for fat      62.70 g");
    check_contains(kitchen->out, "superfat            7.4 % (95 % range ");
    check_contains(kitchen->out, "(100000 draws from seed 1)");
    check_contains(kitchen->out, "weighing of naoh");
    check_contains(kitchen->out, "What the 1 % solution should read at 40 degC");
    check_contains(kitchen->out, "weighed to 1 g, which is assumed");
    check_contains(kitchen->out, "lye goes into water, never water into lye");
    check_contains(kitchen->out, "licensed cosmetic safety assessor");
}

static void
a_readability_told_is_taken(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add W-07 --made 2026-03-02 --fat 'olive oil=500@sv 190' --lye naoh=70@98.5%");
    kitchen_do(kitchen, "recipe W-07 --readability-g 0.01");
    check_contains(kitchen->out, "weighed to 0.01 g\n");
    check_lacks(kitchen->out, "weighing-assumed");
}

static void
csv_has_fixed_headings(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "recipe --fat 'olive oil=500' --lye naoh=80@100% --csv --seed 7 --draws 5000");
    check_contains(
        kitchen->out,
        "batch,lye_needed_low_g,lye_needed_g,lye_needed_high_g,lye_taken_by_acids_g,lye_effective_g,"
        "superfat_pct,superfat_low_pct,superfat_high_pct,p_lye_exceeds_fat,flags\n,");
    check_contains(kitchen->out, ",1,\"weighing-assumed;lye-may-exceed;lye-exceeds\"\n");
    check_lacks(kitchen->out, "Caution");
}

static void
excess_lye_is_said_plainly(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "recipe --fat 'olive oil=500' --lye naoh=80@100%");
    check_contains(kitchen->out, "Do not pour this");
    check_contains(kitchen->out, "free NaOH or more");
    check_contains(kitchen->out, "Keep the bars off skin");
    kitchen_do(kitchen, "recipe --fat 'olive oil=500' --lye naoh=67.5@98.5%");
    check_contains(kitchen->out, "Too close");
}

static void
lye_for_a_superfat_needs_no_notebook(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "recipe --fat 'olive oil=1000@sv 190' --lye-for 5");
    /* 190 x 39.997/56.105 x 0.95 / 0.985 = 130.64 */
    check_contains(kitchen->out, "for 5 % superfat: 130.64 g of naoh, 97 to 100 % pure");
    check_contains(kitchen->out, "weigh 130.64 g");
}

static void
wrong_use_is_refused_in_one_line(void **state)
{
    static const struct {
        const char *line, *text;
    } bad[] = {
        {"recipe", "expected a batch, or a recipe"},
        {"recipe W-01 --fat 'olive oil=5'", "a batch has its recipe already"},
        {"recipe --fat 'olive oil=500' --lye-for 5 --csv", "does not go with --lye-for"},
        {"recipe --fat 'olive oil=500' --lye-for 51", "--lye-for: 51 is outside 0 to 50"},
        {"recipe --fat 'olive oil=500' --lye naoh=5 --draws 10", "--draws: 10 is outside 1000 to 1e+09"},
        {"recipe --fat 'olive oil=500'", "the recipe has no lye"},
        {"recipe W-01", "there is no notebook"},
    };
    struct kitchen *kitchen = *state;

    for (size_t i = 0; i < LENGTH(bad); i++)
        kitchen_refuses(kitchen, bad[i].line, bad[i].text);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(a_batch_is_balanced_in_words, kitchen_open, kitchen_close),
    cmocka_unit_test_setup_teardown(a_readability_told_is_taken, kitchen_open, kitchen_close),
    cmocka_unit_test_setup_teardown(csv_has_fixed_headings, kitchen_open, kitchen_close),
    cmocka_unit_test_setup_teardown(excess_lye_is_said_plainly, kitchen_open, kitchen_close),
    cmocka_unit_test_setup_teardown(lye_for_a_superfat_needs_no_notebook, kitchen_open, kitchen_close),
    cmocka_unit_test_setup_teardown(wrong_use_is_refused_in_one_line, kitchen_open, kitchen_close),
};

const struct check_module test_command_recipe = CHECK_MODULE("command/recipe", tests);
