/* test_surface.c - a strip pressed on the wet bar: it can warn, and never counts for a bar. */
#include "check.h"
#include "file.h"
#include "kitchen.h"

static int
furnish(void **state)
{
    int failed = kitchen_open(state);

    if (failed == 0) {
        kitchen_do(*state, "batch add W-07 --made 2026-05-02");
        kitchen_do(*state, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
        kitchen_do(*state, "gear add strips --kind paper --steps 1-14");
        kitchen_do(*state, "gear add scale --kind balance --readability-g 0.01");
        kitchen_do(
            *state,
            "calibrate bench --buffer borax@40=9.07 --buffer 'lime water@40=11.98' --at 2026-05-02T09:00");
    }
    return failed;
}

static void
a_high_one_warns_and_holds(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "read W-07 --bar A --surface --between 11..12");
    check_contains(kitchen->out, "between 11 and 12 with strips, on the wet bar");
    check_contains(kitchen->out, "a strip on the wet bar can warn, and never counts for it");
    check_contains(kitchen->out,
                   "W-07 is held now (doubtful: a strip on the wet bar alone, doubted because a strip");
    check_lacks(kitchen->out, "no concentration");
    kitchen_do(kitchen, "verdict W-07");
    check_contains(kitchen->out, "doubtful");
    check_contains(kitchen->out, "strip on the wet bar: pH 11 to 12 as read, of no known concentration");
    check_contains(kitchen->out, "a strip pressed on the wet bar lies wholly above 10.5");
    kitchen_do(kitchen, "batch show W-07");
    check_contains(kitchen->out, "11..12 wet bar");
    kitchen_set_time(kitchen, "2026-06-02T12:00");
    kitchen_do(kitchen, "calibrate bench --buffer borax@40=9.07 --buffer 'lime water@40=11.98'");
    kitchen_do(
        kitchen,
        "read W-07 --bar A --water distilled --ph 9.9 --ph 9.9 --ph 9.9 --temperature-c 40 --percent 1");
    kitchen_do(kitchen, "verdict W-07"); /* a solution of that bar settles it */
    check_contains(kitchen->out, "W-07: within");
}

static void
a_low_one_says_nothing_for_the_bar(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "read W-07 --bar A --surface --between 8..9");
    check_lacks(kitchen->out, "is held now");
    kitchen_do(kitchen, "verdict W-07");
    check_contains(kitchen->out, "W-07: not-judged: a strip on the wet bar alone");
    kitchen_do(kitchen,
               "read W-07 --bar A --water distilled --ph 10.9 --ph 10.9 --temperature-c 40 --percent 1");
    check_contains(kitchen->out, "W-07 is held now (doubtful");
    kitchen_set_time(kitchen, "2026-06-02T12:00");
    kitchen_do(kitchen, "read W-07 --bar A --surface --between 7..8");
    kitchen_do(kitchen, "verdict W-07 --strict"); /* it settles no doubt */
    assert_int_equal(kitchen->exit_code, 3);
    check_contains(kitchen->out, "W-07: doubtful");
}

/* Six cups read with meter and strip: the pairs teach how the paper reads; the wet bars beside them do not. */
static void
the_paper_learns_nothing_from_it(void **state)
{
    struct kitchen *kitchen = *state;
    char *before;

    for (int day = 10; day <= 15; day++) {
        char line[300];

        snprintf(line, sizeof line,
                 "read W-07 --water distilled --ph 9.%d --between 8..9 --temperature-c 40 --percent 1 --at "
                 "2026-05-%dT10:00",
                 80 + day, day);
        kitchen_do(kitchen, line);
    }
    kitchen_do(kitchen, "gear show strips");
    check_contains(kitchen->out, "6 pairs");
    before = memory_copy(kitchen->out);
    kitchen_do(kitchen, "read W-07 --surface --between 11..12 --temperature-c 20");
    kitchen_do(kitchen, "gear show strips");
    assert_string_equal(kitchen->out, before);
    free(before);
    kitchen_do(kitchen, "verdict W-07"); /* nor is it moved by what was learned: as read */
    check_contains(kitchen->out, "strip on the wet bar: pH 11 to 12 as read");
}

static void
it_is_drawn_and_listed_apart(void **state)
{
    struct kitchen *kitchen = *state;
    struct failure failure = {0};
    char *path = file_join(kitchen->folder->path, "cure.svg"), *script_path = text_format("%s.gnuplot", path),
         *script = NULL, *line = text_format("trend W-07 --plot %s --script", path);

    kitchen_do(kitchen,
               "read W-07 --water distilled --ph 9.9 --temperature-c 40 --percent 1 --at 2026-05-20T10:00");
    kitchen_do(kitchen, "read W-07 --between 8..9 --temperature-c 40 --percent 1 --at 2026-05-21T10:00");
    kitchen_do(kitchen, "read W-07 --surface --between 9..10 --at 2026-05-22T10:00");
    kitchen_do(kitchen, "trend W-07 --csv");
    check_contains(kitchen->out, ",surface,strips,1,,9,10,");
    check_contains(kitchen->out, ",paper,strips,1,,8,9,");
    kitchen_do(kitchen, "trend W-07");
    check_contains(kitchen->out, "wet bar");
    kitchen_do(kitchen, line);
    check_ok(file_read(script_path, 1 << 20, &script, &failure), &failure);
    check_contains(script, "pH on the wet bar (warns only)");
    free(script);
    free(script_path);
    free(line);
    free(path);
}

static void
in_a_walk_it_is_typed_at_the_paper_question(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers answers = {0};

    answers_usual(&answers);
    answers_add(&answers, "paper", 1, "surface 9..10");
    assert_int_equal(kitchen_walk(kitchen, "test W-07", &answers), STATUS_OK);
    check_contains(kitchen->out, "kept: pH 9..10 on the wet bar");
    kitchen_do(kitchen, "batch show W-07");
    check_contains(kitchen->out, "9..10 wet bar");
    kitchen_do(kitchen, "verify");
    check_contains(kitchen->out, "Nothing in it contradicts its journal");
}

static void
what_makes_no_sense_is_refused(void **state)
{
    static const char *const bad[] = {
        "read W-07 --surface --ph 9.9",
        "read W-07 --surface",
        "read W-07 --surface --between 9..10 --percent 1",
        "read W-07 --surface --between 9..10 --ph 9.8",
        "read W-07 --surface --between 9..10 --soap-g 1 --water-g 99",
    };

    for (size_t i = 0; i < LENGTH(bad); i++)
        kitchen_refuses(*state, bad[i], i == 1 ? "what was read?" : "it goes with --between alone");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(a_high_one_warns_and_holds, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_low_one_says_nothing_for_the_bar, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(the_paper_learns_nothing_from_it, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(it_is_drawn_and_listed_apart, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(in_a_walk_it_is_typed_at_the_paper_question, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(what_makes_no_sense_is_refused, furnish, kitchen_close),
};

const struct check_module test_command_surface = CHECK_MODULE("command/surface", tests);
