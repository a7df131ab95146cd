/* test_titrate.c - "titrate" with typed values. */
#include "check.h"
#include "kitchen.h"

static int
furnish(void **state)
{
    int failed = kitchen_open(state);

    if (failed == 0) {
        kitchen_do(*state, "batch add W-07 --made 2026-05-02 --fat 'olive oil=500' --lye naoh=64@98.5%");
        kitchen_do(*state, "gear add scale --kind balance --readability-g 0.01");
    }
    return failed;
}

static void
one_portion_is_shown_with_its_band(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "titrate W-07 --soap-g 10 --acid-mol-l 0.1 --volume-ml 1.25 --blank-ml 0.05");
    /* 1.20 mL net x 0.1 mol/L x 39.997 g/mol / 10 g / 10 = 0.0480 %, by hand */
    check_contains(kitchen->out, "free NaOH 0.048 % +/- 0.0");
    check_contains(kitchen->out, "band: borderline");
    check_contains(kitchen->out, "SNI 06-3532-1994");
    check_contains(kitchen->out, "a single portion is never better than");
    check_contains(kitchen->out, "flags: acid-assumed;burette-assumed;scatter-assumed;single-titration");
    check_contains(kitchen->out, "W-07 is held now (doubtful: ");
    check_contains(kitchen->out, "Ethanol burns");
    check_contains(kitchen->out, "licensed cosmetic safety assessor");
}

static void
three_portions_can_be_within(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen,
               "titrate W-07 --acid-mol-l 0.1 --acid-u-pct 0.5 --blank-ml 0.05 --burette-ml 0.05 "
               "--soap-g 10 --volume-ml 0.55 --soap-g 10 --volume-ml 0.57 --soap-g 10 --volume-ml 0.59");
    check_contains(kitchen->out, "free NaOH 0.021 % +/- 0.00"); /* 0.52 mL net, by hand */
    check_contains(kitchen->out, "band: within");
    check_contains(kitchen->out,
                   "next: test it again: it is old enough now for a test that a release rests on");
    check_lacks(kitchen->out, "is held now");
    check_contains(kitchen->out, "flags: scatter-assumed\n");
    kitchen_do(kitchen, "titrate W-07 --csv");
    check_contains(kitchen->out, "batch,free_naoh_pct,low_pct,high_pct,band,flags\nW-07,0.0207");
    check_contains(kitchen->out, ",within,scatter-assumed\n");
}

/* The high_pct of the only row that --csv prints. */
static double
high_pct(struct kitchen *kitchen)
{
    const char *row;
    double mean_pct, low_pct, high_pct = NAN;

    kitchen_do(kitchen, "titrate W-07 --csv");
    row = strstr(kitchen->out, "W-07,");
    assert_non_null(row);
    assert_int_equal(sscanf(row, "W-07,%lf,%lf,%lf", &mean_pct, &low_pct, &high_pct), 3);
    return high_pct;
}

static void
a_coarser_burette_never_makes_a_bar_better(void **state)
{
    struct kitchen *kitchen = *state;
    double fine_pct;

    kitchen_do(kitchen, "titrate W-07 --acid-mol-l 0.1 --burette-ml 0.02 --at 2026-05-30T10:00 "
                        "--soap-g 10 --volume-ml 0.93 --soap-g 10 --volume-ml 1.07");
    fine_pct = high_pct(kitchen);
    kitchen_do(kitchen, "titrate W-07 --acid-mol-l 0.1 --burette-ml 0.2 --at 2026-05-31T10:00 "
                        "--soap-g 10 --volume-ml 0.93 --soap-g 10 --volume-ml 1.07");
    assert_true(high_pct(kitchen) >= fine_pct);
    check_contains(kitchen->out, "borderline");
}

static void
too_much_alkali_holds_and_points_to_rework(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "titrate W-07 --soap-g 10 --acid-mol-l 0.1 --volume-ml 25");
    check_contains(kitchen->out, "W-07 is held now (lye-heavy: 1.000 +/- ");
    check_contains(kitchen->out, "band: irritant");
    check_contains(kitchen->out, "counts as irritant to skin and eyes: CLP");
    check_contains(kitchen->out, "blank-missing");
    check_contains(kitchen->out, "next: keep it held, and see what would bring it back");
    kitchen_do(kitchen, "batch show W-07");
    check_contains(kitchen->out, "state      held\n");
    check_contains(kitchen->out, "held by the rule: the result is lye-heavy (lye-heavy: 1.000");
}

static void
a_titration_outranks_the_meter_and_both_are_shown(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    kitchen_do(
        kitchen,
        "read W-07 --water distilled --meter bench --bar A --ph 11.9 --temperature-c 40 --percent 1.00");
    kitchen_do(kitchen,
               "titrate W-07 --bar A --acid-mol-l 0.1 --acid-u-pct 0.5 --blank-ml 0.05 --burette-ml 0.05 "
               "--soap-g 10 --volume-ml 0.55 --soap-g 10 --volume-ml 0.57");
    check_contains(kitchen->out, "within so far: 0.020 +/- ");
    check_contains(kitchen->out, "by the latest pH alone: lye-heavy");
}

static void
the_verdict_shows_both_and_goes_by_the_titration(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    kitchen_do(
        kitchen,
        "read W-07 --water distilled --meter bench --bar A --ph 11.9 --temperature-c 40 --percent 1.00");
    kitchen_do(kitchen, "verdict W-07 --strict");
    assert_int_equal(kitchen->exit_code, 4);
    kitchen_do(kitchen,
               "titrate W-07 --bar A --acid-mol-l 0.1 --acid-u-pct 0.5 --blank-ml 0.05 --burette-ml 0.05 "
               "--soap-g 10 --volume-ml 0.55 --soap-g 10 --volume-ml 0.57");
    kitchen_do(kitchen, "verdict W-07 --strict");
    assert_int_equal(kitchen->exit_code,
                     3); /* within so far: one bar is titrated, and none was judged by pH */
    check_contains(kitchen->out, "W-07: within so far: 0.020 +/- ");
    check_contains(kitchen->out, "W-07, bar A, 30 days old: lye-heavy");
    kitchen_do(kitchen, "verdict W-07 --csv");
    check_contains(kitchen->out, ",meter,1,11.9,");
    check_contains(kitchen->out, "W-07,,30,titration,2,,,,");
    check_contains(kitchen->out, ",,,,,,,within,");
    kitchen_set_time(kitchen, "2026-06-03T12:00");
    kitchen_do(
        kitchen,
        "read W-07 --water distilled --meter bench --bar A --ph 11.8 --temperature-c 40 --percent 1.00");
    kitchen_do(kitchen, "verdict W-07 --strict");
    assert_int_equal(kitchen->exit_code, 4);
    check_contains(kitchen->out, "W-07: lye-heavy: ");
    check_contains(kitchen->out, "2026-06-03");
}

static void
a_batch_that_was_only_titrated_has_a_verdict(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_refuses(kitchen, "verdict W-07", "has no readings yet");
    kitchen_do(kitchen, "titrate W-07 --soap-g 10 --acid-mol-l 0.1 --volume-ml 25");
    kitchen_do(kitchen, "verdict W-07 --strict");
    assert_int_equal(kitchen->exit_code, 4);
    check_contains(kitchen->out, "W-07: lye-heavy: 1.000");
    check_contains(kitchen->out, "curetrace rework W-07");
    check_contains(kitchen->out, "never test soap on the tongue");
}

static void
a_correction_keeps_the_wrong_one(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "titrate W-07 --soap-g 10 --acid-mol-l 0.1 --volume-ml 25 --blank-ml 0");
    kitchen_do(kitchen,
               "titrate W-07 --soap-g 10 --acid-mol-l 0.1 --volume-ml 2.5 --blank-ml 0 --supersedes 1 "
               "--why 'misread 2.5 as 25'");
    check_contains(kitchen->out, "free NaOH 0.100 %");
    kitchen_refuses(kitchen,
                    "titrate W-07 --soap-g 10 --acid-mol-l 0.1 --volume-ml 2.5 --supersedes 1 --why again",
                    "titration 1 was corrected already; correct titration 2");
    kitchen_do(kitchen, "batch show W-07"); /* which has the numbers that --supersedes wants */
    check_contains(kitchen->out,
                   "titration  done on     bar  soap g  mol/L   mL  blank  NaOH %\n"
                   "        1  2026-06-01           10    0.1   25      0   1.000  corrected by 2\n"
                   "        2  2026-06-01           10    0.1  2.5      0   0.100  corrects 1: misread\n");
}

static struct answers
two_portions(const char *first_g, const char *first_ml, const char *second_g, const char *second_ml)
{
    struct answers answers = {0};

    answers_usual(&answers);
    answers_add(&answers, "soap-mass", 1, first_g);
    answers_add(&answers, "titrant", 1, first_ml);
    answers_add(&answers, "soap-mass", 2, second_g);
    answers_add(&answers, "titrant", 2, second_ml);
    return answers;
}

static void
the_walk_through_files_and_judges_two_portions(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers answers = two_portions("10.02", "1,20", "9.98", "1,25");

    assert_int_equal(kitchen_walk(kitchen, "titrate W-07", &answers), STATUS_OK);
    check_contains(kitchen->out, "Ethanol and its vapour catch fire");
    check_contains(kitchen->out, "Session 1 is finished");
    /* (1.15 / 10.02 + 1.20 / 9.98) / 2 x 0.39997 % = 0.0470, by hand */
    check_contains(kitchen->out, "free NaOH 0.047 % +/- ");
    check_contains(kitchen->out, "10.02         0.1     1.20      0.05        0.046");
    check_contains(kitchen->out, "flags: acid-assumed;scatter-assumed\n");
    check_contains(kitchen->out, "W-07 is held now (doubtful");
    kitchen_do(kitchen, "titrate W-07 --csv");
    check_contains(kitchen->out, "W-07,0.0469");
}

/* What "next" names settles what it was named for: a walk or a line for bar 2 is a titration of bar 2. */
static void
a_titration_that_is_asked_for_settles_its_bar(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers answers = two_portions("10", "0,10", "10", "0,15");

    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    kitchen_do(kitchen, "calibrate bench --buffer borax@40=9.07 --buffer 'lime water@40=11.98'");
    kitchen_do(kitchen,
               "read W-07/2 --water distilled --ph 11.6 --ph 11.6 --temperature-c 40 --percent 1.00");
    check_contains(kitchen->out, "Do not use the bar: it burns skin.");
    kitchen_do(kitchen, "verdict W-07");
    check_contains(kitchen->out, "next: keep it held, and titrate bar 2:\n      curetrace titrate W-07/2\n");
    assert_int_equal(kitchen_walk(kitchen, "titrate W-07/2", &answers), STATUS_OK);
    check_contains(kitchen->out, "W-07, bar 2, 30 days old: free alkali by titration");
    check_contains(kitchen->out, "within so far: 0.0");
    check_contains(kitchen->out,
                   "next: test it again: it is old enough now for a test that a release rests on");
    kitchen_do(kitchen, "read W-07/3 --water distilled --ph 11.6 --temperature-c 40 --percent 1.00");
    kitchen_do(kitchen, "titrate W-07/3 --acid-mol-l 0.1 --blank-ml 0.05 --soap-g 10 --volume-ml 0.10 "
                        "--soap-g 10 --volume-ml 0.10");
    check_contains(kitchen->out, "W-07, bar 3, 30 days old: free alkali by titration");
    kitchen_do(kitchen, "verdict W-07");
    check_contains(kitchen->out, "W-07: within: 0.0");
    kitchen_refuses(kitchen, "titrate W-07/3 --bar 3 --acid-mol-l 0.1 --soap-g 10 --volume-ml 0.10",
                    "name the bar once");
    kitchen_refuses(kitchen, "read W-07/3 --bar 3 --ph 9.9", "name the bar once");
    kitchen_refuses(kitchen, "read W-08/3 --ph 9.9", "there is no batch 'W-08'");
}

static void
a_walk_left_is_resumed_and_files_once(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers answers = two_portions("quit", "25.05", "", "");

    assert_int_equal(kitchen_walk(kitchen, "titrate W-07 --portions 1", &answers), STATUS_OK);
    kitchen_refuses(kitchen, "titrate W-07 --show", "was not titrated");
    answers_add(&answers, "soap-mass", 1, "10");
    assert_int_equal(kitchen_walk(kitchen, "resume", &answers), STATUS_OK);
    check_contains(kitchen->out, "free NaOH 1.000 %");
    check_contains(kitchen->out, "W-07 is held now (lye-heavy");
}

static void
an_answer_that_cannot_be_does_not_cost_the_titration(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers answers = two_portions("10", "25.05", "", "");

    /* both are asked again: 25 is what the burette holds and not its division */
    answers_add(&answers, "acid", 1, "5\n0.1");
    answers_add(&answers, "burette", 1, "25\nskip no lines on it");
    assert_int_equal(kitchen_walk(kitchen, "titrate W-07 --portions 1", &answers), STATUS_OK);
    check_contains(kitchen->out, "5 mol/L cannot be, allowed is 0.001 to 2 mol/L");
    check_contains(kitchen->out, "a division or drop of 25 mL cannot be, allowed is above 0 to 10 mL");
    check_contains(kitchen->out, "free NaOH 1.000 %");
    check_contains(kitchen->out, "burette-assumed");
    check_contains(kitchen->out, "W-07 is held now (lye-heavy");
}

static void
what_was_left_out_is_not_made_up(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers answers = two_portions("10", "0", "10", "skip spilled");

    assert_int_equal(kitchen_walk(kitchen, "titrate W-07", &answers), STATUS_OK);
    /* No pink at all, and the blank cannot be taken off nothing: one titration, 0 %. */
    check_contains(kitchen->out, "free NaOH 0.000 %");
    check_contains(kitchen->out, "0.00   not run        0.000");
    check_contains(kitchen->out, "blank-missing;acid-assumed;scatter-assumed;single-titration");
}

/* The titration procedure up to the second portion's soap, which is left to the caller. */
static struct answers
one_portion_and(const char *first_ml, const char *second_soap)
{
    struct answers answers = {0};

    answers_add(&answers, "neutralise", 0, "");
    answers_add(&answers, "acid", 0, "0,1 N");
    answers_add(&answers, "burette", 0, "0.05");
    answers_add(&answers, "blank", 0, "0.05");
    answers_add(&answers, "sample", 0, "");
    answers_add(&answers, "soap-mass", 1, "10");
    answers_add(&answers, "soap-mass", 2, second_soap);
    answers_add(&answers, "dissolve", 0, "");
    answers_add(&answers, "titrant", 1, first_ml);
    answers_add(&answers, "look", 0, "clear");
    answers_add(&answers, "remarks", 0, "");
    return answers;
}

/* R4: a mass that cannot be once cost both portions, hours after it was typed. */
static void
what_cannot_be_is_refused_where_it_is_typed(void **state)
{
    static const struct {
        const char *step, *typed, *said;
    } bad[] = {
        {"soap-mass", "1500", "a mass of 1500 g cannot be, allowed is above 0 to 1000 g"},
        {"acid", "5", "5 mol/L cannot be, allowed is 0.001 to 2 mol/L"},
        {"blank", "120", "a volume of 120 mL cannot be, allowed is 0 to 100 mL"},
        {"burette", "0", "a division or drop of 0 mL cannot be, allowed is above 0 to 10 mL"},
        {"titrant", "1001 mL", "a volume of 1001 mL cannot be, allowed is 0 to 1000 mL"},
    };
    struct kitchen *kitchen = *state;

    for (size_t i = 0; i < LENGTH(bad); i++) {
        struct answers answers = {0};

        answers_usual(&answers);
        answers_add(&answers, "soap-mass", 0, "10");
        answers_add(&answers, bad[i].step, 1, bad[i].typed);
        assert_int_equal(kitchen_walk(kitchen, "titrate W-07 --portions 1", &answers), STATUS_OK);
        check_contains(kitchen->out, bad[i].said);
        check_contains(kitchen->out, "free NaOH 0.000 %"); /* asked again, and answered */
    }
}

/* Power gone in the middle of the second portion: the input ends, and no command is given after that. */
static void
each_portion_is_on_record_with_its_last_answer(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers answers = one_portion_and("1.25", "10");

    assert_int_equal(kitchen_walk(kitchen, "titrate W-07", &answers), STATUS_OK);
    kitchen_do(kitchen, "batch show W-07");
    /* 1.20 mL net x 0.1 mol/L x 39.997 g/mol / 10 g / 10 = 0.0480 %, by hand */
    check_contains(kitchen->out, "10    0.1  1.25   0.05   0.048");
    check_contains(kitchen->out, "state      held"); /* left with one portion: at best doubtful */
    kitchen_do(kitchen, "titrate W-07 --csv");
    check_contains(kitchen->out, "single-titration");
}

static void
a_portion_is_not_held_for_being_the_first_of_two(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers answers = one_portion_and("0.10", "10");

    answers_add(&answers, "titrant", 2, "0.15");
    answers_add(&answers, "clean-up", 0, "");
    assert_int_equal(kitchen_walk(kitchen, "titrate W-07", &answers), STATUS_OK);
    check_contains(kitchen->out, "free NaOH 0.003 % +/- "); /* 0.075 mL net on average, by hand */
    check_lacks(kitchen->out, "is held now");
    kitchen_do(kitchen, "batch show W-07");
    check_contains(kitchen->out, "state      in-cure");
}

static void
a_first_portion_full_of_lye_holds_at_once(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers answers = one_portion_and("25.05", "10");
    const char *held, *second;

    answers_add(&answers, "titrant", 2, "25.05");
    answers_add(&answers, "clean-up", 0, "");
    assert_int_equal(kitchen_walk(kitchen, "titrate W-07", &answers), STATUS_OK);
    held = strstr(kitchen->out, "W-07 is held now (lye-heavy: 1.000");
    second = strstr(kitchen->out, "== Portion 2 of 2: W-07 ==");
    assert_non_null(held);
    for (const char *later = second; later != NULL; later = strstr(later + 1, "== Portion 2 of 2: W-07 =="))
        second = later; /* the last: where it is titrated */
    assert_non_null(second);
    assert_true(held < second);
}

static void
what_is_put_right_on_the_way_puts_the_titrations_right(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers answers = one_portion_and("12.5\nback 1.25", "10");

    answers_add(&answers, "titrant", 2, "1.25");
    answers_add(&answers, "clean-up", 0, "");
    assert_int_equal(kitchen_walk(kitchen, "titrate W-07", &answers), STATUS_OK);
    kitchen->width = 120;
    kitchen_do(kitchen, "batch show W-07");
    check_contains(kitchen->out, "corrected by 2");
    check_contains(kitchen->out, "corrects 1: corrected at once");
    kitchen_do(kitchen, "titrate W-07 --show");
    check_contains(kitchen->out, "free NaOH 0.048 % +/- ");
}

static void
a_sitting_past_midnight_is_one_result(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers first = one_portion_and("1.25", "10"), second = {0};

    kitchen_set_time(kitchen, "2026-06-01T23:50");
    assert_int_equal(kitchen_walk(kitchen, "titrate W-07", &first), STATUS_OK);
    kitchen_set_time(kitchen, "2026-06-02T00:10");
    answers_usual(&second);
    answers_add(&second, "titrant", 2, "1.25");
    assert_int_equal(kitchen_walk(kitchen, "resume", &second), STATUS_OK);
    check_contains(kitchen->out, "free NaOH 0.048 % +/- ");
    kitchen_do(kitchen, "titrate W-07 --csv");
    check_lacks(kitchen->out, "single-titration");
}

static void
drops_have_the_size_that_was_told(void **state)
{
    static const struct {
        const char *burette, *titrant, *acid_ml;
    } known[] = {
        {"0.1", "20 drops", " 1.00 "},                  /* the usual 0.05 mL: common practice, no source */
        {"20 drops 0.96 g", "25 drops", " 1.20 "},      /* 0.048 mL each, by hand */
        {"20 drops weigh 0.8 g", "25 drops", " 1.00 "}, /* 0.040 mL each, by hand */
        {"drop 0.04 mL", "30 drops", " 1.20 "},
    };
    struct kitchen *kitchen = *state;

    for (size_t i = 0; i < LENGTH(known); i++) {
        struct answers answers = {0};

        answers_usual(&answers);
        answers_add(&answers, "soap-mass", 0, "10");
        answers_add(&answers, "burette", 0, known[i].burette);
        answers_add(&answers, "titrant", 0, known[i].titrant);
        kitchen->now += CLOCK_DAY_S; /* a result of its own */
        assert_int_equal(kitchen_walk(kitchen, "titrate W-07 --portions 1", &answers), STATUS_OK);
        check_contains(kitchen->out, known[i].acid_ml);
    }
}

/* 6.4 g of anhydrous citric acid (192.124 g/mol, PubChem CID 311) in 993.6 g of water: 3 x 6.4 / 192.124 mol in a
 * kilogram, 0.09994 mol of H+ per kg, by hand. */
static void
acid_may_be_weighed_drop_by_drop(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen,
               "titrate W-07 --citric-g 6.4 --citric-water-g 993.6 --citric-form anhydrous --blank-g 0.05 "
               "--drop-g 0.05 --soap-g 20 --acid-g 1.05 --soap-g 20 --acid-g 1.15 --at 2026-05-10T10:00");
    /* 1.96 sqrt(0.2887^2 + 0.0638^2) %: the purity, and 0.01/sqrt(6) g of 6.4 g, by hand */
    check_contains(kitchen->out, "the acid has 0.09994 mol of H+ per kg, +/- 0.58 % (95 %)");
    check_contains(kitchen->out, "acid mol/kg  acid g  blank g");
    /* 1.05 g net on average x 0.09994 x 39.997 / 20 / 10 = 0.0210 %, by hand */
    check_contains(kitchen->out, "free NaOH 0.021 % +/- 0.0");
    check_lacks(kitchen->out, "acid-assumed");
    kitchen_do(kitchen, "batch show W-07");
    check_contains(kitchen->out, "1.05 g");
    kitchen_do(kitchen, "titrate W-07 --acid-mol-kg '0,1' --soap-g 20 --acid-g 1.05 --at 2026-05-20");
    kitchen_do(
        kitchen,
        "titrate W-07 --citric-g 6.4 --citric-water-g 993.6 --soap-g 20 --volume-ml 1 --at 2026-05-21");
    check_contains(kitchen->out, "mol of H+ per litre, +/- 5"); /* anhydrous or not: not known */
    check_contains(kitchen->out, "acid mol/L");
}

static void
a_kitchen_balance_widens_what_it_weighs(void **state)
{
    static const char line[] =
        "titrate W-07 --balance %s --acid-mol-kg 0.1 --acid-u-pct 0.5 --blank-g 0.1 --drop-g "
        "0.05 --soap-g 20 --acid-g 1.1 --soap-g 20 --acid-g 1.1 --at 2026-05-%d";
    struct kitchen *kitchen = *state;
    double fine_pct;
    char typed[300];

    kitchen_do(kitchen, "gear add coarse --kind balance --readability-g 0.1");
    snprintf(typed, sizeof typed, line, "scale", 20);
    kitchen_do(kitchen, typed);
    fine_pct = high_pct(kitchen);
    snprintf(typed, sizeof typed, line, "coarse", 21);
    kitchen_do(kitchen, typed);
    /* 0.02 % per g of acid (0.1 x 39.997 x 0.1 / 20); its two readings alone are known to 0.125 g each, so by hand
     * 0.02 x 1.96 x 0.125 x sqrt(2/3) = 0.0040 % in quadrature with the scatter of 0.0133 % against 0.0011 % */
    assert_true(high_pct(kitchen) > fine_pct + 0.0004);
}

static void
weighing_and_measuring_do_not_mix(void **state)
{
    static const struct {
        const char *line, *text;
    } bad[] = {
        {"titrate W-07 --soap-g 10 --acid-g 1",
         "how strong is the acid? (--acid-mol-l 0.1, --acid-mol-kg 0.1, or"},
        {"titrate W-07 --soap-g 10 --acid-g 1 --volume-ml 1 --acid-mol-kg 0.1",
         "--volume-ml does not go with --acid-g"},
        {"titrate W-07 --soap-g 10 --volume-ml 1 --acid-mol-kg 0.1",
         "--acid-mol-kg does not go with --volume-ml"},
        {"titrate W-07 --soap-g 10 --acid-g 1 --acid-mol-kg 0.1 --citric-g 6", "the acid's strength once"},
        {"titrate W-07 --soap-g 10 --acid-g 1 --citric-g 6", "--citric-g and --citric-water-g come together"},
        {"titrate W-07 --soap-g 10 --acid-g 1 --acid-mol-l 0.1 --citric-form dry", "go with --citric-g"},
        {"titrate W-07 --soap-g 10 --acid-g 1 --citric-g 6 --citric-water-g 990 --citric-form wet",
         "'wet' is no form of citric acid: anhydrous, monohydrate or not known"},
        {"titrate W-07 --soap-g 10 --acid-g 1 --citric-g 600 --citric-water-g 990",
         "g of citric acid in 990 g of water make"},
        {"titrate W-07 --soap-g 10 --acid-g 1 --citric-g 6 --citric-water-g 990 --acid-u-pct 1",
         "is worked out"},
        {"titrate W-07 --soap-g 10 --acid-g 1 --acid-g 2 --acid-mol-kg 0.1",
         "its --acid-g: 1 and 2 are given"},
    };

    for (size_t i = 0; i < LENGTH(bad); i++)
        kitchen_refuses(*state, bad[i].line, bad[i].text);
}

static void
the_walk_by_weight_makes_its_acid(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers answers = {0};

    answers_usual(&answers);
    answers_add(&answers, "burette", 0, "20 drops 0.96 g");
    answers_add(&answers, "blank", 0, "1 drop");
    answers_add(&answers, "soap-mass", 0, "20");
    answers_add(&answers, "titrant", 1, "1.05");
    answers_add(&answers, "titrant", 2, "24 drops"); /* 1.152 g, by hand */
    assert_int_equal(kitchen_walk(kitchen, "titrate W-07 --by-weight", &answers), STATUS_OK);
    check_contains(kitchen->out, "that makes 0.09994 mol of H+ per kg, +/- 0.58 % (95 %)");
    check_contains(kitchen->out, "on record: this portion has 0.020 % of free NaOH");
    check_contains(kitchen->out, "0.09994    1.05     0.05        0.020"); /* 1.002 g net, by hand */
    check_contains(kitchen->out, "free NaOH 0.02");
    check_lacks(kitchen->out, "acid-assumed");
    check_lacks(kitchen->out, "burette-assumed");
}

static void
wrong_values_file_nothing(void **state)
{
    static const struct {
        const char *line, *text;
    } bad[] = {
        {"titrate W-07 --soap-g 10 --volume-ml 1", "how strong is the acid?"},
        {"titrate W-07 --soap-g 10 --soap-g 9 --volume-ml 1 --acid-mol-l 0.1", "2 and 1 are given"},
        {"titrate W-07 --soap-g 10 --volume-ml 1 --acid-mol-l 3", "--acid-mol-l: 3 is outside 0.001 to 2"},
        {"titrate W-07 --soap-g 10 --volume-ml 1 --acid-mol-l 0.1 --blank-ml 2", "portion 1: blank_ml is 2"},
        {"titrate W-07 --soap-g 2000 --volume-ml 1 --acid-mol-l 0.1", "portion 1: soap_mass_g is 2000"},
        {"titrate W-07 --soap-g 10 --volume-ml 1 --acid-mol-l 0.1 --at 2027-01-01", "is in the future"},
        {"titrate W-09 --soap-g 10 --volume-ml 1 --acid-mol-l 0.1", "there is no batch 'W-09'"},
        {"titrate W-07 --soap-g 10 --volume-ml 1 --acid-mol-l 0.1 --balance x", "there is no balance 'x'"},
        {"titrate W-07 --soap-g 10 --volume-ml 1 --acid-mol-l 0.1 --supersedes 1", "says why"},
        {"titrate W-07 --soap-g 10 --volume-ml 1 --acid-mol-l 0.1 --supersedes 1 --why x",
         "this batch has no titration 1"},
        {"titrate W-07 --show", "batch 'W-07' was not titrated"},
        {"titrate W-07 --csv", "batch 'W-07' was not titrated"},
        {"titrate W-07 --csv --soap-g 10", "file nothing"},
    };

    for (size_t i = 0; i < LENGTH(bad); i++)
        kitchen_refuses(*state, bad[i].line, bad[i].text);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(one_portion_is_shown_with_its_band, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(three_portions_can_be_within, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_coarser_burette_never_makes_a_bar_better, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(too_much_alkali_holds_and_points_to_rework, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_titration_outranks_the_meter_and_both_are_shown, furnish,
                                    kitchen_close),
    cmocka_unit_test_setup_teardown(the_verdict_shows_both_and_goes_by_the_titration, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_batch_that_was_only_titrated_has_a_verdict, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_correction_keeps_the_wrong_one, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(the_walk_through_files_and_judges_two_portions, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_titration_that_is_asked_for_settles_its_bar, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_walk_left_is_resumed_and_files_once, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(an_answer_that_cannot_be_does_not_cost_the_titration, furnish,
                                    kitchen_close),
    cmocka_unit_test_setup_teardown(what_was_left_out_is_not_made_up, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(what_cannot_be_is_refused_where_it_is_typed, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(each_portion_is_on_record_with_its_last_answer, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_portion_is_not_held_for_being_the_first_of_two, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_first_portion_full_of_lye_holds_at_once, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(what_is_put_right_on_the_way_puts_the_titrations_right, furnish,
                                    kitchen_close),
    cmocka_unit_test_setup_teardown(a_sitting_past_midnight_is_one_result, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(drops_have_the_size_that_was_told, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(acid_may_be_weighed_drop_by_drop, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_kitchen_balance_widens_what_it_weighs, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(weighing_and_measuring_do_not_mix, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(the_walk_by_weight_makes_its_acid, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(wrong_values_file_nothing, furnish, kitchen_close),
};

const struct check_module test_command_titrate = CHECK_MODULE("command/titrate", tests);
