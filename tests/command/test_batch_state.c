/* test_batch_state.c - "batch hold|release|discard" and "policy". */
#include "check.h"
#include "kitchen.h"

static const char sound[] = "--acid-mol-l 0.1 --acid-u-pct 0.5 --blank-ml 0.05 --burette-ml 0.05 "
                            "--soap-g 10 --volume-ml 0.55 --soap-g 10 --volume-ml 0.56";

static int
furnish(void **state)
{
    int failed = kitchen_open(state);

    if (failed == 0) {
        kitchen_do(*state, "batch add W-07 --made 2026-05-02");
        kitchen_do(*state, "gear add scale --kind balance --readability-g 0.01");
    }
    return failed;
}

/* Titrate two bars of a sound batch at a moment. */
static void
titrate(struct kitchen *kitchen, const char *at)
{
    static const char *const bars[] = {"A", "B"};
    char line[400];

    for (size_t i = 0; i < LENGTH(bars); i++) {
        snprintf(line, sizeof line, "titrate W-07 --bar %s %s --at %s", bars[i], sound, at);
        kitchen_do(kitchen, line);
    }
}

static void
release_needs_the_evidence_of_the_policy(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_refuses(kitchen, "batch release W-07", "W-07 is not released; --override with --why");
    check_contains(kitchen->err, "Missing of what the policy asks (5 of 6):\n"
                                 "  - the verdict is within, by every bar (not tested yet)\n"
                                 "  - every bar is within by the bound of day 28 (not tested yet)\n");
    check_contains(kitchen->err, "  - within at enough different ages (0, asked are 2)\n");
    check_lacks(kitchen->failure.text, "within"); /* each thing is said once */
    kitchen_do(kitchen,
               "titrate W-07 --bar A --acid-mol-l 0.1 --acid-u-pct 0.5 --blank-ml 0.05 --burette-ml 0.05 "
               "--soap-g 10 --volume-ml 0.55 --soap-g 10 --volume-ml 0.56 --at 2026-05-19T10:00");
    kitchen_refuses(kitchen, "batch release W-07", "W-07 is not released");
    check_contains(kitchen->err, "a judged sitting that is old enough, or two bars titrated (none is within");
    titrate(kitchen, "2026-05-20T10:00");
    kitchen_do(kitchen, "batch release W-07");
    check_contains(kitchen->out,
                   "yes  a judged sitting that is old enough, or two bars titrated (two bars\n");
    check_contains(kitchen->out, "W-07 is released now: the evidence that the policy asks for is there");
    kitchen_do(kitchen, "batch show W-07");
    check_contains(kitchen->out, "state      released\n");
    check_contains(kitchen->out, "within: 0.020 +/-");
    check_lacks(kitchen->out, "OVERRIDE");
    kitchen_refuses(kitchen, "batch release W-07", "the batch is released: it cannot be released");
}

static void
an_override_needs_a_reason_and_is_shown_for_ever(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_refuses(kitchen, "batch release W-07 --override", "an override needs a reason");
    kitchen_do(kitchen, "batch release W-07 --override --why 'for my own sink only'");
    check_contains(kitchen->out, "W-07 is released now, by override: for my own sink only");
    kitchen_do(kitchen, "batch hold W-07 --why 'second thoughts'");
    kitchen_do(kitchen, "batch show W-07");
    check_contains(kitchen->out, "released BY OVERRIDE: for my own sink only");
    check_contains(kitchen->out, "the verdict is within, by every bar: no");
    check_contains(kitchen->out, "held: second thoughts");
}

static void
a_bad_result_takes_a_release_back(void **state)
{
    struct kitchen *kitchen = *state;

    titrate(kitchen, "2026-05-20T10:00");
    titrate(kitchen, "2026-05-30T10:00");
    kitchen_do(kitchen, "batch release W-07");
    kitchen_do(kitchen, "titrate W-07 --soap-g 10 --acid-mol-l 0.1 --volume-ml 25");
    check_contains(kitchen->out, "W-07 is held now");
    kitchen_do(kitchen, "batch list");
    check_contains(kitchen->out, "held");
}

enum { LINE_LONGEST = 400 };

/* A meter that shows true, put against buffers at a moment. */
static void
calibrate(struct kitchen *kitchen, const char *at)
{
    char line[LINE_LONGEST];

    snprintf(line, sizeof line,
             "calibrate bench --buffer borax@25=9.18 --buffer 'lime water@25=12.45' --at %s", at);
    kitchen_do(kitchen, line);
}

static void
read_three(struct kitchen *kitchen, const char *ph, const char *at)
{
    char line[LINE_LONGEST];

    snprintf(line, sizeof line,
             "read W-07 --water distilled --meter bench --ph %s --ph %s --ph %s --temperature-c 40 --percent "
             "1 --at %s",
             ph, ph, ph, at);
    kitchen_do(kitchen, line);
}

static void
add_meter(struct kitchen *kitchen)
{
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
}

static void
a_lower_reading_releases_no_batch_that_was_lye_heavy(void **state)
{
    struct kitchen *kitchen = *state;

    add_meter(kitchen);
    calibrate(kitchen, "2026-05-10T09:00");
    read_three(kitchen, "11.6", "2026-05-10T10:00");
    calibrate(kitchen, "2026-05-20T09:00");
    read_three(kitchen, "9.6", "2026-05-20T10:00");
    calibrate(kitchen, "2026-05-27T09:00");
    read_three(kitchen, "9.6", "2026-05-27T10:00");
    kitchen_refuses(kitchen, "batch release W-07", "is not released");
    check_contains(kitchen->err, "the verdict is within, by every bar (lye-heavy: pH 11.60");
    titrate(kitchen, "2026-05-28T10:00");
    kitchen_do(kitchen, "batch release W-07");
}

static void
a_lye_heavy_test_filed_late_holds_at_once(void **state)
{
    struct kitchen *kitchen = *state;

    add_meter(kitchen);
    calibrate(kitchen, "2026-05-20T09:00");
    read_three(kitchen, "9.6", "2026-05-20T10:00");
    calibrate(kitchen, "2026-05-30T09:00");
    read_three(kitchen, "9.6", "2026-05-30T10:00");
    kitchen_do(kitchen, "batch release W-07");
    read_three(kitchen, "11.9", "2026-05-21T10:00"); /* before the latest */
    check_contains(kitchen->out, "W-07 is held now (lye-heavy: pH 11.90");
    kitchen_do(kitchen, "batch list");
    check_contains(kitchen->out, "held");
}

static void
a_ph_read_after_a_titration_of_the_day_counts(void **state)
{
    struct kitchen *kitchen = *state;

    add_meter(kitchen);
    calibrate(kitchen, "2026-05-20T09:00");
    titrate(kitchen, "2026-05-20T09:30");
    kitchen_do(kitchen, "policy ages 1");
    kitchen_do(kitchen, "read W-07 --water distilled --meter bench --bar 2 --ph 12 --temperature-c 40 "
                        "--percent 1 --at 2026-05-20T12:00");
    check_contains(kitchen->out, "W-07 is held now (lye-heavy: pH 12.00");
    kitchen_refuses(kitchen, "batch release W-07", "is not released");
}

static void
a_calibration_that_finds_the_meter_low_holds_what_it_was_read_for(void **state)
{
    struct kitchen *kitchen = *state;

    add_meter(kitchen);
    calibrate(kitchen, "2026-05-20T09:00");
    read_three(kitchen, "10.6", "2026-05-20T10:00");
    kitchen_do(kitchen, "verdict W-07");
    check_contains(kitchen->out, "within");
    kitchen_do(kitchen,
               "calibrate bench --buffer borax@25=8.68 --buffer 'lime water@25=11.95' --at 2026-05-20T10:20");
    check_contains(kitchen->out, "0.50 pH from the calibration of 2026-05-20T09:00");
    check_contains(kitchen->out, "W-07 is held now (");
}

static void
a_cup_read_again_after_its_titration_counts(void **state)
{
    struct kitchen *kitchen = *state;

    add_meter(kitchen);
    kitchen_do(kitchen, "gear add two --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    kitchen_do(kitchen, "policy ages 1");
    calibrate(kitchen, "2026-05-20T09:00");
    read_three(kitchen, "9.8", "2026-05-20T10:00");
    titrate(kitchen, "2026-05-20T12:00");
    kitchen_do(kitchen,
               "read W-07 --session 1 --meter two --ph 12.6 --temperature-c 40 --at 2026-05-21T09:00");
    check_contains(kitchen->out, "W-07 is held now (lye-heavy");
    kitchen_refuses(kitchen, "batch release W-07", "is not released");
}

static void
what_spoils_an_older_test_takes_a_release_back(void **state)
{
    struct kitchen *kitchen = *state;

    add_meter(kitchen);
    calibrate(kitchen, "2026-05-10T09:00");
    read_three(kitchen, "10.6", "2026-05-10T12:00");
    calibrate(kitchen, "2026-05-30T09:00");
    read_three(kitchen, "9.6", "2026-05-30T10:00");
    kitchen_do(kitchen, "batch release W-07");
    kitchen_do(kitchen,
               "calibrate bench --buffer borax@25=8.68 --buffer 'lime water@25=11.95' --at 2026-05-10T10:00");
    check_contains(kitchen->out, "W-07 is held now (lye-heavy: pH 11.10 as far as is known");
    kitchen_do(kitchen, "due");
    check_contains(kitchen->out, "lye-heavy: pH 11.10 as far as is known");
    kitchen_do(kitchen, "verdict W-07 --strict");
    assert_int_equal(kitchen->exit_code, 4);
}

static void
a_titration_moved_before_a_lye_heavy_test_clears_it_no_more(void **state)
{
    struct kitchen *kitchen = *state;

    add_meter(kitchen);
    calibrate(kitchen, "2026-05-10T09:00");
    read_three(kitchen, "11.6", "2026-05-10T10:00");
    titrate(kitchen, "2026-05-11T11:00");
    calibrate(kitchen, "2026-05-30T09:00");
    read_three(kitchen, "9.6", "2026-05-30T10:00");
    kitchen_do(kitchen, "verdict W-07");
    check_lacks(kitchen->out, "What speaks against it");
    check_contains(kitchen->out, "What was settled:\n  - the bar without a label, lye-heavy: pH 11.60");
    kitchen_do(kitchen, "batch release W-07");
    for (int i = 1; i <= 2; i++) {
        char line[LINE_LONGEST];

        snprintf(line, sizeof line,
                 "titrate W-07 --supersedes %d --bar A --why 'wrong day' --acid-mol-l 0.1 --acid-u-pct 0.5 "
                 "--blank-ml 0.05 "
                 "--burette-ml 0.05 --soap-g 10 --volume-ml 0.55 --at 2026-05-09T11:00",
                 i);
        kitchen_do(kitchen, line);
    }
    kitchen_do(kitchen, "batch list");
    check_contains(kitchen->out, "held");
    kitchen_do(kitchen, "verdict W-07");
    check_contains(kitchen->out, "lye-heavy: pH 11.60");
    check_lacks(kitchen->out, "next: release it");
}

static void
a_release_by_override_is_not_undone_by_what_changes_nothing(void **state)
{
    struct kitchen *kitchen = *state;

    add_meter(kitchen);
    calibrate(kitchen, "2026-05-27T09:00");
    read_three(kitchen, "10.98", "2026-05-27T10:00");
    kitchen_do(kitchen, "batch release W-07 --override --why 'for my own sink'");
    calibrate(kitchen, "2026-05-10T09:00");
    read_three(kitchen, "9.8", "2026-05-10T10:00");
    check_lacks(kitchen->out, "held now");
    kitchen_do(kitchen, "batch list");
    check_contains(kitchen->out, "released");
}

/* A second bad bar is news although the first, released on purpose, is worse and still decides. */
static void
a_release_by_override_ends_with_the_next_bad_bar(void **state)
{
    struct kitchen *kitchen = *state;

    add_meter(kitchen);
    calibrate(kitchen, "2026-05-27T09:00");
    kitchen_do(kitchen, "read W-07 --water distilled --meter bench --bar 1 --ph 12 --temperature-c 40 "
                        "--percent 1 --at 2026-05-27T10:00");
    kitchen_do(kitchen, "batch release W-07 --override --why 'for my own sink'");
    kitchen_do(kitchen, "read W-07 --water distilled --meter bench --bar 2 --ph 10.85 --temperature-c 40 "
                        "--percent 1 --at 2026-05-27T11:00");
    check_contains(kitchen->out, "W-07 is held now (lye-heavy: pH 12.00");
}

static void
an_old_calibration_is_no_checked_meter(void **state)
{
    struct kitchen *kitchen = *state;

    add_meter(kitchen);
    kitchen_do(kitchen, "policy ages 1");
    calibrate(kitchen, "2026-04-20T09:00");
    read_three(kitchen, "9.6", "2026-05-30T10:00");
    kitchen_refuses(kitchen, "batch release W-07", "is not released");
    check_contains(kitchen->err, "bench, calibrated 40 days before; asked");
}

static void
a_refused_calibration_is_named_as_such(void **state)
{
    struct kitchen *kitchen = *state;

    add_meter(kitchen);
    calibrate(kitchen, "2026-05-20T09:00");
    kitchen_do(kitchen,
               "calibrate bench --buffer borax@25=8.9 --buffer 'lime water@25=11.5' --at 2026-05-21T09:00");
    read_three(kitchen, "9.6", "2026-05-21T10:00");
    kitchen_do(kitchen, "verdict W-07");
    check_contains(kitchen->out, "the calibration was refused: the slope is 79.");
    check_lacks(kitchen->out, "no calibration of the meter is on record");
}

static void
hold_and_discard_ask_why(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_refuses(kitchen, "batch hold W-07", "why? the record keeps the reason");
    kitchen_refuses(kitchen, "batch discard W-07", "why? the record keeps the reason");
    kitchen_do(kitchen, "batch hold W-07 --why 'white crystals'");
    check_contains(kitchen->out, "never taste-test");
    kitchen_refuses(kitchen, "batch hold W-07 --why again", "the batch is held: it cannot be held");
    kitchen_do(kitchen, "batch discard W-07 --why 'thrown away'");
    kitchen_refuses(kitchen, "batch release W-07 --override --why please",
                    "the batch is discarded: it cannot be released");
    kitchen_refuses(kitchen, "batch discard W-07 --why again", "it cannot be discarded");
}

static void
the_policy_is_shown_and_set(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "policy");
    check_contains(kitchen->out, "ages                    2  at how many different ages it was within");
    kitchen_do(kitchen, "policy cure-days 28 --why 'four weeks for every bar'");
    check_contains(kitchen->out, "cure-days              28");
    kitchen_do(kitchen, "policy ages 1");
    kitchen_do(kitchen, "policy --csv");
    check_contains(kitchen->out, "name,value,meaning\nchecked-meter,yes,");
    check_contains(kitchen->out, "\nages,1,");
    check_contains(kitchen->out, "\ncure-days,28,");
    titrate(kitchen, "2026-05-20T10:00");
    kitchen_do(kitchen, "batch release W-07"); /* two bars titrated need no second age */
    kitchen_refuses(kitchen, "policy ages", "expected a name and a value");
    kitchen_refuses(kitchen, "policy ages many", "ages");
    kitchen_refuses(kitchen, "policy colour red", "the policy has no 'colour'");
}

static void
read_at(struct kitchen *kitchen, const char *code, const char *ph)
{
    char line[300];

    snprintf(line, sizeof line,
             "read %s --at 2026-04-10T10:00 --water distilled --temperature-c 40 --percent 1 --ph %s --ph %s "
             "--ph %s",
             code, ph, ph, ph);
    kitchen_do(kitchen, line);
}

/* A reference bar that is read after the bar that is compared with it. */
static void
what_a_reference_shows_later_holds_at_once(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    kitchen_do(kitchen, "calibrate bench --at 2026-04-10T09:00 --buffer 7.00@25=7.00 --buffer borax@40=9.068 "
                        "--buffer 'lime water@40=11.984'");
    kitchen_do(kitchen,
               "batch add P-01 --made 2026-04-01 --role control --fat 'olive oil=1000' --lye naoh=125@99%");
    kitchen_do(kitchen,
               "batch add O-01 --made 2026-04-01 --reference P-01 --fat 'olive oil=1000' --lye naoh=125@99%");
    read_at(kitchen, "O-01", "10.40");
    check_lacks(kitchen->out, "is held now");
    read_at(kitchen, "P-01", "9.62");
    check_contains(kitchen->out, "O-01 is held now (doubtful: pH 10.40");
    check_lacks(kitchen->out, "P-01 is held now");
    kitchen_do(kitchen, "batch release O-01 --override --why 'for tools only'");
    read_at(kitchen, "P-01", "9.62"); /* nothing new for O-01 */
    check_lacks(kitchen->out, "is held now");
}

/* Two batches of one recipe, the second with more lye than the first shows at that age. */
static void
pour_reference_and_other(struct kitchen *kitchen, const char *reference_lye)
{
    char line[200];

    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    kitchen_do(kitchen, "calibrate bench --at 2026-04-10T09:00 --buffer 7.00@25=7.00 --buffer borax@40=9.068 "
                        "--buffer 'lime water@40=11.984'");
    snprintf(line, sizeof line,
             "batch add P-01 --made 2026-04-01 --role control --fat 'olive oil=1000' --lye naoh=%s",
             reference_lye);
    kitchen_do(kitchen, line);
    kitchen_do(kitchen,
               "batch add O-01 --made 2026-04-01 --reference P-01 --fat 'olive oil=1000' --lye naoh=125@99%");
}

static void
a_reference_speaks_again_when_its_hold_ends(void **state)
{
    struct kitchen *kitchen = *state;

    pour_reference_and_other(kitchen, "125@99%");
    kitchen_do(kitchen, "batch hold P-01 --why 'a crack'");
    read_at(kitchen, "P-01", "9.62");
    read_at(kitchen, "O-01", "10.40");
    check_lacks(kitchen->out, "is held now");
    kitchen_do(kitchen, "batch release P-01 --override --why 'the crack is dry'");
    check_contains(kitchen->out, "P-01 is released now, by override");
    check_contains(kitchen->out, "O-01 is held now (doubtful: pH 10.40");
}

static void
what_is_put_right_of_a_reference_is_felt_at_once(void **state)
{
    struct kitchen *kitchen = *state;

    pour_reference_and_other(kitchen, "100@99%"); /* another recipe: it says nothing */
    read_at(kitchen, "P-01", "9.62");
    read_at(kitchen, "O-01", "10.40");
    check_lacks(kitchen->out, "is held now");
    kitchen_do(kitchen,
               "correct recipe P-01 --fat 'olive oil=1000' --lye naoh=125@99% --why 'wrote 100 for 125'");
    check_contains(kitchen->out, "O-01 is held now (doubtful: pH 10.40");
}

static void
a_reading_put_right_of_a_reference_is_felt_at_once(void **state)
{
    struct kitchen *kitchen = *state;

    pour_reference_and_other(kitchen, "125@99%");
    kitchen_do(kitchen,
               "read P-01 --water distilled --at 2026-04-10T10:00 --temperature-c 40 --percent 1 --ph 10.40");
    read_at(kitchen, "O-01", "10.40");
    check_lacks(kitchen->out, "is held now");
    kitchen_do(kitchen, "correct 1 --ph 9.62 --why 'read the other cup'");
    check_contains(kitchen->out, "O-01 is held now (doubtful: pH 10.40");
}

/* Who asks to release what burns is not told how to do it all the same. */
static void
a_lye_heavy_batch_is_refused_without_a_hint(void **state)
{
    struct kitchen *kitchen = *state;

    pour_reference_and_other(kitchen, "125@99%");
    read_at(kitchen, "P-01", "11.40");
    kitchen_refuses(kitchen, "batch release P-01",
                    "P-01 is not released, for it burns skin: keep it held, and titrate two bars, labelled");
    check_lacks(kitchen->failure.text, "override");
    read_at(kitchen, "O-01", "10.80");
    kitchen_refuses(kitchen, "batch release O-01", "--override with --why releases it");
}

static void
what_was_settled_is_named_at_the_release(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen->width = 200;
    pour_reference_and_other(kitchen, "125@99%");
    kitchen_do(
        kitchen,
        "read O-01/A --water distilled --at 2026-04-10T10:00 --temperature-c 40 --percent 1 --ph 11.40");
    kitchen_do(kitchen, "batch used-up O-01 --bar A --at 2026-04-11 --why 'all of it in cups'");
    for (int i = 0; i < 2; i++) {
        char line[300];

        snprintf(line, sizeof line, "titrate O-01/%s %s --at 2026-04-20T10:00", i == 0 ? "B" : "C", sound);
        kitchen_do(kitchen, line);
    }
    kitchen_do(kitchen, "batch release O-01");
    check_contains(kitchen->out, "What speaks for it:");
    check_contains(kitchen->out, "bar B: titration found 0.02");
    check_contains(kitchen->out, "What was settled:");
    check_contains(kitchen->out, "bar A, lye-heavy: pH 11.40");
    check_contains(kitchen->out, "; the bar is used up, and two others settled it");
    kitchen_do(kitchen, "batch show O-01"); /* kept with the release */
    check_contains(kitchen->out, "the bar is used up, and two others settled it");
}

/* A later sitting that cannot be judged takes nothing from the one that was. */
static void
a_strip_or_an_unchecked_meter_later_asks_for_no_other_test(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "policy ages 1");
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    kitchen_do(kitchen, "gear add wild --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    kitchen_do(kitchen, "gear add strips --kind paper --steps 1,2,3,4,5,6,7,8,9,10,11,12,13,14");
    kitchen_do(kitchen, "calibrate bench --at 2026-05-30T09:00 --buffer 7.00@25=7.00 --buffer borax@40=9.068 "
                        "--buffer 'lime water@40=11.984'");
    kitchen_do(
        kitchen,
        "read W-07 --meter bench --at 2026-05-30T10:00 --water distilled --temperature-c 40 --percent 1 "
        "--ph 9.9 --ph 9.9 --ph 9.9");
    kitchen_do(
        kitchen,
        "read W-07 --meter wild --at 2026-05-31T10:00 --water distilled --temperature-c 40 --percent 1 "
        "--ph 9.9");
    kitchen_do(kitchen,
               "read W-07 --between 9..10 --at 2026-06-01T10:00 --water distilled --temperature-c 40 "
               "--percent 1");
    kitchen_do(kitchen, "verdict W-07");
    check_contains(kitchen->out, "next: release it:");
    kitchen_do(kitchen, "batch release W-07");
    check_contains(kitchen->out, "yes  on a checked meter, or by titration (bench)");
}

/* V3: what decides is in the table of several batches too, though another bar was read or titrated later. */
static void
no_table_leaves_out_what_decides(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add W-08 --made 2026-05-02 --fat 'olive oil=1000' --lye naoh=145@99%");
    kitchen_do(kitchen, "batch add W-09 --made 2026-05-02");
    kitchen_do(kitchen,
               "titrate W-07 --bar A --acid-mol-l 0.1 --acid-u-pct 0.5 --blank-ml 0.05 --burette-ml 0.05 "
               "--soap-g 10 --volume-ml 15 --soap-g 10 --volume-ml 15.1 --at 2026-05-19T10:00");
    titrate(kitchen, "2026-05-20T10:00");
    kitchen_do(kitchen,
               "titrate W-07 --bar A --acid-mol-l 0.1 --acid-u-pct 0.5 --blank-ml 0.05 --burette-ml 0.05 "
               "--soap-g 10 --volume-ml 15 --soap-g 10 --volume-ml 15.1 --at 2026-05-21T10:00");
    kitchen_do(kitchen,
               "titrate W-07 --bar B --acid-mol-l 0.1 --acid-u-pct 0.5 --blank-ml 0.05 --burette-ml 0.05 "
               "--soap-g 10 --volume-ml 0.5 --soap-g 10 --volume-ml 0.55 --at 2026-05-22T10:00");
    kitchen_do(kitchen, "verdict W-07 W-08");
    check_contains(kitchen->out, "lye-heavy");
    check_contains(kitchen->out, "\nW-08: doubtful: by its recipe lye exceeds fat\n");
    kitchen_do(kitchen, "verdict W-07 --csv");
    check_contains(kitchen->out, ",within,");
    check_contains(kitchen->out, ",lye-heavy,B,,\n"); /* of the batch, in each of its lines */
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(release_needs_the_evidence_of_the_policy, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(an_override_needs_a_reason_and_is_shown_for_ever, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_bad_result_takes_a_release_back, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_lower_reading_releases_no_batch_that_was_lye_heavy, furnish,
                                    kitchen_close),
    cmocka_unit_test_setup_teardown(a_lye_heavy_test_filed_late_holds_at_once, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_ph_read_after_a_titration_of_the_day_counts, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_calibration_that_finds_the_meter_low_holds_what_it_was_read_for,
                                    furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_cup_read_again_after_its_titration_counts, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(what_spoils_an_older_test_takes_a_release_back, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_titration_moved_before_a_lye_heavy_test_clears_it_no_more, furnish,
                                    kitchen_close),
    cmocka_unit_test_setup_teardown(a_release_by_override_is_not_undone_by_what_changes_nothing, furnish,
                                    kitchen_close),
    cmocka_unit_test_setup_teardown(a_release_by_override_ends_with_the_next_bad_bar, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(an_old_calibration_is_no_checked_meter, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_refused_calibration_is_named_as_such, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(what_a_reference_shows_later_holds_at_once, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_reference_speaks_again_when_its_hold_ends, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(what_is_put_right_of_a_reference_is_felt_at_once, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_reading_put_right_of_a_reference_is_felt_at_once, furnish,
                                    kitchen_close),
    cmocka_unit_test_setup_teardown(a_lye_heavy_batch_is_refused_without_a_hint, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(what_was_settled_is_named_at_the_release, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_strip_or_an_unchecked_meter_later_asks_for_no_other_test, furnish,
                                    kitchen_close),
    cmocka_unit_test_setup_teardown(no_table_leaves_out_what_decides, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(hold_and_discard_ask_why, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(the_policy_is_shown_and_set, furnish, kitchen_close),
};

const struct check_module test_command_batch_state = CHECK_MODULE("command/batch_state", tests);
