/* test_censored.c - normal from intervals against R 4.2.2, survival::survreg (censored.R beside this file).
 */
#include "censored.h"
#include "check.h"

/* Invented pairs: a meter, and a paper that shows steps of one. */
static const double meter[] = {9.42, 9.87, 10.15, 9.61, 10.48, 8.93, 9.75, 10.92, 9.38, 10.31};
static const double paper_low[] = {9, 9, 9, 8, 10, 8, 9, 10, 9, 9};

/* What censored.R prints, in its order. */
struct r_fit {
    double mean, sd, mean_sd, sd_sd, covariance, log_likelihood;
};

static struct censored_normal
fit(const double *low, const double *high, size_t count)
{
    struct censored_normal result = {.mean = NAN};
    struct failure failure = {0};

    check_ok(censored_normal_fit(low, high, count, &result, &failure), &failure);
    return result;
}

static void
same(const struct censored_normal *result, const struct r_fit *r)
{
    const char *source = "R survival::survreg()";

    assert_true(result->spread_known);
    check_close(result->mean, r->mean, 1e-8, source);
    check_close(result->sd, r->sd, 1e-8, source);
    check_close(result->mean_sd, r->mean_sd, 1e-8, source);
    check_close(result->sd_sd, r->sd_sd, 1e-8, source);
    check_close(result->covariance, r->covariance, 1e-9, source);
    check_close(result->log_likelihood, r->log_likelihood, 1e-9, source);
}

static void
paper_against_meter_agrees_with_r(void **state)
{
    static const struct r_fit r = {0.399613054525, 0.224104119622,    0.110558702551,
                                   0.108109948774, -0.00167404532899, -4.29351925077};
    double low[LENGTH(meter)], high[LENGTH(meter)];
    struct censored_normal result;

    (void)state;
    for (size_t i = 0; i < LENGTH(meter); i++) {
        low[i] = meter[i] - (paper_low[i] + 1.0);
        high[i] = meter[i] - paper_low[i];
    }
    result = fit(low, high, LENGTH(meter));
    same(&result, &r);
    assert_true(isnan(result.common_low) && isnan(result.common_high));
}

static void
mixed_widths_and_exact_values_agree_with_r(void **state)
{
    static const double low[] = {-0.31, 0.12, 0.44, -0.05, 0.9, 0.33, -0.6};
    static const double high[] = {0.19, 0.62, 0.94, 0.45, 1.4, 0.33, -0.6};
    static const struct r_fit r = {0.287189803037, 0.503381966178,    0.195769425703,
                                   0.140377866446, 0.000731627867528, -8.74712699228};
    struct censored_normal result = fit(low, high, LENGTH(low));

    (void)state;
    same(&result, &r);
}

static void
exact_values_give_the_plain_mean_and_spread(void **state)
{
    static const double values[] = {1.2, 0.4, 2.2, 1.9, 0.7};
    static const struct r_fit r = {1.28, 0.68527366796, 0.30646370095, 0.216702561129, 0.0, -5.20500763985};
    struct censored_normal result = fit(values, values, 5);

    (void)state;
    same(&result, &r);
    check_close(result.sd, sqrt(2.348 / 5.0), 1e-9, "by hand: sum of squares 2.348");
}

static void
shifting_and_scaling_carry_over(void **state)
{
    static const double scales[] = {1e-120, 1e-3, 1e6, 1e120};
    double low[LENGTH(meter)], high[LENGTH(meter)];
    struct censored_normal plain;

    (void)state;
    for (size_t i = 0; i < LENGTH(meter); i++) {
        low[i] = meter[i] - (paper_low[i] + 1.0);
        high[i] = meter[i] - paper_low[i];
    }
    plain = fit(low, high, LENGTH(meter));
    for (size_t s = 0; s < LENGTH(scales); s++) {
        double mirrored_low[LENGTH(meter)], mirrored_high[LENGTH(meter)];
        struct censored_normal other;

        for (size_t i = 0; i < LENGTH(meter); i++) {
            mirrored_low[LENGTH(meter) - 1 - i] = scales[s] * (5.0 - high[i]);
            mirrored_high[LENGTH(meter) - 1 - i] = scales[s] * (5.0 - low[i]);
        }
        other = fit(mirrored_low, mirrored_high, LENGTH(meter));
        check_close(other.mean / scales[s], 5.0 - plain.mean, 1e-8, "mirrored");
        check_close(other.sd / scales[s], plain.sd, 1e-8, "mirrored");
        check_close(other.mean_sd / scales[s], plain.mean_sd, 1e-8, "mirrored");
    }
}

static void
one_bias_that_fits_every_pair_hides_the_spread(void **state)
{
    static const double low[] = {-0.4, -0.2, 0.0, -0.6, 0.1}, high[] = {0.6, 0.8, 1.0, 0.4, 1.1};
    static const double touching_high[] = {0.6, 0.8, 1.0, 0.1, 1.1};
    const double rounded_low[] = {-0.4, -0.2, 0.0, -0.6, 9.38 - 9.0}; /* 0.38000000000000078 */
    const double rounded_high[] = {0.6, 0.8, 1.0, 0.38, 1.38};
    struct censored_normal result = fit(low, high, 5);

    (void)state;
    assert_false(result.spread_known);
    check_close(result.common_low, 0.1, 0.0, "by hand");
    check_close(result.common_high, 0.4, 0.0, "by hand");
    check_close(result.mean, 0.25, 1e-15, "by hand");
    check_close(result.mean_sd, 1.0 / sqrt(12.0), 1e-15, "rectangular, JCGM 100:2008, 4.3.7");
    assert_true(isnan(result.sd) && isnan(result.sd_sd) && isnan(result.covariance));

    result =
        fit(low, touching_high, 5); /* ends that touch: the likelihood still grows as the spread shrinks */
    assert_false(result.spread_known);
    check_close(result.mean, 0.1, 1e-15, "by hand");
    check_close(result.mean_sd, 0.7 / sqrt(12.0), 1e-15, "rectangular, narrowest interval -0.6 to 0.1");
    result = fit(rounded_low, rounded_high, 5);
    assert_false(result.spread_known);
    check_close(result.mean, 0.38, 1e-14, "by hand");
}

/* A small generator of test data (the constants of POSIX's example rand()). */
static double
next_fraction(uint32_t *seed)
{
    *seed = *seed * 1103515245u + 12345u;
    return (double)(*seed >> 16) / 65536.0;
}

static void
any_intervals_give_numbers_or_a_refusal(void **state)
{
    uint32_t seed = 3;
    size_t fitted = 0;

    (void)state;
    for (int round = 0; round < 3000; round++) {
        double low[12], high[12], spread = pow(10.0, 6.0 * next_fraction(&seed) - 3.0);
        size_t count = 5 + (size_t)(7.0 * next_fraction(&seed));
        struct censored_normal result = {.mean = -5.0};
        struct failure failure = {0};

        for (size_t i = 0; i < count; i++) {
            low[i] = floor(spread * (next_fraction(&seed) - 0.5) * 8.0) / 8.0;
            high[i] = low[i] + floor(9.0 * next_fraction(&seed)) / 8.0;
        }
        if (censored_normal_fit(low, high, count, &result, &failure) == STATUS_OK) {
            fitted++;
            assert_true(isfinite(result.mean) && result.mean_sd > 0.0 && isfinite(result.mean_sd));
            assert_true(!result.spread_known ||
                        (result.sd > 0.0 && result.sd_sd > 0.0 && isfinite(result.sd_sd)));
        } else
            assert_true(failure.status == STATUS_RANGE && result.mean == -5.0);
        check_lacks(failure.text, "too far apart"); /* the maximum is always reached */
    }
    assert_true(fitted > 2000); /* the others: one exact value lies in every interval */
}

static void
impossible_intervals_are_refused_and_the_result_left_alone(void **state)
{
    static const struct {
        double low[5], high[5];
        size_t count;
    } bad[] = {
        {{1, 2, 3, 4}, {2, 3, 4, 5}, 4},
        {{1, 2, 3, 4, 5}, {2, 3, 4, 5, 4}, 5},
        {{1, 2, NAN, 4, 5}, {2, 3, 4, 5, 6}, 5},
        {{1, 2, 3, 4, 5}, {2, 3, 4, 5, INFINITY}, 5},
        {{2, 2, 2, 2, 2}, {2, 2, 2, 2, 2}, 5},
        {{2, 1, 1, 1, 1}, {2, 3, 3, 3, 3}, 5}, /* the exact value lies in all others */
        {{-1e308, 2, 3, 4, 1e308}, {-1e308, 3, 4, 5, 1e308}, 5},
    };
    struct censored_normal result = {.mean = -5.0};
    struct failure failure = {0};

    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++)
        check_refused(censored_normal_fit(bad[i].low, bad[i].high, bad[i].count, &result, &failure),
                      STATUS_RANGE, &failure);
    check_refused(censored_normal_fit(bad[0].low, bad[0].high, 4, &result, &failure), STATUS_RANGE, &failure);
    assert_string_equal(failure.text, "bias and spread need at least 5 pairs, not 4");
    assert_true(result.mean == -5.0);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(paper_against_meter_agrees_with_r),
    cmocka_unit_test(mixed_widths_and_exact_values_agree_with_r),
    cmocka_unit_test(exact_values_give_the_plain_mean_and_spread),
    cmocka_unit_test(shifting_and_scaling_carry_over),
    cmocka_unit_test(one_bias_that_fits_every_pair_hides_the_spread),
    cmocka_unit_test(any_intervals_give_numbers_or_a_refusal),
    cmocka_unit_test(impossible_intervals_are_refused_and_the_result_left_alone),
};

const struct check_module test_science_censored = CHECK_MODULE("science/censored", tests);
