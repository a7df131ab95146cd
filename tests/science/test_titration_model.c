/* test_titration_model.c - free alkali by titration; the interval against R (titration_model.R beside this
 * file). */
#include "check.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

#include "titration_model.h"

static const struct titration_setup exact = {
    .acid_mol_per_l = 0.1, .own_sd_pct = (double)NAN, .own_dof = (double)NAN};
static const struct titration_setup kitchen = {.acid_mol_per_l = 0.1,
                                               .acid_relative_u = 0.002,
                                               .blank_ml = 0.05,
                                               .blank_half_width_ml = 0.02,
                                               .burette_half_width_ml = 0.03,
                                               .readability_g = 0.01,
                                               .own_sd_pct = (double)NAN,
                                               .own_dof = (double)NAN};
static const struct titration_portion three[] = {{10.02, 1.30}, {9.98, 1.25}, {10.05, 1.35}};

static void
ten_grams_at_the_strictest_limit_take_a_millilitre_and_a_quarter(void **state)
{
    (void)state;
    check_close(titration_free_naoh_pct(1.25, 0.1, 10.0), 0.05, 5e-5, "3.9997 x 1.25 x 0.1 / 10, by hand");
    check_close(titration_free_naoh_pct(1000.0 / 39.997, 1.0, 100.0), 1.0, 1e-12,
                "1 g NaOH is 1/39.997 mol; 1 g in 100 g");
}

static void
result_and_interval_agree_with_r(void **state)
{
    struct failure failure = {0};
    struct titration_result result;
    double total = 0.0;

    (void)state;
    check_ok(titration_compute(&kitchen, three, 3, &result, &failure), &failure);
    check_close(result.free_naoh_pct, 0.049908818397, 5e-13, "titration_model.R");
    check_close(result.sd_pct, 0.001822445324, 5e-13, "titration_model.R");
    check_close(result.part_pct[TITRATION_FROM_SCATTER], 8.790052220e-03, 5e-12, "titration_model.R");
    check_close(result.part_pct[TITRATION_FROM_BURETTE], 1.629201785e-03, 5e-13, "titration_model.R");
    check_close(result.part_pct[TITRATION_FROM_BALANCE], 2.301861702e-05, 5e-15, "titration_model.R");
    check_close(result.part_pct[TITRATION_FROM_ACID], 1.956425681e-04, 5e-14, "titration_model.R");
    check_close(result.half_width_pct, 8.941930572e-03, 5e-12, "titration_model.R");
    check_close(result.high_pct, 5.885074897e-02, 5e-12, "titration_model.R");
    check_close(result.low_pct, 0.049908818397 - 8.941930572e-03, 5e-12, "titration_model.R");
    for (int i = 0; i < TITRATION_SOURCES; i++)
        total += result.share_fraction[i];
    check_close(total, 1.0, 1e-12, "shares of the squared half-width");
    assert_true(result.scatter_assumed);
}

static void
own_scatter_takes_the_place_of_the_assumed_one_from_six_degrees_on(void **state)
{
    struct titration_setup setup = kitchen;
    struct failure failure = {0};
    struct titration_result result;

    (void)state;
    setup.own_sd_pct = 0.003;
    setup.own_dof = 8.0;
    check_ok(titration_compute(&setup, three, 3, &result, &failure), &failure);
    assert_false(result.scatter_assumed);
    check_close(result.half_width_pct, 3.963258200e-03, 5e-13, "titration_model.R");
    check_close(result.high_pct, 5.387207660e-02, 5e-12, "titration_model.R");
    setup.own_dof = 6.0;
    check_ok(titration_compute(&setup, three, 3, &result, &failure), &failure);
    assert_false(result.scatter_assumed);
    setup.own_dof = 5.0;
    check_ok(titration_compute(&setup, three, 3, &result, &failure), &failure);
    assert_true(result.scatter_assumed);
    check_close(result.half_width_pct, 8.941930572e-03, 5e-12, "titration_model.R, nothing known");
}

/* Half-width for the same two volumes read on a burette of division d, start at the mark. */
static double
half_width_with(double division_ml, double blank_half_width_ml)
{
    const struct titration_portion pair[] = {{10.0, 0.93}, {10.0, 1.07}};
    struct titration_setup setup = exact;
    struct failure failure = {0};
    struct titration_result result = {0};

    setup.burette_half_width_ml = division_ml / 2.0;
    setup.blank_half_width_ml = blank_half_width_ml;
    check_ok(titration_compute(&setup, pair, 2, &result, &failure), &failure);
    return result.half_width_pct;
}

static void
a_coarser_burette_never_narrows_the_interval(void **state)
{
    double before_pct = 0.0, k = 0.1 * 39.997 * 0.1 / 10.0, scatter_pct = half_width_with(0.0, 0.0);

    (void)state;
    for (double division_ml = 0.0; division_ml <= 1.0; division_ml += 0.01) {
        assert_true(half_width_with(division_ml, 0.0) > before_pct);
        before_pct = half_width_with(division_ml, 0.0);
    }
    check_close(half_width_with(0.2, 0.0), hypot(scatter_pct, k * 0.1), 1e-12, "one rounding: k d/2");
    check_close(half_width_with(0.2, 0.1), hypot(scatter_pct, k * 1.96 * 0.2 / sqrt(6.0)), 1e-12,
                "two roundings: 1.96 k d/sqrt 6");
}

/* A true % NaOH, a scatter of portions and a burette, each drawn as at the bench. */
static double
coverage_of(gsl_rng *rng, size_t count, double scatter_pct, double division_ml)
{
    enum { ROUNDS = 4000 };
    const double true_pct = 0.05, ml_per_pct = 10.0 / (0.1 * 39.997 * 0.1);
    struct titration_setup setup = exact;
    int covered = 0;

    setup.acid_relative_u = 0.01;
    setup.burette_half_width_ml = division_ml / 2.0;
    for (int round = 0; round < ROUNDS; round++) {
        struct titration_portion portions[4];
        struct failure failure = {0};
        struct titration_result result = {0};
        double acid = 1.0 + gsl_ran_gaussian(rng, setup.acid_relative_u); /* true over stated */
        double offset_ml = division_ml * (gsl_rng_uniform(rng) - 0.5);    /* the mark that was started at */

        for (size_t i = 0; i < count; i++) {
            double pct = true_pct + gsl_ran_gaussian(rng, scatter_pct);
            double volume_ml = fmax(0.0, pct * ml_per_pct / acid);

            portions[i] = (struct titration_portion){
                10.0, fmax(0.0, division_ml * floor(0.5 + (volume_ml + offset_ml) / division_ml))};
        }
        check_ok(titration_compute(&setup, portions, count, &result, &failure), &failure);
        covered += result.low_pct <= true_pct && true_pct <= result.high_pct;
    }
    return (double)covered / ROUNDS;
}

static void
the_interval_holds_what_it_promises(void **state)
{
    static const double scatters_pct[] = {0.002, 0.003, 0.006, 0.01}, divisions_ml[] = {0.02, 0.1};
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);

    (void)state;
    gsl_rng_set(rng, 20261128);
    for (size_t count = 2; count <= 4; count++)
        for (size_t i = 0; i < LENGTH(scatters_pct); i++)
            for (size_t j = 0; j < LENGTH(divisions_ml); j++)
                assert_true(coverage_of(rng, count, scatters_pct[i], divisions_ml[j]) >= 0.93);
    gsl_rng_free(rng);
}

static void
doubt_moves_a_bar_to_the_worse_band(void **state)
{
    struct failure failure = {0};
    struct titration_result result;

    (void)state;
    check_ok(titration_compute(&kitchen, three, 3, &result, &failure), &failure);
    assert_string_equal(titration_band_name(result.mean_band), "within");
    assert_string_equal(titration_band_name(result.band), "borderline");
}

static void
one_titration_alone_is_never_within(void **state)
{
    const struct titration_portion low[] = {{10.0, 0.25}, {10.0, 0.25}};
    struct failure failure = {0};
    struct titration_result result;

    (void)state;
    check_ok(titration_compute(&exact, low, 1, &result, &failure), &failure);
    assert_true(isnan(result.sd_pct));
    check_close(result.high_pct, 0.0099993 + 3.182446305 * 0.0075, 5e-8,
                "3.9997 x 0.25 x 0.1 / 10; Student's t at 3 degrees, 97.5 %: R qt(0.975, 3)");
    assert_int_equal(result.mean_band, TITRATION_WITHIN);
    assert_int_equal(result.band, TITRATION_BORDERLINE);
    check_ok(titration_compute(&exact, low, 2, &result, &failure), &failure);
    assert_true(result.high_pct > 0.0099993);
    assert_int_equal(result.band, TITRATION_WITHIN);
}

static void
bands_end_where_the_documents_say(void **state)
{
    static const struct {
        double pct;
        const char *band;
    } known[] = {
        {-0.01, "within"},
        {0.0, "within"},
        {0.05, "within"},
        {0.0501, "borderline"},
        {0.1, "borderline"},
        {0.1001, "hold"},
        {0.4999, "hold"},
        {0.5, "irritant"},
        {1.9999, "irritant"},
        {2.0, "corrosive"},
        {4.9999, "corrosive"},
        {5.0, "severely-corrosive"},
        {50.0, "severely-corrosive"},
        {(double)NAN, "severely-corrosive"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++)
        assert_string_equal(titration_band_name(titration_band_of(known[i].pct)), known[i].band);
}

static void
bands_follow_the_limits_of_free_alkali(void **state)
{
    static const struct {
        double free_naoh_pct;
        const char *source;
    } most[] = {{0.05, "IS 2888:2004, toilet soap; read second-hand in two places"},
                {0.05, "ASTM D2179-65(1990), combination bar"},
                {0.1, "SNI 06-3532-1994, bath soap"},
                {0.2, "ASTM D496-74(1995), chip soap"}},
      from[] = {{0.5, "EU 1272/2008 (CLP) Annex VI, Skin Irrit. 2, Eye Irrit. 2"},
                {2.0, "EU 1272/2008 (CLP) Annex VI, Skin Corr. 1B"},
                {5.0, "EU 1272/2008 (CLP) Annex VI, Skin Corr. 1A"}};
    double strictest_pct = (double)INFINITY;

    (void)state;
    for (size_t i = 0; i < LENGTH(most); i++)
        strictest_pct = fmin(strictest_pct, most[i].free_naoh_pct);
    assert_int_equal(titration_band_of(strictest_pct), TITRATION_WITHIN);
    assert_int_equal(titration_band_of(nextafter(strictest_pct, 1.0)), TITRATION_BORDERLINE);
    for (size_t i = 0; i < LENGTH(from); i++)
        assert_true(titration_band_of(from[i].free_naoh_pct) >
                    titration_band_of(nextafter(from[i].free_naoh_pct, 0.0)));
}

static void
what_makes_no_sense_is_refused(void **state)
{
    static const struct titration_portion fine = {10.0, 1.0};
    static const struct titration_portion wrong_portions[] = {
        {0.0, 1.0},   {-1.0, 1.0},    {1001.0, 1.0},      {(double)NAN, 1.0},
        {10.0, -0.1}, {10.0, 1001.0}, {10.0, (double)NAN}};
    static const struct titration_setup wrong_setups[] = {
        {.acid_mol_per_l = 0.0009, .own_sd_pct = (double)NAN, .own_dof = (double)NAN},
        {.acid_mol_per_l = 2.1, .own_sd_pct = (double)NAN, .own_dof = (double)NAN},
        {.acid_mol_per_l = (double)NAN, .own_sd_pct = (double)NAN, .own_dof = (double)NAN},
        {.acid_mol_per_l = 0.1, .acid_relative_u = -0.1, .own_sd_pct = (double)NAN, .own_dof = (double)NAN},
        {.acid_mol_per_l = 0.1, .blank_ml = -0.1, .own_sd_pct = (double)NAN, .own_dof = (double)NAN},
        {.acid_mol_per_l = 0.1,
         .blank_half_width_ml = -0.1,
         .own_sd_pct = (double)NAN,
         .own_dof = (double)NAN},
        {.acid_mol_per_l = 0.1,
         .burette_half_width_ml = -1,
         .own_sd_pct = (double)NAN,
         .own_dof = (double)NAN},
        {.acid_mol_per_l = 0.1,
         .readability_g = (double)NAN,
         .own_sd_pct = (double)NAN,
         .own_dof = (double)NAN},
        {.acid_mol_per_l = 0.1, .own_sd_pct = 0.01, .own_dof = (double)NAN},
        {.acid_mol_per_l = 0.1, .own_sd_pct = (double)NAN, .own_dof = 3},
        {.acid_mol_per_l = 0.1, .own_sd_pct = 0.01, .own_dof = 0},
    };
    struct failure failure = {0};
    struct titration_result result = {.free_naoh_pct = -1.0};

    (void)state;
    check_refused(titration_compute(&exact, &fine, 0, &result, &failure), STATUS_RANGE, &failure);
    for (size_t i = 0; i < LENGTH(wrong_portions); i++) {
        const struct titration_portion pair[] = {fine, wrong_portions[i]};

        check_refused(titration_compute(&exact, pair, 2, &result, &failure), STATUS_RANGE, &failure);
        check_contains(failure.text, "titration 2: ");
    }
    for (size_t i = 0; i < LENGTH(wrong_setups); i++)
        check_refused(titration_compute(&wrong_setups[i], &fine, 1, &result, &failure), STATUS_RANGE,
                      &failure);
    check_close(result.free_naoh_pct, -1.0, 0.0, "left alone");
}

static void
a_blank_above_the_titration_is_a_mistake_unless_within_reading_error(void **state)
{
    static const struct titration_portion close[] = {{10.0, 0.01}}, exchanged[] = {{10.0, -0.0}};
    struct titration_setup setup = kitchen;
    struct failure failure = {0};
    struct titration_result result;

    (void)state;
    check_ok(titration_compute(&setup, close, 1, &result, &failure), &failure);
    check_close(result.free_naoh_pct, -0.0015999, 5e-8, "3.9997 x (0.01 - 0.05) x 0.1 / 10");
    setup.blank_ml = 1.25;
    check_refused(titration_compute(&setup, exchanged, 1, &result, &failure), STATUS_RANGE, &failure);
    check_contains(failure.text, "exchanged");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(ten_grams_at_the_strictest_limit_take_a_millilitre_and_a_quarter),
    cmocka_unit_test(result_and_interval_agree_with_r),
    cmocka_unit_test(own_scatter_takes_the_place_of_the_assumed_one_from_six_degrees_on),
    cmocka_unit_test(a_coarser_burette_never_narrows_the_interval),
    cmocka_unit_test(the_interval_holds_what_it_promises),
    cmocka_unit_test(doubt_moves_a_bar_to_the_worse_band),
    cmocka_unit_test(one_titration_alone_is_never_within),
    cmocka_unit_test(bands_end_where_the_documents_say),
    cmocka_unit_test(bands_follow_the_limits_of_free_alkali),
    cmocka_unit_test(what_makes_no_sense_is_refused),
    cmocka_unit_test(a_blank_above_the_titration_is_a_mistake_unless_within_reading_error),
};

const struct check_module test_science_titration_model = CHECK_MODULE("science/titration_model", tests);
