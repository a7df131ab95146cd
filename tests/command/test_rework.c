/* test_rework.c - "rework". */
#include "check.h"
#include "kitchen.h"

/* A kilogram of lye-heavy soap, titrated: 1.000 % free NaOH. */
static int
furnish(void **state)
{
    int failed = kitchen_open(state);

    if (failed == 0) {
        kitchen_do(*state, "batch add W-07 --made 2026-05-02 --title 'oat bar' --fat 'olive oil=630@sv 190' "
                           "--lye naoh=96.8@98.5% --water-g 273.2");
        kitchen_do(*state, "gear add scale --kind balance --readability-g 0.01");
        kitchen_do(*state, "titrate W-07 --soap-g 10 --acid-mol-l 0.1 --volume-ml 25.05 --blank-ml 0.05");
    }
    return failed;
}

static void
amounts_are_told_with_their_range_and_evidence(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "rework W-07 --with 'olive oil' --superfat 0");
    check_contains(kitchen->out, "free NaOH                        10.0 g (");
    check_contains(kitchen->out, "takes it up, nothing left        73.8 g ("); /* method 10 */
    check_contains(kitchen->out, "Rests on the titration: 1.000 % of 1000 g.");
    check_contains(kitchen->out, "flags: mass-assumed");
    check_contains(kitchen->out, "The batch stays held until both say within");
    check_contains(kitchen->out, "Soap that is melted again spits");
    kitchen_do(kitchen, "rework W-07 --with 'olive oil' --superfat 0 --mass-g 1000 --csv");
    check_contains(kitchen->out, "batch,free_naoh_g,with,fat_for_zero_g,superfat_pct,fat_total_g,flags\n"
                                 "W-07,9.99");
    check_contains(kitchen->out, ",olive oil,73.8");
    kitchen_do(kitchen, "rework W-07 --with 'baking soda'");
    check_contains(kitchen->out, "washing soda");
}

static void
the_reworked_batch_is_a_held_child_that_a_titration_frees(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "rework W-07 --with 'olive oil' --as W-07R --added-g 120 --made 2026-05-03");
    check_contains(kitchen->out, "added batch W-07R, reworked from W-07; it is held");
    check_contains(kitchen->out, "curetrace batch discard W-07 --why 'reworked into W-07R'");
    kitchen_do(kitchen, "verdict W-07R"); /* one answer: what was reworked is titrated, not tested */
    check_contains(kitchen->out, "a reworked batch is released by titrations of two of its bars: 0 of 2");
    check_contains(kitchen->out, "curetrace titrate W-07R/1 W-07R/2\n");
    check_lacks(kitchen->out, "curetrace test");
    kitchen_do(kitchen, "due");
    check_contains(kitchen->out, "titrate  W-07R");
    kitchen_do(kitchen, "batch show W-07R");
    check_contains(kitchen->out, "parent     W-07\n");
    check_contains(kitchen->out, "state      held\n");
    check_contains(kitchen->out, "fat     120.00  olive oil");
    check_contains(kitchen->out, "held by the rule: reworked from W-07");
    kitchen_do(kitchen, "recipe W-07R --csv"); /* the new balance: 98.5 g against 750 x 0.190 x 0.712896 */
    check_contains(kitchen->out, "W-07R,");
    check_contains(kitchen->out, "101.58");
    kitchen_refuses(kitchen, "batch release W-07R", "W-07R is not released");
    check_contains(kitchen->err, "the verdict is within, by every bar");
    kitchen_do(kitchen, "policy ages 1");
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    kitchen_do(kitchen,
               "titrate W-07R --bar A --acid-mol-l 0.1 --acid-u-pct 0.5 --blank-ml 0.05 --burette-ml 0.05 "
               "--soap-g 10 --volume-ml 0.55 --soap-g 10 --volume-ml 0.56 --at 2026-05-20");
    kitchen_refuses(kitchen, "batch release W-07R", "W-07R is not released");
    check_contains(kitchen->err, "a reworked batch: two bars titrated, and within (1 bar)");
    kitchen_do(kitchen,
               "titrate W-07R --bar B --acid-mol-l 0.1 --acid-u-pct 0.5 --blank-ml 0.05 --burette-ml 0.05 "
               "--soap-g 10 --volume-ml 0.55 --soap-g 10 --volume-ml 0.56 --at 2026-05-20");
    kitchen_do(kitchen, "batch release W-07R");
    check_contains(kitchen->out, "yes  a reworked batch: two bars titrated, and within (2 bars)");
}

static void
a_ph_alone_gives_ranges_and_nothing_to_weigh(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add W-08 --made 2026-05-02 --other 'bars bought in=700'");
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    kitchen_do(
        kitchen,
        "calibrate bench --at 2026-05-10T09:00 --buffer borax@40=9.068 --buffer 'lime water@40=11.984'");
    kitchen_do(kitchen, "read W-08 --water distilled --at 2026-05-10T10:00 --temperature-c 40 --percent 1 "
                        "--ph 11.4 --ph 11.41 --ph 11.4");
    kitchen_do(kitchen, "rework W-08 --with 'olive oil' --mass-g 700");
    check_contains(kitchen->out, "do not weigh anything yet");
    check_lacks(kitchen->out, "\nweigh ");
}

static void
wrong_use_is_refused_and_files_nothing(void **state)
{
    static const struct {
        const char *line, *text;
    } bad[] = {
        {"rework W-07 --added-g 5", "go with --as CODE"},
        {"rework W-07 --as W-07R --csv", "leave out --as"},
        {"rework W-07 --as W-07", "there is a batch 'W-07' already"},
        {"rework W-07 --as W-07R --made 2026-05-01", "the rework is not before the pour"},
        {"rework W-07 --as W-07R --made 2026-07-01", "which is after today"},
        {"rework W-07 --with gold", "neither a known fat"},
        {"rework W-07 --with 'citric acid' --superfat 5", "leaves no superfat"},
        {"rework W-07 --superfat 51", "--superfat: 51 is outside 0 to 50"},
        {"rework W-08", "there is no batch 'W-08'"},
    };
    struct kitchen *kitchen = *state;

    for (size_t i = 0; i < LENGTH(bad); i++)
        kitchen_refuses(kitchen, bad[i].line, bad[i].text);
    kitchen_do(kitchen, "batch list");
    check_lacks(kitchen->out, "W-07R");
    kitchen_do(kitchen, "batch discard W-07 --why 'thrown away'");
    kitchen_refuses(kitchen, "rework W-07 --as W-07R", "W-07 is discarded: there is nothing left to rework");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(amounts_are_told_with_their_range_and_evidence, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(the_reworked_batch_is_a_held_child_that_a_titration_frees, furnish,
                                    kitchen_close),
    cmocka_unit_test_setup_teardown(a_ph_alone_gives_ranges_and_nothing_to_weigh, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(wrong_use_is_refused_and_files_nothing, furnish, kitchen_close),
};

const struct check_module test_command_rework = CHECK_MODULE("command/rework", tests);
