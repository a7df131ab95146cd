/* test_paper_bias.c - how a maker's test paper reads soap. */
#include "bench.h"
#include "paper_bias.h"

/* Invented pairs; the same as in paper_bias.R. */
static const double meter_ph[] = {9.42, 9.87, 10.15, 9.61, 10.48, 9.93, 9.75, 10.92};
static const double paper_low[] = {8, 9, 9, 8, 10, 8, 9, 10};

static struct dossier
bench_of_pairs(size_t count)
{
    struct dossier bench = bench_new();
    int64_t session;

    bench_calibrated(&bench, bench_day(7) - 600);
    session = bench_session(&bench, bench_day(7));
    for (size_t i = 0; i < count; i++) {
        int64_t specimen = bench_specimen(&bench, session, 1.0);

        bench_ph(&bench, specimen, meter_ph[i], 40.0);
        bench_paper(&bench, specimen, paper_low[i], paper_low[i] + 1.0);
    }
    return bench;
}

static struct paper_bias
learned(const struct dossier *bench)
{
    struct failure failure = {0};
    struct paper_bias bias = {0};

    check_ok(paper_bias_learn(bench, PAPER, &bias, &failure), &failure);
    return bias;
}

static void
bias_and_spread_agree_with_r(void **state)
{
    struct dossier bench = bench_of_pairs(LENGTH(meter_ph));
    struct paper_bias bias = learned(&bench);

    (void)state;
    assert_int_equal(bias.pairs, 8);
    assert_true(bias.known);
    check_close(bias.bias_ph, 0.653068373447, 1e-7, "R survival::survreg, paper_bias.R");
    check_close(bias.bias_u_ph, 0.148949220981, 1e-6, "R survival::survreg, paper_bias.R");
    check_close(bias.spread_ph, 0.31936761203, 1e-6, "R survival::survreg, paper_bias.R");
    dossier_clear(&bench);
}

static void
four_pairs_are_too_few_and_five_are_enough(void **state)
{
    struct dossier four = bench_of_pairs(4), five = bench_of_pairs(5);
    struct paper_bias bias = learned(&four);
    char *sentence = paper_bias_sentence(&bias);

    (void)state;
    assert_false(bias.known);
    assert_int_equal(bias.pairs, 4);
    assert_true(isnan(bias.bias_ph));
    check_contains(sentence, "4 of 5 pairs");
    free(sentence);
    assert_true(learned(&five).known);
    dossier_clear(&four);
    dossier_clear(&five);
}

static void
only_what_the_meter_can_vouch_for_makes_a_pair(void **state)
{
    struct dossier bench = bench_of_pairs(8);

    (void)state;
    bench.readings[0].calibration_id = 0; /* unchecked */
    bench.readings[2].superseded_by = 99; /* corrected */
    bench.readings[5].superseded_by = 99; /* a paper reading */
    bench.readings[7].gear_id = 77;       /* another paper */
    bench.readings[8].ph = 12.3;          /* beyond what glass can tell */
    assert_int_equal(learned(&bench).pairs, 3);
    dossier_clear(&bench);
}

static void
the_meter_is_corrected_by_its_calibration_first(void **state)
{
    struct dossier bench = bench_of_pairs(8);
    double before = learned(&bench).bias_ph;

    (void)state;
    for (size_t i = 0; i < 2; i++)
        bench.calibrations[0].points[i].displayed_ph += 0.2;
    check_close(learned(&bench).bias_ph, before - 0.2, 1e-6, "by hand: all meter values fall by 0.2");
    dossier_clear(&bench);
}

static void
pairs_that_tell_nothing_leave_the_bias_unknown(void **state)
{
    /* One strip 12 pH off the others: the start of the climb lies over 38 spreads away, where the normal
     * density is 0 in double precision (exp(-38.6^2 / 2) is below the smallest number). */
    enum { MANY = 1600 };
    struct dossier bench;
    struct paper_bias bias = {0};
    struct failure failure = {0};
    double low, high;

    (void)state;
    bench_ready(&bench);
    for (int i = 0; i < MANY; i++) {
        int64_t specimen = bench_specimen(&bench, 1, 1.0);

        bench_ph(&bench, specimen, 9.5, 40.0);
        bench_paper(&bench, specimen, i == 0 ? 0.0 : 13.0, i == 0 ? 1e-3 : 13.001);
    }
    check_ok(paper_bias_learn(&bench, PAPER, &bias, &failure), &failure);
    assert_false(bias.known);
    paper_bias_apply(&bias, 10.0, 11.0, &low, &high);
    check_close(high, 11.0, 0.0, "as the paper showed it");
    dossier_clear(&bench);
}

static void
the_range_moves_and_widens_by_what_is_known(void **state)
{
    const double few =
        2.36462425159 * sqrt(8.0 / 7.0); /* R qt(0.975, 7); 7 of 8 are left of the likelihood's n */
    const struct paper_bias known = {
        .known = true, .pairs = 8, .bias_ph = 1.0, .bias_u_ph = 0.3, .spread_ph = 0.4};
    const struct paper_bias coarse = {
        .known = true, .pairs = 8, .bias_ph = 1.0, .bias_u_ph = 0.3, .spread_ph = NAN};
    const struct paper_bias unknown = {.known = false, .bias_ph = NAN};
    double low = NAN, high = NAN;

    (void)state;
    paper_bias_apply(&known, 8.0, 9.0, &low, &high);
    check_close(low, 9.0 - few * 0.5, 1e-6, "by hand: 0.3 and 0.4 make 0.5");
    check_close(high, 10.0 + few * 0.5, 1e-6, "by hand");
    paper_bias_apply(&coarse, 8.0, 9.0, &low, &high);
    check_close(high, 10.0 + few * 0.3, 1e-6, "by hand");
    paper_bias_apply(&unknown, 8.0, 9.0, &low, &high);
    check_close(low, 8.0, 0.0, "as read");
    paper_bias_apply(NULL, 8.0, 9.0, &low, &high);
    check_close(high, 9.0, 0.0, "as read");
}

static void
the_sentence_says_which_way_the_paper_errs(void **state)
{
    const struct paper_bias low = {
        .known = true, .pairs = 7, .bias_ph = 1.2, .bias_u_ph = 0.1, .spread_ph = 0.2};
    const struct paper_bias high = {
        .known = true, .pairs = 7, .bias_ph = -0.4, .bias_u_ph = 0.1, .spread_ph = NAN};
    const struct paper_bias none = {
        .known = true, .pairs = 7, .bias_ph = 0.01, .bias_u_ph = 0.1, .spread_ph = NAN};
    char *sentence = paper_bias_sentence(&low);

    (void)state;
    check_contains(sentence, "1.2 pH too low (7 pairs");
    free(sentence);
    sentence = paper_bias_sentence(&high);
    check_contains(sentence, "0.4 pH too high");
    free(sentence);
    sentence = paper_bias_sentence(&none);
    check_contains(sentence, "neither high nor low");
    free(sentence);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(bias_and_spread_agree_with_r),
    cmocka_unit_test(four_pairs_are_too_few_and_five_are_enough),
    cmocka_unit_test(only_what_the_meter_can_vouch_for_makes_a_pair),
    cmocka_unit_test(the_meter_is_corrected_by_its_calibration_first),
    cmocka_unit_test(pairs_that_tell_nothing_leave_the_bias_unknown),
    cmocka_unit_test(the_range_moves_and_widens_by_what_is_known),
    cmocka_unit_test(the_sentence_says_which_way_the_paper_errs),
};

const struct check_module test_assess_paper_bias = CHECK_MODULE("assess/paper_bias", tests);
