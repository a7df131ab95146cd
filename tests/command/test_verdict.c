/* test_verdict.c - "verdict": the decision rule from typed readings to words, table, CSV and exit status. */
#include "check.h"
#include "kitchen.h"

/* A kitchen with a checked meter: borax 9.068 and lime water 11.984 at 40 degC (NBS/IUPAC), shown exactly so. */
static int
furnish(void **state)
{
    int failed = kitchen_open(state);

    if (failed != 0)
        return failed;
    kitchen_do(*state, "batch add W-07 --made 2026-03-02");
    kitchen_do(*state, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    kitchen_do(*state, "gear add strips --kind paper --steps 1,2,3,4,5,6,7,8,9,10,11,12,13,14");
    return 0;
}

static void
calibrate(struct kitchen *kitchen)
{
    kitchen_do(
        kitchen,
        "calibrate bench --at 2026-04-01T09:00 --buffer borax@40=9.068 --buffer 'lime water@40=11.984'");
}

static void
readings_are_judged_by_the_rule(void **state)
{
    /* Common practice and the rule itself: 11.31 is lye-heavy, 9.94 within, exactly at the limit p is one half. */
    static const struct {
        const char *readings, *verdict;
        int strict_exit;
    } known[] = {
        {"--ph 9.94 --ph 9.94 --ph 9.94", "within", 0},
        {"--ph 11.31 --ph 11.31 --ph 11.31", "lye-heavy", 4},
        {"--ph 11.00 --ph 11.00 --ph 11.00", "lye-heavy", 4},
        {"--ph 10.98 --ph 10.98 --ph 10.98", "doubtful", 4}, /* the lye-heavy one stands */
        {"--ph 9.94 --ph 9.94 --ph 9.94", "within", 4},      /* and still does */
    };
    struct kitchen *kitchen = *state;

    calibrate(kitchen);
    for (size_t i = 0; i < LENGTH(known); i++) {
        char line[200], part[40];

        snprintf(line, sizeof line,
                 "read W-07 --water distilled --at 2026-04-01T1%zu:00 --temperature-c 40 --percent 1 %s", i,
                 known[i].readings);
        kitchen_do(kitchen, line);
        snprintf(part, sizeof part, ",%s,", known[i].verdict);
        kitchen_do(kitchen, "verdict W-07 --csv");
        check_contains(kitchen->out, part);
        kitchen_do(kitchen, "verdict W-07 --strict");
        assert_int_equal(kitchen->exit_code, known[i].strict_exit);
        snprintf(part, sizeof part, "W-07, 30 days old: %s", known[i].verdict);
        check_contains(kitchen->out, part);
        check_contains(kitchen->out, "What a pH cannot prove");
        check_contains(kitchen->out, "next: ");
    }
    kitchen_do(kitchen, "verdict W-07 --all");
    check_contains(kitchen->out, "lye-heavy");
    check_contains(kitchen->out, "within");
}

static void
a_lower_reading_does_not_hide_an_earlier_lye_heavy_one(void **state)
{
    struct kitchen *kitchen = *state;

    calibrate(kitchen);
    kitchen_do(kitchen, "read W-07 --water distilled --at 2026-04-01T10:00 --temperature-c 40 --percent 1 "
                        "--ph 11.7 --ph 11.7");
    check_contains(kitchen->out, "W-07 is held now");
    kitchen_do(kitchen, "read W-07 --water distilled --at 2026-04-01T14:00 --temperature-c 40 --percent 1 "
                        "--ph 9.7 --ph 9.7 --ph 9.7");
    kitchen_do(kitchen, "verdict W-07");
    check_contains(kitchen->out, "W-07, 30 days old: within");
    check_contains(kitchen->out, "HELD since 2026-04-01 (kept on 2026-06-01); that day: the result is lye-");
    check_contains(kitchen->out, "W-07: lye-heavy: pH 11.70");
    check_contains(kitchen->out, "Do not use the bar: it burns skin.");
    check_contains(kitchen->out, "a lower pH does not take\n    that back, titrations of two bars can");
    check_contains(kitchen->out, "next: keep it held, and titrate two bars, labelled");
    kitchen_refuses(kitchen, "batch release W-07 --why 'looks fine'", "W-07 is not released");
    check_contains(kitchen->err, "the verdict is within, by every bar (lye-heavy: pH 11.70");
}

static void
a_wide_uncertainty_at_the_limit_is_never_within(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "gear add coarse --kind meter --resolution-ph 0.1 --accuracy-ph 0.17");
    kitchen_do(kitchen,
               "calibrate coarse --own-routine --at 2026-04-01T09:00 --buffer borax --buffer 'lime water'");
    kitchen_do(kitchen, "read W-07 --water distilled --meter coarse --at 2026-04-01T10:00 --temperature-c 40 "
                        "--percent 1 --ph 11 --ph 11");
    kitchen_do(kitchen, "verdict W-07 --csv --strict"); /* u is about 0.1 by the stated accuracy */
    check_contains(kitchen->out, "calibration-declared");
    assert_true(kitchen->exit_code == 3 || kitchen->exit_code == 4);
}

static void
an_unchecked_meter_is_not_judged_but_never_softens_a_high_reading(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen,
               "read W-07 --water distilled --at 2026-04-01T10:00 --temperature-c 40 --percent 1 --ph 9.5");
    kitchen_do(kitchen, "verdict W-07 --csv --strict");
    check_contains(kitchen->out, ",not-judged,");
    check_contains(kitchen->out, "meter-unchecked");
    assert_int_equal(kitchen->exit_code, 3);
    kitchen_do(kitchen,
               "read W-07 --water distilled --at 2026-04-01T11:00 --temperature-c 40 --percent 1 --ph 11.2");
    kitchen_do(kitchen, "verdict W-07 --csv --strict");
    check_contains(kitchen->out, ",lye-heavy,");
    check_contains(kitchen->out, "meter-unchecked");
    assert_int_equal(kitchen->exit_code, 4);
}

static void
paper_alone_never_clears(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(
        kitchen,
        "read W-07 --water distilled --at 2026-04-01T10:00 --temperature-c 40 --percent 1 --between 7..8");
    kitchen_do(kitchen, "verdict W-07 --csv");
    check_contains(kitchen->out, ",paper,");
    check_contains(kitchen->out, ",not-judged,");
    kitchen_do(
        kitchen,
        "read W-07 --water distilled --at 2026-04-01T11:00 --temperature-c 40 --percent 1 --between 11..12");
    kitchen_do(kitchen, "verdict W-07 --csv");
    check_contains(kitchen->out, ",doubtful,");
}

static void
replicates_that_disagree_are_never_within(void **state)
{
    struct kitchen *kitchen = *state;

    calibrate(kitchen);
    kitchen_do(kitchen, "read W-07 --water distilled --at 2026-04-01T10:00 --temperature-c 40 --percent 1 "
                        "--ph 9.9 --ph 9.1 --ph 9.12");
    kitchen_do(kitchen, "verdict W-07 --csv");
    check_contains(kitchen->out, ",doubtful,");
    check_contains(kitchen->out, "scattered");
    kitchen_do(kitchen, "verdict W-07");
    check_contains(kitchen->out, "do not agree with each other");
    kitchen_do(kitchen, "read W-07 --water distilled --at 2026-04-02T10:00 --temperature-c 40 --percent 1 "
                        "--ph 9.2 --ph 9.1 --ph 9.12");
    kitchen_do(kitchen, "verdict W-07 --csv");
    check_contains(kitchen->out, ",within,");
    check_lacks(kitchen->out, "scattered");
}

static void
the_budget_is_told_a_line_a_component(void **state)
{
    struct kitchen *kitchen = *state;

    calibrate(kitchen);
    kitchen_do(kitchen, "read W-07 --water distilled --at 2026-04-01T10:00 --temperature-c 25 --percent 1 "
                        "--ph 9.9 --ph 9.92 --ph 9.91");
    kitchen_do(kitchen, "verdict W-07 --budget");
    check_contains(kitchen->out, "component");
    check_contains(kitchen->out,
                   "and +/- 0.115 whole for the free share"); /* 1/4 of pKw(25) - pKw(40) = 0.461 */
    check_contains(kitchen->out, "rectangular");
    check_contains(kitchen->out, "together");
}

static void
check_has_held(const struct kitchen *kitchen)
{
    check_contains(kitchen->out, "is held now (");
}

static void
check_lacks_held(const struct kitchen *kitchen)
{
    check_lacks(kitchen->out, "is held now (");
}

/* Measured values of the trade (common practice, no source) and the rule's own, each in a batch of its own. */
static void
the_bounds_follow_the_age_of_the_bar(void **state)
{
    static const struct {
        const char *poured, *ph, *says;
    } known[] = {
        {"2026-03-25", "9.94", "within so far: pH 9.94"},
        {"2026-03-25", "10.60", "within so far: pH 10.60"},
        {"2026-03-25", "10.63", "within so far: pH 10.63"},
        {"2026-03-25", "10.85", "doubtful: pH 10.85"},
        {"2026-03-25", "11.31", "lye-heavy: pH 11.31"},
        {"2026-02-20", "10.60", "doubtful: pH 10.60"},
        {"2026-02-20", "9.94", "within: pH 9.94"},
        {"2026-03-25", "8.40", "doubtful: pH 8.40"},
    };
    struct kitchen *kitchen = *state;

    calibrate(kitchen);
    for (size_t i = 0; i < LENGTH(known); i++) {
        char line[300];

        snprintf(line, sizeof line, "batch add B-%zu --made %s", i, known[i].poured);
        kitchen_do(kitchen, line);
        snprintf(
            line, sizeof line,
            "read B-%zu --water distilled --meter bench --at 2026-04-01T10:00 --temperature-c 40 --percent 1 "
            "--ph %s --ph %s --ph %s",
            i, known[i].ph, known[i].ph, known[i].ph);
        kitchen_do(kitchen, line);
        (strncmp(known[i].says, "within", 6) == 0 ? check_lacks_held : check_has_held)(kitchen);
        snprintf(line, sizeof line, "verdict B-%zu", i);
        kitchen_do(kitchen, line);
        check_contains(kitchen->out, known[i].says);
    }
}

static void
a_recipe_with_too_much_lye_is_held_the_moment_it_is_recorded(void **state)
{
    struct kitchen *kitchen = *state;

    calibrate(kitchen);
    kitchen_do(kitchen, "batch add R-01 --made 2026-02-20 --fat 'olive oil=1000' --lye naoh=145@99%");
    check_contains(kitchen->out, "R-01 is held now (doubtful: by its recipe lye exceeds fat");
    kitchen_do(kitchen, "verdict R-01");
    check_contains(kitchen->out, "stays held until the recipe is put right");
    kitchen_do(kitchen, "read R-01 --water distilled --at 2026-04-01T10:00 --temperature-c 40 --percent 1 "
                        "--ph 9.9 --ph 9.9 --ph 9.9");
    kitchen_do(kitchen, "policy ages 1");
    kitchen_refuses(kitchen, "batch release R-01", "R-01 is not released");
    check_contains(kitchen->err, "the verdict is within, by every bar (doubtful: by its recipe lye exceeds");
}

/* The history that the rule was made for: it is held by its recipe, no pH releases it, the reason does not either, and
 * the maker does when what is then on record is enough. 125 g of lye for 1000 g of olive oil leave fat over. */
static void
a_recipe_put_right_lets_the_maker_release_what_no_ph_could(void **state)
{
    struct kitchen *kitchen = *state;

    calibrate(kitchen);
    kitchen_do(kitchen, "batch add R-01 --made 2026-02-20 --fat 'olive oil=1000' --lye naoh=145@99%");
    check_contains(kitchen->out, "superfat -");
    check_contains(kitchen->out, "R-01 is held now (");
    kitchen_do(kitchen, "policy ages 1");
    kitchen_do(kitchen, "read R-01 --water distilled --bar A --at 2026-04-01T10:00 --temperature-c 40 "
                        "--percent 1 --ph 9.9 --ph 9.9 --ph 9.9");
    kitchen_refuses(kitchen, "batch release R-01", "R-01 is not released");
    kitchen_do(kitchen, "correct recipe R-01 --fat 'olive oil=1000' --lye naoh=140@99% --why 'wrote 145'");
    check_contains(kitchen->out, "the recipe of R-01 is put right");
    kitchen_refuses(kitchen, "batch release R-01", "R-01 is not released"); /* still more lye than fat */
    kitchen_do(kitchen,
               "correct recipe R-01 --fat 'olive oil=1000' --lye naoh=125@99% --why 'label says 125'");
    check_contains(kitchen->out, "superfat ");
    check_lacks_held(kitchen);
    kitchen_do(kitchen, "batch show R-01");
    check_contains(kitchen->out, "state      in-cure");
    check_contains(kitchen->out, "125.00  naoh");
    check_contains(kitchen->out, "label says 125");
    check_contains(kitchen->out, "145.00  naoh");
    kitchen_do(kitchen, "recipe R-01");
    check_contains(kitchen->out, "125");
    kitchen_do(kitchen, "batch release R-01");
    check_contains(kitchen->out, "the recipe was put right: before, lye exceeded fat");
    check_contains(kitchen->out, "R-01 is released now");
    /* put right the other way it is held at once */
    kitchen_do(kitchen, "correct recipe R-01 --fat 'olive oil=1000' --lye naoh=145@99% --why 'it was 145'");
    check_contains(kitchen->out, "R-01 is held now (");
}

static void
a_recipe_is_put_right_as_a_whole_and_with_a_reason(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add R-01 --made 2026-02-20 --fat 'olive oil=1000' --lye naoh=145@99%");
    kitchen_refuses(kitchen, "correct recipe R-01 --fat 'olive oil=1000' --lye naoh=125@99%", "say why");
    kitchen_refuses(kitchen, "correct recipe R-01 --fat 'olive oil=1000' --why slip", "say the whole recipe");
    kitchen_refuses(kitchen, "correct recipe R-09 --fat 'olive oil=1000' --lye naoh=125@99% --why slip",
                    "there is no batch 'R-09'");
    kitchen_refuses(kitchen, "correct recipe R-01 --fat 'unheard of=1000' --lye naoh=125@99% --why slip",
                    "unheard of"); /* a recipe that cannot be balanced would hide the one before */
    kitchen_refuses(kitchen, "correct recipe R-01 --fat 'olive oil=-1' --lye naoh=125@99% --why slip", "-1");
    kitchen_do(kitchen, "verdict R-01");
    check_contains(kitchen->out, "doubtful: by its recipe lye exceeds fat");
}

/* A lye-heavy bar of which nothing is left: neither the word of the maker nor one titration settles it, two do. */
static void
a_bar_that_is_used_up_is_settled_by_titrations_of_two_others(void **state)
{
    struct kitchen *kitchen = *state;

    calibrate(kitchen);
    kitchen_do(kitchen, "batch add U-01 --made 2026-02-20");
    kitchen_do(kitchen, "read U-01 --water distilled --bar A --at 2026-04-01T10:00 --temperature-c 40 "
                        "--percent 1 --ph 11.31 --ph 11.31 --ph 11.31");
    check_contains(kitchen->out, "U-01 is held now (lye-heavy");
    kitchen_do(kitchen, "batch used-up U-01 --bar a --at 2026-04-02 --why 'cut up for the cups'");
    for (int bar = 'B'; bar <= 'C'; bar++) {
        char line[200];

        kitchen_refuses(kitchen, "batch release U-01", "U-01 is not released");
        snprintf(line, sizeof line,
                 "titrate U-01 --bar %c --at 2026-04-10T10:00 --acid-mol-l 0.1 --soap-g 10 --volume-ml 0.50 "
                 "--soap-g 10 --volume-ml 0.55 --soap-g 10 --volume-ml 0.50",
                 bar);
        kitchen_do(kitchen, line);
    }
    kitchen_do(kitchen, "batch show U-01");
    check_contains(kitchen->out, "bar a is used up since 2026-04-02: cut up for the cups");
    check_contains(kitchen->out, "state      held");
    kitchen_do(kitchen, "verdict U-01");
    check_contains(kitchen->out, "What was settled:\n  - bar A, lye-heavy: pH 11.31");
    kitchen_do(kitchen, "batch release U-01");
    check_contains(kitchen->out, "U-01 is released now");
}

static void
two_other_bars_settle_nothing_while_the_bar_is_there(void **state)
{
    struct kitchen *kitchen = *state;

    calibrate(kitchen);
    kitchen_do(kitchen, "batch add U-01 --made 2026-02-20");
    kitchen_do(kitchen, "read U-01 --water distilled --bar A --at 2026-04-01T10:00 --temperature-c 40 "
                        "--percent 1 --ph 11.31 --ph 11.31 --ph 11.31");
    kitchen_do(kitchen, "titrate U-01 --bar B --at 2026-04-10T10:00 --acid-mol-l 0.1 --soap-g 10 --volume-ml "
                        "0.50 --soap-g 10 --volume-ml 0.55 --soap-g 10 --volume-ml 0.50");
    kitchen_do(kitchen, "titrate U-01 --bar C --at 2026-04-10T10:00 --acid-mol-l 0.1 --soap-g 10 --volume-ml "
                        "0.50 --soap-g 10 --volume-ml 0.55 --soap-g 10 --volume-ml 0.50");
    kitchen_refuses(kitchen, "batch release U-01", "U-01 is not released");
    kitchen_do(kitchen, "verdict U-01");
    check_contains(kitchen->out, ": lye-heavy: pH 11.31");
}

static void
what_cannot_be_used_up_is_said(void **state)
{
    struct kitchen *kitchen = *state;

    calibrate(kitchen);
    kitchen_do(kitchen,
               "read W-07 --water distilled --bar A --at 2026-04-01T10:00 --temperature-c 40 --percent 1 "
               "--ph 9.9 --ph 9.9 --ph 9.9");
    kitchen_refuses(kitchen, "batch used-up W-07 --why gone", "which bar?");
    kitchen_refuses(kitchen, "batch used-up W-07 --bar A", "say where it went");
    kitchen_refuses(kitchen, "batch used-up W-07 --bar B --why gone", "no bar 'B' of W-07 was tested");
    kitchen_refuses(kitchen, "batch used-up W-07 --bar A --at 2026-03-01 --why gone",
                    "2026-03-01 is before W-07 was poured (2026-03-02)");
    kitchen_refuses(kitchen, "batch used-up W-07 --bar A --at 2026-06-02 --why gone",
                    "2026-06-02 is in the future");
    kitchen_do(kitchen, "batch used-up W-07 --bar A --why gone");
    check_contains(kitchen->out, "bar A of W-07 is used up since 2026-06-01: gone");
    kitchen_refuses(kitchen, "batch used-up W-07 --bar a --why gone", "is used up since 2026-06-01 already");
}

/* V3 and V18: a bar that is doubtful does not vanish behind a sound one, and verdict and due name the same step. */
static void
every_bar_counts_and_verdict_and_due_name_one_step(void **state)
{
    struct kitchen *kitchen = *state;

    calibrate(kitchen);
    kitchen_do(kitchen,
               "read W-07 --water distilled --bar A --at 2026-04-01T10:00 --temperature-c 40 --percent 1 "
               "--ph 10.99 --ph 10.99 --ph 10.99");
    kitchen_do(kitchen,
               "read W-07 --water distilled --bar B --at 2026-04-01T12:00 --temperature-c 40 --percent 1 "
               "--ph 10.11 --ph 10.11 --ph 10.11");
    kitchen_do(kitchen, "verdict W-07 --strict");
    assert_int_equal(kitchen->exit_code, 3);
    check_contains(kitchen->out, "W-07: doubtful: pH 10.99");
    check_contains(kitchen->out, "next: keep it held, and titrate bar A:");
    kitchen_do(kitchen, "due --csv");
    check_contains(kitchen->out, ",titrate,");
    check_contains(kitchen->out, "keep it held, and titrate bar A");
}

/* A slip is put right while the cup still stands there. */
static void
readings_of_a_cup_that_lie_apart_are_said_at_once(void **state)
{
    struct kitchen *kitchen = *state;

    calibrate(kitchen);
    kitchen_do(kitchen, "read W-07 --water distilled --at 2026-04-01T10:00 --temperature-c 40 --percent 1 "
                        "--ph 9.9 --ph 10.9 --ph 9.91");
    check_contains(kitchen->out, "The readings of this cup lie 1.00 apart, from 9.90 to 10.90");
    kitchen_do(kitchen, "read W-07 --water distilled --at 2026-04-01T11:00 --temperature-c 40 --percent 1 "
                        "--ph 9.9 --ph 9.99 --ph 9.91");
    check_lacks(kitchen->out, " apart");
}

static void
the_csv_has_its_fixed_headings(void **state)
{
    struct kitchen *kitchen = *state;

    calibrate(kitchen);
    kitchen_do(kitchen,
               "read W-07 --water distilled --at 2026-04-01T10:00 --temperature-c 40 --percent 1 --ph 9.9");
    kitchen_do(kitchen, "verdict W-07 --csv");
    check_contains(kitchen->out,
                   "batch,session,age_d,method,n,ph,ph_at_reference,u_ph,dof,k,ph_low,ph_high,temperature_c,"
                   "concentration_pct,limit_ph,p_over_limit,verdict,free_naoh_low_pct,free_naoh_high_pct,"
                   "flags,batch_verdict,bar,portion,by\n"
                   "W-07,1,30,meter,1,9.9,");
}

static void
a_batch_without_readings_is_said_so(void **state)
{
    kitchen_refuses(*state, "verdict W-07", "W-07");
    kitchen_refuses(*state, "verdict W-09", "there is no batch 'W-09'");
    kitchen_refuses(*state, "verdict", "expected curetrace verdict CODE");
}

#define VERDICT_TEST(name) cmocka_unit_test_setup_teardown(name, furnish, kitchen_close)

static void
a_reading_from_a_clock_that_ran_ahead_is_pointed_out(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_set_time(kitchen, "2026-07-01T10:00");
    kitchen_do(kitchen, "read W-07 --water distilled --meter bench --ph 9.6 --temperature-c 40 --percent 1");
    kitchen_set_time(kitchen, "2026-06-01T10:00");
    kitchen_do(kitchen, "read W-07 --water distilled --meter bench --ph 11.9 --temperature-c 40 --percent 1");
    check_contains(kitchen->out, "W-07 is held now (lye-heavy");
    kitchen_do(kitchen, "verdict W-07");
    check_contains(kitchen->out, "A reading is dated 2026-07-01T10:00, which is yet to come");
    kitchen_set_time(kitchen, "2026-07-02T10:00");
    kitchen_do(kitchen, "verdict W-07");
    check_lacks(kitchen->out, "yet to come");
}

static const struct CMUnitTest tests[] = {
    VERDICT_TEST(readings_are_judged_by_the_rule),
    VERDICT_TEST(a_lower_reading_does_not_hide_an_earlier_lye_heavy_one),
    VERDICT_TEST(a_wide_uncertainty_at_the_limit_is_never_within),
    VERDICT_TEST(an_unchecked_meter_is_not_judged_but_never_softens_a_high_reading),
    VERDICT_TEST(paper_alone_never_clears),
    VERDICT_TEST(replicates_that_disagree_are_never_within),
    VERDICT_TEST(the_budget_is_told_a_line_a_component),
    VERDICT_TEST(the_bounds_follow_the_age_of_the_bar),
    VERDICT_TEST(a_recipe_with_too_much_lye_is_held_the_moment_it_is_recorded),
    VERDICT_TEST(a_recipe_put_right_lets_the_maker_release_what_no_ph_could),
    VERDICT_TEST(a_recipe_is_put_right_as_a_whole_and_with_a_reason),
    VERDICT_TEST(a_bar_that_is_used_up_is_settled_by_titrations_of_two_others),
    VERDICT_TEST(two_other_bars_settle_nothing_while_the_bar_is_there),
    VERDICT_TEST(what_cannot_be_used_up_is_said),
    VERDICT_TEST(every_bar_counts_and_verdict_and_due_name_one_step),
    VERDICT_TEST(readings_of_a_cup_that_lie_apart_are_said_at_once),
    VERDICT_TEST(the_csv_has_its_fixed_headings),
    VERDICT_TEST(a_batch_without_readings_is_said_so),
    VERDICT_TEST(a_reading_from_a_clock_that_ran_ahead_is_pointed_out),
};

const struct check_module test_command_verdict = CHECK_MODULE("command/verdict", tests);
