/* test_calibrate.c - "calibrate" by options and by questions, and "expect". */
#include "check.h"
#include "kitchen.h"
#include "text.h"

static int
furnish(void **state)
{
    int failed = kitchen_open(state);

    if (failed != 0)
        return failed;
    kitchen_do(*state, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02");
    return 0;
}

static void
a_good_meter_is_accepted_and_a_bad_one_refused(void **state)
{
    struct kitchen *kitchen = *state;

    /* Table pH of borax at 24 degC 9.189 and of lime water at 25 degC 12.454 (NBS/IUPAC): shown exactly so, the
     * slope is that of theory. */
    kitchen_do(kitchen, "calibrate bench --buffer borax@24=9.189 --buffer 'lime water@25=12,454'");
    check_contains(kitchen->out, "accepted: slope 100.0 %, offset ");
    check_contains(kitchen->out, "the buffers reach from pH 9.19 to 12.45");
    check_contains(kitchen->out, "a reading shown as 10.00 means pH 10.00");
    /* 0.85 of the table's distance: outside 90 to 105 % (USP <791>) */
    kitchen_do(kitchen, "calibrate bench --buffer borax@24=9.189 --buffer 'lime water@25=11.964'");
    check_contains(kitchen->out, "refused: slope 85.0 %");
    check_lacks(kitchen->out, "the buffers reach");
    kitchen_do(kitchen, "gear show bench");
    check_contains(kitchen->out, "refused");
    check_contains(kitchen->out, "accepted");
}

static void
a_refusal_says_what_may_have_happened(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "calibrate bench --buffer borax@24=12.45 --buffer 'lime water@25=9.19'");
    check_contains(kitchen->out, "refused");
    check_contains(kitchen->out, "were the two buffers swapped?");
    kitchen_do(kitchen, "calibrate bench --buffer borax@24=9.19");
    check_contains(kitchen->out, "marginal (usable, and every verdict says so)\n");
}

static void
an_own_routine_is_declared_without_values(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "calibrate bench --own-routine --buffer 'pH 7.00' --buffer 10.01");
    check_contains(kitchen->out, "no values on record: the meter's stated");
    kitchen_refuses(kitchen, "calibrate bench --own-routine --buffer borax@24=9.2", "only named");
    kitchen_refuses(kitchen, "calibrate bench --own-routine --check --buffer borax", "--check needs values");
}

static void
a_check_shows_drift(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_refuses(kitchen, "calibrate bench --check --buffer borax@24=9.19", "has no calibration");
    kitchen_do(
        kitchen,
        "calibrate bench --at 2026-06-01T09:00 --buffer borax@24=9.189 --buffer 'lime water@25=12.454'");
    kitchen_do(kitchen, "calibrate bench --check --buffer borax@24=9.219");
    check_contains(kitchen->out, "holds: 0.030 pH from the calibration of 2026-06-01T09:00");
    kitchen_do(kitchen, "calibrate bench --check --buffer borax@24=9.289");
    check_contains(kitchen->out, "drifted: 0.100 pH");
    check_contains(kitchen->out, "calibrate again");
}

static void
drift_found_later_holds_what_it_makes_doubtful(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add W-07 --made 2026-03-02");
    kitchen_do(kitchen, "batch add W-08 --made 2026-03-02");
    kitchen_do(
        kitchen,
        "calibrate bench --at 2026-05-20T09:00 --buffer borax@40=9.068 --buffer 'lime water@40=11.984'");
    kitchen_do(
        kitchen,
        "read W-07 --water distilled --at 2026-05-20T10:00 --temperature-c 40 --percent 1 --ph 10.35 --ph "
        "10.35 --ph 10.35");
    kitchen_do(kitchen, "read W-08 --water distilled --at 2026-05-20T10:00 --temperature-c 40 --percent 1 "
                        "--ph 9.5 --ph 9.5 --ph 9.5");
    kitchen_do(kitchen, "verdict W-07 --strict");
    assert_int_equal(kitchen->exit_code, 0);
    /* 0.30 is more than the 0.05 that a check allows: nothing read by that calibration is judged, and 10.35 is above
     * 10.5 less 0.2 */
    kitchen_do(kitchen, "calibrate bench --check --at 2026-05-25T09:00 --buffer borax@40=8.768");
    check_contains(kitchen->out, "drifted: 0.300 pH");
    check_contains(kitchen->out, "W-07 is held now (doubtful: ");
    check_lacks(kitchen->out, "W-08 is held");
    kitchen_do(kitchen, "verdict W-07 --strict");
    check_contains(kitchen->out, "a check in a buffer was 0.30 pH off");
    assert_int_equal(kitchen->exit_code, 3);
    kitchen_do(kitchen, "batch release W-07 --override --why 'for my own sink'");
    kitchen_do(kitchen, "calibrate bench --check --at 2026-05-25T10:00 --buffer borax@40=9.068");
    check_lacks(kitchen->out, "is held now");
}

static void
the_questions_lead_to_the_same(void **state)
{
    struct kitchen *kitchen = *state;

    assert_int_equal(
        kitchen_run_with(kitchen, "calibrate",
                         "borx\nborax\nmade\n24\n9,189\nlime water\nbought\n77F\n12,454\ndone\n"),
        STATUS_OK);
    check_contains(kitchen->out, "there is no buffer 'borx'");
    check_contains(kitchen->out, "borax (kitchen-made)");
    check_contains(kitchen->out, "accepted: slope 100.0 %");
    assert_int_equal(kitchen_run_with(kitchen, "calibrate", "borax\nbought\n"), STATUS_OK);
    check_contains(kitchen->out, "nothing is filed");
    /* The power goes after one buffer of two: half a calibration is none. */
    kitchen_set_time(kitchen, "2026-06-02T08:00");
    assert_int_equal(kitchen_run_with(kitchen, "calibrate", "borax\nbought\n24\n9,189\nlime water\n"),
                     STATUS_OK);
    check_contains(kitchen->out, "kept together at the end, when you type done");
    check_contains(kitchen->out, "Left before the end, so nothing is filed.");
    kitchen_do(kitchen, "gear show bench");
    check_lacks(kitchen->out, "2026-06-02");
    /* "back" leaves one buffer out. */
    assert_int_equal(kitchen_run_with(kitchen, "calibrate",
                                      "phosphate\nbought\nback\nborax\nbought\n24\n9,189\nlime "
                                      "water\nmade\n25\n12.454\ndone\n"),
                     STATUS_OK);
    check_contains(kitchen->out, "this buffer is left out");
    check_contains(kitchen->out, "accepted: slope 100.0 %");
}

static void
wrong_calibrations_are_refused(void **state)
{
    static const struct {
        const char *line, *text;
    } bad[] = {
        {"calibrate bench --buffer borax", "expected NAME@DEGC=SHOWN"},
        {"calibrate bench --buffer borx@24=9.2", "did you mean 'borax'"},
        {"calibrate bench --buffer borax@99=9.2", "0 to 95"},
        {"calibrate bench --buffer borax@24=15", "allowed is 0 to 14"},
        {"calibrate bench --buffer borax@24=9.2x", "'9.2x' is not a number"},
        {"calibrate bench --buffer borax@24=2000mV", "allowed is -1000 to 1000"},
        {"calibrate bench --buffer borax@24=9.2 --kitchen-made phosphate", "cannot be made in a kitchen"},
        {"calibrate bench --buffer borax@24=9.2 --kitchen-made 'lime water'", "is none of the buffers given"},
        {"calibrate bench --buffer borax@24=9.2 --at 2026-06-01T12:01", "is in the future"},
        {"calibrate bench --check", "which buffers?"},
        {"calibrate pocket --buffer borax@24=9.2", "there is no meter 'pocket'; there is 'bench'"},
    };

    for (size_t i = 0; i < LENGTH(bad); i++)
        kitchen_refuses(*state, bad[i].line, bad[i].text);
}

static void
buffers_are_explained_with_their_cautions(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "calibrate --how-to");
    check_contains(kitchen->out, "3.80 g");
    check_contains(kitchen->out, "pH 12.45 at 25 degC");
    check_contains(kitchen->out, "caution");
    check_contains(kitchen->out, "goggles");
}

/* Three sittings of a batch in the month before `until`, each after a calibration in borax named so, and lime water. */
static void
test_batch(struct kitchen *kitchen, const char *code, const char *borax, const char *month)
{
    static const int days[] = {4, 11, 28};
    static const double ph[] = {10.31, 10.04, 9.72};
    char *line = text_format("batch add %s --made %s-01", code, month);

    kitchen_do(kitchen, line);
    free(line);
    for (size_t i = 0; i < LENGTH(days); i++) {
        line = text_format("calibrate bench --buffer %s@25=9.18 --buffer 'lime water@25=12.45' "
                           "--kitchen-made 'lime water' --at %s-%02dT09:00",
                           borax, month, days[i]);
        kitchen_do(kitchen, line);
        free(line);
        line = text_format("read %s --water distilled --meter bench --ph %.2f --ph %.2f --temperature-c 40 "
                           "--percent 1 --at %s-%02dT10:00",
                           code, ph[i], ph[i] + 0.01, month, days[i]);
        kitchen_do(kitchen, line);
        free(line);
    }
}

/* What more pairs would not make smaller: the column before the last. */
static double
shared_half(struct kitchen *kitchen, const char *line)
{
    double value;
    char *end;

    kitchen_do(kitchen, line);
    end = strrchr(kitchen->out, ',');
    assert_non_null(end);
    *end = '\0';
    end = strrchr(kitchen->out, ',');
    assert_int_equal(sscanf(end, ",%lf", &value), 1);
    return value;
}

/* Two batches read with one bottle share its error, which so cancels between them; a new bottle has one of its own. */
static void
a_new_bottle_opened_is_known(void **state)
{
    struct kitchen *kitchen = *state;
    double same, other, named;

    kitchen_set_time(kitchen, "2026-01-02T08:00");
    kitchen_do(kitchen, "gear add first --kind buffer --buffer borax");
    kitchen_set_time(kitchen, "2026-02-28T12:00");
    test_batch(kitchen, "W-01", "borax", "2026-01");
    test_batch(kitchen, "W-02", "borax", "2026-02");
    check_lacks(kitchen->out, "taken to be");
    kitchen_do(kitchen, "gear add second --kind buffer --buffer borax");
    kitchen_set_time(kitchen, "2026-05-28T12:00");
    kitchen_do(kitchen, "calibrate bench --buffer borax@25=9.18 --at 2026-02-28T12:00");
    check_contains(kitchen->out, "borax: taken to be from the bottle second\n");
    test_batch(kitchen, "W-03", "borax", "2026-03");
    test_batch(kitchen, "W-04", "first", "2026-04");
    kitchen_do(kitchen, "calibrate bench --buffer first@25=9.18");
    check_lacks(kitchen->out, "taken to be");
    same = shared_half(kitchen, "compare W-01 W-02 --csv");
    other = shared_half(kitchen, "compare W-01 W-03 --csv");
    named = shared_half(kitchen, "compare W-01 W-04 --csv");
    assert_true(other >
                same + 0.01); /* two bottles of 0.01 each: 1.96 x 0.014 x the share of borax in the line */
    check_close(named, same, 1e-6, "the first bottle again");
    kitchen_refuses(kitchen, "calibrate bench --buffer third@25=9.18", "third");
    kitchen_do(kitchen, "gear retire second --why empty");
    kitchen_do(kitchen, "calibrate bench --buffer borax@25=9.18");
    check_contains(kitchen->out, "borax: taken to be from the bottle first\n");
}

static void
expect_tells_what_a_solution_reads(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "expect 'borax buffer' --temperature-c 40");
    check_contains(kitchen->out, "pH 9.07"); /* NBS/IUPAC: 9.068 */
    kitchen_do(kitchen, "expect 'naoh 0,1 mol/kg' 'water in air' --csv");
    check_contains(
        kitchen->out,
        "solution,temperature_c,ph,u_ph,ionic_strength,source,flags\n\"naoh 0,1 mol/kg\",25,12.88");
    kitchen_do(kitchen, "expect 'naoh 33 %'");
    check_contains(kitchen->out, "beyond-glass-range");
    check_contains(kitchen->out, "alkaline error: above pH");
    kitchen_refuses(kitchen, "expect water 'soda pop 3 %'", "soda pop");
    kitchen_refuses(kitchen, "expect", "which solution?");
    kitchen_do(kitchen, "expect --known"); /* where a refusal sends to */
    check_contains(kitchen->out, "  borax ");
    check_contains(kitchen->out, "  sodium hydroxide, naoh, lye, caustic soda\n");
}

#define CALIBRATE_TEST(name) cmocka_unit_test_setup_teardown(name, furnish, kitchen_close)

static const struct CMUnitTest tests[] = {
    CALIBRATE_TEST(a_good_meter_is_accepted_and_a_bad_one_refused),
    CALIBRATE_TEST(a_refusal_says_what_may_have_happened),
    CALIBRATE_TEST(an_own_routine_is_declared_without_values),
    CALIBRATE_TEST(a_check_shows_drift),
    CALIBRATE_TEST(drift_found_later_holds_what_it_makes_doubtful),
    CALIBRATE_TEST(the_questions_lead_to_the_same),
    CALIBRATE_TEST(wrong_calibrations_are_refused),
    CALIBRATE_TEST(buffers_are_explained_with_their_cautions),
    CALIBRATE_TEST(a_new_bottle_opened_is_known),
    CALIBRATE_TEST(expect_tells_what_a_solution_reads),
};

const struct check_module test_command_calibrate = CHECK_MODULE("command/calibrate", tests);
