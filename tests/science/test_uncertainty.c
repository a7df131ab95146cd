/* test_uncertainty.c - budgets, coverage and probability of conformity. */
#include "check.h"
#include "uncertainty.h"

/* The table's 68.27, 95.45 and 99.73 % are the normal probabilities of 1, 2 and 3 standard deviations. */
#define ONE_SIGMA 0.682689492137086
#define TWO_SIGMA 0.954499736103642
#define THREE_SIGMA 0.997300203936740

/* JCGM 100:2008 (GUM), table G.2, from memory; the last lines have infinite degrees of freedom. */
static const struct {
    double coverage, dof, factor, half_digit;
} table_g2[] = {
    {ONE_SIGMA, 1, 1.84, 0.005},    {0.90, 1, 6.31, 0.005},   {0.95, 1, 12.71, 0.005},
    {TWO_SIGMA, 1, 13.97, 0.005},   {0.99, 1, 63.66, 0.005},  {THREE_SIGMA, 1, 235.80, 0.005},
    {0.95, 2, 4.30, 0.005},         {0.95, 3, 3.18, 0.005},   {0.95, 4, 2.78, 0.005},
    {0.95, 5, 2.57, 0.005},         {0.95, 6, 2.45, 0.005},   {0.95, 7, 2.36, 0.005},
    {0.95, 8, 2.31, 0.005},         {0.95, 9, 2.26, 0.005},   {0.95, 10, 2.23, 0.005},
    {0.95, 20, 2.09, 0.005},        {0.95, 50, 2.01, 0.005},  {0.99, 10, 3.17, 0.005},
    {THREE_SIGMA, 10, 3.96, 0.005}, {0.95, 100, 1.984, 5e-4}, {0.95, INFINITY, 1.960, 5e-4},
    {0.99, INFINITY, 2.576, 5e-4},
};

static struct uncertainty
combine(const struct uncertainty_component *components, size_t count, double *ret_shares)
{
    struct uncertainty result = {.standard_uncertainty = NAN};
    struct failure failure = {0};

    check_ok(uncertainty_combine(components, count, 0.95, &result, ret_shares, &failure), &failure);
    return result;
}

static void
coverage_factors_are_those_of_the_gum(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(table_g2); i++) {
        const struct uncertainty_component one = {"one", UNCERTAINTY_NORMAL, 0.3, 1.0, table_g2[i].dof};
        struct uncertainty result = {0};
        struct failure failure = {0};

        check_ok(uncertainty_combine(&one, 1, table_g2[i].coverage, &result, NULL, &failure), &failure);
        check_close(result.coverage_factor, table_g2[i].factor, table_g2[i].half_digit,
                    "JCGM 100:2008 table G.2");
        check_close(result.expanded_uncertainty, 0.3 * result.coverage_factor, 1e-14, "U = k u");
    }
}

static void
effective_degrees_of_freedom_follow_welch_and_satterthwaite(void **state)
{
    static const struct uncertainty_component two[] = {
        {"scatter", UNCERTAINTY_NORMAL, 0.57, 1.0, 9.0},
        {"meter", UNCERTAINTY_NORMAL, 0.25, 1.0, INFINITY},
    };
    /* three inputs seen 10, 5 and 15 times, product of powers: relative uncertainties in percent */
    static const struct uncertainty_component gum[] = {
        {"x1", UNCERTAINTY_NORMAL, 0.25, 1.0, 9.0},
        {"x2", UNCERTAINTY_NORMAL, 0.57, 1.0, 4.0},
        {"x3", UNCERTAINTY_NORMAL, 0.82, 1.0, 14.0},
    };
    struct uncertainty result = combine(two, LENGTH(two), NULL);

    (void)state;
    check_close(result.effective_dof, 12.8, 0.05, "equation G.2b by hand: 0.3874^2 / (0.3249^2 / 9)");
    result = combine(gum, LENGTH(gum), NULL);
    check_close(result.standard_uncertainty, 1.03, 0.005, "JCGM 100:2008 G.4.1 example, from memory");
    check_close(result.effective_dof, 19.0, 0.05, "JCGM 100:2008 G.4.1 example, from memory");
    check_close(result.expanded_uncertainty, 2.09 * 1.03, 0.02, "t(0.95, 19) is 2.09 in table G.2");
}

static void
half_widths_become_standard_uncertainties(void **state)
{
    static const struct uncertainty_component components[] = {
        {"resolution", UNCERTAINTY_RECTANGULAR, 3.0, 1.0, INFINITY},
        {"guess", UNCERTAINTY_TRIANGULAR, 6.0, -1.0, INFINITY},
        {"room swing", UNCERTAINTY_ARCSINE, 2.0, 0.5, INFINITY},
        {"sd", UNCERTAINTY_NORMAL, 2.0, -2.0, INFINITY},
        {"nothing", UNCERTAINTY_NORMAL, 0.0, 1.0, 2.0},
    };
    double shares[LENGTH(components)];
    struct uncertainty result = combine(components, LENGTH(components), shares);

    (void)state;
    /* variances 9/3, 36/6, 4/2 * 1/4, 16, 0: JCGM 100:2008, 4.3.7, 4.3.9; arcsine: JCGM 101:2008, 6.4.6 */
    check_close(result.standard_uncertainty, sqrt(25.5), 1e-14, "by hand");
    check_close(shares[0], 3.0 / 25.5, 1e-15, "by hand");
    check_close(shares[1], 6.0 / 25.5, 1e-15, "by hand");
    check_close(shares[2], 0.5 / 25.5, 1e-15, "by hand");
    check_close(shares[3], 16.0 / 25.5, 1e-15, "by hand");
    check_close(shares[4], 0.0, 0.0, "no spread, no share");
    assert_true(isinf(result.effective_dof));
}

static void
conformity_agrees_with_the_standard(void **state)
{
    struct failure failure = {0};
    double above_low = NAN, above = NAN;

    (void)state;
    check_ok(uncertainty_probability_above(13.6, 1.8, INFINITY, 12.5, &above_low, &failure), &failure);
    check_ok(uncertainty_probability_above(13.6, 1.8, INFINITY, 16.3, &above, &failure), &failure);
    check_close(above_low - above, 0.663, 5e-4,
                "JCGM 106:2012 example, from memory: y 13.6, u 1.8, limits 12.5 and 16.3");
    check_ok(uncertainty_probability_above(10.8, 0.1, INFINITY, 11.0, &above, &failure), &failure);
    check_close(above, 0.02275, 5e-6, "normal table at 2");
    check_ok(uncertainty_probability_above(10.8, 0.1, 4.0, 11.0, &above, &failure), &failure);
    check_close(above, 0.05805826175840775, 1e-15, "R pt(-2, 4)");
    check_ok(uncertainty_probability_above(11.0, 0.1, 4.0, 11.0, &above, &failure), &failure);
    check_close(above, 0.5, 0.0, "symmetry");
    check_ok(uncertainty_probability_above(0.0, 1.0, INFINITY, 10.0, &above, &failure), &failure);
    check_close(above / 7.619853024160525e-24, 1.0, 1e-10, "R pnorm(-10): small tails keep their digits");
}

static void
no_uncertainty_decides_outright(void **state)
{
    struct failure failure = {0};
    double p = NAN;

    (void)state;
    check_ok(uncertainty_probability_above(11.01, 0.0, INFINITY, 11.0, &p, &failure), &failure);
    assert_true(p == 1.0);
    check_ok(uncertainty_probability_above(10.99, 0.0, INFINITY, 11.0, &p, &failure), &failure);
    assert_true(p == 0.0);
}

static void
pooled_scatter_weighs_by_degrees_of_freedom(void **state)
{
    static const double sds[] = {0.03, 0.05, 0.0}, dofs[] = {2.0, 4.0, 2.0};
    struct failure failure = {0};
    double sd = NAN, dof = NAN;

    (void)state;
    check_ok(uncertainty_pooled_sd(sds, dofs, 3, &sd, &dof, &failure), &failure);
    check_close(sd, sqrt((2.0 * 0.0009 + 4.0 * 0.0025) / 8.0), 1e-16, "by hand");
    check_close(dof, 8.0, 0.0, "by hand");
}

/* A small generator of test budgets (the constants of POSIX's example rand()). */
static double
next_fraction(uint32_t *seed)
{
    *seed = *seed * 1103515245u + 12345u;
    return (double)(*seed >> 16) / 65536.0;
}

static void
order_of_components_does_not_matter_and_more_is_never_less(void **state)
{
    uint32_t seed = 4;

    (void)state;
    for (int round = 0; round < 500; round++) {
        struct uncertainty_component forward[6], backward[6];
        struct uncertainty one, two, more;
        double shares[6], sum = 0.0, dof_sum = 0.0, dof_least = INFINITY;

        for (size_t i = 0; i < 6; i++) {
            forward[i] = (struct uncertainty_component){
                "x", (enum uncertainty_shape)(i % 4), pow(10.0, 8.0 * next_fraction(&seed) - 4.0),
                next_fraction(&seed) - 0.5, 1.0 + floor(30.0 * next_fraction(&seed))};
            backward[5 - i] = forward[i];
            dof_sum += forward[i].dof;
            dof_least = fmin(dof_least, forward[i].dof);
        }
        one = combine(forward, 6, shares);
        two = combine(backward, 6, NULL);
        check_close(one.standard_uncertainty / two.standard_uncertainty, 1.0, 1e-14, "order");
        check_close(one.effective_dof / two.effective_dof, 1.0, 1e-13, "order");
        for (size_t i = 0; i < 6; i++)
            sum += shares[i];
        check_close(sum, 1.0, 1e-14, "shares are parts of a whole");
        assert_true(one.effective_dof <= dof_sum * (1.0 + 1e-12)); /* JCGM 100:2008, G.4.1 note 1 */
        assert_true(one.effective_dof >= dof_least * (1.0 - 1e-12));
        forward[round % 6].spread *= 1.5;
        more = combine(forward, 6, NULL);
        assert_true(more.standard_uncertainty >= one.standard_uncertainty);
    }
}

static void
probability_rises_with_the_estimate(void **state)
{
    static const double dofs[] = {1.0, 2.5, 9.0, 200.0, INFINITY};

    (void)state;
    for (size_t d = 0; d < LENGTH(dofs); d++) {
        double last = -1.0;

        for (int i = 0; i <= 45; i++) { /* to five u above the limit: beyond, 1 is reached in rounding */
            struct failure failure = {0};
            double estimate = 8.0 + 0.1 * i, above_low = NAN, above_high = NAN;

            check_ok(uncertainty_probability_above(estimate, 0.3, dofs[d], 10.5, &above_low, &failure),
                     &failure);
            check_ok(uncertainty_probability_above(estimate, 0.3, dofs[d], 11.0, &above_high, &failure),
                     &failure);
            assert_true(above_high > last && above_low > above_high);
            assert_true(above_high >= 0.0 && above_low <= 1.0);
            last = above_high;
        }
    }
}

static void
extreme_sizes_neither_overflow_nor_vanish(void **state)
{
    static const struct uncertainty_component huge[] = {
        {"a", UNCERTAINTY_NORMAL, 3e200, 1.0, 5.0},
        {"b", UNCERTAINTY_NORMAL, 4e200, 1.0, 5.0},
    };
    static const struct uncertainty_component tiny[] = {
        {"a", UNCERTAINTY_NORMAL, 3e-200, 1.0, 5.0},
        {"b", UNCERTAINTY_NORMAL, 4e-200, 1.0, 5.0},
    };
    static const struct uncertainty_component none = {"a", UNCERTAINTY_NORMAL, 0.0, 1.0, 5.0};
    double share = NAN;
    struct uncertainty result;

    (void)state;
    check_close(combine(huge, 2, NULL).standard_uncertainty / 5e200, 1.0, 1e-14, "3, 4, 5");
    check_close(combine(tiny, 2, NULL).standard_uncertainty / 5e-200, 1.0, 1e-14, "3, 4, 5");
    check_close(combine(tiny, 2, NULL).effective_dof, 625.0 * 5.0 / (81.0 + 256.0), 1e-12, "by hand");
    result = combine(&none, 1, &share);
    assert_true(result.standard_uncertainty == 0.0 && result.expanded_uncertainty == 0.0 && share == 0.0);
    assert_true(isinf(result.effective_dof));
}

static void
impossible_budgets_are_refused_and_the_result_left_alone(void **state)
{
    static const struct uncertainty_component bad[] = {
        {"a", UNCERTAINTY_NORMAL, -0.1, 1.0, 5.0},     {"a", UNCERTAINTY_NORMAL, NAN, 1.0, 5.0},
        {"a", UNCERTAINTY_NORMAL, INFINITY, 1.0, 5.0}, {"a", UNCERTAINTY_NORMAL, 0.1, NAN, 5.0},
        {"a", UNCERTAINTY_NORMAL, 0.1, INFINITY, 5.0}, {"a", UNCERTAINTY_NORMAL, 0.1, 1.0, 0.0},
        {"a", UNCERTAINTY_NORMAL, 0.1, 1.0, NAN},      {NULL, UNCERTAINTY_NORMAL, 1e300, 1e300, 5.0},
        {"a", UNCERTAINTY_NORMAL, 0.1, 1.0, 1e-6}, /* coverage factor beyond any number */
    };
    static const double coverages[] = {0.0, 1.0, -0.5, NAN};
    struct uncertainty result = {.standard_uncertainty = -5.0};
    struct failure failure = {0};
    double share = -5.0;

    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++)
        check_refused(uncertainty_combine(&bad[i], 1, 0.95, &result, &share, &failure), STATUS_RANGE,
                      &failure);
    for (size_t i = 0; i < LENGTH(coverages); i++) {
        const struct uncertainty_component good = {"a", UNCERTAINTY_NORMAL, 0.1, 1.0, 5.0};

        check_refused(uncertainty_combine(&good, 1, coverages[i], &result, &share, &failure), STATUS_RANGE,
                      &failure);
    }
    check_refused(uncertainty_combine(bad, 0, 0.95, &result, &share, &failure), STATUS_RANGE, &failure);
    assert_true(result.standard_uncertainty == -5.0 && share == -5.0);
    check_refused(uncertainty_combine(bad, 1, 0.95, &result, &share, &failure), STATUS_RANGE, &failure);
    assert_string_equal(failure.text, "uncertainty component 'a' has a spread of -0.1, allowed is 0 or more");
}

static void
impossible_estimates_are_refused_and_the_result_left_alone(void **state)
{
    static const struct {
        double estimate, u, dof, limit;
    } bad[] = {
        {NAN, 0.1, 5.0, 11.0},  {10.0, -0.1, 5.0, 11.0}, {10.0, NAN, 5.0, 11.0},     {10.0, 0.1, 0.0, 11.0},
        {10.0, 0.1, NAN, 11.0}, {10.0, 0.1, 5.0, NAN},   {10.0, 0.1, 5.0, INFINITY},
    };
    static const double minus[] = {-0.1}, good[] = {2.0}, none[] = {0.0};
    struct failure failure = {0};
    double p = -5.0, dof = -5.0;

    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++) {
        check_refused(
            uncertainty_probability_above(bad[i].estimate, bad[i].u, bad[i].dof, bad[i].limit, &p, &failure),
            STATUS_RANGE, &failure);
    }
    check_refused(uncertainty_pooled_sd(minus, good, 1, &p, &dof, &failure), STATUS_RANGE, &failure);
    check_refused(uncertainty_pooled_sd(good, none, 1, &p, &dof, &failure), STATUS_RANGE, &failure);
    check_refused(uncertainty_pooled_sd(good, good, 0, &p, &dof, &failure), STATUS_RANGE, &failure);
    assert_true(p == -5.0 && dof == -5.0);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(coverage_factors_are_those_of_the_gum),
    cmocka_unit_test(effective_degrees_of_freedom_follow_welch_and_satterthwaite),
    cmocka_unit_test(half_widths_become_standard_uncertainties),
    cmocka_unit_test(conformity_agrees_with_the_standard),
    cmocka_unit_test(no_uncertainty_decides_outright),
    cmocka_unit_test(pooled_scatter_weighs_by_degrees_of_freedom),
    cmocka_unit_test(order_of_components_does_not_matter_and_more_is_never_less),
    cmocka_unit_test(probability_rises_with_the_estimate),
    cmocka_unit_test(extreme_sizes_neither_overflow_nor_vanish),
    cmocka_unit_test(impossible_budgets_are_refused_and_the_result_left_alone),
    cmocka_unit_test(impossible_estimates_are_refused_and_the_result_left_alone),
};

const struct check_module test_science_uncertainty = CHECK_MODULE("science/uncertainty", tests);
