/* test_approach_fit.c - approach to an end value against NIST, GSL's general solver and R 4.2.2
 * (approach_fit.R). */
#include "approach_fit.h"
#include "check.h"
#include "strd.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_multifit_nlinear.h>

/* Invented cure: age in days, pH, standard uncertainty; the same numbers stand in approach_fit.R. */
static const double age_d[] = {1, 2, 4, 7, 10, 14, 21, 28, 35, 42, 56, 70};
static const double ph[] = {10.42, 10.31, 10.18, 9.96, 9.85, 9.74, 9.55, 9.49, 9.47, 9.41, 9.42, 9.40};
static const double ph_u[] = {0.08, 0.05, 0.05, 0.06, 0.04, 0.05, 0.05, 0.04, 0.09, 0.05, 0.05, 0.03};
enum { CURE = 12 };

static struct approach
fit(const double *age, const double *y, const double *y_sd, size_t count, const double *known_start,
    enum line_scale scale)
{
    struct approach approach = {.rate = NAN};
    struct failure failure = {0};

    check_ok(approach_fit(age, y, y_sd, count, known_start, scale, &approach, &failure), &failure);
    return approach;
}

static void
misra1a_is_fitted_to_certified_digits(void **state)
{
    const char *source = "NIST StRD Misra1a, certified";
    const double zero = 0.0;
    double x[32], y[32];
    size_t count = strd_read("misra1a.csv", x, y, 32);
    struct approach approach = fit(x, y, NULL, count, &zero, LINE_SD_FROM_SCATTER);

    (void)state;
    assert_int_equal(count, 14);
    assert_int_equal(approach.reasons, 0);
    check_close(approach.end / 238.94212918, 1.0, 1e-10, source);
    check_close(approach.rate / 0.00055015643181, 1.0, 1e-10, source);
    check_close(approach.end_sd / 2.7070075241, 1.0, 1e-9, source);
    check_close(approach.rate_sd / 0.0000072668688436, 1.0, 1e-9, source);
    check_close(approach.residual_sd * approach.residual_sd * 12.0 / 0.12455138894, 1.0, 1e-9, source);
    check_close(approach.dof, 12.0, 0.0, source);
    check_close(approach.start, 0.0, 0.0, "given");
}

static const struct r_fit {
    const double *u;
    double end, start, rate, end_sd, start_sd, rate_sd, end_start, end_rate, start_rate, residual_sd;
    struct {
        double age_d, mean, mean_sd;
    } at[3];
} r_fits[] = {
    {NULL,
     9.40429525654,
     10.5049428946,
     0.0909630455558,
     0.0103960627119,
     0.0165539520864,
     0.00369515391601,
     5.01656539316e-05,
     2.6513642157e-05,
     4.16287338402e-05,
     0.0182857193837,
     {{0, 10.5049428946, 0.0165539520864},
      {5, 10.102727953, 0.00789873584285},
      {90, 9.40460160868, 0.0103244369892}}},
    {ph_u,
     9.39909573542,
     10.4992163425,
     0.0892912304896,
     0.0076891651489,
     0.0171080548389,
     0.00304870762637,
     3.43250268437e-05,
     1.46758553782e-05,
     3.72640812922e-05,
     0.325611967363,
     {{0, 10.4992163425, 0.0171080548389},
      {5, 10.1030539099, 0.00730874209911},
      {90, 9.39945166027, 0.00762732477449}}},
};

static void
cure_agrees_with_r(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(r_fits); i++) {
        const struct r_fit *r = &r_fits[i];
        struct approach approach = fit(age_d, ph, r->u, CURE, NULL, LINE_SD_FROM_SCATTER);

        assert_int_equal(approach.reasons, 0);
        check_close(approach.end / r->end, 1.0, 1e-9, "R nls()");
        check_close(approach.start / r->start, 1.0, 1e-9, "R nls()");
        check_close(approach.rate / r->rate, 1.0, 1e-8, "R nls()");
        check_close(approach.end_sd / r->end_sd, 1.0, 1e-7, "R vcov()");
        check_close(approach.start_sd / r->start_sd, 1.0, 1e-7, "R vcov()");
        check_close(approach.rate_sd / r->rate_sd, 1.0, 1e-7, "R vcov()");
        check_close(approach.end_start_covariance / r->end_start, 1.0, 1e-7, "R vcov()");
        check_close(approach.end_rate_covariance / r->end_rate, 1.0, 1e-7, "R vcov()");
        check_close(approach.start_rate_covariance / r->start_rate, 1.0, 1e-7, "R vcov()");
        check_close(approach.residual_sd / r->residual_sd, 1.0, 1e-8, "R sigma()");
        for (size_t j = 0; j < 3; j++) {
            struct failure failure = {0};
            double y, y_sd, mean_half, prediction_half;
            double one_sd = hypot(r->at[j].mean_sd, r->residual_sd * 0.7);

            check_ok(approach_at(&approach, r->at[j].age_d, 0.95, 0.7, &y, &y_sd, &mean_half,
                                 &prediction_half, &failure),
                     &failure);
            check_close(y / r->at[j].mean, 1.0, 1e-9, "R, delta rule");
            check_close(y_sd / r->at[j].mean_sd, 1.0, 1e-7, "R, delta rule");
            check_close(mean_half, 2.2621571628 * r->at[j].mean_sd, 1e-8, "R qt(0.975, 9)");
            check_close(prediction_half, 2.2621571628 * one_sd, 1e-7, "R qt(0.975, 9)");
        }
    }
}

static void
stated_scatter_and_a_known_start_agree_with_r(void **state)
{
    const double start = 10.5;
    struct approach stated = fit(age_d, ph, ph_u, CURE, NULL, LINE_SD_AS_STATED);
    struct approach known = fit(age_d, ph, ph_u, CURE, &start, LINE_SD_FROM_SCATTER);

    (void)state;
    check_close(stated.end_sd, 0.0236145041325, 1e-9, "R vcov() over sigma()^2");
    check_close(stated.start_sd, 0.0525412348244, 1e-9, "R vcov() over sigma()^2");
    check_close(stated.rate_sd, 0.00936300852533, 1e-9, "R vcov() over sigma()^2");
    check_close(stated.residual_sd, 0.325611967363, 1e-9, "R sigma()");
    assert_true(isinf(stated.dof));
    check_close(known.end / 9.39918732965, 1.0, 1e-9, "R nls(), start 10.5");
    check_close(known.rate / 0.0893909036685, 1.0, 1e-7, "R nls(), start 10.5");
    check_close(known.end_sd / 0.00703930653354, 1.0, 1e-6, "R nls(), start 10.5");
    check_close(known.rate_sd / 0.00202477071888, 1.0, 1e-6, "R nls(), start 10.5");
    check_close(known.end_rate_covariance / 9.27330641725e-06, 1.0, 1e-6, "R nls(), start 10.5");
    assert_true(known.start == 10.5 && known.start_sd == 0.0);
}

/* A small generator of test data (the constants of POSIX's example rand()). */
static double
next_fraction(uint32_t *seed)
{
    *seed = *seed * 1103515245u + 12345u;
    return (double)(*seed >> 16) / 65536.0;
}

static int
gsl_residuals(const gsl_vector *p, void *data, gsl_vector *f)
{
    const double *y = data;

    for (size_t i = 0; i < CURE; i++) {
        double decay = exp(-exp(gsl_vector_get(p, 2)) * age_d[i]);

        gsl_vector_set(f, i, gsl_vector_get(p, 0) * (1.0 - decay) + gsl_vector_get(p, 1) * decay - y[i]);
    }
    return GSL_SUCCESS;
}

/* Sum of squares that GSL's general solver reaches from a fair start. */
static double
gsl_squares(double *y, double end, double start, double rate)
{
    double first[] = {end, start, log(rate)}, squares;
    gsl_multifit_nlinear_parameters parameters = gsl_multifit_nlinear_default_parameters();
    gsl_multifit_nlinear_fdf fdf = {.f = gsl_residuals, .n = CURE, .p = 3, .params = y};
    gsl_multifit_nlinear_workspace *w =
        gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &parameters, CURE, 3);
    gsl_vector_view at = gsl_vector_view_array(first, 3);
    int info;

    gsl_multifit_nlinear_init(&at.vector, &fdf, w);
    gsl_multifit_nlinear_driver(200, 1e-12, 1e-12, 1e-12, NULL, NULL, &info, w);
    gsl_blas_ddot(gsl_multifit_nlinear_residual(w), gsl_multifit_nlinear_residual(w), &squares);
    gsl_multifit_nlinear_free(w);
    return squares;
}

static void
general_solver_never_finds_a_better_fit(void **state)
{
    uint32_t seed = 11;

    (void)state;
    for (int round = 0; round < 300; round++) {
        double y[CURE], end = 8.5 + 1.5 * next_fraction(&seed), start = end + 1.5 * next_fraction(&seed);
        double rate = 0.02 * pow(30.0, next_fraction(&seed)), noise = 0.1 * next_fraction(&seed), squares;
        struct approach approach;

        for (size_t i = 0; i < CURE; i++)
            y[i] = end + (start - end) * exp(-rate * age_d[i]) + noise * (next_fraction(&seed) - 0.5);
        approach = fit(age_d, y, NULL, CURE, NULL, LINE_SD_FROM_SCATTER);
        squares = approach.residual_sd * approach.residual_sd * (CURE - 3);
        if ((approach.reasons & (APPROACH_NO_END | APPROACH_TOO_FAST)) == 0)
            assert_true(squares <= gsl_squares(y, end, start, rate) * (1.0 + 1e-9));
    }
}

static void
curve_without_scatter_is_found_again(void **state)
{
    static const double rates[] = {0.003, 0.02, 0.1, 0.5, 2.0};

    (void)state;
    for (size_t r = 0; r < LENGTH(rates); r++) {
        double y[CURE];
        struct approach approach;

        for (size_t i = 0; i < CURE; i++)
            y[i] = 9.5 + 0.8 * exp(-rates[r] * age_d[i]);
        approach = fit(age_d, y, NULL, CURE, NULL, LINE_SD_FROM_SCATTER);
        assert_int_equal(approach.reasons, 0);
        check_close(approach.rate / rates[r], 1.0, 1e-8, "the model itself");
        check_close(approach.end, 9.5, 1e-8, "the model itself");
        check_close(approach.start, 10.3, 1e-8, "the model itself");
    }
}

static void
order_units_and_direction_do_not_matter(void **state)
{
    struct approach plain = fit(age_d, ph, ph_u, CURE, NULL, LINE_SD_FROM_SCATTER), other;
    double age_s[CURE], mirrored[CURE], u[CURE];

    (void)state;
    for (size_t i = 0; i < CURE; i++) {
        age_s[CURE - 1 - i] = age_d[i] * 86400.0;
        mirrored[CURE - 1 - i] = 1e3 * (20.0 - ph[i]); /* rising instead of falling */
        u[CURE - 1 - i] = 1e-9 * ph_u[i];
    }
    other = fit(age_s, mirrored, u, CURE, NULL, LINE_SD_FROM_SCATTER);
    check_close(other.rate * 86400.0 / plain.rate, 1.0, 1e-9, "seconds instead of days");
    check_close(other.rate_sd * 86400.0 / plain.rate_sd, 1.0, 1e-8, "seconds instead of days");
    check_close(20.0 - other.end / 1e3, plain.end, 1e-10, "mirrored");
    check_close(other.end_sd / 1e3, plain.end_sd, 1e-10, "mirrored");
    assert_true(other.start < other.end);
}

static const struct {
    const char *what;
    double age[6], y[6];
    size_t count;
    unsigned reasons;
} unfit[] = {
    {"one reading", {3}, {10.1}, 1, APPROACH_FEW_AGES},
    {"three ages", {1, 1, 7, 7, 20, 20}, {10.4, 10.5, 10.0, 10.1, 9.6, 9.7}, 6, APPROACH_FEW_AGES},
    {"one age", {5, 5, 5, 5, 5}, {10.4, 10.5, 10.0, 10.1, 9.6}, 5, APPROACH_FEW_AGES},
    {"all equal", {1, 2, 3, 4, 5, 6}, {10, 10, 10, 10, 10, 10}, 6, APPROACH_FLAT},
    {"falls faster and faster", {0, 1, 2, 3, 4, 5}, {10.5, 10.4, 10.2, 9.9, 9.5, 9.0}, 6, APPROACH_NO_END},
    {"a straight line", {0, 1, 2, 3, 4, 5}, {10.5, 10.4, 10.3, 10.2, 10.1, 10.0}, 6, 0},
    {"a step after the first age",
     {0, 7, 14, 21, 28, 35},
     {11, 9.5, 9.5, 9.5, 9.5, 9.5},
     6,
     APPROACH_TOO_FAST},
    {"four ages with scatter", {1, 7, 14, 28}, {10.3, 10.1, 9.7, 9.65}, 4, APPROACH_RATE_UNSURE},
    {"scatter alone", {0, 7, 14, 21, 28, 35}, {9.5, 9.6, 9.4, 9.65, 9.45, 9.55}, 6, 0},
};

static void
what_cannot_be_identified_is_said_and_never_failed(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(unfit); i++) {
        struct approach approach =
            fit(unfit[i].age, unfit[i].y, NULL, unfit[i].count, NULL, LINE_SD_FROM_SCATTER);

        if (approach.reasons == 0 || (approach.reasons & unfit[i].reasons) != unfit[i].reasons)
            fail_msg("%s: reasons %u", unfit[i].what, approach.reasons);
        assert_true(approach_reason_text(approach.reasons)[0] != '\0');
    }
    assert_string_equal(approach_reason_text(0), "");
}

static void
all_numbers_are_numbers(const struct approach *a)
{
    const double finite[] = {a->end,
                             a->start,
                             a->rate,
                             a->residual_sd,
                             a->end_start_covariance,
                             a->end_rate_covariance,
                             a->start_rate_covariance,
                             a->y_unit_sd};
    const double sds[] = {a->end_sd, a->start_sd, a->rate_sd, a->dof};

    for (size_t i = 0; i < LENGTH(finite); i++)
        assert_true(isfinite(finite[i]));
    for (size_t i = 0; i < LENGTH(sds); i++)
        assert_true(sds[i] >= 0.0); /* false for NAN */
}

static void
absurd_series_give_numbers_or_a_refusal(void **state)
{
    static const double scales[] = {1e-300, 1e-12, 1.0, 1e9, 1e300};
    static const double shifts[] = {0.0, 1.0, 1e3, 1e12};
    uint32_t seed = 5;
    size_t fitted = 0;

    (void)state;
    for (int round = 0; round < 4000; round++) {
        size_t count = 1 + (size_t)(10.0 * next_fraction(&seed));
        double scale = scales[round % 5], shift = shifts[round / 5 % 4], y_scale = scales[round / 20 % 5];
        const double *known = round % 3 == 0 ? &shifts[1] : NULL;
        double age[12], y[12], sd[12];
        struct approach approach = {.rate = -5.0};
        struct failure failure = {0};

        for (size_t i = 0; i < count; i++) {
            age[i] = scale * (shift + pow(next_fraction(&seed), 1 + round % 7));
            y[i] = y_scale * (next_fraction(&seed) + (round % 2 == 0 ? exp(-age[i] / scale) : 0.0));
            sd[i] = pow(10.0, 40.0 * next_fraction(&seed) - 20.0);
        }
        if (approach_fit(age, y, round % 4 == 0 ? NULL : sd, count, known,
                         round % 4 == 3 ? LINE_SD_AS_STATED : LINE_SD_FROM_SCATTER, &approach,
                         &failure) == STATUS_OK) {
            double mean, mean_sd, half, prediction_half;

            fitted++;
            all_numbers_are_numbers(&approach);
            if (approach_at(&approach, age[0], 0.95, 1.0, &mean, &mean_sd, &half, &prediction_half,
                            &failure) == STATUS_OK)
                assert_true(isfinite(mean) && mean_sd >= 0.0 && half >= 0.0 && prediction_half >= 0.0);
        } else
            assert_true(approach.rate == -5.0 && failure.status == STATUS_RANGE);
    }
    assert_true(fitted > 2000);
}

static void
long_and_gapped_series_are_fitted(void **state)
{
    enum { LONG = 10000 };
    double *age = memory_new(LONG, sizeof *age), *y = memory_new(LONG, sizeof *y);
    static const double gapped_age[] = {0, 0.001, 0.002, 200, 200.001, 365};
    double gapped[LENGTH(gapped_age)];
    uint32_t seed = 9;
    struct approach approach;

    (void)state;
    for (size_t i = 0; i < LONG; i++) {
        age[i] = 0.01 * (double)i;
        y[i] = 9.4 + exp(-0.05 * age[i]) + 0.2 * (next_fraction(&seed) - 0.5);
    }
    approach = fit(age, y, NULL, LONG, NULL, LINE_SD_FROM_SCATTER);
    assert_int_equal(approach.reasons, 0);
    check_close(approach.rate, 0.05, 5.0 * approach.rate_sd, "the model itself");
    check_close(approach.end, 9.4, 5.0 * approach.end_sd, "the model itself");
    check_close(approach.residual_sd, 0.2 / sqrt(12.0), 2e-3, "rectangular scatter");
    free(age);
    free(y);

    for (size_t i = 0; i < LENGTH(gapped_age); i++)
        gapped[i] = 9.4 + exp(-0.01 * gapped_age[i]);
    approach = fit(gapped_age, gapped, NULL, LENGTH(gapped_age), NULL, LINE_SD_FROM_SCATTER);
    check_close(approach.rate, 0.01, 1e-7, "the model itself");
}

static void
without_a_fit_the_band_is_infinite(void **state)
{
    struct approach approach = fit(unfit[1].age, unfit[1].y, NULL, 3, NULL, LINE_SD_FROM_SCATTER);
    struct failure failure = {0};
    double y, y_sd, half, prediction_half;

    (void)state;
    check_ok(approach_at(&approach, 3.0, 0.95, 1.0, &y, &y_sd, &half, &prediction_half, &failure), &failure);
    check_close(y, 10.3, 1e-14, "mean of 10.4, 10.5 and 10.0");
    assert_true(isinf(y_sd) && isinf(half) && isinf(prediction_half));
}

static void
impossible_points_are_refused_and_the_result_left_alone(void **state)
{
    static const struct {
        double age[4], y[4], sd[4];
    } bad[] = {
        {{1, 2, NAN, 4}, {4, 3, 2, 1}, {1, 1, 1, 1}},
        {{1, 2, 3, INFINITY}, {4, 3, 2, 1}, {1, 1, 1, 1}},
        {{1, 2, 3, 4}, {4, NAN, 2, 1}, {1, 1, 1, 1}},
        {{1, 2, 3, 4}, {4, 3, 2, 1}, {1, 0, 1, 1}},
        {{1, 2, 3, 4}, {4, 3, 2, 1}, {1, 1, -1, 1}},
        {{1, 2, 3, 4}, {4, 3, 2, 1}, {1, 1, 1, NAN}},
        {{-1e308, 2, 3, 1e308}, {4, 3, 2, 1}, {1, 1, 1, 1}},
        {{1, 2, 3, 4}, {1e308, -1e308, 1, 2}, {1, 1, 1, 1}},
    };
    struct approach approach = {.rate = -5.0};
    struct failure failure = {0};
    const double zero = 0.0, nan_start = NAN, before[] = {-1, 2, 3, 4};
    double y = -5.0, y_sd, half, prediction_half;

    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++)
        check_refused(
            approach_fit(bad[i].age, bad[i].y, bad[i].sd, 4, NULL, LINE_SD_FROM_SCATTER, &approach, &failure),
            STATUS_RANGE, &failure);
    check_refused(approach_fit(age_d, ph, NULL, 0, NULL, LINE_SD_FROM_SCATTER, &approach, &failure),
                  STATUS_RANGE, &failure);
    check_refused(approach_fit(age_d, ph, NULL, 4, &nan_start, LINE_SD_FROM_SCATTER, &approach, &failure),
                  STATUS_RANGE, &failure);
    check_refused(approach_fit(before, ph, NULL, 4, &zero, LINE_SD_FROM_SCATTER, &approach, &failure),
                  STATUS_RANGE, &failure);
    assert_true(approach.rate == -5.0);

    approach = fit(age_d, ph, NULL, CURE, NULL, LINE_SD_FROM_SCATTER);
    check_refused(approach_at(&approach, NAN, 0.95, 1.0, &y, &y_sd, &half, &prediction_half, &failure),
                  STATUS_RANGE, &failure);
    check_refused(approach_at(&approach, 1.0, 1.0, 1.0, &y, &y_sd, &half, &prediction_half, &failure),
                  STATUS_RANGE, &failure);
    check_refused(approach_at(&approach, 1.0, 0.95, -1.0, &y, &y_sd, &half, &prediction_half, &failure),
                  STATUS_RANGE, &failure);
    check_refused(approach_at(&approach, -1e6, 0.95, 1.0, &y, &y_sd, &half, &prediction_half, &failure),
                  STATUS_RANGE, &failure);
    assert_true(y == -5.0);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(misra1a_is_fitted_to_certified_digits),
    cmocka_unit_test(cure_agrees_with_r),
    cmocka_unit_test(stated_scatter_and_a_known_start_agree_with_r),
    cmocka_unit_test(general_solver_never_finds_a_better_fit),
    cmocka_unit_test(curve_without_scatter_is_found_again),
    cmocka_unit_test(order_units_and_direction_do_not_matter),
    cmocka_unit_test(what_cannot_be_identified_is_said_and_never_failed),
    cmocka_unit_test(absurd_series_give_numbers_or_a_refusal),
    cmocka_unit_test(long_and_gapped_series_are_fitted),
    cmocka_unit_test(without_a_fit_the_band_is_infinite),
    cmocka_unit_test(impossible_points_are_refused_and_the_result_left_alone),
};

const struct check_module test_science_approach_fit = CHECK_MODULE("science/approach_fit", tests);
