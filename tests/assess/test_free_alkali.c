/* test_free_alkali.c - titrations of a batch as results. */
#include "bench.h"
#include "free_alkali.h"

static struct free_alkali
found(const struct dossier *bench)
{
    struct failure failure = {0};
    struct free_alkali free_alkali;

    check_ok(free_alkali_of(bench, &free_alkali, &failure), &failure);
    return free_alkali;
}

static void
check_flags(unsigned flags, const char *expected)
{
    char *text = free_alkali_flag_text(flags);

    assert_string_equal(text, expected);
    free(text);
}

static void
the_usual_titration_gives_the_textbook_percentage(void **state)
{
    struct dossier bench = bench_new();
    struct free_alkali free_alkali;

    (void)state;
    bench_titration(&bench, bench_day(28), 1.30);
    free_alkali = found(&bench);
    assert_int_equal(free_alkali.count, 1);
    check_close(
        free_alkali.current->figures.free_naoh_pct, 0.05, 5e-5,
        "10 g at 0.05 % takes 1.25 mL of 0.1 mol/L: 0.005 g / 39.997 g/mol; here with a blank of 0.05 mL");
    assert_int_equal(free_alkali.current->age_d, 28);
    assert_int_equal(free_alkali.current->figures.band, TITRATION_BORDERLINE);
    check_flags(free_alkali.current->flags, "scatter-assumed;single-titration");
    free_alkali_clear(&free_alkali);
    dossier_clear(&bench);
}

static void
replicates_make_one_result_and_its_uncertainty_by_hand(void **state)
{
    /* Three portions of 10 g, 0.50, 0.52, 0.54 mL net: 0.019999, 0.020798, 0.021598 %. */
    struct dossier bench = bench_new();
    struct free_alkali free_alkali;
    double per_ml = 0.1 * 39.997 * 0.1 / 10.0, mean = 0.52 * per_ml, variance = 0.0;

    (void)state;
    for (int i = 0; i < 3; i++)
        bench_titration(&bench, bench_day(28), 0.55 + 0.02 * i);
    /* Scatter: 3 degrees at 0.0075 % and 2 at 0.02 mL; Student's t at 5, 97.5 %: R qt(0.975, 5). */
    variance += pow(2.570581836, 2.0) * (3.0 * 0.0075 * 0.0075 + 2.0 * pow(0.02 * per_ml, 2.0)) / 5.0 / 3.0;
    variance += pow(1.96 * 0.05 * per_ml, 2.0) / 6.0;                  /* burette and blank */
    variance += pow(1.96 * 0.005 * mean, 2.0);                         /* acid */
    variance += pow(1.96 * 0.01 / sqrt(6.0) * mean / 10.0, 2.0) / 3.0; /* balance, three weighings */
    free_alkali = found(&bench);
    assert_int_equal(free_alkali.count, 1);
    assert_int_equal(free_alkali.current->count, 3);
    check_close(free_alkali.current->figures.free_naoh_pct, mean, 1e-12, "the mean");
    check_close(free_alkali.current->figures.half_width_pct, sqrt(variance), 1e-9, "rules 2 and 3 by hand");
    assert_int_equal(free_alkali.current->figures.band, TITRATION_WITHIN);
    check_flags(free_alkali.current->flags, "scatter-assumed");
    free_alkali_clear(&free_alkali);
    dossier_clear(&bench);
}

static void
what_is_not_on_record_is_assumed_and_flagged(void **state)
{
    struct dossier bench = bench_new();
    struct titration *titration = bench_titration(&bench, bench_day(28), 1.25);
    struct free_alkali free_alkali;

    (void)state;
    titration->blank_ml = titration->burette_ml = titration->u_acid_relative = NAN;
    titration->balance_id = 0;
    free_alkali = found(&bench);
    check_close(free_alkali.current->figures.free_naoh_pct, 0.05, 5e-5, "no blank: nothing is taken off");
    check_close(free_alkali.current->setup.blank_half_width_ml, 0.1, 0.0, "common practice, no source");
    check_close(free_alkali.current->setup.burette_half_width_ml, 0.05, 0.0, "half of 0.1 mL");
    check_flags(
        free_alkali.current->flags,
        "blank-missing;acid-assumed;burette-assumed;weighing-assumed;scatter-assumed;single-titration");
    free_alkali_clear(&free_alkali);
    dossier_clear(&bench);
}

static void
the_latest_day_counts_and_on_it_the_worst_result(void **state)
{
    struct dossier bench = bench_new();
    struct free_alkali free_alkali;

    (void)state;
    bench_titration(&bench, bench_day(7), 9.0);
    bench_titration(&bench, bench_day(28), 2.0);
    bench_titration(&bench, bench_day(28) + 60, 0.5)->acid_mol_per_l = 0.2;
    free_alkali = found(&bench);
    assert_int_equal(free_alkali.count, 3);
    assert_ptr_equal(free_alkali.current->first, &bench.titrations[1]);
    assert_true((free_alkali.current->flags & 1u << FREE_ALKALI_SEVERAL) != 0);
    free_alkali_clear(&free_alkali);
    dossier_clear(&bench);
}

static void
scatter_of_the_other_results_takes_the_place_of_the_assumed_one(void **state)
{
    /* Six pairs, 0.02 mL apart: sd of one pair 0.02/sqrt(2) mL. A pair later on has six degrees beside its own. */
    struct dossier bench = bench_new();
    struct free_alkali free_alkali;
    double per_ml = 0.1 * 39.997 * 0.1 / 10.0;

    (void)state;
    for (int pair = 1; pair <= 6; pair++) {
        bench_titration(&bench, bench_day(2 * pair), 3.00);
        bench_titration(&bench, bench_day(2 * pair), 3.02);
    }
    bench_titration(&bench, bench_day(28), 0.45);
    bench_titration(&bench, bench_day(28), 0.55);
    free_alkali = found(&bench);
    assert_false(free_alkali.current->figures.scatter_assumed);
    check_close(free_alkali.current->setup.own_sd_pct, 0.02 / sqrt(2.0) * per_ml, 1e-9,
                "JCGM 100:2008, H.3.6 note 1: pooled variance");
    check_close(free_alkali.current->setup.own_dof, 6.0, 1e-12, "one each, its own not among them");
    assert_int_equal(free_alkali.current->figures.band, TITRATION_WITHIN);
    check_flags(free_alkali.current->flags, "");
    check_close(free_alkali.results[0].setup.own_dof, 6.0, 1e-12, "five and the last");
    free_alkali_clear(&free_alkali);
    dossier_clear(&bench);
}

static void
superseded_titrations_are_left_out(void **state)
{
    struct dossier bench = bench_new();
    struct failure failure = {0};
    struct free_alkali free_alkali;

    (void)state;
    check_refused(free_alkali_of(&bench, &free_alkali, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text, "batch 'W-07' was not titrated");
    bench_titration(&bench, bench_day(28), 9.0)->superseded_by = 2;
    bench_titration(&bench, bench_day(28), 0.9);
    free_alkali = found(&bench);
    assert_int_equal(free_alkali.count, 1);
    check_close(free_alkali.current->figures.free_naoh_pct, 0.0340, 5e-5, "0.85 mL net, by hand");
    free_alkali_clear(&free_alkali);
    dossier_clear(&bench);
}

static void
each_band_names_its_limit(void **state)
{
    static const char *const part[] = {"IS 2888",  "SNI 06-3532", "SNI 06-3532",
                                       "irritant", "corrosive",   "severely"};

    (void)state;
    for (int band = TITRATION_WITHIN; band <= TITRATION_SEVERELY_CORROSIVE; band++)
        check_contains(free_alkali_band_source((enum titration_band)band), part[band]);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_usual_titration_gives_the_textbook_percentage),
    cmocka_unit_test(replicates_make_one_result_and_its_uncertainty_by_hand),
    cmocka_unit_test(what_is_not_on_record_is_assumed_and_flagged),
    cmocka_unit_test(the_latest_day_counts_and_on_it_the_worst_result),
    cmocka_unit_test(scatter_of_the_other_results_takes_the_place_of_the_assumed_one),
    cmocka_unit_test(superseded_titrations_are_left_out),
    cmocka_unit_test(each_band_names_its_limit),
};

const struct check_module test_assess_free_alkali = CHECK_MODULE("assess/free_alkali", tests);
