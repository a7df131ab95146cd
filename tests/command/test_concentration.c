/* test_concentration.c - a test portion whose concentration was not said, or is far from 1 %: it is told when it is
 * filed, and the concentration can be given later. */
#include "check.h"
#include "kitchen.h"
#include "text.h"

static int
furnish(void **state)
{
    int failed = kitchen_open(state);

    if (failed != 0)
        return failed;
    kitchen_do(*state, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    kitchen_do(*state, "batch add W-07 --made 2026-03-02");
    kitchen_do(*state,
               "calibrate bench --at 2026-05-09T09:00 --buffer borax@24=9.19 --buffer 'lime water@25=12.45'");
    return 0;
}

static void
import_file(struct kitchen *kitchen, const char *content, const char *rest)
{
    char *options = text_format("--water distilled %s", rest);
    char *line = kitchen_import_line(kitchen, "readings", "sheet.csv", content, options);

    kitchen_do(kitchen, line);
    free(line);
    free(options);
}

static const char sheet[] = "batch,taken_at,ph,temperature_c,percent\n"
                            "W-07,2026-05-09T10:00,9.88,40,1\n"
                            "W-07,2026-05-09T10:01,9.87,,1\n"
                            "W-07,2026-05-09T10:02,9.86,40,1\n";

static void
an_import_tells_what_cannot_be_judged(void **state)
{
    struct kitchen *kitchen = *state;

    import_file(kitchen, sheet, "--dry-run");
    check_contains(kitchen->out,
                   "columns left out: 'percent' (to take it: --column concentration_pct=percent)\n"
                   "without a concentration, so they clear no bar: 3 (--percent; later, correct)\n"
                   "without a temperature, so they clear no bar: 1 (later, correct)\n");
    import_file(kitchen, sheet, "--column concentration_pct=percent");
    check_lacks(kitchen->out, "concentration");
    import_file(kitchen, sheet, "");
    check_lacks(kitchen->out, "without"); /* what was there is not counted again */
}

static void
the_rows_without_a_concentration_take_the_option(void **state)
{
    struct kitchen *kitchen = *state;

    import_file(
        kitchen,
        "batch,taken_at,ph,temperature_c,concentration_pct\n"
        "W-07,2026-05-09T10:00,9.88,40,\nW-07,2026-05-10T10:00,9.9,40,3\nW-07,2026-05-11T10:00,9.9,40,2\n",
        "--percent 1,02");
    check_contains(kitchen->out, "3 readings added\noutside 0.5 to 2 %, so they clear no bar: 1\n");
    kitchen_do(kitchen, "trend W-07 --csv");
    check_contains(kitchen->out, ",9.88,,,40,1.02,");
    check_contains(kitchen->out, ",9.9,,,40,3,");
}

static void
a_portion_gets_its_concentration_afterwards(void **state)
{
    struct kitchen *kitchen = *state;

    import_file(kitchen, sheet, "");
    kitchen_do(kitchen, "verdict W-07");
    check_contains(kitchen->out, "not-judged");
    kitchen_refuses(kitchen, "correct 1 --percent 1", "say why");
    kitchen_do(kitchen, "correct 2 --percent 1 --why 'the sheet had it in another column'");
    check_contains(kitchen->out, "at 1 %: 1, 2, 3 superseded by 4, 5, 6; the old rows stay on record\n");
    kitchen_do(kitchen, "correct 5 --temperature-c 40 --why 'as the others'");
    kitchen_do(kitchen, "verdict W-07 --csv");
    check_contains(kitchen->out, "W-07,1,68,meter,3,9.87,");
    check_contains(kitchen->out, ",within,");
    kitchen_do(kitchen, "batch show W-07");
    check_contains(kitchen->out, "corrects 1: the sheet\n");
    kitchen_refuses(kitchen, "correct 1 --percent 1.1 --why again",
                    "was corrected already; correct reading 4");
    kitchen_do(kitchen, "correct 4 --percent 1.01 --why 'misread'");
    kitchen_do(kitchen, "trend W-07 --csv");
    check_contains(kitchen->out, ",9.88,,,40,1.01,");
    import_file(kitchen, sheet, "");
    check_contains(kitchen->out, "0 readings added, 3 were there already");
    kitchen_do(kitchen, "read W-07 --ph 9.87 --temperature-c 40 --session 1 --at 2026-05-09T10:03");
    check_lacks(kitchen->out, "no concentration");
    kitchen_do(kitchen, "verify");
    check_contains(kitchen->out, "Nothing in it contradicts its journal");
}

static void
a_strong_lye_reading_holds_its_batch_once_it_can_be_judged(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "read W-07 --water distilled --ph 11.2 --temperature-c 40 --at 2026-05-09T10:00");
    kitchen_do(kitchen, "correct 1 --percent 0.5 --why 'found the note'");
    check_contains(kitchen->out, "at 0.5 %: 1 superseded by 2");
    kitchen_do(kitchen, "verdict W-07 --csv");
    check_contains(kitchen->out, ",lye-heavy,");
}

static void
masses_are_added_where_none_were_written_down(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "read W-07 --water distilled --ph 9.9 --temperature-c 40 --at 2026-05-09T10:00");
    kitchen_do(kitchen, "correct 1 --soap-g 1.02 --water-g 99 --why 'found the note'");
    check_contains(kitchen->out, "weighing 1: 1.02 g of soap\nweighing 2: 99 g of water\n");
    kitchen_do(kitchen, "trend W-07 --csv");
    check_contains(kitchen->out, ",9.9,,,40,1.01979604"); /* 100 x 1.02 / 100.02 */
    kitchen_refuses(kitchen, "correct 1 --soap-g 1 --why x", "the soap was weighed, 1.02 g");
    kitchen_refuses(kitchen, "correct 1 --percent 1 --why x", "the portion was weighed");
    kitchen_refuses(kitchen, "correct 1 --percent 1 --soap-g 1 --why x", "--percent or the masses, not both");
    kitchen_refuses(kitchen, "correct 1 --percent 1 --ph 9 --why x", "without --ph");
    kitchen_refuses(kitchen, "correct 1 --soap-g 0 --why x", "a mass is above 0");
    kitchen_do(kitchen, "verify");
}

/* Its look (clear, gelled) belongs to the portion, which a new one would lose. */
static void
a_portion_of_a_walk_through_is_told_by_its_masses(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers answers = {0};

    answers_usual(&answers);
    answers_add(&answers, "soap-mass", 1, "skip scale broke");
    answers_add(&answers, "water-mass", 1, "skip scale broke");
    answers_add(&answers, "look", 1, "gelled\nlate");
    answers_add(&answers, "reading", 0, "9.9 40");
    assert_int_equal(kitchen_walk(kitchen, "test W-07", &answers), STATUS_OK);
    check_contains(kitchen->out, "Session 1 is finished");
    kitchen_refuses(kitchen, "correct 1 --percent 1 --why x", "of a walk-through: say its masses");
    kitchen_do(kitchen, "correct 1 --soap-g 1 --water-g 99 --why 'a friend wrote it down'");
    kitchen_do(kitchen, "verdict W-07 --csv");
    check_contains(kitchen->out, ",40,1,11,");
}

static void
a_reading_far_from_one_percent_is_told_when_it_is_filed(void **state)
{
    static const struct {
        const char *line;
        bool told;
    } cases[] = {
        {"read W-07 --water distilled --ph 9.9 --temperature-c 40 --percent 3", true},
        {"read W-07 --water distilled --ph 9.9 --temperature-c 40 --percent 0.4", true},
        {"read W-07 --water distilled --ph 9.9 --temperature-c 40 --percent 0.5", false},
        {"read W-07 --water distilled --ph 9.9 --temperature-c 40 --percent 2", false},
        {"read W-07 --water distilled --ph 9.9 --temperature-c 40 --soap-g 10 --water-g 90", true},
        {"read W-07 --water distilled --ph 9.9 --temperature-c 40 --soap-g 1 --water-g 99", false},
        {"read W-07 --water distilled --ph 9.9 --temperature-c 40", false},
    };
    struct kitchen *kitchen = *state;

    for (size_t i = 0; i < LENGTH(cases); i++) {
        kitchen_do(kitchen, cases[i].line);
        if (cases[i].told)
            check_contains(kitchen->out,
                           "% is outside 0.5 to 2 %: it cannot be brought to 1 %, so it clears no bar\n");
        else
            check_lacks(kitchen->out, "is outside");
        assert_int_equal(strstr(kitchen->out, "no concentration") != NULL, i + 1 == LENGTH(cases));
    }
    kitchen_do(kitchen, "read W-07 --ph 9.9 --temperature-c 40 --session 6");
    check_lacks(kitchen->out, "no concentration"); /* that portion was weighed */
}

static void
units_may_stand_behind_what_they_fit(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen,
               "read W-07 --water distilled --ph '9.9 pH' --ph 9,8pH --temperature-c 104F --percent 1%");
    check_contains(kitchen->out, "reading 1: pH 9.9 with bench\nreading 2: pH 9.8 with bench\n");
    kitchen_refuses(kitchen, "read W-07 --water distilled --ph 9.9% --temperature-c 40 --percent 1",
                    "--ph: '9.9%': unit '%' does not fit, allowed is pH");
    kitchen_refuses(kitchen, "read W-07 --water distilled --ph 9.9 --temperature-c 40 --percent 1g",
                    "--percent: '1g': unit 'g' does not fit, allowed is %");
    import_file(
        kitchen,
        "batch,taken_at,ph,temperature_c,concentration_pct\nW-07,2026-05-09T10:00,9.88 pH,104F,1.02 %\n", "");
    kitchen_do(kitchen, "trend W-07 --csv");
    check_contains(kitchen->out, ",9.88,,,40,1.02,");
}

/* A weight typed at the question why is the value typed again, and no reason. */
static void
a_value_is_no_reason(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers answers = {0};

    answers_usual(&answers);
    answers_add(&answers, "soap-mass", 1, "1.9\n1.03g\n1,03 g\nback\n1.03g\nquit");
    assert_int_equal(kitchen_walk(kitchen, "test W-07", &answers), STATUS_OK);
    check_contains(kitchen->out, "  '1.03g' is a value: words are needed here, or back to the question\n");
    check_contains(kitchen->out, "kept: 1.03 g");
}

/* u_ph of the batch's only row. */
static double
u_ph(struct kitchen *kitchen, const char *code)
{
    char *line = text_format("verdict %s --csv", code);
    const char *at;
    double u = NAN;

    kitchen_do(kitchen, line);
    at = strchr(kitchen->out, '\n');
    for (int comma = 0; comma < 7 && at != NULL; comma++)
        at = strchr(at + 1, ',');
    assert_non_null(at);
    assert_int_equal(sscanf(at, ",%lf", &u), 1);
    free(line);
    return u;
}

/* 1 g weighed on a scale that reads to 1 g: u = 1/sqrt 6 of a gram, 0.41 %, and 3/4 of 0.41/ln 10 is 0.13 pH. */
static void
the_only_balance_weighed_it_and_tells_how_well(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "gear add kitchen-scale --kind balance --readability-g 1");
    kitchen_do(kitchen,
               "read W-07 --at 2026-05-09T10:00 --ph 9.88 --temperature-c 40 --soap-g 1 --water-g 99");
    check_contains(kitchen->out, "kitchen-scale reads to 1 g: with 1 g of soap 1 % is known to +/- 0.8");
    assert_true(u_ph(kitchen, "W-07") > 0.12);
    kitchen_do(kitchen, "batch add W-08 --made 2026-03-02");
    kitchen_do(kitchen, "read W-08 --at 2026-05-09T10:10 --ph 9.88 --temperature-c 40 --percent 1");
    check_contains(kitchen->out, "(taken, as no masses are given)");
    assert_true(u_ph(kitchen, "W-08") > 0.12);
    kitchen_do(kitchen, "batch add W-09 --made 2026-03-02");
    kitchen_do(kitchen, "gear add fine --kind balance --readability-g 0.001");
    kitchen_do(kitchen,
               "read W-09 --at 2026-05-09T10:20 --ph 9.88 --temperature-c 40 --percent 1 --balance fine");
    check_lacks(kitchen->out, "reads to");
    assert_true(u_ph(kitchen, "W-09") < 0.06);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(an_import_tells_what_cannot_be_judged, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(the_rows_without_a_concentration_take_the_option, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_portion_gets_its_concentration_afterwards, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_strong_lye_reading_holds_its_batch_once_it_can_be_judged, furnish,
                                    kitchen_close),
    cmocka_unit_test_setup_teardown(masses_are_added_where_none_were_written_down, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_portion_of_a_walk_through_is_told_by_its_masses, furnish,
                                    kitchen_close),
    cmocka_unit_test_setup_teardown(a_reading_far_from_one_percent_is_told_when_it_is_filed, furnish,
                                    kitchen_close),
    cmocka_unit_test_setup_teardown(units_may_stand_behind_what_they_fit, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(the_only_balance_weighed_it_and_tells_how_well, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_value_is_no_reason, furnish, kitchen_close),
};

const struct check_module test_command_concentration = CHECK_MODULE("command/concentration", tests);
